"""Settings that are chosen by a phrase alone: what each changes, and how it is answered."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from assistant.job import Settings
from assistant.language.vocabulary import Act
from assistant.numbers.styles import NumberStyle
from assistant.setout.ends import GAP, HALF_GAP, PICKET
from assistant.setout.lengths import Resolution, Unit
from assistant.setout.marks import Edge, Origin
from assistant.setout.run import Likeness

Change = Callable[[Settings], Settings]


def _set(**changes: object) -> Change:
    return lambda settings: replace(settings, **changes)  # type: ignore[arg-type]


CHOICES: dict[Act, tuple[Change, str]] = {
    Act.WORK_MM: (_set(unit=Unit.MM, resolution=Resolution.MM_1), "Working in millimetres."),
    Act.WORK_INCHES: (_set(unit=Unit.INCH, resolution=Resolution.INCH_16), "Working in inches, marks to the sixteenth."),
    Act.WORK_FEET: (
        _set(unit=Unit.FOOT_INCH, resolution=Resolution.INCH_16),
        "Working in feet and inches, marks to the sixteenth.",
    ),
    Act.TO_MM: (_set(resolution=Resolution.MM_1), "Marks to the millimetre."),
    Act.TO_HALF_MM: (_set(resolution=Resolution.MM_HALF), "Marks to the half millimetre."),
    Act.TO_SIXTEENTH: (_set(resolution=Resolution.INCH_16), "Marks to the sixteenth."),
    Act.TO_THIRTYSECOND: (_set(resolution=Resolution.INCH_32), "Marks to the thirty second."),
    Act.LEFT_EDGES: (_set(edge=Edge.LEFT), "Marks at left edges."),
    Act.RIGHT_EDGES: (_set(edge=Edge.RIGHT), "Marks at right edges."),
    Act.CENTRES: (_set(edge=Edge.CENTRE), "Marks at centres."),
    Act.FROM_LEFT: (_set(origin=Origin.LEFT), "Measuring from the left post."),
    Act.FROM_RIGHT: (_set(origin=Origin.RIGHT), "Measuring from the right post."),
    Act.ENDS_GAP: (_set(left=GAP, right=GAP), "A gap at both ends."),
    Act.ENDS_PICKET: (_set(left=PICKET, right=PICKET), "A picket against both posts."),
    Act.ENDS_HALF: (_set(left=HALF_GAP, right=HALF_GAP), "Half a gap at both ends."),
    Act.LEFT_GAP: (_set(left=GAP), "A gap at the left post."),
    Act.LEFT_PICKET: (_set(left=PICKET), "A picket against the left post."),
    Act.LEFT_HALF: (_set(left=HALF_GAP), "Half a gap at the left post."),
    Act.RIGHT_GAP: (_set(right=GAP), "A gap at the right post."),
    Act.RIGHT_PICKET: (_set(right=PICKET), "A picket against the right post."),
    Act.RIGHT_HALF: (_set(right=HALF_GAP), "Half a gap at the right post."),
    Act.KEEP_PLUMB: (_set(share_lean=False), "Pickets stay plumb; the end gaps take up the lean."),
    Act.SHARE_LEAN: (_set(share_lean=True), "The lean is shared by every gap."),
    Act.PLAIN: (_set(likeness=Likeness.FEWEST), "The fewest pickets in each bay."),
    Act.SHORT_ANSWERS: (_set(full=False), "Short answers."),
    Act.FULL_ANSWERS: (_set(full=True), "Full answers."),
    Act.NUMBERS_WHOLE: (_set(numbers=NumberStyle.WHOLE), "Numbers spoken whole."),
    Act.NUMBERS_TRADE: (_set(numbers=NumberStyle.TRADE), "Numbers spoken short."),
    Act.NUMBERS_DIGITS: (_set(numbers=NumberStyle.DIGITS), "Numbers spoken digit by digit."),
    Act.HEADSET: (_set(headset=True), "Headset. You can talk over me."),
    Act.LOUDSPEAKER: (_set(headset=False), "Loudspeaker. I listen once I have finished."),
}

SET_OUT_BY = ("resolution", "unit", "picket", "limit", "left", "right", "edge", "origin", "share_lean", "likeness")
"""Settings that the set-out of a bay hangs on."""
