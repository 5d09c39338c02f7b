"""Combinators for spoken forms.  A form is written once and used three times.

``read``     every way the form derives words from a place on: a strict reader, nothing is skipped or guessed
``weave``    the form as part of an automaton of words: everything it lists and nothing else, for an ear that is bound to it
``phrases``  phrases that together hold every pair of neighbouring words the form derives: what a recogniser is told

Words cross the border, and the values a form was given for them.
"""

from __future__ import annotations

from abc import ABC, abstractmethod
from collections.abc import Callable, Iterable, Iterator
from itertools import chain
from typing import Any, Generic, TypeVar

from assistant.numbers.results import Words
from assistant.wordgraph import Net

T_co = TypeVar("T_co", covariant=True)


class Form(ABC, Generic[T_co]):
    """A way of saying values of one type."""

    @abstractmethod
    def read(self, words: Words, at: int) -> Iterator[tuple[T_co, int]]:
        """(value, end) for every stretch ``words[at:end]`` that the form derives."""

    @abstractmethod
    def phrases(self) -> tuple[Words, ...]:
        """Derived phrases that hold every pair of neighbours, every first word and every last word of the form."""

    @abstractmethod
    def weave(self, net: Net, start: int) -> int:
        """Adds everything the form lists to the net, from a state on; the state behind it."""

    @abstractmethod
    def words(self) -> frozenset[str]:
        """Every word the form may hold."""

    def values(self, words: Words) -> list[T_co]:
        """The different values of all readings that use every word, in the order of the grammar."""
        return list(dict.fromkeys(value for value, end in self.read(words, 0) if end == len(words)))


class Table(Form[T_co]):
    """A list of phrases and what each means; a phrase is written with spaces."""

    def __init__(self, entries: Iterable[tuple[str, T_co]]) -> None:
        self._entries = [(tuple(phrase.split()), value) for phrase, value in entries]
        self._by_first: dict[str, list[tuple[Words, int, T_co]]] = {}
        for phrase, value in self._entries:
            self._by_first.setdefault(phrase[0], []).append((phrase, len(phrase), value))

    def read(self, words: Words, at: int) -> Iterator[tuple[T_co, int]]:
        if at < len(words):
            for phrase, size, value in self._by_first.get(words[at], ()):
                if size == 1 or words[at : at + size] == phrase:
                    yield value, at + size

    def weave(self, net: Net, start: int) -> int:
        end = net.state()
        for phrase, _ in self._entries:
            net.chain(start, phrase, end)
        return end

    def phrases(self) -> tuple[Words, ...]:
        return tuple(phrase for phrase, _ in self._entries)

    def words(self) -> frozenset[str]:
        return frozenset(word for phrase, _ in self._entries for word in phrase)


class Alt(Form[T_co]):
    """One of several forms."""

    def __init__(self, *forms: Form[T_co]) -> None:
        self._forms = forms

    def read(self, words: Words, at: int) -> Iterator[tuple[T_co, int]]:
        for form in self._forms:
            yield from form.read(words, at)

    def weave(self, net: Net, start: int) -> int:
        end = net.state()
        for form in self._forms:
            net.skip(form.weave(net, start), end)
        return end

    def phrases(self) -> tuple[Words, ...]:
        return thinned(phrase for form in self._forms for phrase in form.phrases())

    def words(self) -> frozenset[str]:
        return frozenset().union(*(form.words() for form in self._forms))


class Opt(Form[T_co]):
    """A form that may be left out, and what its absence means."""

    def __init__(self, form: Form[T_co], absent: T_co) -> None:
        self._form = form
        self._absent = absent

    def read(self, words: Words, at: int) -> Iterator[tuple[T_co, int]]:
        yield from self._form.read(words, at)
        yield self._absent, at

    def weave(self, net: Net, start: int) -> int:
        end = self._form.weave(net, start)
        net.skip(start, end)
        return end

    def phrases(self) -> tuple[Words, ...]:
        return ((), *self._form.phrases())

    def words(self) -> frozenset[str]:
        return self._form.words()


class Seq(Form[T_co]):
    """Forms one after another; ``join`` makes one value of theirs."""

    def __init__(self, join: Callable[..., T_co], *parts: Form[Any]) -> None:
        self._join = join
        self._parts = parts

    def read(self, words: Words, at: int) -> Iterator[tuple[T_co, int]]:
        for values, end in self._read(words, at, 0):
            yield self._join(*values), end

    def _read(self, words: Words, at: int, part: int) -> Iterator[tuple[tuple[Any, ...], int]]:
        if part == len(self._parts):
            yield (), at
            return
        for value, middle in self._parts[part].read(words, at):
            for rest, end in self._read(words, middle, part + 1):
                yield (value, *rest), end

    def weave(self, net: Net, start: int) -> int:
        for part in self._parts:
            start = part.weave(net, start)
        return start

    def phrases(self) -> tuple[Words, ...]:
        covered: tuple[Words, ...] = ((),)
        for part in self._parts:
            covered = _joined(covered, part.phrases())
        return covered

    def words(self) -> frozenset[str]:
        return frozenset().union(*(part.words() for part in self._parts))


class Repeat(Form[str]):
    """A text form said ``low`` to ``high`` characters long, one after another."""

    def __init__(self, form: Form[str], low: int, high: int) -> None:
        self._form = form
        self._low = low
        self._high = high

    def read(self, words: Words, at: int) -> Iterator[tuple[str, int]]:
        return self._read(words, at, "")

    def _read(self, words: Words, at: int, so_far: str) -> Iterator[tuple[str, int]]:
        if len(so_far) >= self._low:
            yield so_far, at
        for text, end in self._form.read(words, at):
            if len(so_far) + len(text) <= self._high:
                yield from self._read(words, end, so_far + text)

    def weave(self, net: Net, start: int) -> int:
        alone = Net()
        first = alone.state()
        singles = [(phrase, self._form.values(phrase)) for phrase in alone.graph(first, self._form.weave(alone, first)).phrases()]
        said = [start, *(net.state() for _ in range(self._high))]
        for length, state in enumerate(said):
            for phrase, texts in singles:
                for text in texts:
                    if length + len(text) <= self._high:
                        net.chain(state, phrase, said[length + len(text)])
        end = net.state()
        for state in said[self._low :]:
            net.skip(state, end)
        return end

    def phrases(self) -> tuple[Words, ...]:
        single = self._form.phrases()
        double = (first + second for first in single for second in single)
        return thinned(phrase for phrase in chain(single, double) if self.values(phrase))

    def words(self) -> frozenset[str]:
        return self._form.words()


class Unlisted(Form[T_co]):
    """A form that is read when it turns up but is not offered to the recogniser.

    For spellings that sound like a listed one, and for readings that exist only to make another one doubtful.
    """

    def __init__(self, form: Form[T_co]) -> None:
        self._form = form

    def read(self, words: Words, at: int) -> Iterator[tuple[T_co, int]]:
        return self._form.read(words, at)

    def weave(self, net: Net, start: int) -> int:
        return net.state()

    def phrases(self) -> tuple[Words, ...]:
        return ()

    def words(self) -> frozenset[str]:
        return self._form.words()


class Map(Form[T_co]):
    """A form whose values are turned into others."""

    def __init__(self, change: Callable[[Any], T_co], form: Form[Any]) -> None:
        self._change = change
        self._form = form

    def read(self, words: Words, at: int) -> Iterator[tuple[T_co, int]]:
        for value, end in self._form.read(words, at):
            yield self._change(value), end

    def weave(self, net: Net, start: int) -> int:
        return self._form.weave(net, start)

    def phrases(self) -> tuple[Words, ...]:
        return self._form.phrases()

    def words(self) -> frozenset[str]:
        return self._form.words()


class Only(Form[T_co]):
    """A form less the values that fail a test; only read, so never listed."""

    def __init__(self, good: Callable[[Any], bool], form: Form[T_co]) -> None:
        self._good = good
        self._form = form

    def read(self, words: Words, at: int) -> Iterator[tuple[T_co, int]]:
        return ((value, end) for value, end in self._form.read(words, at) if self._good(value))

    def weave(self, net: Net, start: int) -> int:
        return net.state()

    def phrases(self) -> tuple[Words, ...]:
        return ()

    def words(self) -> frozenset[str]:
        return self._form.words()


class Shared(Form[T_co]):
    """A form that many others begin with: its readings of the words at hand are kept, and so are its phrases."""

    def __init__(self, form: Form[T_co]) -> None:
        self._form = form
        self._phrases: tuple[Words, ...] | None = None
        self._kept: tuple[Words, dict[int, tuple[tuple[T_co, int], ...]]] = ((), {})

    def read(self, words: Words, at: int) -> Iterator[tuple[T_co, int]]:
        kept = self._kept
        if kept[0] != words:
            kept = self._kept = (words, {})
        if at not in kept[1]:
            kept[1][at] = tuple(self._form.read(words, at))
        return iter(kept[1][at])

    def weave(self, net: Net, start: int) -> int:
        return self._form.weave(net, start)

    def phrases(self) -> tuple[Words, ...]:
        if self._phrases is None:
            self._phrases = self._form.phrases()
        return self._phrases

    def words(self) -> frozenset[str]:
        return self._form.words()


def word(text: str) -> Form[None]:
    """A word that only has to be there; several words are written with spaces, alternatives with a bar."""
    return Table((phrase, None) for phrase in text.split("|"))


def thinned(phrases: Iterable[Words]) -> tuple[Words, ...]:
    """The phrases less those whose every pair of neighbours, first and last word included, an earlier one has."""
    kept: list[Words] = []
    pairs: set[tuple[str, str]] = set()
    for phrase in phrases:
        if not pairs.issuperset(zip(("", *phrase), (*phrase, ""), strict=True)):
            kept.append(phrase)
            pairs.update(zip(("", *phrase), (*phrase, ""), strict=True))
    return tuple(kept)


def _joined(firsts: tuple[Words, ...], seconds: tuple[Words, ...]) -> tuple[Words, ...]:
    """Enough of the phrases "first second" that no pair of neighbours goes missing.

    Firsts kept for their own sake are spread over the seconds, and the other way round.
    """
    if not firsts or not seconds:  # one of them is only read, never listed
        return ()
    ends = {first[-1:]: first for first in reversed(firsts)}
    starts = {second[:1]: second for second in reversed(seconds)}
    return thinned(
        chain(
            (first + seconds[turn % len(seconds)] for turn, first in enumerate(firsts)),
            (firsts[turn % len(firsts)] + second for turn, second in enumerate(seconds)),
            (first + second for first in ends.values() for second in starts.values()),
        )
    )
