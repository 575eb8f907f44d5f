"""Conditions compared with each other: which implies which, which meet, and what stretch of a number none covers.

Every fact is cut into pieces that no test can tell apart: not known, each word, each stretch between two figures, each
set of ticked answers. A branch of a condition is then a box: for each fact the pieces it allows. Boxes can be laid over
each other exactly, so nothing here is a guess. A fact is taken to have one value at most; contradictory facts are left
out.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import combinations, pairwise
from typing import Any, Literal, TypeAlias

from diagnose.engine.facts import Value
from diagnose.engine.truth import Branch, Leaf

Piece: TypeAlias = "str | float | frozenset[str] | None"
"""One value that stands for all that no test tells from it; None while the fact is not known."""

Box: TypeAlias = "Mapping[str, frozenset[Piece]]"
"""For each fact that is not free, the pieces it may be."""

ANY_OTHER = "…"
"""Stands for every answer that no test names."""

MOST_TICKED = 6
"""Answers told apart in a question of several ticks; sets of more than these are not looked at."""


@dataclass(frozen=True)
class Domain:
    """What a fact can be. Of a number `answers` is empty, and `least` and `most` are the ends of what is plausible."""

    kind: Literal["word", "several", "number"]
    answers: tuple[str, ...] = ()
    alone: tuple[str, ...] = ()
    """Answers that cannot be ticked beside others."""
    least: float = -math.inf
    most: float = math.inf


Domains: TypeAlias = "Mapping[str, Domain]"
Ways: TypeAlias = "Sequence[Branch]"
"""A condition, as its alternatives."""


@dataclass(frozen=True)
class Stretch:
    """A stretch of a number, with or without its ends; one figure alone where both ends are the same."""

    low: float
    high: float
    low_in: bool
    high_in: bool

    @property
    def sample(self) -> float:
        """A number inside it."""
        if self.low == self.high:
            return self.low
        if math.isinf(self.low):
            return 0.0 if math.isinf(self.high) else self.high - 1
        return self.low + 1 if math.isinf(self.high) else (self.low + self.high) / 2

    def __str__(self) -> str:
        """The stretch in words."""
        if self.low == self.high:
            return f"exactly {self.low:g}"
        low = f"{'from' if self.low_in else 'above'} {self.low:g}"
        high = f"{'up to' if self.high_in else 'to below'} {self.high:g}"
        return f"{low} {high}"


def implies(narrow: Ways, wide: Ways, domains: Domains) -> bool:
    """Whether `wide` holds wherever `narrow` does. A condition that can never hold implies everything."""
    pieces = _universe((*narrow, *wide), domains)
    covers = [*_boxes(wide, pieces)]
    return all(not _sticks_out(box, covers, pieces) for box in _boxes(narrow, pieces))


def meet(one: Ways, other: Ways, domains: Domains) -> bool:
    """Whether both can hold at once."""
    return can_hold([here + there for here in one for there in other], domains)


def can_hold(ways: Ways, domains: Domains) -> bool:
    """Whether there are facts under which the condition holds."""
    return any(True for _ in _boxes(ways, _universe(ways, domains)))


def overlap(name: str, one: Ways, other: Ways, domains: Domains) -> tuple[Stretch, ...]:
    """The stretches of a number in which both can hold."""
    both = [here + there for here in one for there in other]
    pieces = _universe(both, domains)
    cuts = {cut.sample: cut for cut in _cuts(_figures(name, both), domains.get(name, Domain("number")))}
    allowed = {piece for box in _boxes(both, pieces) for piece in box.get(name, pieces[name])}
    return _joined([cut for sample, cut in cuts.items() if sample in allowed])


def gaps(name: str, ways: Ways, domains: Domains) -> tuple[Stretch, ...]:
    """The stretches of a number that no way covers, between two that are covered, all else being equal."""
    ways = [way for way in ways if _figures(name, [way])]
    pieces = _universe(ways, domains)
    cuts = _cuts(_figures(name, ways), domains.get(name, Domain("number")))
    boxes = [*_boxes(ways, pieces)]
    found: dict[Stretch, None] = {}
    for way in ways:
        rest = _box(replace(way, tests=tuple(leaf for leaf in way.tests if leaf.name != name)), pieces)
        if rest is not None:
            found.update(dict.fromkeys(_inside(cuts, [_covered(name, cut, rest, boxes) for cut in cuts])))
    return tuple(found)


def _covered(name: str, cut: Stretch, rest: Box, boxes: Iterable[Box]) -> bool:
    here = {**rest, name: frozenset({cut.sample})}
    return any(_common(here, box) is not None for box in boxes)


def _inside(cuts: Sequence[Stretch], covered: Sequence[bool]) -> Iterator[Stretch]:
    """What is not covered between the first and the last stretch that is."""
    if any(covered):
        first, last = covered.index(True), len(covered) - covered[::-1].index(True)
        yield from _joined(
            [cut for cut, is_in in zip(cuts[first:last], covered[first:last], strict=True) if not is_in]
        )


def _joined(cuts: Sequence[Stretch]) -> tuple[Stretch, ...]:
    """Stretches that touch become one."""
    found: list[Stretch] = []
    for cut in cuts:
        if found and found[-1].high == cut.low and found[-1].high_in != cut.low_in:
            found[-1] = replace(found[-1], high=cut.high, high_in=cut.high_in)
        else:
            found.append(cut)
    return tuple(found)


# ---------------------------------------------------------------- pieces of a fact


def _universe(ways: Iterable[Branch], domains: Domains) -> dict[str, frozenset[Piece]]:
    """For each fact that is named, every piece the tests cut it into."""
    leaves: dict[str, list[Leaf]] = {}
    for way in ways:
        for name in (*way.known, *way.unknown):
            leaves.setdefault(name, [])
        for leaf in way.tests:
            leaves.setdefault(leaf.name, []).append(leaf)
    return {name: frozenset({None, *_pieces(tests, domains.get(name))}) for name, tests in leaves.items()}


def _pieces(leaves: Sequence[Leaf], domain: Domain | None) -> Iterator[Value]:
    # What no page asks and no state holds, such as whether a test is asked for, is a word.
    domain = domain or Domain("word")
    if domain.kind == "number":
        yield from (cut.sample for cut in _cuts(_all_figures(leaves), domain))
        return
    named = {word for leaf in leaves for _, wanted in leaf.parts for word in _words(wanted)}
    if domain.answers:
        named &= set(domain.answers)
    words = sorted(named)
    others = not domain.answers or bool(set(domain.answers) - named)
    if domain.kind == "word":
        yield from [*words, *([ANY_OTHER] if others else [])]
    else:
        yield from _ticked([*words, *([ANY_OTHER] if others else [])], domain.alone)


def _ticked(words: Sequence[str], alone: Sequence[str]) -> Iterator[Value]:
    yield from (frozenset({word}) for word in words)
    beside = [word for word in words if word not in alone]
    for size in range(2, min(len(beside), MOST_TICKED) + 1):
        yield from map(frozenset, combinations(beside, size))


def _words(wanted: Any) -> tuple[str, ...]:
    return (wanted,) if isinstance(wanted, str) else tuple(wanted) if isinstance(wanted, tuple) else ()


def _figures(name: str, ways: Iterable[Branch]) -> list[float]:
    return _all_figures([leaf for way in ways for leaf in way.tests if leaf.name == name])


def _all_figures(leaves: Iterable[Leaf]) -> list[float]:
    return sorted({wanted for leaf in leaves for _, wanted in leaf.parts if isinstance(wanted, float)})


def _cuts(figures: Sequence[float], domain: Domain) -> list[Stretch]:
    """The number line cut at each figure, lowest first: a stretch, a figure, a stretch, and so on."""
    inside = [figure for figure in figures if domain.least <= figure <= domain.most]
    ends = [domain.least, *inside, domain.most]
    found: list[Stretch] = []
    for at, (low, high) in enumerate(pairwise(ends)):
        if at:
            found.append(Stretch(low, low, True, True))
        if low < high:
            first, last = at == 0, at == len(ends) - 2
            found.append(Stretch(low, high, first, last))
    return found or [Stretch(domain.least, domain.most, True, True)]


# ---------------------------------------------------------------- boxes


def _boxes(ways: Iterable[Branch], pieces: Mapping[str, frozenset[Piece]]) -> Iterator[Box]:
    """The boxes of those ways that can hold."""
    for way in ways:
        box = _box(way, pieces)
        if box is not None:
            yield box


def _box(way: Branch, pieces: Mapping[str, frozenset[Piece]]) -> Box | None:
    box: dict[str, frozenset[Piece]] = {}
    for name in (*way.names, *way.unknown):
        tests = [leaf for leaf in way.tests if leaf.name == name]
        allowed: frozenset[Piece] = frozenset(
            piece for piece in pieces[name] if piece is not None and all(leaf.passes(piece) for leaf in tests)
        )
        must_be_known = bool(tests) or name in way.known
        if name in way.unknown:
            allowed = frozenset() if must_be_known else frozenset({None})
        if not allowed:
            return None
        box[name] = allowed
    return box


def _common(one: Box, other: Box) -> Box | None:
    """The part that two boxes share."""
    found = dict(one)
    for name, allowed in other.items():
        found[name] = found[name] & allowed if name in found else allowed
        if not found[name]:
            return None
    return found


def _sticks_out(box: Box, covers: Sequence[Box], pieces: Mapping[str, frozenset[Piece]]) -> bool:
    """Whether some part of the box lies in none of the covers."""
    for at, cover in enumerate(covers):
        if _common(box, cover) is not None:
            return any(_sticks_out(part, covers[at + 1 :], pieces) for part in _outside(box, cover, pieces))
    return True


def _outside(box: Box, cover: Box, pieces: Mapping[str, frozenset[Piece]]) -> Iterator[Box]:
    """The parts of a box outside another, none of them twice: one fact after the other leaves the cover."""
    inside = dict(box)
    for name, allowed in cover.items():
        here = inside.get(name, pieces[name])
        if here - allowed:
            yield {**inside, name: here - allowed}
        inside[name] = here & allowed
