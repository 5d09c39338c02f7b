"""Spacing against examples in print: what they get right, and their mistakes, which we must not make.

Lengths are inches unless a row says millimetres. "Arithmetic" marks figures worked here from the printed inputs.
"""

from fractions import Fraction

import pytest

from assistant.setout.ends import PICKET, set_gap
from assistant.setout.lengths import MM_PER_INCH, Resolution, inches, mm, rounded
from assistant.setout.limits import GapLimit
from assistant.setout.marks import Edge, Origin, marks
from assistant.setout.spacing import Bay, fewest, layout_for_count, solve

FOUR = GapLimit(inches(4), strict=False)
UNDER_FOUR = GapLimit(inches(4), strict=True)


def bay(opening, picket, limit=FOUR, **ends):
    return Bay(inches(opening), inches(picket), limit, **ends)


def in_inches(length):
    return length / MM_PER_INCH


@pytest.mark.parametrize(
    ("opening", "picket", "count", "gap"),
    [
        ("72", "1.5", 13, Fraction(15, 4)),  # eHow 6210555: 13, 52.5 of gap / 14
        ("120", "2", 20, Fraction(80, 21)),  # homesteady, eHow.co.uk 7766646: 20, 3.81
        ("101", "2", 17, Fraction(67, 18)),  # homeadditionplus.com: 103/6 = 17.166, 17
        ("192", "2", 32, Fraction(128, 33)),  # diychatroom 40928: 194/6 = 32.33, 32
        ("92.5", "3.5", 12, Fraction(505, 130)),  # windhillcreate.com: 8 ft bay, 12 pickets; clear 92.5 is arithmetic
        ("52", "1.5", 9, Fraction(77, 20)),  # ironfurnit.blogspot 2011 forces 10; the fewest is 9 (arithmetic)
        ("92", "1.5", 16, Fraction(4)),  # spans 92 to 94 from Fine Homebuilding 2001; answers are arithmetic
        ("93", "1.5", 17, Fraction(15, 4)),
        ("94", "1.5", 17, Fraction(137, 36)),
        ("70", "1.5", 12, Fraction(4)),
        ("83", "1.5", 15, Fraction(121, 32)),  # openings 83 and 84 from awomanshome 2013; answers are arithmetic
        ("84", "1.5", 15, Fraction(123, 32)),
    ],
)
def test_fewest_under_four_inches(opening, picket, count, gap):
    layout = solve(bay(opening, picket))
    assert (layout.count, in_inches(layout.gap)) == (count, gap)
    assert layout.check()


@pytest.mark.parametrize(("opening", "count", "gap"), [("92", 17, Fraction(133, 36)), ("70", 13, Fraction(101, 28))])
def test_an_exact_four_inch_gap_needs_one_more_where_it_must_stay_under(opening, count, gap):
    layout = solve(bay(opening, "1.5", UNDER_FOUR))
    assert (layout.count, in_inches(layout.gap)) == (count, gap)


def test_metric_example():
    # eHow.co.uk 7766646: 300 cm, 5 cm, 10 cm -> 20 pickets, printed 9.5 cm; 200/21 cm is arithmetic.
    layout = solve(Bay(mm(3000), mm(50), GapLimit(mm(100), strict=False)))
    assert (layout.count, layout.gap) == (20, Fraction(2000, 21))
    assert rounded(layout.gap, Resolution.MM_1) == 95


@pytest.mark.parametrize(
    ("opening", "picket", "count", "gap"),
    [
        ("24", "1.5", 4, Fraction("3.6")),  # fvhandyman.com "Determining Picket Spacing": gap 3.6
        (Fraction(575, 16), Fraction(87, 16), 4, Fraction("2.8375")),  # J. Tolpin, byhandandeye.com: 2.8375
        ("52", "1.5", 10, Fraction(37, 11)),  # ironfurnit.blogspot 2011: 10, 37 / 11 spaces
    ],
)
def test_gap_for_a_printed_count(opening, picket, count, gap):
    assert in_inches(layout_for_count(bay(opening, picket), count).gap) == gap


def test_printed_pitch_and_first_marks():
    # fvhandyman.com: pitch 5.1, post to first centre 4.35, post to first edge 3.6.
    layout = layout_for_count(bay("24", "1.5"), 4)
    assert in_inches(layout.pitch) == Fraction("5.1")
    first_edge, *_ = marks(layout, Edge.LEFT, Origin.LEFT, Resolution.INCH_16)
    first_centre, *_ = marks(layout, Edge.CENTRE, Origin.LEFT, Resolution.INCH_16)
    assert (in_inches(first_edge.true), in_inches(first_centre.true)) == (Fraction("3.6"), Fraction("4.35"))


def test_printed_running_edges():
    # J. Tolpin, byhandandeye.com: near edges 2.8375, 11.1125, 19.3875, 27.6625; the gap "about 2 13/16".
    layout = layout_for_count(bay(Fraction(575, 16), Fraction(87, 16)), 4)
    edges = [in_inches(mark.true) for mark in marks(layout, Edge.LEFT, Origin.LEFT, Resolution.INCH_16)]
    assert edges == [Fraction(text) for text in ("2.8375", "11.1125", "19.3875", "27.6625")]
    assert rounded(layout.gap, Resolution.INCH_16) == inches(Fraction(45, 16))
    # Stepping the rounded gap leaves 1/8 in at the last space (arithmetic); our marks never step.
    stepped = 5 * inches(Fraction(45, 16)) + 4 * layout.bay.picket
    assert layout.bay.opening - stepped == inches("0.125")


def test_centres_and_last_edge_of_the_first_example():
    # eHow 6210555 inputs; the marks are arithmetic: centres 4.5 + 5.25(k-1), last far edge 68.25.
    layout = solve(bay("72", "1.5"))
    centres = [in_inches(mark.value) for mark in marks(layout, Edge.CENTRE, Origin.LEFT, Resolution.INCH_16)]
    assert centres == [Fraction("4.5") + Fraction("5.25") * k for k in range(13)]
    assert in_inches(marks(layout, Edge.RIGHT, Origin.LEFT, Resolution.INCH_16)[-1].true) == Fraction("68.25")


def test_picket_at_both_ends():
    # hammerzone.com fence section 8: 30/11 = 2.727 in, which they round to 2.75 and step.
    layout = layout_for_count(bay("96", "5.5", left=PICKET, right=PICKET), 12)
    assert in_inches(layout.gap) == Fraction(30, 11)
    stepped = 12 * inches("5.5") + 11 * inches("2.75")
    assert stepped - layout.bay.opening == inches("0.25")
    last = marks(layout, Edge.RIGHT, Origin.LEFT, Resolution.INCH_16)[-1]
    assert last.true == last.value == layout.bay.opening


def test_letter_to_a_maths_site():
    # Doctor Peterson: F 81.5, P 5.5, S 3: n = (F - S)/(P + S) = 157/17 = 9.235; 9 -> 3.2, 10 -> 2.409.
    three = bay("81.5", "5.5", GapLimit(inches(3), strict=False))
    layout = solve(three)
    assert layout.count == 10
    assert in_inches(layout.gap) == Fraction(53, 22)
    assert layout.neighbours.fewer is not None
    assert in_inches(layout.neighbours.fewer.gap) == Fraction("3.2")
    assert not layout.neighbours.fewer.allowed


def test_school_plank():
    # School maths Q&A: 33 in plank, 4 items of 5 in, 2 in at each end: gap 3 exactly.
    plank = bay("33", "5", left=set_gap(inches(2)), right=set_gap(inches(2)))
    assert in_inches(layout_for_count(plank, 4).gap) == 3


def test_stepping_a_rounded_pitch_falls_short():
    # myoldworkshop: 107-5/8 in / 15 = 182.26, "measure out 182"; 15 x 182 is 4 mm short (arithmetic, from 2734).
    pitch = inches("107.625") / 15
    assert pitch == Fraction("182.245")
    assert 2734 - 15 * rounded(pitch, Resolution.MM_1) == 4


# Mistakes in print --------------------------------------------------------------------------------------------------


def test_not_a_gap_added_to_the_opening():
    # eHow.co.uk 5806309: L 75, w 2, n 15 -> (78 - 30)/16 = 3.0, adding 3 to L; true 45/16.
    assert in_inches(layout_for_count(bay("75", "2"), 15).gap) == Fraction("2.8125")


def test_not_one_gap_a_picket():
    # eHow.co.uk 6497936: L 105, w 1.5, g 5 -> "21.5", 22 pickets, 72/22 = 3.27; true 15.38 -> 16, 81/17.
    layout = solve(bay("105", "1.5", GapLimit(inches(5), strict=False)))
    assert (layout.count, in_inches(layout.gap)) == (16, Fraction(81, 17))


def test_not_one_width_too_many_nor_one_gap_too_few():
    # diychatroom 40928: 130/32 = 4.06 would break the four inches it was meant to keep.
    layout = solve(bay("192", "2"))
    assert in_inches(layout.gap) == Fraction(128, 33)
    assert Fraction(130, 32) > 4 > in_inches(layout.gap)


def test_a_largest_gap_is_clear_not_between_centres():
    # Math Central QQ.09.02: L 96, w 2.5, max 4 -> 26 spindles, 3.94 as centre distance; clear gap: 15, 3-21/32.
    layout = solve(bay("96", "2.5"))
    assert (layout.count, in_inches(layout.gap)) == (15, Fraction(117, 32))


def test_not_one_too_many_at_an_exact_fit():
    # floor((L + w)/(w + g)) gives 13 for L 70, w 1.5, g 4; 12 fit with gaps of exactly 4.
    assert (70 + Fraction(3, 2)) // (Fraction(3, 2) + 4) == 13
    assert fewest(bay("70", "1.5")) == 12
