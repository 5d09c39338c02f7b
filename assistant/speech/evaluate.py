"""Scores both ears on recordings, each alone and together: what was heard right, wrongly let through, asked or refused, and how fast.

Crosses the border: a manifest of sound files comes in, a table and a JSON file go out.  The sound takes the way it takes
in use (`recogniser.Recogniser`), endpoints included.

The manifest is a tab-separated file with the columns ``path`` (relative to it), ``transcript`` (empty: nothing may be
accepted), ``kind``, and if wanted ``speaker`` and ``snr_db`` (empty: clean).
"""

from __future__ import annotations

import argparse
import csv
import json
import math
import sys
import time
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import asdict, dataclass, replace
from pathlib import Path
from typing import Protocol

import jiwer
import numpy as np

from assistant.errors import AssistantError
from assistant.events import Ending
from assistant.speech.hearing import WAITS, Hearing, settled
from assistant.speech.listed import Listed, plain
from assistant.speech.models import find_model, second_ear
from assistant.speech.readings import Expected
from assistant.speech.recogniser import Grammar, Recogniser
from assistant.speech.secondear import SecondEar
from assistant.speech.wav import SAMPLE_RATE, Samples, blocks, read_wav

_LEAD_S, _TAIL_S = 0.3, 1.2
_HISS = 2.0
"""Spread of the faint hiss round each recording, in 16-bit steps; no microphone delivers true zeros."""
FIRST, SECOND, BOTH = "first", "second", "both"
"""Which ear a figure belongs to."""
ALONE = 3.5
"""The largest distance that the second ear takes where it is scored alone."""


class Point(Expected, Protocol):
    """A point of a conversation: what can be said there, how it is listened for, and how long."""

    def phrases(self) -> tuple[str, ...]:
        """What the first ear listens for."""

    def ending(self, words: tuple[str, ...]) -> Ending:
        """Whether the words heard so far may be followed by others."""


class EvaluationError(AssistantError):
    """A manifest or grammar file that cannot be used."""


@dataclass(frozen=True, slots=True)
class Item:
    """One recording of the manifest."""

    path: Path
    words: tuple[str, ...]
    """What is said; empty when nothing of it may be accepted."""
    kind: str
    speaker: str
    snr: str
    """Signal to noise in dB; "clean" without added noise."""


@dataclass(frozen=True, slots=True)
class Heard:
    """What the recogniser made of one recording."""

    item: Item
    words: tuple[str, ...]
    understood: bool
    seconds: float
    """Length of the sound fed."""
    cpu: float
    """Processor seconds it took."""
    ear: str = FIRST
    """Whose words they are: FIRST, SECOND or BOTH."""
    asked: bool = False
    """The ears were not sure: the assistant would ask, and take nothing."""
    right: bool | None = None
    """Whether what was said has the meaning wanted; None: the words decide."""

    @property
    def exact(self) -> bool:
        """The whole phrase right, and taken as meant for the assistant."""
        return self.accepted and (plain(self.words) == plain(self.item.words) if self.right is None else self.right)

    @property
    def accepted(self) -> bool:
        """Words came back that count as meant for the assistant."""
        return self.understood and bool(self.words) and not self.asked


@dataclass(frozen=True, slots=True)
class Score:
    """Figures of one group of recordings."""

    kind: str
    snr: str
    speaker: str
    """Empty for all speakers together."""
    count: int
    percent: float
    """Whole phrases right; for recordings that must be refused, those wrongly accepted."""
    low: float
    high: float
    """95 % Wilson interval of ``percent``."""
    refusal: bool
    word_errors: float | None
    """Word error rate in percent; None for recordings that must be refused."""
    missed: float
    """Percent that came back as not understood, or not at all."""
    real_time_factor: float
    ear: str = FIRST
    """Whose figures these are: FIRST, SECOND or BOTH."""
    wrong: float = 0.0
    """Percent that were let through with other words or another meaning than what was said."""
    wrong_low: float = 0.0
    wrong_high: float = 100.0
    """95 % Wilson interval of ``wrong``."""
    asked: float = 0.0
    """Percent that the assistant would ask about."""


@dataclass(frozen=True, slots=True)
class Report:
    """The figures of one model on one manifest."""

    model: str
    size_mb: float
    load_seconds: float
    """From nothing to the first decoded second."""
    resident_mb: float | None
    """Most memory the process held; None where the system does not tell."""
    scores: tuple[Score, ...]


def wilson(hits: int, count: int) -> tuple[float, float]:
    """95 % interval of a share, in percent (Wilson 1927, score interval with z = 1.96)."""
    if not count:
        return 0.0, 100.0
    z, share = 1.96, hits / count
    middle = share + z * z / (2 * count)
    half = z * math.sqrt(share * (1 - share) / count + z * z / (4 * count * count))
    scale = 100 / (1 + z * z / count)
    return max(0.0, (middle - half) * scale), min(100.0, (middle + half) * scale)


def read_manifest(path: Path) -> list[Item]:
    """The recordings of a manifest.  Raises EvaluationError when it is missing or lacks a column."""
    try:
        text = path.read_text(encoding="utf-8")
    except OSError as error:
        raise EvaluationError(f"cannot read the manifest {path}: check the name") from error
    rows = csv.DictReader(text.splitlines(), delimiter="\t", quoting=csv.QUOTE_NONE)
    lacking = {"path", "transcript", "kind"} - set(rows.fieldnames or ())
    if lacking:
        raise EvaluationError(f"the manifest {path} lacks the column {', '.join(sorted(lacking))}: add it to the first line")
    items = [
        Item(
            path.parent / row["path"],
            tuple((row["transcript"] or "").lower().split()),
            row["kind"],
            row.get("speaker") or "",
            row.get("snr_db") or "clean",
        )
        for row in rows
    ]
    if not items:
        raise EvaluationError(f"the manifest {path} lists no recordings")
    return items


def grammars(items: Iterable[Item], listed: dict[str, list[str]], decoys: Sequence[str] = ()) -> dict[str, Grammar]:
    """A grammar for each kind: the phrases ``listed`` for it, else what is said in its recordings.

    A kind that must be refused is offered what all the others may say, unless phrases are listed for it.
    """
    said: dict[str, set[str]] = {}
    for item in items:
        said.setdefault(item.kind, set()).update({" ".join(item.words)} - {""})
    phrases = {kind: listed.get(kind) or sorted(found) for kind, found in said.items()}
    everything = sorted({phrase for found in phrases.values() for phrase in found})
    if not everything:
        raise EvaluationError("there is no phrase to listen for: give a grammar file, or recordings with transcripts")
    chosen = {}
    for kind, found in phrases.items():
        own = found or everything
        used = {word for phrase in own for word in phrase.split()}
        chosen[kind] = Grammar(tuple(own), tuple(word for word in decoys if word not in used))
    return chosen


def listen(recogniser: Recogniser, item: Item, grammar: Grammar) -> Heard:
    """What the recogniser makes of one recording; several utterances in it count as one."""
    sound = _padded(read_wav(item.path))
    recogniser.forget()
    recogniser.listen_for(grammar)
    started, found = time.process_time(), []
    for block in blocks(sound):
        found.append(recogniser.feed(block))
    found.append(recogniser.flush())
    cpu = time.process_time() - started
    utterances = [one for one in found if one is not None]
    words = tuple(word for one in utterances for word in one.words)
    return Heard(item, words, all(one.understood for one in utterances), len(sound) / SAMPLE_RATE, cpu)


@dataclass(frozen=True, slots=True)
class _Ear:
    """One utterance as one ear has it."""

    words: tuple[str, ...]
    understood: bool
    asked: bool = False


def listen_with_both(
    recogniser: Recogniser, second: SecondEar, item: Item, grammar: Grammar, expected: Expected | None
) -> tuple[Heard, ...]:
    """What the first ear, the second and both together make of one recording.

    ``expected``: what can be said at a point of the conversation; the meaning then counts, of each utterance in the recording.
    Without it the phrases of the grammar and their words count, those of all utterances together.
    """
    hearing = Hearing(recogniser, lambda _: None, second)
    bound = expected or Listed(grammar.phrases)
    sound = _padded(read_wav(item.path))
    recogniser.forget()
    hearing.bind(grammar, bound)
    cpu = dict.fromkeys((FIRST, SECOND), 0.0)
    ears: dict[str, list[_Ear]] = {FIRST: [], SECOND: [], BOTH: []}
    started = time.process_time()
    for block in (*blocks(sound), None):
        utterance = recogniser.flush() if block is None else recogniser.feed(block)
        if utterance is None:
            continue
        cpu[FIRST] += time.process_time() - started
        started = time.process_time()
        opinion, verdict = hearing.opinion(utterance)
        cpu[SECOND] += time.process_time() - started
        started = time.process_time()
        both = settled(utterance, verdict)
        best = opinion.readings[0] if opinion.readings else None
        taken = best is not None and best.meaning is not None and opinion.distance(best) <= ALONE
        ears[FIRST].append(_Ear(utterance.words, utterance.understood))
        ears[SECOND].append(_Ear(best.words if best else (), taken))
        ears[BOTH].append(_Ear(both.words, both.understood, bool(both.doubt)))
    cpu[FIRST] += time.process_time() - started
    cpu[BOTH] = cpu[FIRST] + cpu[SECOND]
    seconds = len(sound) / SAMPLE_RATE
    return tuple(_as_heard(ear, item, found, seconds, cpu[ear], expected) for ear, found in ears.items())


def _as_heard(ear: str, item: Item, found: list[_Ear], seconds: float, cpu: float, expected: Expected | None) -> Heard:
    words = tuple(word for one in found for word in one.words)
    if expected is None:
        return Heard(item, words, all(one.understood for one in found), seconds, cpu, ear, any(one.asked for one in found))
    taken = [one.words for one in found if one.understood and not one.asked and expected.meaning(one.words) is not None]
    wanted = expected.meaning(item.words) if item.words else None
    right = bool(taken) and all(expected.meaning(one) == wanted for one in taken)
    asked = not taken and any(one.asked for one in found)
    return Heard(item, words, bool(taken) or asked, seconds, cpu, ear, asked, right)


def score(heard: Sequence[Heard], by_speaker: bool = False) -> tuple[Score, ...]:
    """Figures of each ear for each kind and each signal-to-noise ratio, and if wanted each speaker."""
    groups: dict[tuple[str, str, str, int], list[Heard]] = {}
    for one in heard:
        order = (FIRST, SECOND, BOTH).index(one.ear)
        groups.setdefault((one.item.kind, one.item.snr, "", order), []).append(one)
        if by_speaker and one.item.speaker:
            groups.setdefault((one.item.kind, one.item.snr, one.item.speaker, order), []).append(one)
    return tuple(_score(*key[:3], group) for key, group in sorted(groups.items()))


def evaluate(
    model: Path,
    manifest: Path,
    grammar: Path | None = None,
    decoys: Path | None = None,
    decoy_count: int = 300,
    by_speaker: bool = False,
    tell: Callable[[Heard], None] = lambda _: None,
    second: SecondEar | None = None,
    points: Mapping[str, Point] | None = None,
) -> Report:
    """Scores a model directory on a manifest, and with a second ear that and both together too.

    ``grammar``: JSON object, phrases for each kind.  ``decoys``: a file of words, one a line, the first ``decoy_count`` of
    which are listed beside the grammar.  ``points``: kinds that are said at a point of the conversation, and what can be said there;
    they are listened to as there, in the phrases and for how long more is waited for; the meaning counts.  ``tell`` is called with each
    result.

    Raises EvaluationError, AudioError or ModelError, each saying what to do.
    """
    items = read_manifest(manifest)
    listed = _read_json(grammar) if grammar else {}
    chosen = grammars(items, listed, _read_lines(decoys)[:decoy_count] if decoys else ())
    started = time.perf_counter()
    recogniser = Recogniser(model)
    for kind, point in (points or {}).items():
        if kind in chosen:
            chosen[kind] = as_there(recogniser, chosen[kind], point, listed=kind in listed)
    recogniser.listen_for(next(iter(chosen.values())))
    recogniser.feed(np.zeros(SAMPLE_RATE, np.int16))
    load = time.perf_counter() - started
    heard: list[Heard] = []
    for item in sorted(items, key=lambda one: one.kind):
        grammar_of = chosen[item.kind]
        if second is None:
            found: tuple[Heard, ...] = (listen(recogniser, item, grammar_of),)
        else:
            found = listen_with_both(recogniser, second, item, grammar_of, (points or {}).get(item.kind))
        heard.extend(found)
        for one in found:
            tell(one)
    size = sum(file.stat().st_size for file in model.rglob("*") if file.is_file()) / 1e6
    return Report(str(model), round(size, 1), round(load, 3), _resident_mb(), score(heard, by_speaker))


def as_there(recogniser: Recogniser, grammar: Grammar, point: Point, *, listed: bool) -> Grammar:
    """The grammar of a kind that is said at a point of the conversation; phrases that were listed for it stay."""
    phrases = grammar.phrases if listed else recogniser.sayable(point.phrases())
    used = {word for phrase in phrases for word in phrase.split()}
    decoys = tuple(word for word in grammar.decoys if word not in used)
    return replace(grammar, phrases=phrases, decoys=decoys, wait=lambda words: WAITS[point.ending(words)])


def table(report: Report) -> str:
    """The report as text."""
    lines = [
        f"model {report.model}: {report.size_mb} MB, first decode after {report.load_seconds} s, resident {report.resident_mb or '?'} MB",
        f"{'kind':22} {'snr':>6} {'speaker':16} {'ear':6} {'n':>5} {'%':>6} {'95 %':>13} {'wrong':>6} {'95 %':>13} {'asked':>6} "
        f"{'refused':>7} {'WER':>6} {'rtf':>6}",
    ]
    for s in report.scores:
        errors = "" if s.word_errors is None else f"{s.word_errors:.1f}"
        name = s.kind + (" (accepted)" if s.refusal else "")
        lines.append(
            f"{name:22} {s.snr:>6} {s.speaker:16} {s.ear:6} {s.count:5} {s.percent:6.1f} {s.low:6.1f}-{s.high:<6.1f} "
            f"{s.wrong:6.1f} {s.wrong_low:6.1f}-{s.wrong_high:<6.1f} {s.asked:6.1f} {s.missed:7.1f} {errors:>6} {s.real_time_factor:6.3f}"
        )
    return "\n".join(lines)


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """The options of `run`."""
    parser.add_argument("manifest", type=Path, help="tab-separated: path, transcript, kind, speaker, snr_db")
    parser.add_argument("--model", default=None, help="folder of a Vosk model; the bundled one if left out")
    parser.add_argument("--grammar", type=Path, default=None, help="JSON: phrases to listen for, for each kind")
    parser.add_argument("--decoys", type=Path, default=None, help="file of ordinary words listed beside the grammar")
    parser.add_argument("--decoy-count", type=int, default=300, help="how many of them")
    parser.add_argument("--by-speaker", action="store_true", help="figures of each speaker too")
    parser.add_argument("--json", type=Path, default=None, help="write the figures here as well")
    parser.add_argument("--one-ear", action="store_true", help="the first ear alone")
    parser.add_argument("--wrong", action="store_true", help="list what was heard wrong")


def run(args: argparse.Namespace, points: Mapping[str, Point] | None = None) -> None:
    """Scores the model and prints the table; the command behind it."""

    def tell(one: Heard) -> None:
        wrong = not one.exact if one.item.words else one.accepted
        if wrong and args.wrong:
            sign = " (asked)" if one.asked else "" if one.understood else " (not for us)"
            print(f"{one.item.path.name}\t{one.ear}\t{one.item.kind}\t{' '.join(one.item.words)}\t{' '.join(one.words)}{sign}")

    model = find_model(args.model)
    second = None if args.one_ear else SecondEar(second_ear())
    report = evaluate(model, args.manifest, args.grammar, args.decoys, args.decoy_count, args.by_speaker, tell, second, points)
    print(table(report))
    if args.json:
        try:
            args.json.write_text(json.dumps(asdict(report), indent=1) + "\n", encoding="utf-8")
        except OSError as error:
            raise EvaluationError(f"cannot write {args.json}: check the folder and the free space") from error


def _score(kind: str, snr: str, speaker: str, group: list[Heard]) -> Score:
    spoken = [one for one in group if one.item.words]
    refusal = not spoken
    count = len(group) if refusal else len(spoken)
    hits = sum(one.accepted for one in group) if refusal else sum(one.exact for one in spoken)
    errors = None
    if spoken:
        reference = [" ".join(plain(one.item.words)) for one in spoken]
        errors = 100 * float(jiwer.wer(reference, [" ".join(plain(one.words)) for one in spoken]))
    low, high = wilson(hits, count)
    missed = 100 * sum(not (one.accepted or one.asked) for one in group) / len(group)
    through = hits if refusal else sum(one.accepted and not one.exact for one in spoken)
    wrong = wilson(through, count)
    asked = 100 * sum(one.asked for one in group) / len(group)
    factor = sum(one.cpu for one in group) / sum(one.seconds for one in group)
    rate = 100 / count
    return Score(
        kind, snr, speaker, count, hits * rate, low, high, refusal, errors, missed, factor, group[0].ear, through * rate, *wrong, asked
    )


def _padded(sound: Samples) -> Samples:
    hiss = np.random.default_rng(1).normal(0, _HISS, len(sound) + round((_LEAD_S + _TAIL_S) * SAMPLE_RATE))
    start = round(_LEAD_S * SAMPLE_RATE)
    hiss[start : start + len(sound)] += sound
    return np.clip(np.rint(hiss), -32768, 32767).astype(np.int16)


def _resident_mb() -> float | None:
    try:
        import resource
    except ImportError:  # Windows
        return None
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    return round(peak / (1e6 if sys.platform == "darwin" else 1024), 1)


def _read_lines(path: Path) -> list[str]:
    try:
        return [line.strip() for line in path.read_text(encoding="utf-8").splitlines() if line.strip()]
    except OSError as error:
        raise EvaluationError(f"cannot read {path}: check the name") from error


def _read_json(path: Path) -> dict[str, list[str]]:
    try:
        listed = json.loads(path.read_text(encoding="utf-8"))
    except (OSError, ValueError) as error:
        raise EvaluationError(f"cannot read {path}: it must be a JSON object of phrases for each kind") from error
    if not isinstance(listed, dict) or not all(isinstance(found, list) for found in listed.values()):
        raise EvaluationError(f"{path} must be a JSON object of phrases for each kind")
    return listed
