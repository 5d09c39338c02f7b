"""The parts of the second ear's training that arithmetic can check; skipped where torch is not installed."""

from __future__ import annotations

import random
from collections import Counter

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.speech.mel import log_mel

torch = pytest.importorskip("torch")

from models.build import ear_net, ear_train  # noqa: E402

WORDS = st.lists(st.integers(1, 4), max_size=6)


def items(lengths: list[int]) -> list[ear_train.Item]:
    return [ear_train.Item(ear_train.Utterance(place, 1, (), "noise", ""), 1.0, 0, total) for place, total in enumerate(lengths)]


@given(st.integers(1, ear_train.MOST * 2))
def test_a_batch_has_room_for_its_longest_item_and_an_even_number_of_frames(samples: int) -> None:
    size = ear_train.room(samples)
    assert size >= samples
    assert size % 320 == 0
    assert size <= max(8320, samples * 1.08 + 320)


@given(st.lists(st.integers(ear_train.LEAST, ear_train.MOST), min_size=1, max_size=60), st.integers(0, 9))
def test_batches_hold_every_item_once_and_no_more_sound_than_allowed(lengths: list[int], seed: int) -> None:
    made = ear_train.batches(items(lengths), 40.0, random.Random(seed))
    assert Counter(item.utterance.start for batch in made for item in batch) == Counter(range(len(lengths)))
    for batch in made:
        size = ear_train.room(max(item.total for item in batch))
        assert len(batch) == 1 or len(batch) * size <= 40 * ear_train.SR


@given(WORDS, WORDS, WORDS)
def test_the_distance_of_two_strings_of_phonemes_is_a_metric(one: list[int], two: list[int], three: list[int]) -> None:
    far = ear_train.distance
    assert (far(one, two) == 0) == (one == two)
    assert far(one, two) == far(two, one)
    assert far(one, three) <= far(one, two) + far(two, three)
    assert far(one, []) == len(one)


def test_repeats_are_joined_unless_a_blank_parts_them() -> None:
    path = [0, 5, 5, 0, 5, 7, 7, 0]
    rows = torch.nn.functional.one_hot(torch.tensor(path), len(ear_net.OUTPUTS)).float()
    assert ear_train.spoken(rows) == [5, 5, 7]


def test_speakers_set_aside_are_not_trained_on() -> None:
    found = [ear_train.Utterance(place, 1, ("one",), source, "domain") for place, source in enumerate(["sc", "dev_sc", "num", "dev_read"])]
    used, measured = ear_train.set_aside(found)
    assert [u.source for u in used] == ["sc", "num"]
    assert [u.source for u in measured] == ["dev_sc", "dev_read"]


def test_it_is_trained_on_the_frames_that_the_assistant_makes() -> None:
    sound = np.rint(np.random.default_rng(1).normal(0, 2000, 6400)).astype(np.int16)
    made = ear_net.scaled(ear_net.Mel([1.0])(torch.from_numpy(sound.astype(np.float32) / 32768)[None]))[0].numpy()
    assert np.abs(made - log_mel(sound)).max() < 2e-3


def test_learning_rates_fall_from_layer_to_layer_downwards() -> None:
    ear = ear_net.Ear(64, 3)
    rates = {id(group["params"][0]): group["base"] for group in ear_train.groups(ear, 1.0, 9.0, 0.5, 0.0)}
    by_name = {name: rates[id(values)] for name, values in ear.named_parameters()}
    assert by_name["head.weight"] == 9.0
    assert [by_name[f"blocks.{layer}.o.weight"] for layer in range(3)] == [0.25, 0.5, 1.0]
    assert by_name["c1.weight"] == 0.25
