"""Every hypothesis strategy of the test suite, in one place."""

from fractions import Fraction

from hypothesis import strategies as st

from assistant.setout.ends import GAP, HALF_GAP, PICKET, End, set_gap
from assistant.setout.lengths import MM_PER_INCH, Length, Resolution
from assistant.setout.limits import GapLimit
from assistant.setout.spacing import Bay

# Set-out ------------------------------------------------------------------------------------------------------------

GRADUATIONS = (Fraction(1), Fraction(1, 2), Fraction(1, 10), MM_PER_INCH / 16, MM_PER_INCH / 64, Fraction(1, 3))


def lengths(least: int = 1, most: int = 20_000) -> st.SearchStrategy[Length]:
    """Millimetres between the two, on a metric or inch graduation, or on thirds of a millimetre."""
    return st.sampled_from(GRADUATIONS).flatmap(
        lambda step: st.integers(-(-least // step), most // step).map(lambda steps: steps * step)
    )


resolutions = st.sampled_from(Resolution)
gap_limits = st.builds(GapLimit, lengths(20, 150), st.booleans())
ends: st.SearchStrategy[End] = st.one_of(
    st.sampled_from((GAP, PICKET, HALF_GAP)), st.builds(set_gap, lengths(0, 60))
)


@st.composite
def bays(draw: st.DrawFn, most_pickets: int = 60) -> Bay:
    """A bay that takes at least its fewest pickets, with any ends."""
    picket, left, right = draw(lengths(10, 150)), draw(ends), draw(ends)
    room = draw(lengths(1, 4000)) + left.fixed + right.fixed
    count = draw(st.integers(2, most_pickets))
    return Bay(count * picket + room, picket, draw(gap_limits), left, right)
