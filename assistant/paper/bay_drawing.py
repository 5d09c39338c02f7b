"""One bay or gate from the front with its dimension lines: opening, end spaces, gap, pitch, slope, leaf and clearances.

Crosses the border: a set-out and a height of text in mm of the fence in, a `Drawing` out.  Every number comes from the set-out.
"""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction
from functools import partial
from itertools import pairwise
from math import atan2, cos, hypot, inf, pi, sin
from typing import TypeAlias

from assistant.measured import Slope
from assistant.paper.dimensions import Anchor, Dimension, Drawn, Frame, Label, Line, draw
from assistant.paper.elevation import PICKET_HEAD, POST_HEIGHT, POST_WIDTH, RAIL_HEIGHTS, Level, Picture, leaves_of, levels_of, picture
from assistant.paper.fitted import Box, Drawing, around, drawing, fitted
from assistant.plan import steepness
from assistant.set_out import Rail, SetOut
from assistant.setout.lengths import Length, Unit, write
from assistant.setout.marks import Edge
from assistant.setout.slope import step_of
from assistant.written import length_text, measured_text

IMPERIAL = (Unit.INCH, Unit.FOOT_INCH)

_AT = {Edge.LEFT: Fraction(0), Edge.CENTRE: Fraction(1, 2), Edge.RIGHT: Fraction(1)}
"""Where on a picket its mark is, as a share of its width."""


def bay_drawing(made: SetOut, width: float, height: float, text: float) -> Drawing:
    """The bay in a place of this width and height, with text as high as `text`, all in one unit."""
    plain = picture(made)
    return fitted(partial(_drawn, made, plain, around(plain.shapes)), width, height, text)


def _drawn(made: SetOut, plain: Picture, box: Box, size: float) -> Drawing:
    posts = box[0], box[2]
    numbers = Drawn(labels=tuple(Label(one.text, (float(one.at[0]), float(one.at[1]) + 0.3 * size), heavy=True) for one in plain.numbers))
    lowest = box[1]
    below, _ = draw(_below(made), Frame((0.0, lowest - 0.3 * size)), -1, size, posts)
    return drawing(plain.shapes, box, numbers + below + _above(made, size, posts) + _sloping(made, size), size)


# Under the bay --------------------------------------------------------------------------------------------------------


def _below(made: SetOut) -> list[Places]:
    """What is measured on the level along the lowest rail."""
    level = levels_of(made)[0]
    rows = _gate_parts(made) if made.gate else _spaces(made, level, made.bay.openings[0][0])
    openings = {opening for _, opening in made.bay.openings}
    which = f"{made.bay.openings[0][0]} opening" if len(openings) > 1 else "opening"
    return rows + _alone([_measure(level.left, level.right, f"{which} {measured_text(made.unit, made.bay.openings[0][1])}{_flat(made)}")])


def _measure(start: Length, end: Length, text: str) -> Dimension:
    return Dimension(float(start), float(end), text)


Places: TypeAlias = list[Dimension]
"""One thing to be measured, at each place where it may be: the best first."""


def _alone(rows: Iterable[Dimension]) -> list[Places]:
    """Each in its one place; what has no width is left out."""
    return [[row] for row in rows if row.end > row.start]


def _short(unit: Unit, length: Length) -> str:
    """A length that was worked out, to a tenth of a millimetre where it is not exact; the sheet has the rest of it beside the drawing."""
    exact = length_text(unit, length)
    tenths = Fraction(round(length * 10), 10)
    return exact if unit in IMPERIAL or tenths == length else f"≈ {write(tenths, unit)}"


def _flat(made: SetOut) -> str:
    """Behind a length that a tape along the rail would not read."""
    return " level" if made.bay.slope is Slope.RAKED else ""


def _rail_at(made: SetOut, name: str) -> Rail:
    return next(rail for rail in (*made.rails, *made.unmarked) if rail.name == name)


def _spaces(made: SetOut, level: Level, name: str) -> list[Places]:
    """End spaces, each gap that there is, the pitch from mark to mark, and a picket."""
    rail, picket, unit = _rail_at(made, name), made.bay.picket, made.unit
    ends = [
        _measure(level.left, level.pickets[0], f"end space {_short(unit, rail.left_space)}"),
        _measure(level.pickets[-1] + picket, level.right, f"end space {_short(unit, rail.right_space)}"),
    ]
    return _alone(ends) + _within(made, rail, level.pickets)


def _within(made: SetOut, rail: Rail, pickets: tuple[Length, ...]) -> list[Places]:
    """The gaps that differ, the pitch of the gap that goes on, and a picket."""
    picket, unit = made.bay.picket, made.unit
    gaps: dict[Length, list[int]] = {}
    for place, gap in enumerate(rail.spaces[1:-1]):
        gaps.setdefault(gap, []).append(place)
    rows = [
        [_measure(pickets[at] + picket, pickets[at + 1], f"gap {_short(unit, gap)}") for at in places]
        for gap, places in gaps.items()
        if gap
    ]
    mark, text = _AT[made.edge] * picket, f"pitch {_short(unit, rail.gap + picket)}{_flat(made)}"
    pitches = [_measure(pickets[at] + mark, pickets[at + 1] + mark, text) for at in gaps.get(rail.gap, [])[::-1]]
    single = [_measure(edge, edge + picket, f"picket {measured_text(unit, picket)}") for edge in pickets[::-1]]
    return [*rows, *([pitches] if pitches else []), single]


def _gate_parts(made: SetOut) -> list[Places]:
    """Clearances and leaves, and the gap inside the first leaf."""
    assert made.gate is not None
    hung, unit = made.gate.opening, made.unit
    level, leaves = levels_of(made)[0], leaves_of(made)
    hinge, latch = f"hinge {measured_text(unit, hung.hinge)}", f"latch {measured_text(unit, hung.latch)}"
    right = hinge if hung.leaves == 2 or leaves[0] != hung.hinge else latch
    left = hinge if hung.leaves == 2 or right == latch else latch
    clear = [_measure(Fraction(0), leaves[0], left), _measure(leaves[-1] + hung.leaf, level.right, right)]
    if hung.leaves == 2:
        clear.append(_measure(leaves[0] + hung.leaf, leaves[1], f"where they meet {measured_text(unit, hung.latch)}"))
    whole = [_measure(leaf, leaf + hung.leaf, f"leaf {_short(unit, hung.leaf)}") for leaf in leaves]
    return _alone(clear) + _within(made, made.rails[0], level.pickets[: made.count]) + _alone(whole)


# Over the bay ---------------------------------------------------------------------------------------------------------


def _above(made: SetOut, size: float, posts: tuple[float, float]) -> Drawn:
    """What is measured along a raked rail, or at the rails that are not like the lowest."""
    if made.bay.slope is Slope.RAKED:
        return _along_the_rail(made, size)
    rows = []
    lowest = made.bay.openings[0]
    for name, opening in made.bay.openings[1:]:
        if opening == lowest[1] or made.gate:
            continue
        level = next(one for one in levels_of(made) if one.height == RAIL_HEIGHTS[name])
        rail, own = _rail_at(made, name), _rail_at(made, lowest[0])
        if rail.gap != own.gap:
            start = level.pickets[0] + made.bay.picket
            rows.append(_measure(start, start + rail.gap, f"{name} gap {_short(made.unit, rail.gap)}"))
        rows.append(_measure(level.left, level.right, f"{name} opening {measured_text(made.unit, opening)}"))
    drawn, _ = draw(_alone(rows), Frame((0.0, float(POST_HEIGHT) + 0.8 * size)), 1, size, posts)
    return drawn


def _along_the_rail(made: SetOut, size: float) -> Drawn:
    """The rail and the pitch as the tape on the slope reads them, and the angle that its ends are cut at."""
    level, slope, unit = levels_of(made)[0], steepness(made.bay), made.unit
    rise = float(made.bay.rise / made.bay.going)
    angle = atan2(rise, 1.0)
    factor = hypot(1.0, rise)
    frame = Frame((-sin(angle) * size, float(PICKET_HEAD) + 1.4 * size), angle)
    mark = _AT[made.edge] * made.bay.picket
    rows = [Dimension(0.0, float(level.right) * factor, f"rail {_short(unit, slope.stretched(level.right))} along the slope")]
    if len(level.pickets) > 1:
        middle = (len(level.pickets) - 1) // 2
        start, end = (float(edge + mark) * factor for edge in level.pickets[middle : middle + 2])
        step = level.pickets[middle + 1] - level.pickets[middle]
        text = f"pitch {_short(unit, slope.stretched(step))} along"
        rows.insert(0, Dimension(start, end, text))
    drawn, _ = draw(_alone(rows), frame, 1, size, (0.0, float(level.right) * factor))
    return drawn + _angle(made, angle, size)


def _angle(made: SetOut, angle: float, size: float) -> Drawn:
    """The angle between the level and the rail at its low end."""
    level = levels_of(made)[0]
    low, way = (float(level.left), 1.0) if angle >= 0 else (float(level.right), -1.0)
    base = float(made.bay.rise / made.bay.going) * low + float(RAIL_HEIGHTS["bottom"])
    reach = min(8 * size, 0.45 * float(level.right))
    steps = [angle * k / 6 for k in range(7)]
    arc = [(low + way * reach * 0.9 * cos(turn), base + way * reach * 0.9 * sin(turn)) for turn in steps]
    lines = [Line((low, base), (low + way * reach, base)), *(Line(a, b) for a, b in pairwise(arc))]
    text = f"rake {steepness(made.bay).angle:.1f}°"
    anchor = Anchor.START if way > 0 else Anchor.END
    return Drawn(tuple(lines), (Label(text, (low + way * 0.4 * size, base - 1.0 * size), anchor),))


# Beside the bay -------------------------------------------------------------------------------------------------------


def _sloping(made: SetOut, size: float) -> Drawn:
    """Of a stepped bay how far it steps at its low end, and what is under it at its high one where that was measured."""
    bay = made.bay
    if bay.slope is not Slope.STEPPED or not bay.rise:
        return Drawn()
    opening = max(opening for _, opening in bay.openings)
    step = step_of(steepness(bay), opening, bay.under or Fraction(0)).step
    right, out = float(levels_of(made)[0].right), float(POST_WIDTH) + 1.6 * size
    low_is_right = bay.rise < 0
    x = right + out if low_is_right else -out
    face = right if low_is_right else 0.0
    depth = float(step)
    lines = (Line((face, 0.0), (x + (0.4 * size if low_is_right else -0.4 * size), 0.0)),)
    side = -1 if low_is_right else 1
    rows = _alone([Dimension(-depth, 0.0, f"step {_short(made.unit, step)}")])
    drawn, _ = draw(rows, Frame((x, 0.0), pi / 2), side, size, (-depth, inf))
    return Drawn(lines) + drawn
