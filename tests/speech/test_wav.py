"""Sound files of every kind become the one form used inside."""

from __future__ import annotations

import random
import tracemalloc
from contextlib import suppress
from pathlib import Path

import numpy as np
import pytest
import soundfile

from assistant.errors import AudioError
from assistant.speech import wav
from assistant.speech.wav import BLOCK, SAMPLE_RATE, blocks, mix_at, read_wav, silence, write_wav

HERTZ = 440.0


def tone(rate: int, seconds: float = 0.5) -> np.ndarray:
    return 0.5 * np.sin(2 * np.pi * HERTZ * np.arange(round(rate * seconds)) / rate)


@pytest.mark.parametrize("subtype", ["PCM_16", "PCM_24", "PCM_32", "FLOAT", "DOUBLE"])
@pytest.mark.parametrize("channels", [1, 2])
@pytest.mark.parametrize("rate", [8000, 11025, 16000, 22050, 44100, 48000, 96000])
def test_every_rate_width_and_channel_count_gives_the_same_sound(tmp_path: Path, rate: int, channels: int, subtype: str) -> None:
    path = tmp_path / "tone.wav"
    soundfile.write(path, np.column_stack([tone(rate)] * channels), rate, subtype=subtype)
    samples = read_wav(path)
    assert samples.dtype == np.int16 and len(samples) == pytest.approx(SAMPLE_RATE / 2, abs=1)
    middle = samples[1000:-1000].astype(float)
    spectrum = np.abs(np.fft.rfft(middle * np.hanning(len(middle))))
    assert abs(np.argmax(spectrum) * SAMPLE_RATE / len(middle) - HERTZ) < 3
    assert np.sqrt((middle**2).mean()) == pytest.approx(0.5 * 32767 / np.sqrt(2), rel=0.01)


def test_stereo_is_mixed_down_and_not_cut_to_one_side(tmp_path: Path) -> None:
    path = tmp_path / "right.wav"
    soundfile.write(path, np.column_stack([np.zeros(8000), tone(16000)]), 16000)
    assert np.abs(read_wav(path)).max() == pytest.approx(0.25 * 32767, rel=0.01)


def test_what_is_written_is_read_back_the_same(tmp_path: Path) -> None:
    samples = np.array([0, 1, -1, 32767, -32768, 12345] * 10, dtype=np.int16)
    write_wav(tmp_path / "out.wav", samples)
    info = soundfile.info(tmp_path / "out.wav")
    assert (info.samplerate, info.channels, info.subtype, info.format) == (16000, 1, "PCM_16", "WAV")
    np.testing.assert_array_equal(read_wav(tmp_path / "out.wav"), samples)


def test_a_missing_file_is_named(tmp_path: Path) -> None:
    with pytest.raises(AudioError, match=r"there is no sound file .*nothing\.wav"):
        read_wav(tmp_path / "nothing.wav")


def test_a_folder_is_no_sound_file(tmp_path: Path) -> None:
    with pytest.raises(AudioError, match="is a folder"):
        read_wav(tmp_path)


@pytest.mark.parametrize("content", [b"", b"RIFF", b"this is a letter, not a recording" * 50, bytes(4096)])
def test_what_is_not_sound_is_refused(tmp_path: Path, content: bytes) -> None:
    path = tmp_path / "letter.wav"
    path.write_bytes(content)
    with pytest.raises(AudioError, match="not a sound file"):
        read_wav(path)


def test_a_file_without_one_sample_is_refused(tmp_path: Path) -> None:
    soundfile.write(tmp_path / "empty.wav", np.zeros(0), 16000)
    with pytest.raises(AudioError, match="holds no sound"):
        read_wav(tmp_path / "empty.wav")


def test_numbers_that_are_no_sound_are_refused(tmp_path: Path) -> None:
    soundfile.write(tmp_path / "nan.wav", np.array([0.0, np.nan, 0.1]), 16000, subtype="FLOAT")
    with pytest.raises(AudioError, match="damaged"):
        read_wav(tmp_path / "nan.wav")


def test_a_place_that_cannot_be_written_is_named(tmp_path: Path) -> None:
    with pytest.raises(AudioError, match="cannot write"):
        write_wav(tmp_path / "no such folder" / "out.wav", silence(0.1))


def test_blocks_give_every_sample_once() -> None:
    samples = np.arange(2 * BLOCK + 7, dtype=np.int16)
    pieces = list(blocks(samples))
    assert [len(piece) for piece in pieces] == [BLOCK, BLOCK, 7]
    np.testing.assert_array_equal(np.concatenate(pieces), samples)


def test_sounds_are_laid_at_their_second_and_add_up() -> None:
    ones = np.full(SAMPLE_RATE, 100, dtype=np.int16)
    total = mix_at([(0.5, ones), (1.0, ones), (3.0, np.full(10, 32767, dtype=np.int16))])
    assert len(total) == 3 * SAMPLE_RATE + 10
    at = {second: int(total[round(second * SAMPLE_RATE)]) for second in (0.25, 0.75, 1.25, 1.75, 2.5, 3.0)}
    assert at == {0.25: 0, 0.75: 100, 1.25: 200, 1.75: 100, 2.5: 0, 3.0: 32767}


def test_sounds_that_add_up_too_loud_are_clipped_and_do_not_wrap() -> None:
    loud = np.full(10, 30000, dtype=np.int16)
    assert mix_at([(0, loud), (0, loud)]).tolist() == [32767] * 10


def test_a_file_read_piece_by_piece_is_the_same_sound(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "tone.flac"
    soundfile.write(path, np.column_stack([tone(44100), 0.3 * tone(44100)]), 44100)
    whole = read_wav(path)
    monkeypatch.setattr(wav, "_PIECE", 1000)
    np.testing.assert_array_equal(read_wav(path), whole)


def test_a_long_file_takes_little_more_memory_than_its_samples(tmp_path: Path) -> None:
    """Ten minutes of stereo at 48 kHz; as numbers of 64 bits they would be 460 MB."""
    path = tmp_path / "long.flac"
    with soundfile.SoundFile(path, "w", 48000, 2, "PCM_16") as file:
        for _ in range(600):
            file.write(np.column_stack([tone(48000, 1.0)] * 2))
    tracemalloc.start()
    samples = read_wav(path)
    _, peak = tracemalloc.get_traced_memory()
    tracemalloc.stop()
    assert len(samples) == 600 * SAMPLE_RATE
    assert peak < 2.5 * samples.nbytes


@pytest.mark.parametrize(("channels", "rate"), [(200, 16000), (2, 1), (1, 2_000_000_000)])
def test_a_header_that_asks_for_too_much_is_refused(tmp_path: Path, channels: int, rate: int) -> None:
    path = tmp_path / "odd.wav"
    soundfile.write(path, np.zeros((16000, 1)), 16000)
    content = bytearray(path.read_bytes())
    content[22:24] = channels.to_bytes(2, "little")
    content[24:28] = rate.to_bytes(4, "little")
    content[32:34] = (2 * channels).to_bytes(2, "little")
    path.write_bytes(content)
    with pytest.raises(AudioError, match=r"odd\.wav is damaged|not a sound file"):
        read_wav(path)


@pytest.mark.parametrize("kind", ["WAV", "FLAC"])
def test_random_bytes_in_a_header_are_read_or_refused_in_words(kind: str, tmp_path: Path) -> None:
    path = tmp_path / f"sound.{kind.lower()}"
    soundfile.write(path, tone(8000), 8000, format=kind)
    sound, chance = path.read_bytes(), random.Random(kind)
    for _ in range(200):
        content = bytearray(sound)
        for _ in range(chance.choice((1, 3, 10))):
            content[chance.randrange(60)] = chance.randrange(256)
        path.write_bytes(content)
        with suppress(AudioError):
            assert len(read_wav(path)) < 100 * SAMPLE_RATE


def test_a_raw_file_is_refused_in_words(tmp_path: Path) -> None:
    (tmp_path / "a.raw").write_bytes(bytes(3200))
    with pytest.raises(AudioError, match="give a WAV or FLAC file"):
        read_wav(tmp_path / "a.raw")


def test_channels_that_cancel_each_other_out_are_told_and_the_louder_is_taken(tmp_path: Path) -> None:
    soundfile.write(tmp_path / "out.wav", np.column_stack([-0.99 * tone(16000), tone(16000)]), 16000)
    told: list[str] = []
    assert np.abs(read_wav(tmp_path / "out.wav", told.append)).max() == pytest.approx(0.5 * 32767, rel=0.01)
    assert len(told) == 1 and "channel 2 alone" in told[0]


def test_sound_at_the_limit_is_told_and_other_sound_is_not(tmp_path: Path) -> None:
    told: list[str] = []
    for loudness in (1.9, 2.5):
        soundfile.write(tmp_path / "loud.wav", np.clip(loudness * tone(16000), -1, 1), 16000)
        read_wav(tmp_path / "loud.wav", told.append)
    assert len(told) == 1 and "loud.wav is too loud" in told[0]
    for silent in (np.zeros((16000, 2)), np.column_stack([np.zeros(8000), tone(16000)])):
        soundfile.write(tmp_path / "fine.wav", silent, 16000)
        read_wav(tmp_path / "fine.wav", told.append)
    assert len(told) == 1
