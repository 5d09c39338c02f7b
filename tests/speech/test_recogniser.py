"""Real sound through the real recogniser: the recorded job, silence, foreign speech, pauses and changes of grammar."""

from __future__ import annotations

import socket

import numpy as np
import pytest
from listening import Recording, hear, read_recording

from assistant.errors import ModelError
from assistant.speech.recogniser import Grammar, Recogniser, Wait
from assistant.speech.wav import SAMPLE_RATE, Samples, blocks, silence


def cut(recording: Recording, words: str) -> Samples:
    """The first line with these words, as it was said."""
    line = next(line for line in recording.lines if line.words == words)
    return recording.clean[round((line.start - 0.05) * SAMPLE_RATE) : round((line.end + 0.05) * SAMPLE_RATE)]


def hiss(seconds: float, level: float = 4.0) -> Samples:
    return np.random.default_rng(1).normal(0, level, round(seconds * SAMPLE_RATE)).astype(np.int16)


@pytest.mark.parametrize("name", ["phrases", "job"])
def test_every_line_of_a_recording_is_heard_word_for_word(recogniser: Recogniser, name: str) -> None:
    recording = read_recording(name)
    heard = hear(recogniser, recording.clean, Grammar(recording.phrases(), pause=0.5))
    assert [" ".join(u.words) if u.understood else "" for u in heard] == [line.words for line in recording.lines]


def test_times_are_those_of_the_recording(recogniser: Recogniser, recording: Recording) -> None:
    heard = hear(recogniser, recording.clean, Grammar(recording.phrases(), pause=0.5))
    for utterance, line in zip(heard, recording.lines, strict=True):
        if line.words:
            assert utterance.start == pytest.approx(line.start, abs=0.2)
            assert utterance.end == pytest.approx(line.end, abs=0.2)


@pytest.mark.parametrize("size", [160, 320, 1600])
def test_the_size_of_the_blocks_does_not_matter(recogniser: Recogniser, recording: Recording, size: int) -> None:
    lines = recording.lines[:6]
    beginning = recording.clean[: round((lines[-1].end + 0.9) * SAMPLE_RATE)]
    heard = hear(recogniser, beginning, Grammar(recording.phrases(), pause=0.5), size)
    assert [" ".join(u.words) for u in heard] == [line.words for line in lines]


def test_off_topic_talk_is_refused(recogniser: Recogniser, recording: Recording) -> None:
    line = next(line for line in recording.lines if not line.words)
    talk = recording.clean[round((line.start - 0.3) * SAMPLE_RATE) : round((line.end + 0.9) * SAMPLE_RATE)]
    heard = hear(recogniser, talk, Grammar(recording.phrases()))
    assert heard and not any(utterance.understood for utterance in heard)


@pytest.mark.parametrize("level", [0.0, 0.5, 4.0, 40.0, 400.0])
def test_silence_and_steady_noise_decode_to_nothing(recogniser: Recogniser, recording: Recording, level: float) -> None:
    assert hear(recogniser, hiss(20, level), Grammar(recording.phrases())) == []


def test_silence_after_speech_adds_nothing(recogniser: Recogniser, recording: Recording) -> None:
    sound = np.concatenate([hiss(0.5), cut(recording, "next"), hiss(30)])
    assert [u.words for u in hear(recogniser, sound, Grammar(recording.phrases()))] == [("next",)]


def test_no_sound_at_all_is_no_utterance(recogniser: Recogniser, recording: Recording) -> None:
    assert recogniser.flush() is None
    assert hear(recogniser, silence(0), Grammar(recording.phrases())) == []


@pytest.mark.parametrize("words", ["next", "stop", "back"])
def test_a_word_with_nothing_before_or_behind_it_is_heard(recogniser: Recogniser, recording: Recording, words: str) -> None:
    loud = np.flatnonzero(np.abs(sound := cut(recording, words)) > 300)
    assert [u.words for u in hear(recogniser, sound[loud[0] : loud[-1]], Grammar(recording.phrases()))] == [(words,)]


def test_a_word_in_true_silence_is_heard_and_a_second_ear_gets_hiss_around_it(recogniser: Recogniser, recording: Recording) -> None:
    word = cut(recording, "next")
    (heard,) = hear(recogniser, np.concatenate([silence(0.5), word, silence(1.0)]), Grammar(recording.phrases()))
    sound = recogniser.sound(heard)
    assert heard.words == ("next",)
    assert 0.5 < np.abs(sound[: SAMPLE_RATE // 8]).mean() < 5
    recogniser.forget()
    (heard,) = hear(recogniser, word, Grammar(recording.phrases()))
    assert len(recogniser.sound(heard)) >= len(word) + 0.3 * SAMPLE_RATE


@pytest.mark.parametrize("pause", [0.2, 0.3, 0.4, 0.45])
def test_a_breath_inside_a_number_does_not_cut_it(recogniser: Recogniser, recording: Recording, pause: float) -> None:
    """No published value for the length of a breath; 0.4 s and a little more is what speakers were seen to leave."""
    first, second = cut(recording, "next bay"), cut(recording, "all measured")
    sound = np.concatenate([hiss(0.5), first, hiss(pause - 0.1), second, hiss(1.5)])
    heard = hear(recogniser, sound, Grammar(recording.phrases(), pause=0.5), size=320)
    assert [u.words for u in heard] == [("next", "bay", "all", "measured")]


def test_how_long_more_words_are_waited_for_hangs_on_those_heard(recogniser: Recogniser, recording: Recording) -> None:
    first, second = cut(recording, "next bay"), cut(recording, "all measured")
    sound = np.concatenate([hiss(0.5), first, hiss(0.35), second, hiss(1.5)])

    def cuts(pause: float) -> list[tuple[str, ...]]:
        grammar = Grammar(recording.phrases(), wait=lambda words: Wait(pause if words == ("next", "bay") else 0.3, 0.4))
        return [u.words for u in hear(recogniser, sound, grammar, size=320)]

    assert cuts(0.3) == [("next", "bay"), ("all", "measured")]
    assert cuts(0.6) == [("next", "bay", "all", "measured")]


def test_words_that_have_long_not_changed_end_an_utterance_whatever_still_sounds(recogniser: Recogniser, recording: Recording) -> None:
    sound = np.concatenate([hiss(0.5), cut(recording, "next bay"), hiss(2.0)])

    def ended(settled: float) -> bool:
        recogniser.forget()
        recogniser.listen_for(Grammar(recording.phrases(), wait=lambda words: Wait(9.0, 9.0, settled)))
        found = any(recogniser.feed(block) for block in blocks(sound, 320))
        return found or recogniser.flush() is None

    assert ended(0.6) and not ended(9.0)


def test_a_long_pause_ends_the_utterance(recogniser: Recogniser, recording: Recording) -> None:
    first, second = cut(recording, "next bay"), cut(recording, "all measured")
    sound = np.concatenate([hiss(0.5), first, hiss(0.9), second, hiss(1.5)])
    heard = hear(recogniser, sound, Grammar(recording.phrases(), pause=0.5), size=320)
    assert [u.words for u in heard] == [("next", "bay"), ("all", "measured")]


def test_the_words_so_far_can_be_seen_while_somebody_speaks(recogniser: Recogniser, recording: Recording) -> None:
    recogniser.listen_for(Grammar(recording.phrases()))
    assert recogniser.partial == ()
    for block in blocks(np.concatenate([hiss(0.5), cut(recording, "how many left")]), 320):
        recogniser.feed(block)
    assert recogniser.partial[:2] == ("how", "many")


def test_an_utterance_with_a_decoy_in_it_is_not_for_us(recogniser: Recogniser, recording: Recording) -> None:
    sound = np.concatenate([hiss(0.5), cut(recording, "next bay"), hiss(1.0)])
    (heard,) = hear(recogniser, sound, Grammar(("next",), decoys=("bay",)))
    assert heard.words == ("next",) and not heard.understood


def test_a_new_grammar_counts_from_the_next_utterance_on(recogniser: Recogniser, recording: Recording) -> None:
    """Changing the grammar inside an utterance ends the process in vosk 0.3.45; here it waits."""
    first, second = cut(recording, "next bay"), cut(recording, "stop")
    recogniser.listen_for(Grammar(("next bay",)))
    heard = []
    changed = False
    for block in blocks(np.concatenate([hiss(0.5), first, hiss(1.2), second, hiss(1.2)]), 320):
        heard.append(recogniser.feed(block))
        if recogniser.partial and not changed:
            recogniser.listen_for(Grammar(("stop", "all measured")))
            changed = True
    assert [u.words for u in heard if u] == [("next", "bay"), ("stop",)]


def test_a_grammar_word_that_the_model_does_not_know_is_an_error(recogniser: Recogniser) -> None:
    with pytest.raises(ModelError, match=r"does not know: xylophonic, zzz$"):
        recogniser.listen_for(Grammar(("next", "next xylophonic"), decoys=("zzz",)))
    assert recogniser.missing(["next", "zzz", "next", "zzz"]) == ("zzz",)


def test_nothing_to_listen_for_is_an_error(recogniser: Recogniser) -> None:
    with pytest.raises(ModelError, match="nothing to listen for"):
        recogniser.listen_for(Grammar(()))
    with pytest.raises(ModelError, match="not told what to listen for"):
        recogniser.feed(silence(0.1))


def test_listening_never_opens_a_socket(recording: Recording, monkeypatch: pytest.MonkeyPatch) -> None:
    from assistant.speech.models import find_model

    def forbidden(*args: object, **kwargs: object) -> None:
        raise AssertionError("a socket was opened")

    monkeypatch.setattr(socket, "socket", forbidden)
    monkeypatch.setattr(socket, "create_connection", forbidden)
    sound = np.concatenate([hiss(0.5), cut(recording, "next bay"), hiss(1)])
    assert [u.words for u in hear(Recogniser(find_model()), sound, Grammar(("next bay",)))] == [("next", "bay")]
