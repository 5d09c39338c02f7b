"""Which solver a bay gets, that what is marked is what was solved, what a slip makes of it, and what is marked next."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from fractions import Fraction

import pytest
from hypothesis import given
from strategies import bays, resolutions

from assistant.fold import apply
from assistant.job import BayReopened, Job, MarkCalled, PicketSlipped, Position, SetOutConfirmed, Settings, SettingsChanged
from assistant.measured import Bay, Gate, Slip, Slope
from assistant.plan import (
    fence_gap,
    is_marked,
    marking_at,
    matched,
    next_to_mark,
    preview,
    respaced,
    set_out_of,
    taken_over,
    to_mark,
)
from assistant.set_out import Rail
from assistant.setout import spacing
from assistant.setout.ends import GAP, HALF_GAP, PICKET
from assistant.setout.lengths import Length, Resolution
from assistant.setout.limits import GapLimit
from assistant.setout.marks import Edge, Mark, Origin
from assistant.setout.run import Likeness
from assistant.setout.slope import RakedMark
from assistant.setout.taper import Lean
from assistant.setout.trouble import ImpossibleError, Problem

LIMIT = GapLimit(Fraction(100), strict=False)
LEVEL = Bay(1, (("bottom", Fraction(2160)), ("top", Fraction(2160))), Fraction(90), LIMIT)
"""11 pickets of 90 in 2160, gaps of 97.5."""
LEANING = Bay(1, (("bottom", Fraction(2430)), ("top", Fraction(2418))), Fraction(90), LIMIT, leans=Lean.LEFT)
"""13 pickets of 90 in 2430, gaps of 90; the left post leans in, so at the top the first space is 78."""
RAKE = {"slope": Slope.RAKED, "rise": Fraction(350), "going": Fraction(1200)}
"""Twice 7-24-25: every 24 on the level are 25 along the rail."""


def job(*measured: Bay, **settings: object) -> Job:
    return Job(settings=replace(Settings(), **settings), bays=measured)


def bay(number: int, opening: int, **more: object) -> Bay:
    return replace(Bay(number, (("bottom", Fraction(opening)),), Fraction(80), LIMIT), **more)


def confirmed(before: Job, *numbers: int) -> Job:
    for number in numbers:
        index = before.index_of(number)
        assert index is not None
        before = apply(before, SetOutConfirmed(number, preview(before, index)))
    return before


def called(before: Job, number: int, rail: str, marks: Iterable[int]) -> Job:
    for mark in marks:
        before = apply(before, MarkCalled(Position(number, rail, mark)))
    return before


def places(rail: Rail) -> list[Length]:
    """The exact places of the marks; level distances on a raked rail."""
    return [mark.true if isinstance(mark, Mark) else mark.horizontal for mark in rail.marks]


# One bay --------------------------------------------------------------------------------------------------------------


@given(bays(), resolutions)
def test_a_plain_bay_is_the_solver_s_own_layout_and_its_marks_stay_within_half_a_step(problem: spacing.Bay, resolution: Resolution) -> None:
    try:
        solved = spacing.solve(problem)
    except spacing.ImpossibleError:
        return
    measured = Bay(1, (("bottom", problem.opening),), problem.picket, problem.limit)
    made = preview(job(measured, left=problem.left, right=problem.right, resolution=resolution), 0)
    (rail,) = made.rails
    assert (rail.layout, rail.spaces, rail.gap) == (solved, solved.spaces(), solved.gap)
    assert made.ends == (problem.left, problem.right)
    assert places(rail) == list(rail.left_edges())
    assert all(abs(mark.value - true) <= resolution.step / 2 for mark, true in zip(rail.marks, places(rail), strict=True))


@pytest.mark.parametrize(
    ("edge", "origin", "bottom", "top"),
    [
        (Edge.LEFT, Origin.LEFT, 90, 78),
        (Edge.CENTRE, Origin.LEFT, 135, 123),
        (Edge.RIGHT, Origin.LEFT, 180, 168),
        (Edge.LEFT, Origin.RIGHT, 180, 180),
        (Edge.CENTRE, Origin.RIGHT, 135, 135),
        (Edge.RIGHT, Origin.RIGHT, 90, 90),
    ],
)
def test_every_rail_of_plumb_pickets_is_marked_at_the_edge_asked_for(edge: Edge, origin: Origin, bottom: int, top: int) -> None:
    made = preview(job(LEANING, edge=edge, origin=origin), 0)
    assert made.plumb
    assert [rail.name for rail in made.rails] == ["bottom", "top"]
    for rail, first in zip(made.rails, (bottom, top), strict=True):
        assert places(rail) == [first + 180 * k for k in range(13)]


def test_a_bay_out_of_plumb_is_marked_on_one_rail_until_it_is_known_which_post_leans() -> None:
    made = preview(job(replace(LEANING, leans=None)), 0)
    assert [rail.name for rail in made.rails] == ["bottom"]
    (top,) = made.unmarked
    assert (top.name, top.marks, top.opening) == ("top", (), 2418)
    # Whichever post it is: drawn as if both leaned alike.
    assert (top.left_space, top.gap, top.right_space) == (84, 90, 84)


def test_sharing_the_lean_gives_every_rail_its_own_gap() -> None:
    # Published spans 83 and 82-1/2 in (awomanshome 2013), picket 1-1/2, gap 4: 15 pickets, gaps 3.78125 and 3.75; worked by hand.
    inch = Fraction(127, 5)
    openings = (("bottom", 83 * inch), ("top", Fraction(165, 2) * inch))
    leaning = Bay(1, openings, Fraction(3, 2) * inch, GapLimit(4 * inch, strict=False))
    made = preview(job(leaning, share_lean=True), 0)
    assert (made.count, made.plumb) == (15, False)
    assert [rail.gap / inch for rail in made.rails] == [Fraction("3.78125"), Fraction("3.75")]


@pytest.mark.parametrize("leans", [*Lean, None])
def test_a_count_of_its_own_leaves_the_pickets_plumb(leans: Lean | None) -> None:
    made = preview(job(replace(LEANING, leans=leans, count=14)), 0)
    # 14 of 90 in 2430 leave 1170 for 15 gaps.
    assert (made.count, made.plumb) == (14, True)
    assert {rail.gap for rail in (*made.rails, *made.unmarked)} == {Fraction(78)}
    assert made.allowed


def test_a_count_of_its_own_that_breaks_the_limit_is_laid_out_plumb_and_says_so() -> None:
    made = preview(job(replace(LEANING, count=12)), 0)
    assert (made.count, made.plumb, made.largest.largest) == (12, True, Fraction(1350, 13))
    assert not made.allowed


# Slopes ---------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("measured", [{}, {"rise": Fraction(1), "along": Fraction(1250)}])
@pytest.mark.parametrize("origin", list(Origin))
def test_raked_marks_run_along_the_rail_at_the_slope_of_the_going(measured: dict[str, Fraction], origin: Origin) -> None:
    # The ground was measured over 1200, half the opening of 2400.
    level = Bay(1, (("bottom", Fraction(2400)),), Fraction(90), LIMIT)
    flat = preview(job(level, origin=origin), 0)
    raked = preview(job(replace(level, **{**RAKE, **measured}), origin=origin), 0)
    assert places(raked.rails[0]) == places(flat.rails[0])
    assert raked.rails[0].spaces == flat.rails[0].spaces
    for mark in raked.rails[0].marks:
        assert isinstance(mark, RakedMark)
        assert mark.true_squared == (mark.horizontal * Fraction(25, 24)) ** 2
        assert abs(mark.value - mark.horizontal * Fraction(25, 24)) <= Fraction(1, 2)


@pytest.mark.parametrize("settings", [{}, {"share_lean": True}])
def test_every_rail_of_a_bay_both_raked_and_out_of_plumb_is_stretched(settings: dict[str, bool]) -> None:
    flat = preview(job(LEANING, **settings), 0)
    raked = preview(job(replace(LEANING, **RAKE), **settings), 0)
    assert len(raked.rails) == 2
    for along, level in zip(raked.rails, flat.rails, strict=True):
        assert along.spaces == level.spaces
        for mark, place in zip(along.marks, places(level), strict=True):
            assert abs(mark.value - place * Fraction(25, 24)) <= Fraction(1, 2)


def test_a_stepped_bay_is_marked_on_the_level() -> None:
    stepped = replace(LEVEL, slope=Slope.STEPPED, rise=Fraction(350), going=Fraction(1200))
    assert preview(job(stepped), 0).rails == preview(job(LEVEL), 0).rails


# Gates ----------------------------------------------------------------------------------------------------------------

GATE = Bay(2, (("bottom", Fraction(1000)),), Fraction(90), LIMIT, gate=Gate(Fraction(10), Fraction(12)))
CLOSE = replace(LEVEL, number=3, count=15)
"""15 pickets of 90 in 2160: gaps of 50.625."""


def test_a_gate_has_a_picket_at_both_ends_of_its_leaf_and_looks_like_the_fence() -> None:
    made = preview(job(LEVEL, GATE), 1)
    (leaf,) = made.rails
    assert (leaf.name, leaf.opening) == ("leaf", 978)
    assert leaf.left_space == leaf.right_space == 0
    # The leaf is 1000 - 10 - 12 = 978; 6 pickets leave 438 for 5 gaps, 87.6: nearer to the fence's 97.5 than 7 pickets' 58.
    assert (made.count, leaf.gap) == (6, Fraction(438, 5))


def test_a_gate_between_two_bays_takes_after_the_one_before_it() -> None:
    # 6 pickets leave 87.6, nearest to the 97.5 of the level bay; 7 leave 58, nearest to the 50.625 of the close one.
    assert [preview(job(*row), 1).count for row in ((LEVEL, GATE, CLOSE), (CLOSE, GATE, LEVEL))] == [6, 7]
    assert fence_gap(job(LEVEL, GATE, CLOSE), 1) == Fraction(195, 2)
    # A nearer bay goes before an earlier one, and another gate is no fence.
    second = replace(GATE, number=4)
    assert fence_gap(job(LEVEL, GATE, second, CLOSE), 2) == Fraction(405, 8)
    assert fence_gap(job(GATE), 0) == LIMIT.value


def test_a_gate_looks_like_the_bay_beside_it_as_that_was_confirmed() -> None:
    standing = confirmed(job(LEVEL, GATE), 1)
    later = apply(standing, SettingsChanged(replace(standing.settings, left=PICKET, right=PICKET)))
    assert preview(later, 0).rails[0].gap != Fraction(195, 2) == fence_gap(later, 1)


def test_a_gate_may_have_a_count_of_its_own() -> None:
    made = preview(job(LEVEL, replace(GATE, count=8)), 1)
    assert (made.count, made.rails[0].gap, made.rails[0].left_space) == (8, Fraction(258, 7), 0)


def test_two_leaves_have_twice_the_pickets() -> None:
    gate = Bay(1, (("bottom", Fraction(3000)),), Fraction(90), LIMIT, gate=Gate(Fraction(6), Fraction(0), 2, Fraction(10)))
    made = preview(job(gate), 0)
    assert [rail.name for rail in made.rails] == ["left leaf", "right leaf"]
    assert made.pickets == 2 * made.count
    assert 2 * made.rails[0].opening + 2 * 6 + 10 == 3000


# Matching -------------------------------------------------------------------------------------------------------------

# 80 mm pickets: 1000 has 5 with gaps of 100 or 6 with 520/7, about 74.3.
THOUSAND = bay(1, 1000)


def test_bays_are_matched_only_where_that_is_wanted() -> None:
    five_at_75 = bay(2, 850, count=5)
    for likeness, count in ((Likeness.FEWEST, 5), (Likeness.A_TENTH, 5), (Likeness.MOST_ALIKE, 6)):
        assert preview(job(THOUSAND, five_at_75, likeness=likeness), 0).count == count


def test_a_bay_with_a_count_of_its_own_keeps_it_and_draws_the_others() -> None:
    alone, beside = job(THOUSAND, likeness=Likeness.MOST_ALIKE), job(THOUSAND, bay(2, 850, count=5), likeness=Likeness.MOST_ALIKE)
    assert (matched(alone), matched(beside)) == ({0: 5}, {0: 6})
    assert [preview(beside, index).count for index in (0, 1)] == [6, 5]


def test_a_bay_that_is_set_out_keeps_its_count_and_draws_the_others() -> None:
    # 850 at gaps of 75 is confirmed; pickets against the posts said later would give it other gaps.
    standing = confirmed(job(THOUSAND, bay(2, 850)), 2)
    later = apply(standing, SettingsChanged(replace(standing.settings, likeness=Likeness.MOST_ALIKE)))
    assert matched(later) == {0: 6}
    assert set_out_of(later, 1) == set_out_of(standing, 1)
    # Opened again it is free to follow.
    assert set(matched(apply(later, BayReopened(2)))) == {0, 1}


def test_a_gate_takes_no_part_in_the_match() -> None:
    gate = replace(GATE, picket=Fraction(80), count=8)
    assert matched(job(THOUSAND, gate, likeness=Likeness.MOST_ALIKE)) == {0: 5}


def test_a_matched_bay_out_of_plumb_stays_plumb() -> None:
    leaning = replace(THOUSAND, openings=(("bottom", Fraction(1000)), ("top", Fraction(990))), leans=Lean.RIGHT)
    made = preview(job(leaning, bay(2, 850, count=5), likeness=Likeness.MOST_ALIKE), 0)
    assert (made.count, made.plumb) == (6, True)
    bottom, top = made.rails
    assert bottom.gap == top.gap == top.left_space == Fraction(520, 7)
    assert top.right_space == bottom.right_space - 10


# Slips ----------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("edge", list(Edge))
@pytest.mark.parametrize("origin", list(Origin))
def test_after_a_slip_the_rest_is_spaced_evenly_from_where_the_picket_is(edge: Edge, origin: Origin) -> None:
    before = preview(job(LEVEL, edge=edge, origin=origin), 0)
    straight = before.rails[0]
    actual = places(straight)[3] - 2
    made = respaced(before, Slip(4, (("bottom", actual), ("top", actual))))
    for rail in made.rails:
        assert rail.marks[:3] == straight.marks[:3]
        assert places(rail)[3] == actual
        steps = {after - at for at, after in zip(places(rail)[3:], places(rail)[4:], strict=False)}
        # 2 mm back leaves 2 mm more for the 8 spaces that follow, whichever way the tape lies.
        assert steps == {Fraction(975, 10) + 90 + Fraction(2, 8)}
        assert rail.gap == Fraction(975, 10) + Fraction(2, 8)
        assert rail.opening == 2160


def test_seen_from_the_right_the_rest_after_a_slip_ends_as_the_left_post_does() -> None:
    # 12 of 90 in 2160, one against the right post: 12 gaps of 90. From the right the fourth has its near edge at 540.
    measured = Bay(1, (("bottom", Fraction(2160)),), Fraction(90), LIMIT)
    settings = {"left": GAP, "right": PICKET, "edge": Edge.RIGHT}
    from_right = respaced(preview(job(measured, origin=Origin.RIGHT, **settings), 0), Slip(4, (("bottom", Fraction(538)),)))
    # 2 back leaves 2 more for the 9 gaps from there to the left post.
    assert from_right.rails[0].spaces == (*[Fraction(812, 9)] * 9, 88, 90, 90, 0)
    # From the left the ninth is the same picket, at 9 gaps and 9 pickets; those behind it end against the post.
    from_left = respaced(preview(job(measured, **settings), 0), Slip(9, (("bottom", Fraction(1622)),)))
    assert from_left.rails[0].spaces == (*[Fraction(90)] * 8, 92, *[Fraction(90) - Fraction(2, 3)] * 3, 0)


def test_the_largest_gap_of_a_bay_is_the_largest_there_is_after_a_slip() -> None:
    before = preview(job(LEVEL), 0)
    assert before.allowed
    # The fourth stands at 660; at 670 there are 107.5 before it.
    made = respaced(before, Slip(4, (("bottom", Fraction(670)), ("top", Fraction(670)))))
    assert made.largest.largest == Fraction(215, 2)
    assert not made.allowed
    # At 620 the 40 more behind it go to 8 gaps: 102.5.
    behind = respaced(before, Slip(4, (("bottom", Fraction(620)), ("top", Fraction(620)))))
    assert behind.largest.largest == Fraction(205, 2)
    assert not behind.allowed


@pytest.mark.parametrize(("told", "place"), [("bottom", 634), ("top", 622)])
def test_plumb_pickets_stay_plumb_behind_a_slip(told: str, place: int) -> None:
    # The fourth stands at 630 and 618. 4 further, nine pickets share 2430 - 724: 896 over 10 gaps.
    made = respaced(preview(job(LEANING), 0), Slip(4, ((told, Fraction(place)),)))
    bottom, top = made.rails
    assert bottom.spaces == (90, 90, 90, 94, *[Fraction(896, 10)] * 10)
    assert top.spaces == (78, 90, 90, 94, *[Fraction(896, 10)] * 10)
    assert [low - high for low, high in zip(places(bottom), places(top), strict=True)] == [12] * 13
    assert bottom.gap == top.gap == Fraction(896, 10)


def test_a_picket_that_slipped_by_less_on_the_top_leaves_those_behind_it_plumb() -> None:
    made = respaced(preview(job(LEANING), 0), Slip(4, (("bottom", Fraction(634)), ("top", Fraction(619)))))
    low, high = (places(rail) for rail in made.rails)
    assert (low[3], high[3]) == (634, 619)
    assert {one - other for one, other in zip(low[4:], high[4:], strict=True)} == {12}
    assert made.rails[1].opening == 2418


def test_a_rail_that_is_not_marked_follows_the_slip() -> None:
    made = respaced(preview(job(replace(LEANING, leans=None)), 0), Slip(4, (("bottom", Fraction(634)),)))
    (top,) = made.unmarked
    assert top.spaces == (84, 90, 90, 94, *[Fraction(896, 10)] * 9, Fraction(836, 10))
    assert top.marks == ()


def test_a_slip_on_a_raked_rail_is_read_along_it() -> None:
    before = preview(job(replace(LEVEL, **RAKE)), 0)
    # 648 on the level is 675 along; the fourth was to stand at 660.
    made = respaced(before, Slip(4, (("bottom", Fraction(675)), ("top", Fraction(675)))))
    for rail in made.rails:
        assert rail.marks[3].value == 675
        assert places(rail)[3] == 648
        assert rail.gap == Fraction(2160 - 648 - 8 * 90, 8)
        assert rail.opening == 2160


def test_a_slip_is_called_as_the_tape_reads_it_where_the_level_place_is_no_fraction() -> None:
    # Along a rise of 1 in 10 the level place of 675.5 is irrational, and just below a half it would be called 675.
    before = preview(job(replace(LEVEL, slope=Slope.RAKED, rise=Fraction(120), going=Fraction(1200))), 0)
    read = Fraction(1351, 2)
    made = respaced(before, Slip(4, (("bottom", read), ("top", read))))
    assert made.rails[0].marks[3].value == 676
    assert abs(places(made.rails[0])[3] ** 2 * Fraction(101, 100) - read**2) < Fraction(1, 100)


def test_a_slip_kept_with_the_bay_in_an_old_record_holds_for_its_preview() -> None:
    slip = Slip(4, (("bottom", Fraction(658)), ("top", Fraction(658))))
    assert preview(job(replace(LEVEL, slip=slip)), 0).rails == respaced(preview(job(LEVEL), 0), slip).rails


def test_a_second_slip_spaces_again_from_where_the_first_left_it() -> None:
    once = respaced(preview(job(LEVEL), 0), Slip(4, (("bottom", Fraction(658)), ("top", Fraction(658)))))
    eighth = places(once.rails[0])[7]
    twice = respaced(once, Slip(8, (("bottom", eighth + 4), ("top", eighth + 4))))
    assert [slip.picket for slip in twice.slips] == [4, 8]
    assert twice.rails[0].marks[:7] == once.rails[0].marks[:7]
    assert twice.rails[0].gap == once.rails[0].gap - 1
    assert twice.rails[0].opening == 2160


def test_a_slip_before_one_told_earlier_moves_that_picket_alone() -> None:
    once = respaced(preview(job(LEVEL), 0), Slip(8, (("bottom", Fraction(1408)), ("top", Fraction(1408)))))
    again = respaced(once, Slip(3, (("bottom", Fraction(475)), ("top", Fraction(475)))))
    changed = [
        number for number, (was, now) in enumerate(zip(places(once.rails[0]), places(again.rails[0]), strict=True), start=1) if was != now
    ]
    assert changed == [3]
    assert places(again.rails[0]) == list(again.rails[0].left_edges())
    assert again.rails[0].gap == once.rails[0].gap


@pytest.mark.parametrize(
    ("picket", "place", "problem"),
    [(12, 2000, Problem.OUT_OF_RANGE), (4, 500, Problem.OUT_OF_RANGE), (4, 1440, Problem.TOO_SHORT), (0, 97, Problem.OUT_OF_RANGE)],
)
def test_a_slip_that_cannot_be_is_refused(picket: int, place: int, problem: Problem) -> None:
    with pytest.raises(ImpossibleError) as raised:
        respaced(preview(job(LEVEL), 0), Slip(picket, (("bottom", Fraction(place)), ("top", Fraction(place)))))
    assert raised.value.problem is problem


# What is marked next --------------------------------------------------------------------------------------------------

TWO = confirmed(job(replace(LEANING, number=4), replace(LEVEL, number=7)), 4, 7)
ALL_OF_4 = {"bottom": range(1, 14), "top": range(1, 14)}


def marked(before: Job, number: int, **rails: Iterable[int]) -> Job:
    for rail, numbers in rails.items():
        before = called(before, number, rail, numbers)
    return before


def test_the_marks_left_are_those_not_called_rail_by_rail() -> None:
    begun = marked(TWO, 4, bottom=range(1, 13))
    assert [(at.rail, at.mark) for at in to_mark(begun, 0)] == [("bottom", 13)] + [("top", mark) for mark in range(1, 14)]
    assert not is_marked(begun, 0)
    assert is_marked(marked(TWO, 4, **ALL_OF_4), 0)


def test_a_rail_with_the_numbers_of_one_called_through_needs_no_marks_of_its_own() -> None:
    assert [(at.rail, at.mark) for at in to_mark(TWO, 1)] == [("bottom", mark) for mark in range(1, 12)]
    assert is_marked(marked(TWO, 7, bottom=range(1, 12)), 1)
    assert is_marked(marked(TWO, 7, top=range(1, 12)), 1)
    assert not is_marked(marked(TWO, 7, bottom=range(1, 11), top=[11]), 1)


def test_the_next_bay_is_the_one_named_else_the_first_that_is_not_marked() -> None:
    assert next_to_mark(TWO) == 0
    assert next_to_mark(replace(TWO, chosen=7)) == 1
    first_done = marked(TWO, 4, **ALL_OF_4)
    assert next_to_mark(first_done) == 1
    assert next_to_mark(replace(first_done, chosen=4)) == 1
    assert next_to_mark(marked(first_done, 7, bottom=range(1, 12))) is None


def test_a_bay_measured_but_not_confirmed_is_not_marked() -> None:
    assert next_to_mark(replace(TWO, bays=(*TWO.bays, replace(LEVEL, number=9)), standing=TWO.standing)) == 0
    done = marked(marked(TWO, 4, **ALL_OF_4), 7, bottom=range(1, 12))
    assert next_to_mark(replace(done, bays=(*TWO.bays, replace(LEVEL, number=9)))) == 2


def test_a_bay_whose_picket_slipped_is_not_marked_until_its_gap_is_confirmed() -> None:
    done = marked(TWO, 7, bottom=range(1, 12))
    slip = Slip(11, (("bottom", Fraction(1970)), ("top", Fraction(1970))))
    slipped = apply(done, PicketSlipped(7, slip, respaced(set_out_of(done, 1), slip)))
    assert not is_marked(slipped, 1)


def test_a_mark_that_is_not_there_is_not_being_marked() -> None:
    found = marking_at(TWO, Position(7, "top", 11))
    assert found is not None
    assert (found.index, found.rail.name, found.mark) == (1, "top", 11)
    for position in (Position(7, "top", 12), Position(7, "middle", 1), Position(5, "top", 1), Position(7, "top", 0)):
        assert marking_at(TWO, position) is None
    assert marking_at(apply(TWO, BayReopened(7)), Position(7, "top", 11)) is None


def test_what_was_confirmed_in_an_old_record_is_what_the_settings_give_and_marks_that_fit_stay_called() -> None:
    old = replace(job(LEVEL), called_by_index=((1, 0, 3), (1, 1, 11), (1, 1, 12), (1, 2, 1), (2, 0, 1)))
    found = taken_over(old, 0)
    assert found is not None
    assert found == (preview(old, 0), (Position(1, "bottom", 3), Position(1, "top", 11)))
    assert taken_over(job(replace(LEVEL, openings=(("bottom", Fraction(60)),))), 0) is None


def test_half_gaps_at_the_posts_are_half_the_gap_on_the_set_out() -> None:
    made = preview(job(LEVEL, left=HALF_GAP, right=HALF_GAP), 0)
    rail = made.rails[0]
    assert 2 * rail.left_space == 2 * rail.right_space == rail.gap
