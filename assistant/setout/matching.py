"""The search behind a matched run, on whole numbers: which largest gap over the run gives the least spread.

Crosses the border: bays in, a count for each out. For a largest gap b, every bay does best with its fewest pickets
whose gap is at most b: no other counts have a smaller spread or fewer pickets in all. The spread is then b less the
smallest of those gaps. So only gaps that some bay can have need trying as b, and the largest of those that are given.
The pickets of the run fall as b grows, so a bound on them is a least b. The gaps are tried upwards. A bay whose gap
lies further below b than the best spread so far rules out every b short of its own next gap, and the furthest such
jump is taken, so few are really tried.

Bays alike in all but their opening form a kind. Within a kind, sorted by opening, bays with the same count lie side by
side, so a kind is examined count by count and not bay by bay. All lengths are whole numbers of one shared fraction of
a millimetre; a gap is a pair of whole numbers.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from itertools import accumulate
from math import lcm

from assistant.setout.lengths import Length
from assistant.setout.spacing import Bay, require_ends_within_limit, solve
from assistant.setout.tolerances import LEAST_GAP_SHARE
from assistant.setout.trouble import ImpossibleError, Problem


@dataclass(slots=True)
class _Kind:
    """Bays alike in picket, ends, limit and least gap. Lengths are in shared parts of a millimetre."""

    width: int
    ends: int
    """Twice (the ends' coefficients less one), so that a gap is 2*(room - n*width) / (2*n + ends)."""
    least: int
    limit: Fraction
    strict: bool
    floor: Fraction
    rooms: list[int] = field(default_factory=list)
    """The openings less their fixed ends, ascending, each once."""
    bays_before: list[int] = field(default_factory=list)
    """How many bays have one of the rooms before this one; one entry more than rooms."""

    def gap(self, room: int, count: int) -> Fraction:
        return Fraction(2 * (room - count * self.width), 2 * count + self.ends)

    def allows(self, gap: Fraction) -> bool:
        return gap < self.limit if self.strict else gap <= self.limit

    def fewest(self, room: int) -> int:
        return self._count(room, self.limit.numerator, self.limit.denominator, self.strict)

    def fits(self, room: int) -> bool:
        return self.fewest(room) * self.width < room

    def most(self, room: int) -> int:
        """The count to start from: the most pickets above the floor, but never too few for the limit."""
        up, down = self.floor.numerator, self.floor.denominator
        above_floor = (2 * down * room - up * self.ends) // (2 * (down * self.width + up))
        return max(self.fewest(room), min(above_floor, -(-room // self.width) - 1))

    def _count(self, room: int, up: int, down: int, strict: bool) -> int:
        """Fewest pickets whose gap is at most (where strict, under) up / down."""
        needed, each = 2 * down * room - up * self.ends, 2 * (down * self.width + up)
        return max(self.least, needed // each + 1 if strict else -(-needed // each))

    def runs(self, bound: Fraction) -> Iterator[tuple[int, int, int]]:
        """Stretches of `rooms` (from, to) that share the fewest count under the bound and the limit."""
        strict = not self.allows(bound) and self.strict
        if not self.allows(bound):
            bound = self.limit
        up, down = bound.numerator, bound.denominator
        each, offset = 2 * (down * self.width + up), up * self.ends - strict
        start, rooms = 0, self.rooms
        while start < len(rooms):
            count = self._count(rooms[start], up, down, strict)
            stop = bisect_right(rooms, (count * each + offset) // (2 * down), start)
            yield start, stop, count
            start = stop

    def last_below(self, gap: Fraction, count: int, start: int, stop: int) -> int:
        """Where the last of a stretch lies whose gap is below this one."""
        up, down = gap.numerator * (2 * count + self.ends), 2 * gap.denominator
        return bisect_left(self.rooms, count * self.width - (-up // down), start, stop) - 1


@dataclass(slots=True)
class _Look:
    """What one largest gap does to the run."""

    smallest: Fraction | None = None
    """The smallest gap over the run."""
    following: Fraction | None = None
    """The next larger gap some bay can have."""
    jump: Fraction | None = None
    """No largest gap short of this one can do better than the best so far."""
    hopeless: bool = False
    """No larger gap at all can do better."""


@dataclass(frozen=True, slots=True)
class Counts:
    """A count for each bay, and which bays (from zero) end up with the smallest and the largest gap."""

    counts: tuple[int, ...]
    narrowest: int
    widest: int


def fewest_counts(bays: Sequence[Bay]) -> Counts:
    """Every bay's own fewest pickets; raises ImpossibleError for a bay that no count suits."""
    kinds, places, _ = _kinds(bays, Fraction(0))
    return _counts(kinds, places, [kind.limit for kind in kinds])


def matched_counts(
    bays: Sequence[Bay],
    least_gap: Length | None,
    alike: Length,
    given: Sequence[Length] = (),
    most_pickets: int | None = None,
) -> Counts:
    """Counts of least spread, and of fewest pickets among those; raises ImpossibleError for a bay that none suits.

    Without a least gap, LEAST_GAP_SHARE of each bay's limit is one. A bay that has no count between its least gap and
    its limit takes the fewest its limit allows. Spreads up to `alike` count as equal. Gaps that are given count in the
    spread. Where most pickets are named, the run takes no more; they must be enough for every bay's fewest.
    """
    kinds, places, shared = _kinds(bays, least_gap)
    reached = [kind.gap(room, kind.most(room)) for kind in kinds for room in kind.rooms]
    first = max(*reached, *(gap * shared for gap in given)) if given else max(reached)
    if most_pickets is not None:
        first = _first_within(kinds, first, most_pickets)
    largest = _best_largest(kinds, first, alike * shared, min(given) * shared if given else None)
    return _counts(kinds, places, [largest] * len(kinds))


def _counts(kinds: list[_Kind], places: list[tuple[int, int]], bounds: list[Fraction]) -> Counts:
    found = []
    smallest: tuple[Fraction, tuple[int, int]] | None = None
    largest: tuple[Fraction, tuple[int, int]] | None = None
    for number, (kind, bound) in enumerate(zip(kinds, bounds, strict=True)):
        counts: dict[int, int] = {}
        for start, stop, count in kind.runs(bound):
            counts.update(dict.fromkeys(kind.rooms[start:stop], count))
            # Within a stretch the gap grows with the opening, so its extremes are at its ends.
            low, high = kind.rooms[start], kind.rooms[stop - 1]
            lowest, highest = kind.gap(low, count), kind.gap(high, count)
            if smallest is None or lowest < smallest[0]:
                smallest = lowest, (number, low)
            if largest is None or highest > largest[0]:
                largest = highest, (number, high)
        found.append(counts)
    assert smallest is not None
    assert largest is not None
    return Counts(
        tuple([found[number][room] for number, room in places]),
        places.index(smallest[1]),
        places.index(largest[1]),
    )


def _first_within(kinds: list[_Kind], largest: Fraction, most_pickets: int) -> Fraction:
    """The smallest largest gap from this one up that takes no more than so many pickets."""
    enough = max(kind.limit for kind in kinds)
    while _pickets(kinds, largest) > most_pickets:
        middle = (largest + enough) / 2
        if _pickets(kinds, middle) <= most_pickets:
            enough = middle
            continue
        following = _look(kinds, middle, None, None).following
        assert following is not None
        largest = following
    return largest


def _pickets(kinds: list[_Kind], largest: Fraction) -> int:
    return sum(count * (kind.bays_before[stop] - kind.bays_before[start]) for kind in kinds for start, stop, count in kind.runs(largest))


def _best_largest(kinds: list[_Kind], largest: Fraction, alike: Fraction, given: Fraction | None) -> Fraction:
    """The largest of the largest gaps from this one up whose spread is least, or at most `alike`."""
    best = largest
    spread: Fraction | None = None
    while True:
        look = _look(kinds, largest, None if spread is None else largest - spread, given)
        if look.hopeless:
            return best
        following = look.jump
        if following is None:
            assert look.smallest is not None
            best, spread, following = largest, max(largest - look.smallest, alike), look.following
        if following is None:
            return best
        largest = following


def _look(kinds: list[_Kind], largest: Fraction, wanted: Fraction | None, given: Fraction | None) -> _Look:
    """Examine one largest gap; gaps below `wanted` are too far below it to beat the best spread.

    `given` is the smallest gap that stands already.
    """
    look = _Look(given)
    if given is not None and wanted is not None and given < wanted:
        look.hopeless = True
        return look
    for kind in kinds:
        for start, stop, count in kind.runs(largest):
            lowest = kind.gap(kind.rooms[start], count)
            blocked = wanted is not None and lowest < wanted
            nearest = start
            if blocked and wanted is not None:
                nearest = kind.last_below(wanted, count, start, stop)
            fewer = kind.gap(kind.rooms[nearest], count - 1) if count > kind.least else None
            if fewer is not None and not kind.allows(fewer):
                fewer = None
            if blocked:
                if fewer is None:
                    look.hopeless = True
                    return look
                look.jump = fewer if look.jump is None else max(look.jump, fewer)
            elif fewer is not None:
                look.following = fewer if look.following is None else min(look.following, fewer)
            look.smallest = lowest if look.smallest is None else min(look.smallest, lowest)
    return look


def _kinds(bays: Sequence[Bay], least_gap: Length | None) -> tuple[list[_Kind], list[tuple[int, int]], int]:
    """The kinds, for each bay its kind's number and its room, and the shared parts in a millimetre."""
    if not bays:
        raise ImpossibleError(Problem.NOTHING_GIVEN, "There is no bay in the run. Give at least one.", lengths={})
    # A run mostly shares its parts, so each is looked at once; the bays keep them alive, so their ids are theirs.
    parts = {(id(bay.picket), id(bay.limit), id(bay.left), id(bay.right)): bay for bay in bays}
    denominators = {bay.opening.denominator for bay in bays}
    for bay in parts.values():
        denominators |= {bay.picket.denominator, bay.left.fixed.denominator, bay.right.fixed.denominator}
    shared = lcm(*denominators)
    kinds: list[_Kind] = []
    numbers: dict[tuple[object, ...], int] = {}
    known = {}
    for part, bay in parts.items():
        require_ends_within_limit(bay)
        key = (bay.picket, bay.left.kind, bay.right.kind, bay.limit.value, bay.limit.strict)
        number = numbers.setdefault(key, len(kinds))
        if number == len(kinds):
            kinds.append(_kind(bay, least_gap, shared))
        known[part] = number, int((bay.left.fixed + bay.right.fixed) * shared)
    places = []
    for bay in bays:
        number, fixed = known[id(bay.picket), id(bay.limit), id(bay.left), id(bay.right)]
        places.append((number, bay.opening.numerator * (shared // bay.opening.denominator) - fixed))
    bays_in = Counter(places)
    for number, room in bays_in:
        if not kinds[number].fits(room):
            solve(bays[places.index((number, room))])
        kinds[number].rooms.append(room)
    for number, kind in enumerate(kinds):
        kind.rooms.sort()
        kind.bays_before = [0, *accumulate(bays_in[number, room] for room in kind.rooms)]
    return kinds, places, shared


def _kind(bay: Bay, least_gap: Length | None, shared: int) -> _Kind:
    limit = bay.limit.value
    return _Kind(
        width=int(bay.picket * shared),
        ends=int(2 * (bay.left.coefficient + bay.right.coefficient - 1)),
        least=bay.least,
        limit=limit * shared,
        strict=bay.limit.strict,
        floor=(limit * LEAST_GAP_SHARE if least_gap is None else least_gap) * shared,
    )
