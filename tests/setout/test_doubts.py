"""Doubtful input is questioned, with the likelier value where there is one."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from strategies import lengths

from assistant.setout.doubts import Doubt, Doubtful, doubts, small_gap
from assistant.setout.lengths import mm
from assistant.setout.limits import GapLimit
from assistant.setout.spacing import Bay

LIMIT = GapLimit(mm(100), strict=False)


def run(*openings, limit=LIMIT):
    return [Bay(mm(opening), mm(70), limit) for opening in openings]


def test_a_usual_run_raises_no_doubt():
    assert doubts(run(2160, 1815, 2400)) == ()
    assert doubts([]) == ()
    assert doubts(run(2160)) == ()


def test_a_slipped_digit_is_named_with_the_likelier_value():
    # Awomanshome 2013 gives bays of 83 and 84 in (2108 and 2134 mm); the slip is ours.
    assert doubts(run(2108, 213, 2134)) == (Doubt(Doubtful.TEN_TIMES_OFF, 1, mm(213), mm(2130)),)
    assert doubts(run(2108, 21340, 2134)) == (Doubt(Doubtful.TEN_TIMES_OFF, 1, mm(21340), mm(2134)),)


@pytest.mark.parametrize(
    ("opening", "kind"),
    [
        (801, None),
        (800, Doubtful.FAR_FROM_OTHERS),
        (667, Doubtful.FAR_FROM_OTHERS),  # a third of its neighbour
        (4999, None),
        (5000, Doubtful.FAR_FROM_OTHERS),
        (250, Doubtful.TEN_TIMES_OFF),
        (251, Doubtful.FAR_FROM_OTHERS),
        (150, Doubtful.TEN_TIMES_OFF),
        (149, Doubtful.FAR_FROM_OTHERS),
    ],
)
def test_what_is_far_from_its_neighbours_is_questioned_and_ten_times_explained(opening, kind):
    found = [doubt.kind for doubt in doubts(run(2000, opening, 2000))]
    assert found == ([kind] if kind else [])


@pytest.mark.parametrize(("opening", "strict", "needed"), [(100, False, False), (100, True, True), (101, False, True)])
def test_an_opening_within_the_limit_needs_no_picket(opening, strict, needed):
    found = doubts(run(opening, limit=GapLimit(mm(100), strict)))
    assert found == (() if needed else (Doubt(Doubtful.NO_PICKET_NEEDED, 0, mm(opening)),))


@given(st.lists(lengths(150, 30_000), min_size=1, max_size=6))
def test_what_is_likelier_raises_no_doubt_itself(openings):
    for doubt in doubts(run(*openings)):
        if doubt.likely is not None:
            usual = sorted(openings)[len(openings) // 2]
            assert usual / 5 < doubt.likely < usual * 5


@pytest.mark.parametrize(
    ("gap", "picket", "doubtful"),
    [(9, 72, True), (10, 90, True), (17, 90, True), (18, 90, False), (100, 90, False), (90, 45, False)],
)
def test_a_gap_far_smaller_than_a_picket_is_doubtful(gap, picket, doubtful):
    """Nine for ninety, ten for ten centimetres."""
    assert small_gap(mm(gap), mm(picket)) is doubtful
