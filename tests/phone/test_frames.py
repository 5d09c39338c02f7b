"""What crosses the phone's connection: what our page sends is read, anything else is a breach."""

import json
import random

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.phone.frames import FRAME, FRAME_BYTES, MOST_NOTE, BreachError, Pace, Played, read_frame, read_note


@given(st.lists(st.integers(-32768, 32767), min_size=FRAME, max_size=FRAME))
def test_a_frame_is_twenty_milliseconds_of_samples(values: list[int]) -> None:
    samples = read_frame(np.array(values, "<i2").tobytes())
    assert samples.dtype == np.int16 and samples.tolist() == values


@given(st.binary(max_size=2000).filter(lambda data: len(data) != FRAME_BYTES))
def test_a_frame_of_another_size_is_a_breach(data: bytes) -> None:
    with pytest.raises(BreachError):
        read_frame(data)


@given(st.integers(0, 1 << 39))
def test_a_note_says_what_was_played(samples: int) -> None:
    assert read_note(json.dumps({"played": samples})) == Played(samples)


@pytest.mark.parametrize(
    "text",
    ["", "{}", "[]", "1", '{"played": -1}', '{"played": 1.5}', '{"played": true}', '{"played": "1"}', '{"played": 1, "more": 2}',
     '{"played": 1e400}', '{"played": 99999999999999999}', "[" * MOST_NOTE, '{"played": 1}' + " " * MOST_NOTE],
)  # fmt: skip
def test_any_other_note_is_a_breach(text: str) -> None:
    with pytest.raises(BreachError):
        read_note(text)


def test_ten_thousand_damaged_messages_are_read_or_refused_and_nothing_else() -> None:
    random_ = random.Random(7)
    good = json.dumps({"played": 16000}).encode()
    for _ in range(10_000):
        data = bytearray(random_.choice([good, bytes(FRAME_BYTES), random_.randbytes(random_.randrange(1200))]))
        for _ in range(random_.randrange(4)):
            if data:
                data[random_.randrange(len(data))] = random_.randrange(256)
        for read, message in ((read_frame, bytes(data)), (read_note, data.decode("utf-8", "replace"))):
            try:
                read(message)  # type: ignore[operator]
            except BreachError:
                continue


@given(st.floats(10, 100), st.integers(1, 50), st.integers(1, 200))
def test_no_more_than_the_pace_and_the_burst_come_through(a_second: float, burst: int, count: int) -> None:
    pace, taken = Pace(a_second, burst, 0.0), 0
    for number in range(count):
        try:
            pace.take(number * 0.005)
            taken += 1
        except BreachError:
            break
    assert taken <= burst + a_second * count * 0.005 + 1


def test_a_microphone_that_keeps_its_rate_is_never_too_much() -> None:
    pace = Pace(75.0, 500.0, 0.0)
    for number in range(50 * 600):
        pace.take(number * 0.02)
