"""Cutting rails from stock lengths: as few as can be found, with the least that any plan could need.

Crosses the border: pieces, a stock length and a saw kerf in, a `CutPlan` out. Lengths in mm. Best fit, longest piece
first, gives a plan; bounds after Martello and Toth and after Fekete and Schepers tell the fewest there could be; where they
differ and the pieces are few, every plan is searched within a fixed budget.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right, insort
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import accumulate
from math import lcm
from operator import neg

from assistant.setout.lengths import Length
from assistant.setout.trouble import ImpossibleError, Problem, require_not_negative, require_positive

MOST_SEARCHED = 100
"""Pieces up to which plans are searched."""

SEARCH_BUDGET = 50_000
"""Placements tried before the search gives up."""

FILL_BUDGET = 2_000
"""Tries to fill one stock length."""

MOST_PARTS = 12
"""Up to how many equal parts a stock length is thought of, to tell how few could do."""


@dataclass(frozen=True, slots=True)
class CutPlan:
    """Which pieces come out of each stock length."""

    stock: Length
    kerf: Length
    sticks: tuple[tuple[Length, ...], ...]
    """The pieces of each stock length, longest first."""
    lower_bound: int
    """No plan can do with fewer stock lengths than this."""
    proven: bool
    """Whether no plan with fewer exists."""

    @property
    def offcuts(self) -> tuple[Length, ...]:
        """What is left of each stock length, after a kerf for each cut."""
        return tuple(max(Fraction(0), self.stock - sum(pieces) - len(pieces) * self.kerf) for pieces in self.sticks)


def cut_stock(pieces: Sequence[Length], stock: Length, kerf: Length = Fraction(0)) -> CutPlan:
    """Cut the pieces from stock lengths; raises ImpossibleError for a piece longer than the stock."""
    require_positive("stock length", stock)
    require_not_negative("saw kerf", kerf)
    for piece in pieces:
        require_positive("piece", piece)
        if piece > stock:
            raise ImpossibleError(
                Problem.TOO_LONG,
                "A piece of {piece} is longer than the stock of {stock}. It takes longer stock.",
                lengths={"piece": piece, "stock": stock},
            )
    # With one kerf more on the stock, every piece can carry the kerf of its own cut.
    scale = lcm(stock.denominator, kerf.denominator, *(piece.denominator for piece in pieces))
    room, extra = int((stock + kerf) * scale), int(kerf * scale)
    sizes = sorted((int(piece * scale) + extra for piece in pieces), reverse=True)
    bound = _lower_bound(sizes, room)
    plan = _best_fit(sizes, room)
    if len(plan) > bound and len(sizes) <= MOST_SEARCHED:
        plan = min(plan, _fullest(sizes, room), key=len)
    proven = len(plan) == bound
    if not proven and len(sizes) <= MOST_SEARCHED:
        search = _Search(sizes, room, plan)
        proven = search.run(bound)
        plan = search.best
    sticks = tuple(tuple(Fraction(size - extra, scale) for size in stick) for stick in plan)
    return CutPlan(stock, kerf, sticks, bound, proven)


def _best_fit(sizes: list[int], room: int) -> list[list[int]]:
    """Put each piece, longest first, where it leaves least."""
    plan: list[list[int]] = []
    left: list[tuple[int, int]] = []
    for size in sizes:
        place = bisect_left(left, (size, 0))
        if place == len(left):
            plan.append([])
            rest, stick = room, len(plan) - 1
        else:
            rest, stick = left.pop(place)
        plan[stick].append(size)
        insort(left, (rest - size, stick))
    return plan


def _fullest(sizes: list[int], room: int) -> list[list[int]]:
    """Fill one stick after the other as full as can be found, each with the longest piece that is left."""
    left, plan = list(sizes), []
    while left:
        first = left.pop(0)
        stick = [first, *_fill(left, room - first)]
        for size in stick[1:]:
            left.remove(size)
        plan.append(stick)
    return plan


def _fill(sizes: list[int], room: int) -> list[int]:
    """Pieces out of these (longest first) that leave as little of the room as FILL_BUDGET tries find."""
    best, least, tries = list[int](), room, FILL_BUDGET

    def go(at: int, over: int, chosen: list[int]) -> None:
        nonlocal best, least, tries
        tries -= 1
        if over < least:
            best, least = list(chosen), over
        at = bisect_left(sizes, -over, lo=at, key=neg)
        while at < len(sizes) and tries > 0 and least > 0:
            go(at + 1, over - sizes[at], [*chosen, sizes[at]])
            at = bisect_right(sizes, -sizes[at], lo=at, key=neg)  # an equal piece would make the same stick

    go(0, room, [])
    return best


def _lower_bound(sizes: list[int], room: int) -> int:
    """No plan has fewer sticks than this: the best of several bounds, each of them true."""
    rising = sizes[::-1]
    best = _by_halves(rising, room)
    for parts in range(2, MOST_PARTS + 1):
        best = max(best, _by_halves([_share(size, room, parts) for size in rising], room * parts))
    for at, size in enumerate(rising):
        best = max(best, -(-(len(rising) - at) // (room // size)))  # so many pieces are no shorter than this one
    return best


def _by_halves(rising: list[int], room: int) -> int:
    """Martello and Toth's L2: long pieces cannot share a stick, and the rest need what the long ones leave."""
    sums = [0, *accumulate(rising)]
    half = bisect_right(rising, room // 2)  # pieces from here on are longer than half
    best = 0
    for least in {0, *rising[:half]}:
        alone = bisect_right(rising, room - least)
        small = bisect_left(rising, least)
        free = (alone - half) * room - (sums[alone] - sums[half])
        over = sums[half] - sums[small] - free
        best = max(best, len(rising) - half + max(0, -(-over // room)))
    return best


def _share(size: int, room: int, parts: int) -> int:
    """A size rounded so that what fits on a stick of `room` still fits on one of `room * parts` (Fekete and Schepers 2001, u^(k))."""
    pieces, rest = divmod((parts + 1) * size, room)
    return pieces * room if rest else size * parts


class _Search:
    """Depth-first search over plans, longest piece first, within a budget."""

    def __init__(self, sizes: list[int], room: int, plan: list[list[int]]) -> None:
        self.best = plan
        self._sizes = sizes
        self._room = room
        self._rest = [*accumulate(sizes[::-1], initial=0)][::-1]
        self._budget = SEARCH_BUDGET
        self._plan: list[list[int]] = []
        self._left: list[int] = []
        self._at: list[int] = []

    def run(self, bound: int) -> bool:
        """Search; whether `best` is known to be the fewest."""
        self._place(0, bound)
        return self._budget > 0 or len(self.best) == bound

    def _place(self, at: int, bound: int) -> None:
        if self._budget <= 0 or len(self.best) == bound:
            return
        self._budget -= 1
        if at == len(self._sizes):
            self.best = [list(stick) for stick in self._plan]
            return
        needed = len(self._plan) + max(0, -(-(self._rest[at] - sum(self._left)) // self._room))
        if needed >= len(self.best):
            return
        size = self._sizes[at]
        tried = set()
        # Of equal pieces, one never goes before the one placed last: that would be the same plan again.
        first = self._at[-1] if at and size == self._sizes[at - 1] else 0
        for stick, left in enumerate(self._left[first:], start=first):
            if left >= size and left not in tried:
                tried.add(left)
                self._put(stick, size)
                self._place(at + 1, bound)
                self._take(stick, size)
        if len(self._plan) + 1 < len(self.best):
            self._plan.append([])
            self._left.append(self._room)
            self._put(len(self._plan) - 1, size)
            self._place(at + 1, bound)
            self._take(len(self._plan) - 1, size)
            self._plan.pop()
            self._left.pop()

    def _put(self, stick: int, size: int) -> None:
        self._plan[stick].append(size)
        self._left[stick] -= size
        self._at.append(stick)

    def _take(self, stick: int, size: int) -> None:
        self._plan[stick].pop()
        self._left[stick] += size
        self._at.pop()
