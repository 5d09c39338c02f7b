"""Timber movement against published figures, and what it does to the gaps."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st
from strategies import layouts, lengths

from assistant.setout.drying import SPECIES, Side, Species, gaps_after, shrinkage, size_at, species_shrinkage, width_at
from assistant.setout.ends import PICKET
from assistant.setout.lengths import MM_PER_INCH, inches, mm
from assistant.setout.limits import GapLimit
from assistant.setout.spacing import Bay, layout_for_count
from assistant.setout.trouble import ImpossibleError

moistures = st.integers(80, 190).map(lambda tenths: Fraction(tenths, 10))


def test_published_shrinkage():
    # FPL-RP-489: at 15 % moisture, 2.80 in width and 2.35 in thickness (2.806 and 2.347 by its formula).
    assert shrinkage(Side.WIDTH, Fraction(15)) == Fraction("2.806")
    assert shrinkage(Side.THICKNESS, Fraction(15)) == Fraction("2.347")


@pytest.mark.parametrize(
    ("name", "dry", "saturation"),
    [
        # Wood Handbook, FPL-GTR-190, Table 4-3, tangential; ICC 400 Table 304 (western red cedar 18, Douglas fir 28, others 30).
        ("western red cedar", "5.0", 18),
        ("white cedar", "4.9", 30),
        ("incense cedar", "5.2", 30),
        ("douglas fir", "7.6", 28),
        ("white fir", "7.0", 30),
        # sequal.nz: radiata pine shrinks 3.9 % tangentially from green to 12 %.
        ("radiata pine", "6.5", 30),
    ],
)
def test_published_shrinkage_by_species(name, dry, saturation):
    (one,) = [species for species in SPECIES if species.name == name]
    assert (one.dry, one.saturation) == (Fraction(dry), saturation)
    assert one.source


def test_radiata_pine_from_green_to_twelve_percent():
    # sequal.nz, a sawmill's guide: 3.9 % tangentially.
    (pine,) = [species for species in SPECIES if species.name == "radiata pine"]
    assert species_shrinkage(pine, Fraction(12)) == Fraction("3.9")
    assert width_at(mm(100), pine, Fraction(60), Fraction(12)) == mm("96.1")


def test_a_printed_beam_from_nineteen_to_ten_percent():
    # web.mst.edu, timber design 4.34: 6 % spread over 30 points, 13.25 in deep from 19 to 10 %: 13.01 in.
    board = Species("printed", Fraction(6), Fraction(30), "web.mst.edu")
    assert round(width_at(inches("13.25"), board, Fraction(19), Fraction(10)) / MM_PER_INCH, 2) == Fraction("13.01")


@given(lengths(10, 300), st.sampled_from(SPECIES), st.integers(0, 60), st.integers(0, 60))
def test_width_moves_as_the_log_standard_prints_it(width, species, now, later):
    # ICC 400 as timbertoolbox.com prints it: shrinkage = H (M1 - M2) / (100 F / S - F + M1), below fibre saturation F.
    now, later = (min(Fraction(moisture), species.saturation) for moisture in (now, later))
    printed = width * (now - later) / (100 * species.saturation / species.dry - species.saturation + now)
    assert width - width_at(width, species, now, later) == printed


@given(lengths(10, 300), st.sampled_from(SPECIES), st.integers(0, 40))
def test_timber_above_fibre_saturation_does_not_move(width, species, above):
    assert width_at(width, species, species.saturation + above, species.saturation) == width


def test_a_published_coefficient_is_met_within_four_percent():
    # WOOD magazine, September 2021: red alder 8 in wide, six points, .1248 in; its shrinkage is 7.3 % (Wood Handbook, Table 4-3).
    alder = Species("red alder", Fraction("7.3"), Fraction(30), "Wood Handbook")
    moved = (inches(8) - width_at(inches(8), alder, Fraction(14), Fraction(8))) / MM_PER_INCH
    assert abs(moved - Fraction("0.1248")) < Fraction("0.005")


@pytest.mark.parametrize(("width", "dry"), [(90, "88.62"), (140, "137.85")])
def test_boards_from_nineteen_to_twelve_percent(width, dry):
    # FPL-RP-489 formula; the sizes are arithmetic from it.
    assert round(size_at(mm(width), Fraction(19), Fraction(12)), 2) == Fraction(dry)


def test_drying_can_open_a_gap_past_its_limit():
    # A 99.0 mm gap beside 90 mm pickets becomes 100.4 from 19 to 12 % (FPL-RP-489 formula; arithmetic).
    layout = layout_for_count(Bay(mm(99 * 6 + 90 * 5), mm(90), GapLimit(mm(100), strict=False)), 5)
    dry = gaps_after(layout, size_at(mm(90), Fraction(19), Fraction(12)))
    assert layout.allowed
    assert round(dry.gap, 1) == Fraction("100.4")
    assert not dry.allowed
    assert not dry.closed


@given(lengths(10, 200), moistures, moistures, st.sampled_from(Side))
def test_drying_and_wetting_again_gives_the_size_back(size, one, other, side):
    moved = size_at(size, one, other, side)
    assert size_at(moved, other, one, side) == size
    assert (moved < size) == (other < one)


@given(layouts(most_pickets=20), lengths(1, 200))
def test_moved_gaps_and_pickets_still_fill_the_opening(layout, width):
    moved = gaps_after(layout, width)
    total = moved.left_space + layout.count * width + (layout.count - 1) * moved.gap + moved.right_space
    assert total == layout.bay.opening
    assert moved.closed == (layout.count > 1 and moved.gap <= 0)


@pytest.mark.parametrize(("width", "strict", "allowed"), [(60, False, True), (60, True, False), (59, False, False)])
def test_the_limit_is_judged_again_on_the_moved_gaps(width, strict, allowed):
    # Gaps of 90 with pickets of 70.
    layout = layout_for_count(Bay(mm(890), mm(70), GapLimit(mm(100), strict)), 5)
    assert gaps_after(layout, mm(width)).allowed is allowed


def test_a_picket_against_the_post_draws_away_by_half():
    layout = layout_for_count(Bay(mm(710), mm(70), GapLimit(mm(100), strict=False), PICKET, PICKET), 5)
    moved = gaps_after(layout, mm(68))
    assert (moved.left_space, moved.gap, moved.right_space) == (1, 92, 1)


def test_swelling_can_close_the_gaps():
    layout = layout_for_count(Bay(mm(362), mm(70), GapLimit(mm(100), strict=False)), 5)
    assert not gaps_after(layout, mm(71)).closed
    assert gaps_after(layout, mm(72)).closed


@pytest.mark.parametrize("moisture", [Fraction("7.9"), Fraction("19.1")])
def test_general_shrinkage_outside_its_range_is_refused(moisture):
    with pytest.raises(ImpossibleError, match="from 8 to 19 percent"):
        shrinkage(Side.WIDTH, moisture)


def test_the_ends_of_the_ranges_are_inside():
    assert shrinkage(Side.WIDTH, Fraction(8)) > shrinkage(Side.WIDTH, Fraction(19)) > 0
    with pytest.raises(ImpossibleError, match="width cannot be 0 mm"):
        width_at(mm(0), SPECIES[0], Fraction(12), Fraction(8))
    with pytest.raises(ImpossibleError, match="below zero"):
        width_at(mm(90), SPECIES[0], Fraction(12), Fraction(-1))
    with pytest.raises(ImpossibleError, match="size cannot be 0 mm"):
        size_at(mm(0), Fraction(8), Fraction(9))
    layout = layout_for_count(Bay(mm(890), mm(70), GapLimit(mm(100), strict=False)), 5)
    with pytest.raises(ImpossibleError, match="picket width cannot be 0 mm"):
        gaps_after(layout, mm(0))
