"""Lines for a terminal: wrapped between words where they are longer than it is wide, under what they began with.

Crosses the border: text in; text out, or on the standard output.  In a pipe or a file nothing is wrapped.
"""

from __future__ import annotations

import re
import shutil
import sys
import textwrap

WIDEST = 80
"""Letters that a picture takes of a wider terminal."""
LONGEST_LABEL = 18
"""Letters of what stands before a line, such as “assistant” or a moment, with the space behind it."""
_LABEL = re.compile(r"\s*\S+(?: \S+)? {2,}|\s+(?=\S)")


def wrapped(text: str, width: int) -> str:
    """Each line of a text on lines of at most `width` letters; only a word longer than that stands out."""
    return "\n".join(_wrapped(line, width) for line in text.split("\n"))


def _wrapped(line: str, width: int) -> str:
    if len(line) <= width:
        return line
    label = _LABEL.match(line)
    indent = label.end() if label is not None and label.end() <= LONGEST_LABEL else 0
    return textwrap.fill(line, width, subsequent_indent=" " * indent, break_long_words=False, break_on_hyphens=False)


def cut(text: str, width: int) -> str:
    """A text in one line of at most `width` letters: what does not fit is left out from a word on, which “…” tells."""
    if len(text) <= width:
        return text
    head = text[: width - 1]
    return head[: head.rindex(" ") + 1] + "…" if " " in head else head + "…"


def shown(text: str) -> None:
    """Print a text, wrapped where a person looks at it."""
    print(wrapped(text, shutil.get_terminal_size().columns) if sys.stdout.isatty() else text, flush=True)


def picture_width() -> int:
    """The letters of a line for a picture; 0 where nobody looks."""
    return min(WIDEST, shutil.get_terminal_size().columns) if sys.stdout.isatty() else 0
