"""Every hypothesis strategy of the test suite, in one place."""

from fractions import Fraction

import numpy as np
from hypothesis import strategies as st
from numpy.typing import NDArray

from assistant import job, measured, set_out
from assistant.dialogue.asking import wanted
from assistant.dialogue.state import State
from assistant.language.listening import vocabulary_words
from assistant.language.patterns import expand, parse_template
from assistant.language.understanding import Wants
from assistant.language.vocabulary import PHRASES
from assistant.numbers import number_words, styles
from assistant.setout.ends import GAP, HALF_GAP, PICKET, End, set_gap
from assistant.setout.gate import Gate, GateOpening
from assistant.setout.lapped import Boards
from assistant.setout.lengths import MM_PER_INCH, Length, Resolution, Unit
from assistant.setout.limits import GapLimit
from assistant.setout.marks import Edge, Origin, mark_at
from assistant.setout.posts import Between, Posts, RunGate
from assistant.setout.run import Likeness
from assistant.setout.slope import RakedMark, Slope
from assistant.setout.spacing import Bay, Layout, layout_for_count
from assistant.setout.taper import Lean, RailOpening, TaperedBay

# Set-out ------------------------------------------------------------------------------------------------------------

GRADUATIONS = (Fraction(1), Fraction(1, 2), Fraction(1, 10), MM_PER_INCH / 16, MM_PER_INCH / 64, Fraction(1, 3))


def lengths(least: int = 1, most: int = 20_000) -> st.SearchStrategy[Length]:
    """Millimetres between the two, on a metric or inch graduation, or on thirds of a millimetre."""
    return st.sampled_from(GRADUATIONS).flatmap(lambda step: st.integers(-(-least // step), most // step).map(lambda steps: steps * step))


resolutions = st.sampled_from(Resolution)
gap_limits = st.builds(GapLimit, lengths(20, 150), st.booleans())
ends: st.SearchStrategy[End] = st.one_of(st.sampled_from((GAP, PICKET, HALF_GAP)), st.builds(set_gap, lengths(0, 60)))


@st.composite
def bays(draw: st.DrawFn, most_pickets: int = 60) -> Bay:
    """A bay that takes at least its fewest pickets, with any ends."""
    picket, left, right = draw(lengths(10, 150)), draw(ends), draw(ends)
    room = draw(lengths(1, 4000)) + left.fixed + right.fixed
    count = draw(st.integers(2, most_pickets))
    return Bay(count * picket + room, picket, draw(gap_limits), left, right)


# Facts of a job -----------------------------------------------------------------------------------------------------

_small = st.integers(0, 300)
_words = st.text(max_size=12)
_signed = st.fractions() | lengths()
named_limits = st.builds(GapLimit, lengths(20, 150), st.booleans(), _words, _words)
settings = st.builds(
    job.Settings,
    st.sampled_from(Unit),
    resolutions,
    st.none() | lengths(10, 150),
    st.none() | named_limits,
    ends,
    ends,
    st.sampled_from(Edge),
    st.sampled_from(Origin),
    st.booleans(),
    st.sampled_from(Likeness),
    st.booleans(),
    st.sampled_from(styles.NumberStyle),
    st.booleans(),
)
_openings = st.lists(st.tuples(st.sampled_from(measured.RAILS), lengths(500, 6000)), min_size=1, max_size=3)
slips = st.builds(measured.Slip, _small, st.lists(st.tuples(st.sampled_from(measured.RAILS), _signed), max_size=3).map(tuple))
measured_bays = st.builds(
    measured.Bay,
    _small,
    _openings.map(tuple),
    lengths(10, 150),
    named_limits,
    st.none() | _small,
    st.none() | st.builds(measured.Gate, _signed, _signed, st.sampled_from((1, 2)), _signed, st.none() | st.sampled_from(measured.Side)),
    st.none() | st.sampled_from(measured.Slope),
    _signed,
    _signed,
    st.none() | slips,
    st.none() | st.sampled_from(Lean),
    st.none() | lengths(),
    st.none() | lengths(0, 300),
)
_drafts = st.builds(job.Draft, _words, st.lists(st.tuples(_words, _signed), max_size=4).map(tuple), st.none() | _small, st.booleans())
_marks = st.one_of(
    st.builds(mark_at, _small, _signed, resolutions),
    st.builds(RakedMark, _small, _signed, st.builds(Slope, st.fractions(1, 4)), _small, resolutions),
)
_layouts = bays(most_pickets=8).map(lambda bay: layout_for_count(bay, bay.least))
_rails = st.builds(
    set_out.Rail, _words, _layouts, st.lists(_signed, max_size=3).map(tuple), st.lists(_marks, max_size=3).map(tuple), _signed
)
_hung_gates = st.builds(
    Gate, st.builds(GateOpening, lengths(500, 6000), lengths(0, 40), lengths(0, 40), st.sampled_from((1, 2))), _layouts, _signed
)
set_outs = st.builds(
    set_out.SetOut,
    measured_bays,
    st.lists(_rails, max_size=2).map(tuple),
    st.sampled_from(Edge),
    st.sampled_from(Origin),
    resolutions,
    st.sampled_from(Unit),
    st.booleans(),
    st.lists(_rails, max_size=1).map(tuple),
    st.none() | _hung_gates,
    st.lists(slips, max_size=2).map(tuple),
)
post_runs = st.builds(
    Posts,
    _signed,
    _signed,
    _signed,
    st.none() | _signed,
    st.sampled_from(Between),
    st.booleans(),
    st.booleans(),
    st.lists(st.builds(RunGate, _signed, _signed), max_size=2).map(tuple),
)
facts: st.SearchStrategy[job.Fact] = st.one_of(
    st.builds(job.SettingsChanged, settings),
    st.builds(job.DraftChanged, st.none() | _drafts),
    st.builds(job.BaySet, _small, measured_bays),
    st.builds(job.BayRemoved, _small),
    st.builds(job.BayChosen, _small, st.booleans()),
    st.builds(job.SetOutConfirmed, _small, set_outs),
    st.builds(job.PicketSlipped, _small, slips, set_outs),
    st.builds(job.BayReopened, _small),
    st.builds(job.ConfirmedByIndex, _small),
    st.builds(job.CalledByIndex, _small, _small, _small),
    st.builds(job.CautionAcknowledged, _words),
    st.builds(job.MarkCalled, st.builds(job.Position, _small, _words, _small)),
    st.builds(job.PostsSet, post_runs),
    st.builds(job.BoardsSet, st.builds(Boards, _signed, _signed, _signed)),
    st.builds(
        job.RunMeasured,
        st.builds(job.RunCheck, _small, st.none() | _small, st.sampled_from(Between), lengths(), lengths(40, 300)),
    ),
    st.builds(job.HeardUnsure, _small, st.sampled_from(measured.RAILS)),
    st.builds(job.NoteMade, st.builds(job.Note, _words, st.lists(_words, max_size=4).map(tuple))),
    st.builds(job.Undone, _small),
)
"""Any fact that can be written, whether or not it makes sense in a job."""


@st.composite
def runs(draw: st.DrawFn, most_bays: int, most_pickets: int) -> list[Bay]:
    """Bays that share a few pickets, limits and end conditions, as a real run does; each has a count in its limit."""
    picket, limit = draw(lengths(20, 100)), GapLimit(draw(lengths(60, 120)), draw(st.booleans()))
    allowed = ends.filter(lambda end: end.fixed < limit.value)
    pairs = draw(st.lists(st.tuples(allowed, allowed), min_size=1, max_size=2))
    made = []
    for _ in range(draw(st.integers(1, most_bays))):
        left, right = draw(st.sampled_from(pairs))
        least = 1 if GAP in (left, right) else 2
        count = draw(st.integers(least, most_pickets))
        room = draw(lengths(1, int(limit.value) - 1)) * (count - 1 + left.coefficient + right.coefficient)
        made.append(Bay(count * picket + room + left.fixed + right.fixed, picket, limit, left, right))
    return made


@st.composite
def tapered_bays(draw: st.DrawFn) -> TaperedBay:
    """A bay of two to four rails whose openings differ by up to 40 mm."""
    bay = draw(bays(most_pickets=20))
    rails = [RailOpening(Fraction(150), bay.opening)]
    for _ in range(draw(st.integers(1, 3))):
        rails.append(RailOpening(rails[-1].height + draw(lengths(100, 900)), bay.opening + draw(lengths(0, 40))))
    if draw(st.booleans()):
        openings = [rail.opening for rail in reversed(rails)]
        rails = [RailOpening(rail.height, opening) for rail, opening in zip(rails, openings, strict=True)]
    return TaperedBay(tuple(rails), bay.picket, bay.limit, bay.left, bay.right)


@st.composite
def layouts(draw: st.DrawFn, most_pickets: int = 60) -> Layout:
    """A bay with any count that fits it, whether or not its limit allows it."""
    bay = draw(bays(most_pickets))
    return layout_for_count(bay, draw(st.integers(bay.least, min(bay.most, most_pickets))))


# Spoken numbers -----------------------------------------------------------------------------------------------------


def spoken_millimetres() -> st.SearchStrategy[Length]:
    """Lengths as they are said on site: up to 99,999 mm, whole or to a tenth, a half or a thousandth."""
    steps = st.sampled_from((1, 2, 10, 1000))
    return steps.flatmap(lambda parts: st.integers(0, 99_999 * parts).map(lambda count: Fraction(count, parts)))


def spoken_inches() -> st.SearchStrategy[Fraction]:
    """Inches up to 2,000 on a graduation of a tape, halves to sixty-fourths."""
    return st.sampled_from((1, 2, 4, 8, 16, 32, 64)).flatmap(
        lambda parts: st.integers(0, 2000 * parts).map(lambda steps: Fraction(steps, parts))
    )


# Conversations ------------------------------------------------------------------------------------------------------

LENGTHS = (
    "ninety", "one hundred", "eighteen fifteen", "two thousand one hundred and forty five", "one eight one five", "five",
    "fifty", "twelve thousand", "zero", "a half", "three and a half inches", "two metres ten", "six feet", "nineteen",
    "ninety nine thousand nine hundred and ninety nine", "nought point five", "three hundred", "seventy two and a quarter",
)  # fmt: skip
COUNTS = ("one", "two", "three", "nine", "twelve", "zero", "forty", "one hundred and five", "nine hundred")
EVERY_WORD = sorted(vocabulary_words() | {"bed", "[unk]"})
any_words: st.SearchStrategy[tuple[str, ...]] = st.one_of(
    st.lists(st.sampled_from(EVERY_WORD), max_size=6), st.lists(st.sampled_from(sorted(number_words())), max_size=7)
).map(tuple)
"""Words in any order, as a recogniser without a parser behind it may make them up."""


def lines_for(state: State) -> st.SearchStrategy[tuple[str, ...]]:
    """Anything that counts in a state, its slots filled with likely and unlikely numbers."""
    here = [phrase for phrase in PHRASES if state.stage in phrase.stages]
    wordings = sorted({line for phrase in here for one in phrase.templates for line in expand(parse_template(one))})

    def filled(line: tuple[str, ...]) -> st.SearchStrategy[tuple[str, ...]]:
        numbers = COUNTS if "<count>" in line or wanted(state) is Wants.COUNT else LENGTHS
        return st.sampled_from(numbers).map(
            lambda number: tuple(word for part in line for word in (number.split() if part[0] == "<" else [part]))
        )

    return st.sampled_from(wordings).flatmap(filled)


# What an ear hears ----------------------------------------------------------------------------------------------------


@st.composite
def small_languages(draw: st.DrawFn) -> tuple[list[tuple[str, ...]], dict[str, tuple[tuple[int, ...], ...]]]:
    """A few phrases of up to three words out of four, and up to two pronunciations of each word, of up to three phonemes out of three."""
    words = ("ab", "cd", "ef", "gh")
    phones = st.lists(st.integers(1, 3), min_size=1, max_size=3).map(tuple)
    lexicon = {word: tuple(draw(st.lists(phones, min_size=1, max_size=2, unique=True))) for word in words}
    phrases = draw(st.lists(st.lists(st.sampled_from(words), min_size=1, max_size=3).map(tuple), min_size=1, max_size=6, unique=True))
    return phrases, lexicon


def posteriors(most_frames: int = 6, phones: int = 3) -> st.SearchStrategy[NDArray[np.float32]]:
    """(frames, 1 + phones) log probabilities, as an ear gives them."""

    def normed(rows: list[list[float]]) -> NDArray[np.float32]:
        raw = np.array(rows, dtype=np.float64)
        found: NDArray[np.float32] = (raw - np.log(np.exp(raw).sum(axis=1, keepdims=True))).astype(np.float32)
        return found

    row = st.lists(st.floats(-4, 4), min_size=1 + phones, max_size=1 + phones)
    return st.lists(row, min_size=1, max_size=most_frames).map(normed)
