"""No refusal is ever taken for a consent, nor “hang on” for “carry on”: real sound, eight voices, quiet and with the site behind it."""

from __future__ import annotations

import json
import sys
from pathlib import Path

import numpy as np
import pytest

sys.path.insert(0, str(Path(__file__).resolve().parents[2] / "audio_fixtures"))

from site_noise import add_noise

from assistant.events import Utterance
from assistant.language import listening
from assistant.language.expecting import Expected
from assistant.language.understanding import Wants
from assistant.language.vocabulary import Act, Stage
from assistant.setout.lengths import Unit
from assistant.speech.hearing import Hearing
from assistant.speech.models import data_dir, find_model, second_ear
from assistant.speech.recogniser import Recogniser
from assistant.speech.secondear import SecondEar
from assistant.speech.wav import SAMPLE_RATE, Samples, blocks, read_wav

FOLDER = data_dir("audio_fixtures", "refusals")
LINES = json.loads((FOLDER / "manifest.json").read_text(encoding="utf-8"))
SOUND = read_wav(FOLDER / "refusals.ogg")
WHERE = {
    "i don't know": (Stage.DOUBT,), "hang on": (Stage.WALK,), "carry on": (Stage.WALK,), "say again": (Stage.ASK,),
    "the same": (Stage.ASK,),
    "no": (Stage.DOUBT, Stage.ASK), "yes": (Stage.DOUBT,), "that's right": (Stage.DOUBT,), "incorrect": (Stage.DOUBT, Stage.CAUTION),
}  # fmt: skip
"""Where a phrase is tried; the others are tried where a consent is waited for."""
CONSENT = (Stage.DOUBT, Stage.GAP)
REFUSALS = ("that isn't right", "that's not right", "that is wrong", "incorrect", "no")
FORBIDDEN: dict[str, set[Act]] = {
    **{words: {Act.YES, Act.CONFIRM_GAP, Act.UNDERSTOOD, Act.VALUE} for words in REFUSALS},
    "i don't know": {Act.YES, Act.CONFIRM_GAP, Act.UNDERSTOOD, Act.VALUE},
    "hang on": {Act.CARRY_ON, Act.YES, Act.CONFIRM_GAP, Act.UNDERSTOOD, Act.VALUE},
    "say again": {Act.SAME, Act.YES, Act.CONFIRM_GAP, Act.UNDERSTOOD, Act.VALUE},
    "yes": {Act.NO, Act.VALUE},
    "that's right": {Act.NO, Act.VALUE},
    "carry on": {Act.HOLD, Act.YES, Act.CONFIRM_GAP, Act.UNDERSTOOD, Act.VALUE},
    "the same": {Act.REPEAT, Act.VALUE},
}
LEAST = 0.5
"""The share that must be taken for what it is; the rest is asked for once more."""
MEANT = {
    **dict.fromkeys(REFUSALS, Act.NO), "i don't know": Act.REPEAT, "hang on": Act.HOLD, "say again": Act.REPEAT, "yes": Act.YES,
    "that's right": Act.YES, "carry on": Act.CARRY_ON, "the same": Act.SAME,
}  # fmt: skip


@pytest.fixture(scope="module")
def ears() -> Hearing:
    return Hearing(Recogniser(find_model("site-en")), lambda text: None, SecondEar(second_ear()))


def cut(line: dict[str, str | float], noisy: bool, seed: int) -> Samples:
    start, end = (round(float(line[key]) * SAMPLE_RATE) for key in ("start", "end"))
    quiet = SAMPLE_RATE // 2
    padded = np.concatenate([np.zeros(quiet), SOUND[start:end], np.zeros(2 * quiet)])
    hissing = np.rint(padded + np.random.default_rng(seed).normal(0, 4, len(padded))).astype(np.int16)
    return add_noise(hissing, 10.0, seed) if noisy else hissing


def taken(ears: Hearing, sound: Samples, stage: Stage) -> list[str]:
    """What was taken for said in one recording, by the names of acts."""
    at = Expected(stage, Wants.LENGTH, Unit.MM)
    ears.recogniser.forget()
    ears.tune(listening.phrases(stage, at.wants, at.unit), lambda words: listening.ending(words, stage, at.wants, at.unit), at)
    found: list[Utterance | None] = [ears.recogniser.feed(block) for block in blocks(sound)]
    acts = []
    for utterance in (*found, ears.recogniser.flush()):
        if utterance is not None:
            heard = ears.judged(utterance)
            meaning = at.meaning(heard.words) if heard.understood and not heard.doubt else None
            acts += [meaning.act] if meaning else []
    return acts


@pytest.mark.parametrize("noisy", [False, True], ids=["quiet", "site"])
@pytest.mark.parametrize("words", FORBIDDEN)
def test_a_phrase_is_never_taken_for_its_opposite(ears: Hearing, words: str, noisy: bool) -> None:
    right = count = 0
    for seed, line in enumerate(LINES):
        if line["words"] != words:
            continue
        sound = cut(line, noisy, seed)
        for stage in WHERE.get(words, CONSENT):
            acts = taken(ears, sound, stage)
            wrong = {act.name for act in FORBIDDEN[words]} & set(acts)
            assert not wrong, (line["voice"], stage, acts)
            right += acts == [MEANT[words].name]
            count += 1
    assert right >= LEAST * count, (right, count)
