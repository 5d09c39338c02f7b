"""An address as a QR code for the terminal.

Crosses the border: text in, text out.
"""

from __future__ import annotations

import io

import segno


def terminal_code(address: str) -> str:
    """Lines of half blocks, two rows of the code in each."""
    text = io.StringIO()
    segno.make(address, micro=False).terminal(text, compact=True)
    return text.getvalue()
