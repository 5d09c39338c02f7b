"""Boards that overlap: as few as overlap enough, flush at both posts, by the rule that gaps go by."""

from dataclasses import replace
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st
from strategies import lengths, resolutions

from assistant.setout.ends import PICKET
from assistant.setout.lapped import Boards, lap
from assistant.setout.lengths import Resolution, inches, mm
from assistant.setout.limits import GapLimit
from assistant.setout.marks import Edge, Origin, marks
from assistant.setout.spacing import Bay, layout_for_count
from assistant.setout.trouble import ImpossibleError

wanted_boards = st.builds(Boards, lengths(400, 4000), lengths(60, 200), lengths(0, 50))


@given(wanted_boards)
def test_boards_cover_the_opening_flush_at_both_posts(wanted):
    row = lap(wanted)
    assert wanted.board + (row.count - 1) * row.pitch == wanted.opening
    assert row.overlap >= wanted.overlap


@given(wanted_boards)
def test_one_board_fewer_would_not_overlap_enough(wanted):
    fewer = lap(wanted).count - 1
    assert fewer < 2 or (fewer * wanted.board - wanted.opening) / (fewer - 1) < wanted.overlap


@given(wanted_boards, st.sampled_from(Edge), st.sampled_from(Origin), resolutions)
def test_each_mark_is_its_place_rounded_once(wanted, edge, origin, resolution):
    row = lap(wanted)
    first, last = (row.mark(number, edge, origin, resolution) for number in (1, row.count))
    share = Fraction(1, 2) if edge is Edge.CENTRE else Fraction((edge is Edge.RIGHT) == (origin is Origin.LEFT))
    assert first.true == share * wanted.board
    assert wanted.opening - last.true == (1 - share) * wanted.board
    assert abs(last.value - last.true) * 2 <= resolution.step


@given(lengths(400, 4000), lengths(60, 200), st.integers(2, 20), st.sampled_from(Edge), st.sampled_from(Origin))
def test_without_overlap_boards_stand_like_pickets_of_a_gate(opening, board, count, edge, origin):
    """What is a gap above zero for a leaf with a picket at both ends is an overlap below zero here."""
    if count * board >= opening:
        return
    leaf = layout_for_count(Bay(opening, board, GapLimit(opening, strict=False), PICKET, PICKET), count)
    row = replace(lap(Boards(opening, board, mm(0))), count=count, overlap=-leaf.gap)
    found = [row.mark(number, edge, origin, Resolution.MM_1) for number in range(1, count + 1)]
    assert [mark.true for mark in found] == [mark.true for mark in marks(leaf, edge, origin, Resolution.MM_1)]


def test_published_boards_with_an_equal_lap():
    # tttvandamme.blogspot.com, 2008-02-20 (read): 2520 to cover with boards of 152 and a lap of 25 takes 20 boards of 126 cover, so a lap
    # of 26. There the last lap reaches past the 2520; from outer edge to outer edge it is 2546.
    row = lap(Boards(mm(2546), mm(152), mm(25)))
    assert (row.count, row.pitch, row.overlap) == (20, 126, 26)


def test_alternate_sides_by_hand():
    # 96 in with boards of 5-1/2 and at least 1: (96 - 1) / 4.5 is 21.1, so 22; (121 - 96) / 21 is 25/21 over, and 66/21 of gap on a side.
    row = lap(Boards(inches(96), inches("5.5"), inches(1)))
    assert (row.count, row.overlap / inches(1), row.same_side / inches(1)) == (22, Fraction(25, 21), Fraction(131, 42))


@pytest.mark.parametrize(
    ("opening", "board", "overlap", "says"),
    [
        (0, 90, 10, "opening cannot"), (2000, 0, 10, "board width cannot"), (2000, 90, -1, "overlap cannot"),
        (2000, 90, 90, "must be less than a board"), (90, 90, 10, "covered by one board"), (2000, 90, 89, "The most is 1000"),
    ],
)  # fmt: skip
def test_what_cannot_be_is_refused(opening, board, overlap, says):
    with pytest.raises(ImpossibleError, match=says):
        lap(Boards(mm(opening), mm(board), mm(overlap)))
