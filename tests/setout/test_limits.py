"""A limit knows whether a gap may equal it."""

import pytest

from assistant.setout.lengths import mm
from assistant.setout.limits import GapLimit


@pytest.mark.parametrize(("gap", "strict", "inclusive"), [(99, True, True), (100, False, True), (101, False, False)])
def test_equal_is_where_strict_and_inclusive_differ(gap, strict, inclusive):
    assert GapLimit(mm(100), strict=True).allows(mm(gap)) is strict
    assert GapLimit(mm(100), strict=False).allows(mm(gap)) is inclusive
