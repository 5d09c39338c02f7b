"""The whole run from the front: every bay, gate and post in order, to scale, with openings, counts and gaps on dimension lines.

Crosses the border: a job in; one `Drawing`, or one for each line of paper that the run takes, out.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from assistant.job import Job
from assistant.paper.dimensions import ROW, Dimension, Drawn, Frame, Label, draw, width_of
from assistant.paper.elevation import PICKET_HEAD, POST_HEIGHT, POST_WIDTH, Part, Shape, levels_of, picture
from assistant.paper.fitted import Drawing, around, drawing
from assistant.paper.laid_out import set_out_or_reason
from assistant.set_out import SetOut
from assistant.setout.lengths import Length
from assistant.setout.trouble import ImpossibleError
from assistant.written import counted, length_text, measured_text


@dataclass(frozen=True, slots=True)
class Stretch:
    """A bay or gate of the run."""

    name: str
    shapes: tuple[Shape, ...]
    """From the face of its left post, on ground that begins at no height."""
    width: Length
    """From the face of its left post to that of its right, at the ground."""
    rise: Length
    """Of the ground, from the left post to the right."""
    texts: tuple[str, ...]
    """What its dimension lines say, from the nearest on."""


def post_width(job: Job) -> Length | None:
    """The width of a post of the run, where it was measured."""
    if job.posts is not None:
        return job.posts.post
    return job.runs[-1].post if job.runs else None


def stretches(job: Job) -> tuple[Stretch, ...]:
    """Every bay and gate in order; one that cannot be set out has no pickets."""
    post = post_width(job) or POST_WIDTH
    return tuple(_stretch(job, index, post) for index in range(len(job.bays)))


def run_lines(job: Job, across: float) -> tuple[Drawing, ...]:
    """The run at one scale on lines `across` heights of text wide, each with as many bays as it takes."""
    run = stretches(job)
    if not run:
        return ()
    post = post_width(job) or POST_WIDTH
    size = _size(run)
    lines: list[list[Stretch]] = [[]]
    done = float(post)
    for one in run:
        step = float(one.width + post)
        if lines[-1] and done + step > across * size:
            lines.append([])
            done = float(post)
        lines[-1].append(one)
        done += step
    # A bay longer than a line makes the whole smaller rather than its text.
    longest = max(float(post) + sum(float(one.width + post) for one in line) for line in lines)
    size = max(size, longest / across)
    return tuple(_drawn(line, post, size) for line in lines)


def whole_run(job: Job) -> Drawing | None:
    """The run on one line, however long."""
    return next(iter(run_lines(job, float("inf"))), None)


def places(job: Job) -> tuple[tuple[float, float], ...]:
    """From where to where each bay stands on the one line."""
    post, at, found = post_width(job) or POST_WIDTH, Fraction(0), []
    for one in stretches(job):
        found.append((float(at), float(at + one.width)))
        at += one.width + post
    return tuple(found)


def _size(run: Sequence[Stretch]) -> float:
    """The largest text that stands between the posts of every bay that can be set out."""
    fitting = [one for one in run if len(one.texts) > 1] or run
    return min(float(one.width) / (width_of(text, 1.0) + 0.8) for one in fitting for text in (one.name, *one.texts))


def _stretch(job: Job, index: int, post: Length) -> Stretch:
    bay = job.bays[index]
    made = set_out_or_reason(job, index)
    name = bay.name.capitalize()
    if isinstance(made, ImpossibleError):
        opening = bay.openings[0][1]
        faces = ((-post, Fraction(0)), (opening, opening + post))
        posts = tuple(Shape(Part.POST, ((a, Fraction(0)), (a, POST_HEIGHT), (b, POST_HEIGHT), (b, Fraction(0)))) for a, b in faces)
        return Stretch(name, posts, opening, Fraction(0), (measured_text(job.settings.unit, opening),))
    shapes = picture(made, post).shapes
    (left, low), (right, high) = next(shape for shape in shapes if shape.part is Part.GROUND).points
    level = levels_of(made)[0]
    rise = (high - low) / (right - left)
    at_left = low + rise * (level.left - left)
    moved = tuple(_moved(shape, -level.left, -at_left) for shape in shapes if shape.part is not Part.GROUND)
    return Stretch(name, moved, level.right - level.left, rise * (level.right - level.left), _texts(made))


def _texts(made: SetOut) -> tuple[str, ...]:
    opening = max(opening for _, opening in made.bay.openings)
    gaps = list(dict.fromkeys(length_text(made.unit, rail.gap) for rail in made.rails))
    # Rails that differ have their gaps in the drawing of the bay.
    gap = f"gap {gaps[0]}" if len(gaps) == 1 else "gaps differ"
    return counted(made.pickets, "picket"), gap, measured_text(made.unit, opening)


def _moved(shape: Shape, x: Length, y: Length) -> Shape:
    return Shape(shape.part, tuple((a + x, b + y) for a, b in shape.points))


def _drawn(run: Sequence[Stretch], post: Length, size: float) -> Drawing:
    shapes: list[Shape] = []
    ground: list[tuple[Fraction, Fraction]] = [(-2 * post, Fraction(0))]
    names, rows = Drawn(), []
    x, y = Fraction(0), Fraction(0)
    for one in run:
        shapes += [_moved(shape, x, y) for shape in one.shapes]
        ground += [(x, y), (x + one.width, y + one.rise)]
        middle = float(x + one.width / 2)
        top = float(PICKET_HEAD + y + max(one.rise, Fraction(0)))
        names += Drawn(labels=(Label(one.name, (middle, top + 0.5 * size), heavy=True),))
        rows.append((float(x), float(x + one.width), one.texts))
        x, y = x + one.width + post, y + one.rise
    ground.append((x + post, y))
    lowest = min(float(y) for _, y in ground)
    made = names
    for row in range(max(len(texts) for *_, texts in rows)):
        chain = [[Dimension(start, end, texts[row])] for start, end, texts in rows if row < len(texts)]
        drawn, _ = draw(chain, Frame((0.0, lowest - (0.3 + row * ROW) * size)), -1, size, (0.0, float(x)))
        made += drawn
    painted = (*shapes, Shape(Part.GROUND, tuple(ground)))
    return drawing(painted, around(painted), made, size)
