"""One phone, by a code that is good for one use."""

import base64

from hypothesis import given
from hypothesis import strategies as st

from assistant.phone.pairing import Pairing


def test_the_code_lets_one_phone_in_and_no_second() -> None:
    pairing = Pairing()
    given_pass = pairing.redeem(pairing.code)
    assert given_pass is not None and pairing.admits(given_pass)
    assert pairing.redeem(pairing.code) is None
    assert not pairing.admits(pairing.code)


@given(st.text(max_size=60))
def test_nothing_else_is_a_code_or_a_pass(text: str) -> None:
    pairing = Pairing()
    assert pairing.redeem(text) is None and not pairing.admits(text) and not pairing.paired


def test_code_and_pass_hold_at_least_128_bits_and_are_never_the_same() -> None:
    drawn = set()
    for _ in range(50):
        pairing = Pairing()
        given_pass = pairing.redeem(pairing.code)
        assert given_pass is not None
        for secret in (pairing.code, given_pass):
            assert len(base64.urlsafe_b64decode(secret + "==")) * 8 >= 128
            drawn.add(secret)
    assert len(drawn) == 100


def test_before_the_first_use_nobody_is_let_in() -> None:
    assert not Pairing().admits("")
