"""The search on whole numbers agrees with the definition of each of its steps, room by room."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.setout.lengths import mm
from assistant.setout.limits import GapLimit
from assistant.setout.matching import _Kind, fewest_counts, matched_counts
from assistant.setout.spacing import Bay
from assistant.setout.trouble import ImpossibleError

rooms = st.lists(st.integers(200, 3000), min_size=1, max_size=12, unique=True).map(sorted)
kinds = st.builds(
    _Kind,
    width=st.integers(20, 90),
    ends=st.integers(0, 2),
    least=st.integers(1, 2),
    limit=st.fractions(30, 120, max_denominator=7),
    strict=st.booleans(),
    floor=st.fractions(0, 30, max_denominator=5),
    rooms=rooms,
)


def fewest_under(kind, room, allowed):
    return next(count for count in range(kind.least, 500) if allowed(kind.gap(room, count)))


@given(kinds, st.fractions(5, 150, max_denominator=9))
def test_stretches_cover_every_room_with_its_fewest_count(kind, bound):
    found = [(start, stop, count) for start, stop, count in kind.runs(bound)]
    assert [place for start, stop, _ in found for place in range(start, stop)] == list(range(len(kind.rooms)))
    for start, stop, count in found:
        for room in kind.rooms[start:stop]:
            assert count == fewest_under(kind, room, lambda gap: gap <= bound and kind.allows(gap))


@given(kinds, st.fractions(5, 150, max_denominator=9))
def test_the_last_below_a_gap_is_the_last_room_whose_gap_is_below(kind, gap):
    for start, stop, count in kind.runs(gap):
        below = [place for place in range(start, stop) if kind.gap(kind.rooms[place], count) < gap]
        assert kind.last_below(gap, count, start, stop) == (below[-1] if below else start - 1)


@given(kinds)
def test_the_most_is_the_most_above_the_floor(kind):
    for room in kind.rooms:
        fewest = fewest_under(kind, room, kind.allows)
        above = [count for count in range(1, 200) if kind.gap(room, count) >= max(kind.floor, Fraction(1, 10**6))]
        assert kind.fewest(room) == fewest
        assert kind.most(room) == max(fewest, *above, 0)
        assert kind.fits(room) == (kind.gap(room, fewest) > 0)


@pytest.mark.parametrize(("opening", "fits"), [(120, False), (121, True)])
def test_pickets_that_would_touch_do_not_fit(opening, fits):
    # Two pickets of 60 leave nothing of 120.
    run = [Bay(mm(opening), mm(60), GapLimit(mm(10), strict=False))]
    for counts in (fewest_counts, lambda bays: matched_counts(bays, mm(0), mm(0))):
        if fits:
            assert counts(run).counts == (2,)
        else:
            with pytest.raises(ImpossibleError, match="2 of 60 mm do not fit"):
                counts(run)
