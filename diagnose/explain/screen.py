"""Which sets of supposed answers are worth judging, told from the weighing of each answer by itself.

What an answer does to the weighing is a factor for each set of causes. Where two answers have nothing to do with each
other, the factor of both is the product of their factors, and thousands of pairs are weighed at once.
"""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations
from typing import Protocol, TypeAlias

import numpy as np
from numpy.typing import NDArray

from diagnose.engine.compile import TOPIC
from diagnose.engine.facts import Evidence, Value
from diagnose.judgement.judge import Cellar, Judged, opened
from diagnose.reasoning.findings import findings
from diagnose.reasoning.foretell import Key
from diagnose.reasoning.weigh import Cell, Counted, Numbers, count_once, group_of, make_cells, ratios_of

from .leading import leading_to_any
from .what_if import as_answers, changed_answers

IN_THREES = 24
"""Sets of three are made of so many answers, those that come nearest to turning it by themselves."""
AT_ONCE = 500
CLEAR = 1e-6
"""A first cause leads clearly if its chance is greater by so much; less is judged, not reckoned."""

Chosen = tuple[int, ...]
"""A set of moves, by their places."""


Places: TypeAlias = NDArray[np.intp]


class Supposed(Protocol):
    """An answer supposed; None where it is taken away."""

    @property
    def name(self) -> str: ...
    @property
    def value(self) -> Value | None: ...


@dataclass(frozen=True)
class _Reach:
    """What one supposed answer changes in the weighing."""

    lost: frozenset[Evidence]
    gained: frozenset[Evidence]
    groups: frozenset[tuple[str, str, bool]]
    findings: frozenset[Key]
    opens: bool


class Screen:
    """The weighing of one topic, with what each supposed answer does to it."""

    def __init__(
        self,
        cellar: Cellar,
        now: Judged,
        topic: str,
        answers: Mapping[str, Value],
        moves: Sequence[Supposed],
    ) -> None:
        self._cellar, self._now, self._moves = cellar, now, moves
        self._weighing = now.weighings[topic]
        self._sets = self._weighing.weighed
        self._first = self._sets.causes.index(now.firsts[topic].cause)
        self._at = {(cell.key, cell.answer): cell for cell in self._weighing.cells}
        self._evidence = frozenset(now.trace.evidence)
        topics = cellar.base.topics
        self._reach: list[_Reach] = []
        factors = []
        for move in moves:
            trace = cellar.chain.start(as_answers(changed_answers(answers, {move.name: move.value})))
            evidence = frozenset(trace.evidence)
            cells, counted = self._cells_of(evidence)
            self._reach.append(
                _Reach(
                    self._evidence - evidence,
                    evidence - self._evidence,
                    frozenset(group_of(item.row) for item in {*counted} ^ {*self._weighing.counted}),
                    frozenset(self._touched(cells)),
                    set(opened(cellar.base, trace.facts)) != set(opened(cellar.base, now.facts)),
                )
            )
            factors.append(self._factor_of(cells))
        self._factors = np.array(factors)
        # Only rules that lead to evidence in this topic, or open another, can join two answers.
        wanted = [
            *(f"evidence.{cause}" for cause in self._weighing.priors),
            *(TOPIC + name for name in topics),
        ]
        matter = leading_to_any(cellar, wanted).rules
        self._down = {
            move.name: matter & {rule.id for rule in cellar.chain.downstream(move.name)} for move in moves
        }
        names = {name: at for at, name in enumerate(self._down)}
        self._questions = np.array([names[move.name] for move in moves], dtype=np.intp)
        self._unjoined, self._apart = self._two_by_two()

    def _cells_of(self, evidence: Iterable[Evidence]) -> tuple[dict[Key, Cell], tuple[Counted, ...]]:
        """The findings that this evidence comes to, each group counted once."""
        found = findings(self._cellar.base, evidence, self._weighing.priors)
        counted = count_once(found)
        return {(cell.key, cell.answer): cell for cell in make_cells(found, counted)}, counted

    def _touched(self, cells: Mapping[Key, Cell]) -> set[Key]:
        """The findings that are not what they are now."""
        return {key for key in {*self._at, *cells} if not _alike(self._at.get(key), cells.get(key))}

    def _factor_of(self, cells: Mapping[Key, Cell]) -> Numbers:
        """For each set of causes, how many times more readily these findings are met than those of now."""
        touched = sorted(self._touched(cells))
        new = ratios_of([cells[key] for key in touched if key in cells], self._sets).prod(axis=0)
        old = ratios_of([self._at[key] for key in touched if key in self._at], self._sets).prod(axis=0)
        factor: Numbers = new / old
        return factor

    def promising(self, size: int, surely: bool) -> tuple[list[Chosen], int, int]:
        """The sets of one size that may turn the first cause, those that come nearest first.

        Also how many sets there are, and how many were left out because they surely do not; none, unless `surely`.
        """
        chosen = self._sets_of(size)
        lead = self._lead(chosen)
        out = np.zeros(len(chosen), dtype=bool)
        if surely and len(self._now.topics) == 1:
            apart = self._all(self._apart, chosen)
            if size == 2:
                # Rules do not join them, but they speak of the same things: counted once, together.
                for at in np.flatnonzero(self._all(self._unjoined, chosen) & ~apart).tolist():
                    lead[at], apart[at] = self._lead_together(*chosen[at].tolist()), True
            out = (lead > CLEAR) & apart
        order = np.argsort(lead, kind="stable")
        waiting = chosen[order[~out[order]]]
        return [tuple(places) for places in waiting.tolist()], self._how_many(size), int(out.sum())

    def _sets_of(self, size: int) -> Places:
        """Sets of moves, one answer to each question: a row for each set, by the places of its moves."""
        among = np.array(self._candidates(size), dtype=np.intp)
        picked = np.array(list(combinations(range(len(among)), size)), dtype=np.intp).reshape(-1, size)
        chosen = among[picked]
        questions = self._questions[chosen]
        differ = np.ones(len(chosen), dtype=bool)
        for one, other in combinations(range(size), 2):
            differ &= questions[:, one] != questions[:, other]
        found: Places = chosen[differ]
        return found

    def _candidates(self, size: int) -> list[int]:
        """All moves for pairs; for larger sets those that come nearest by themselves."""
        places = list(range(len(self._moves)))
        if size <= 2:
            return places
        lead = self._lead(np.array(places, dtype=np.intp).reshape(-1, 1)).tolist()
        return sorted(sorted(places, key=lambda at: (lead[at], at))[:IN_THREES])

    def _how_many(self, size: int) -> int:
        """How many sets of this size there are, with one answer at most to each question."""
        counts: dict[str, int] = {}
        for move in self._moves:
            counts[move.name] = counts.get(move.name, 0) + 1
        ways = [1, *[0] * size]
        for count in counts.values():
            for taken in range(size, 0, -1):
                ways[taken] += count * ways[taken - 1]
        return ways[size]

    def _lead(self, chosen: Places) -> Numbers:
        """By how much the first cause would still lead, for each set; below 0 where another would."""
        shares = np.array(self._weighing.shares)
        leads = [np.zeros(0)]
        for start in range(0, len(chosen), AT_ONCE):
            leads.append(
                self._lead_after(shares * self._factors[chosen[start : start + AT_ONCE]].prod(axis=1))
            )
        return np.concatenate(leads)

    def _lead_after(self, shares: Numbers) -> Numbers:
        chances = self._sets.chances(shares / shares.sum(axis=1).reshape(-1, 1))
        first = chances[:, self._first].copy()
        chances[:, self._first] = -1.0
        lead: Numbers = first - chances.max(axis=1)
        return lead

    def _all(self, of_two: NDArray[np.bool_], chosen: Places) -> NDArray[np.bool_]:
        """Whether something holds of each two moves of each set."""
        found = np.ones(len(chosen), dtype=bool)
        for one, other in combinations(range(chosen.shape[1]), 2):
            found &= of_two[chosen[:, one], chosen[:, other]]
        return found

    def _lead_together(self, one: int, other: int) -> float:
        """The lead after two answers that no rule joins: what they bring and take is counted together."""
        ours, theirs = self._reach[one], self._reach[other]
        evidence = (self._evidence - ours.lost - theirs.lost) | ours.gained | theirs.gained
        factor = self._factor_of(self._cells_of(evidence)[0])
        return float(self._lead_after((np.array(self._weighing.shares) * factor).reshape(1, -1))[0])

    def _two_by_two(self) -> tuple[NDArray[np.bool_], NDArray[np.bool_]]:
        """For each two moves: whether no rule joins them, and whether they touch no finding and no group in common."""
        opens = np.array([reach.opens for reach in self._reach], dtype=bool)
        unjoined = _disjoint([self._down[move.name] for move in self._moves]) & ~opens & ~opens.reshape(-1, 1)
        groups, touched = ([getattr(reach, key) for reach in self._reach] for key in ("groups", "findings"))
        return unjoined, unjoined & _disjoint(groups) & _disjoint(touched)


def _disjoint(sets: Sequence[frozenset[Hashable]]) -> NDArray[np.bool_]:
    """For each two sets, whether they share nothing."""
    place = {thing: at for at, thing in enumerate(dict.fromkeys(thing for held in sets for thing in held))}
    table = np.zeros((len(sets), len(place)), dtype=np.float32)
    for row, held in enumerate(sets):
        table[row, [place[thing] for thing in held]] = 1
    shared: NDArray[np.bool_] = table @ table.T == 0
    return shared


def _alike(one: Cell | None, other: Cell | None) -> bool:
    """Whether two findings say the same; what other topics bring is left out of account."""
    if one is None or other is None:
        return one is other
    return one is other or (one.normal, one.nothing, one.ratios) == (
        other.normal,
        other.nothing,
        other.ratios,
    )
