"""A limit knows whether a gap may equal it; published ones carry their own wording."""

import pytest

from assistant.setout.lengths import mm
from assistant.setout.limits import AUTHORITY, PUBLISHED, GapLimit, published


@pytest.mark.parametrize(("gap", "strict", "inclusive"), [(99, True, True), (100, False, True), (101, False, False)])
def test_equal_is_where_strict_and_inclusive_differ(gap, strict, inclusive):
    assert GapLimit(mm(100), strict=True).allows(mm(gap)) is strict
    assert GapLimit(mm(100), strict=False).allows(mm(gap)) is inclusive


@pytest.mark.parametrize(
    ("name", "value", "strict"),
    [
        ("United States guard", "101.6", True),  # IRC 2018 R312.1.3 (prints 102)
        ("United States stair guard", "111.125", True),  # IRC 2018 R312.1.3, exception
        ("United States pool, rails close together", "44.45", False),  # ISPSC 2018 305.2.5 (prints 44)
        ("United States pool, rails far apart", "101.6", False),  # ISPSC 2018 305.2.6 (prints 102)
        ("England guard", "100", True),  # Approved Document K 2013, 1.39 and 3.3
        ("Australia barrier to a fall", "125", True),  # NCC Housing Provisions, three trade summaries
        ("Australia pool", "100", False),  # AS 1926.1, council checklists
        ("Ontario guard", "100", False),  # Ontario Building Code: diameter more than 100 mm
        ("British Columbia guard", "100", False),  # BCBC 3.4.6.5(5), Appeal Board 1729
    ],
)
def test_published_limits(name, value, strict):
    limit = published(name.upper())
    assert limit is not None
    assert (limit.value, limit.strict, limit.name) == (mm(value), strict, name)
    assert limit.source


def test_names_are_told_apart_and_unknown_ones_are_not_guessed():
    assert len({limit.name.lower() for limit in PUBLISHED}) == len(PUBLISHED) == 9
    assert published("Atlantis") is None


def test_the_authority_is_named():
    assert "local building or pool authority decides" in AUTHORITY
