"""Thirteen and thirty: which numbers may be taken for another."""

import pytest

from assistant.numbers import teen_ty_twins


@pytest.mark.parametrize(
    ("heard", "twins"),
    [
        ("fifteen", ["fifty"]),
        ("fifty", ["fifteen"]),
        ("eighteen fifteen", ["eighty fifteen", "eighteen fifty", "eighty fifty"]),
        ("eighteen oh five", ["eighty oh five"]),
        ("number nineteen", ["number ninety"]),
        ("two hundred and sixty millimetres", ["two hundred and sixteen millimetres"]),
        ("seventy inches and three quarters", ["seventeen inches and three quarters"]),
        ("fourteenth", ["fortieth"]),
        ("sixtieth", ["sixteenth"]),
        # not a number when changed
        ("thirty five", []),
        ("five thirty seconds", []),
        ("seven sixty fourths", []),
        ("five sixteenths", []),
        ("forty three millimetres", []),
        # nothing to confuse
        ("one five", []),
        ("five zero", []),
        ("twenty one", []),
        ("twelve", []),
        ("next", []),
        ("", []),
    ],
)
def test_the_other_readings_of_a_teen_or_a_ten(heard: str, twins: list[str]) -> None:
    assert [" ".join(twin) for twin in teen_ty_twins(heard.split())] == twins


TEENS = ("thirteen", "fourteen", "fifteen", "sixteen", "seventeen", "eighteen", "nineteen")
TENS = ("thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety")


@pytest.mark.parametrize(("teen", "ten"), list(zip(TEENS, TENS, strict=True)))
def test_each_is_the_twin_of_the_other(teen: str, ten: str) -> None:
    assert teen_ty_twins((teen,)) == ((ten,),)
    assert teen_ty_twins((ten,)) == ((teen,),)
