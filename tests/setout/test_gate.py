"""Gates: leaves and clearances fill the opening, and no other allowed count is nearer the fence's gap."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st
from strategies import gap_limits, lengths

from assistant.setout.gate import GateOpening, match_gate
from assistant.setout.lengths import inches, mm
from assistant.setout.limits import GapLimit
from assistant.setout.spacing import layout_for_count
from assistant.setout.trouble import ImpossibleError

LIMIT = GapLimit(mm(100), strict=False)
openings = st.builds(GateOpening, lengths(700, 4000), lengths(0, 30), lengths(0, 30), st.sampled_from((1, 2)))


@given(openings, lengths(20, 120), gap_limits, lengths(5, 150))
def test_no_allowed_count_is_nearer_the_gap_of_the_fence(opening, picket, limit, fence_gap):
    try:
        gate = match_gate(opening, picket, limit, fence_gap)
    except ImpossibleError:
        return
    assert gate.layout.allowed
    assert gate.check()
    bay = gate.layout.bay
    others = [layout_for_count(bay, count) for count in range(bay.least, bay.most + 1)]
    best = min((abs(other.gap - fence_gap), other.count) for other in others if other.allowed)
    assert (abs(gate.difference), gate.layout.count) == best


@given(openings)
def test_leaves_and_clearances_fill_the_opening(opening):
    assert opening.leaves * (opening.leaf + opening.hinge) + opening.latch == opening.opening


def test_one_leaf_and_two():
    assert GateOpening(mm(1000), mm(10), mm(20), leaves=1).leaf == 970
    assert GateOpening(mm(3000), mm(10), mm(20), leaves=2).leaf == 1480


def test_published_picket_at_both_ends():
    # hammerzone.com fence section 8: 96 in between the ends, 5.5 in pickets, 12 of them, 30/11 in.
    gate = match_gate(
        GateOpening(inches(97), inches("0.5"), inches("0.5"), leaves=1),
        inches("5.5"),
        GapLimit(inches(4), strict=False),
        inches("2.75"),
    )
    assert (gate.layout.count, gate.layout.gap) == (12, inches(30) / 11)
    assert (gate.layout.left_space, gate.layout.right_space) == (0, 0)
    assert gate.difference == inches(30) / 11 - inches("2.75")


def test_equally_near_takes_the_fewer():
    # A leaf of 250 with pickets of 50 leaves 150 with two and 50 with three; 100 is midway.
    opening = GateOpening(mm(250), mm(0), mm(0), leaves=1)
    assert match_gate(opening, mm(50), GapLimit(mm(150), strict=False), mm(100)).layout.count == 2
    assert match_gate(opening, mm(50), GapLimit(mm(150), strict=True), mm(100)).layout.count == 3


def test_published_leaf_widths():
    # blog.hooverfence.com, 2018-04-08 (read): hinges take 1-7/8 in and a fork latch 2, "a 4 ft wide gate will actually measure 44 in and
    # change"; two leaves less hinges on both sides and 2-1/2 to 3 between are 6 to 7 in less than the opening.
    assert 44 < GateOpening(inches(48), inches("1.875"), inches(2), leaves=1).leaf / inches(1) == Fraction(353, 8) < 45
    for between in ("2.5", "3"):
        made = GateOpening(inches(144), inches("1.875"), inches(between), leaves=2)
        assert inches(6) <= inches(144) - 2 * made.leaf <= inches(7)


@pytest.mark.parametrize(("latch", "strict", "fine"), [(100, False, True), (100, True, False), (101, False, False)])
def test_clearances_are_held_against_the_limit(latch, strict, fine):
    opening = GateOpening(mm(1000), mm(10), mm(latch), leaves=1)
    assert match_gate(opening, mm(70), GapLimit(mm(100), strict), mm(90)).clearances_allowed is fine


@pytest.mark.parametrize(
    ("opening", "hinge", "latch", "leaves", "says"),
    [
        (0, 10, 10, 1, "gate opening cannot be 0 mm"),
        (1000, -1, 10, 1, "hinge clearance cannot be -1 mm"),
        (1000, 10, -1, 1, "latch clearance cannot be -1 mm"),
        (1000, 10, 10, 3, "one leaf or two, not 3"),
        (1000, 10, 10, 0, "one leaf or two, not 0"),
        (30, 10, 10, 2, "must be more than 30 mm"),
    ],
)
def test_impossible_gates_are_refused(opening, hinge, latch, leaves, says):
    with pytest.raises(ImpossibleError, match=says):
        GateOpening(mm(opening), mm(hinge), mm(latch), leaves)


def test_a_leaf_too_narrow_for_two_pickets_is_refused():
    with pytest.raises(ImpossibleError, match="too narrow for pickets of 70 mm"):
        match_gate(GateOpening(mm(150), mm(10), mm(10), leaves=1), mm(70), LIMIT, mm(90))
