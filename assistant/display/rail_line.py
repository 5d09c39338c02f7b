"""The picture of a rail in one line: posts, the pickets that are done, the one the mark is for, those ahead.

Crosses the border: a `Picture` and a width in letters in, a line out.  Done, now and ahead differ in shape, not in colour.
"""

from __future__ import annotations

from assistant.display.view import WHOLE, Picture

POSTS = "▐", "▌"
RAIL, DONE, NOW, AHEAD = "─", "█", "▼", "┼"


def rail_line(picture: Picture, width: int) -> str:
    """The rail from post to post, `width` letters wide; empty where there is nothing to draw.

    Pickets that fall on one letter share it: there the one that is marked is shown, or else one that is done.
    """
    if not picture.pickets:
        return ""
    cells = [RAIL] * (width - 2)
    for state in (AHEAD, DONE, NOW):
        for place, (left, right) in enumerate(picture.pickets):
            if _state(picture, place) == state:
                cells[min(len(cells) - 1, (left + right) * len(cells) // (2 * WHOLE))] = state
    return POSTS[0] + "".join(cells) + POSTS[1]


def _state(picture: Picture, place: int) -> str:
    if place == picture.now:
        return NOW
    return DONE if (place < picture.now) == picture.from_left else AHEAD
