"""The little template language in which every phrase of the vocabulary is written.

One template feeds the matcher (what was meant), the recogniser (what to listen for) and the help text, so the three cannot drift
apart:

    bay <count>                a slot, filled by a spoken number
    [go to] mark <count>       brackets: may be left out
    (say again|repeat)         round brackets: one of these

Slots: ``<length>`` (with or without a unit), ``<second>`` (another length) and ``<count>``.
Nothing here knows what a phrase means.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from functools import cache
from typing import TypeAlias

_TOKEN = re.compile(r"\s*(<\w+>|[()\[\]|]|[^\s()\[\]|<>]+)")

SlotValue: TypeAlias = object
SlotReader: TypeAlias = Callable[[str, tuple[str, ...]], "SlotValue | None"]
"""(slot name, words) -> the value those words spell, or None when they spell nothing."""


@dataclass(frozen=True, slots=True)
class Word:
    """One word that must stand here."""

    text: str


@dataclass(frozen=True, slots=True)
class Slot:
    """A run of one or more words that a reader turns into a value."""

    name: str


@dataclass(frozen=True, slots=True)
class Choice:
    """One of several sequences; an empty one makes the whole optional."""

    options: tuple[tuple[Node, ...], ...]


Node: TypeAlias = "Word | Slot | Choice"


class TemplateError(ValueError):
    """A template that does not parse: a mistake in the vocabulary, found when it is loaded."""


@cache
def parse_template(template: str) -> tuple[Node, ...]:
    """The nodes of a template.  Raises TemplateError."""
    tokens = _TOKEN.findall(template)
    nodes, rest = _sequence(tokens, 0, closing="")
    if rest != len(tokens):
        raise TemplateError(f"unexpected {tokens[rest]!r} in {template!r}")
    return nodes


def _sequence(tokens: Sequence[str], at: int, closing: str) -> tuple[tuple[Node, ...], int]:
    nodes: list[Node] = []
    while at < len(tokens):
        token = tokens[at]
        if token in ("|", closing):
            break
        if token in "([":
            options, at = _options(tokens, at + 1, ")" if token == "(" else "]")
            nodes.append(Choice((*options, ()) if token == "[" else options))
        elif token in ")]":
            break
        else:
            nodes.append(Slot(token[1:-1]) if token[0] == "<" else Word(token))
            at += 1
    return tuple(nodes), at


def _options(tokens: Sequence[str], at: int, closing: str) -> tuple[tuple[tuple[Node, ...], ...], int]:
    options = []
    while True:
        option, at = _sequence(tokens, at, closing)
        options.append(option)
        if at >= len(tokens):
            raise TemplateError(f"missing {closing!r}")
        if tokens[at] == closing:
            return tuple(options), at + 1
        if tokens[at] != "|":
            raise TemplateError(f"expected {closing!r}, found {tokens[at]!r}")
        at += 1


def match(nodes: Sequence[Node], words: tuple[str, ...], read: SlotReader) -> dict[str, SlotValue] | None:
    """The slot values when the template derives exactly these words, else None.

    A slot takes as many words as it can, so "bay twenty one" is bay 21 and never bay 20 with a word left over.
    """
    return next((found for found, rest in beginning(nodes, words, read) if not rest), None)


def beginning(nodes: Sequence[Node], words: tuple[str, ...], read: SlotReader) -> Iterator[tuple[dict[str, SlotValue], tuple[str, ...]]]:
    """The slot values of every way in which the words begin with what the template derives, and the words behind it."""
    return _match(tuple(nodes), words, {}, read)


def first_words(nodes: Sequence[Node]) -> frozenset[str] | None:
    """Every word that what the template derives can begin with; None where that is a slot, or nothing at all."""
    found: set[str] = set()
    for node in nodes:
        if isinstance(node, Word):
            return frozenset(found | {node.text})
        if isinstance(node, Slot):
            return None
        options = [(option, first_words(option)) for option in node.options if option]
        if any(firsts is None for _, firsts in options):
            return None
        found.update(word for _, firsts in options for word in firsts or ())
        if all(node.options):
            return frozenset(found)
    return None


def _match(
    nodes: tuple[Node, ...], words: tuple[str, ...], found: dict[str, SlotValue], read: SlotReader
) -> Iterator[tuple[dict[str, SlotValue], tuple[str, ...]]]:
    if not nodes:
        yield found, words
        return
    node, rest = nodes[0], nodes[1:]
    if isinstance(node, Word):
        if words and words[0] == node.text:
            yield from _match(rest, words[1:], found, read)
    elif isinstance(node, Choice):
        for option in node.options:
            yield from _match((*option, *rest), words, found, read)
    else:
        for size in range(len(words), 0, -1):
            value = read(node.name, words[:size])
            if value is not None:
                yield from _match(rest, words[size:], {**found, node.name: value}, read)


def match_passing(
    nodes: Sequence[Node], words: tuple[str, ...], read: SlotReader, passable: Callable[[str], bool], most: int
) -> tuple[dict[str, SlotValue], int] | None:
    """The slot values when the template derives the words without some of those that are `passable`, and how many were passed over.

    The fewest, `most` at the highest; None where there is no such way.
    """
    best: tuple[dict[str, SlotValue], int] | None = None

    def walk(nodes: tuple[Node, ...], words: tuple[str, ...], found: dict[str, SlotValue], passed: int) -> None:
        nonlocal best
        if passed > most or (best is not None and passed >= best[1]):
            return
        if not nodes and not words:
            best = (found, passed)
            return
        if nodes:
            node, rest = nodes[0], nodes[1:]
            if isinstance(node, Choice):
                for option in node.options:
                    walk((*option, *rest), words, found, passed)
                return
            if isinstance(node, Word):
                if words and words[0] == node.text:
                    walk(rest, words[1:], found, passed)
            else:
                for size in range(len(words), 0, -1):
                    value = read(node.name, words[:size])
                    if value is not None:
                        walk(rest, words[size:], {**found, node.name: value}, passed)
        if words and passable(words[0]):
            walk(nodes, words[1:], found, passed + 1)

    walk(tuple(nodes), words, {}, 0)
    return best


def expand(nodes: Sequence[Node]) -> Iterator[tuple[str, ...]]:
    """Every word sequence the template derives, a slot standing as ``<name>``."""
    if not nodes:
        yield ()
        return
    node, rest = nodes[0], tuple(nodes[1:])
    heads: list[tuple[str, ...]]
    if isinstance(node, Word):
        heads = [(node.text,)]
    elif isinstance(node, Slot):
        heads = [(f"<{node.name}>",)]
    else:
        heads = [head for option in node.options for head in expand(option)]
    for head in heads:
        for tail in expand(rest):
            yield head + tail
