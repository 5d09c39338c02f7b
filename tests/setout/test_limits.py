"""A limit knows whether a gap may equal it; published ones carry their edition, clause and the day they were looked up."""

from datetime import date

import pytest

from assistant.setout.lengths import mm
from assistant.setout.limits import AUTHORITY, NOT_SEEN, PUBLISHED, GapLimit, published

RESIDENTIAL = "International Residential Code"
POOL = "International Swimming Pool and Spa Code"


@pytest.mark.parametrize(("gap", "strict", "inclusive"), [(99, True, True), (100, False, True), (101, False, False)])
def test_equal_is_where_strict_and_inclusive_differ(gap, strict, inclusive):
    assert GapLimit(mm(100), strict=True).allows(mm(gap)) is strict
    assert GapLimit(mm(100), strict=False).allows(mm(gap)) is inclusive


@pytest.mark.parametrize(
    ("name", "value", "strict", "code", "edition", "clause"),
    [
        # Camden County NC ordinance 2019-08-01 repeats it; clause number from two study guides. Prints 102 mm.
        ("United States guard", "101.6", True, RESIDENTIAL, "2018", "R312.1.3"),
        ("United States stair guard", "111.125", True, RESIDENTIAL, "2018", "R312.1.3, exception 2"),
        # A town's pool code repeats both, 3109.3.1.3 and 3109.3.1.4 beside 3109.3.1.1: ecode360.com/42935925. Prints 44 and 102 mm.
        ("United States pool, rails close together", "44.45", False, POOL, "2018", "305.2.5"),
        ("United States pool, rails far apart", "101.6", True, POOL, "2018", "305.2.6 and 305.2.2"),
        # The document's own page 24: stairplan.com.
        ("England guard", "100", True, "Approved Document K", "2013", "3.3 and 1.39"),
        # Quoted by an architect, markstephensarchitects.com.
        ("Ireland guard", "100", True, "Technical Guidance Document K", "2014", "1.1.19"),
        # Clause from the Building Codes Board's own news of 2023-04-13; the value from three trade summaries.
        ("Australia barrier to a fall", "125", True, "National Construction Code, Housing Provisions", "2022", "11.3.4"),
        # Contents list of the 1993 edition; value from council checklists.
        ("Australia pool", "100", False, "Australian Standard 1926.1", "1993 and 2012", "2.10 of 1993"),
        # The document's text: businessdocbox.com 91867198.
        ("New Zealand guard", "100", True, "Acceptable Solution F4/AS1", "third edition", "1.2"),
        # A builders' magazine of 2017-05-25: underconstruction.placemakers.co.nz.
        ("New Zealand pool", "100", True, "Acceptable Solution F9/AS1", "2017", NOT_SEEN),
        # Quoted by two law firms: m.cch.co.za (2019-07-31), stbb.co.za.
        ("South Africa pool", "100", True, "South African National Standard 10400-D", "as quoted in 2019", NOT_SEEN),
        # oncodes.ca; the number by the national code's own, codes-guides.nrc.ca.
        ("Ontario guard", "100", False, "Ontario Building Code", "2012", "3.3.1.18.(2)"),
        # Appeal Board decision 1729 (2013).
        ("British Columbia guard", "100", False, "British Columbia Building Code", "2012", "3.4.6.5.(5)"),
    ],
)
def test_published_limits(name, value, strict, code, edition, clause):
    found = published(name.upper())
    assert found is not None
    assert (found.value, found.strict, found.name) == (mm(value), strict, name)
    assert (found.code, found.edition, found.clause) == (code, edition, clause)


def test_a_limit_carries_where_it_comes_from_to_the_sheet():
    found = published("england guard")
    assert found is not None
    assert (found.limit.value, found.limit.strict, found.limit.name) == (100, True, "England guard")
    assert found.limit.source == (
        "Approved Document K, 2013, clause 3.3 and 1.39: a 100 mm sphere must not pass, where children under five may be; "
        "looked up 2026-11-27"
    )


def test_a_four_inch_sphere_must_not_pass_between_pool_pickets_however_far_apart_the_rails_are():
    """305.2.6 alone would let a gap be 4 in, 305.2.2 bars the sphere: both hold, so equal is too wide."""
    for what in ("pool, rails far apart", "guard"):
        found = published(f"United States {what}")
        assert found is not None
        assert not found.limit.allows(mm("101.6"))
        assert found.limit.allows(mm("101.5"))


def test_a_guard_and_a_pool_barrier_are_entries_of_their_own():
    regions = {one.region for one in PUBLISHED if "pool" in one.what}
    assert {"United States", "Australia", "New Zealand"} <= regions
    for region in regions - {"South Africa"}:
        assert any("pool" not in one.what for one in PUBLISHED if one.region == region)


def test_names_are_told_apart_and_unknown_ones_are_not_guessed():
    assert len({one.name.lower() for one in PUBLISHED}) == len(PUBLISHED) == 13
    assert published("Atlantis") is None


@pytest.mark.parametrize("one", PUBLISHED, ids=lambda one: one.name)
def test_every_limit_says_edition_clause_and_the_day_it_was_looked_up(one):
    assert one.edition and one.clause and one.rule
    assert date(2026, 11, 1) < date.fromisoformat(one.looked) < date(2027, 1, 1)
    assert one.edition in one.limit.source and one.clause in one.limit.source and one.looked in one.limit.source


def test_the_authority_is_named():
    assert "local building or pool authority decides" in AUTHORITY
