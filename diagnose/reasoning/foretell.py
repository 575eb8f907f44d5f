"""What each answer to each question would do, foretold on plain values.

Foretelling weighs sets of at most two causes, where the verdict weighs three, and each topic by itself. So it ranks
questions; it never concludes anything.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from diagnose.engine.chain import Chain, Change
from diagnose.engine.facts import Evidence, Fact, Facts, Value
from diagnose.knowledge.models.facts import Observation
from diagnose.knowledge.rule_base import RuleBase

from .decisions import Decisions, doubt, gathered, numbered
from .findings import findings, is_nothing, normal_chance, normal_weights, row_of
from .weigh import (
    Cell,
    Numbers,
    Row,
    Weighing,
    companions,
    count_once,
    group_of,
    make_cell,
    make_cells,
    prior_weights,
    ratios_of,
    strength,
)

PAIRS = 2
"""Questions are compared on sets of at most this many causes; the verdict itself uses larger ones."""

Key = tuple[str, str]
"""A finding: what was looked at, and the answer."""


@dataclass(frozen=True)
class Foretold:
    """What the answers to one question would do in one topic; a row for each answer."""

    likely: Numbers
    """How likely each answer is."""
    gain: float
    """Expected fall in doubt about what to do, in bits."""
    chances: Numbers
    """The chance of each cause (column) after each answer."""
    causes: tuple[str, ...]
    now: Numbers
    """The chance of each cause as things stand."""


class Outlook:
    """What is known now, made ready to foretell what many possible answers would do."""

    def __init__(
        self,
        base: RuleBase,
        chain: Chain,
        weighings: Mapping[str, Weighing],
        facts: Facts,
        evidence: frozenset[Evidence],
        named: Decisions,
    ) -> None:
        self.base, self.chain, self.facts, self.evidence = base, chain, facts, evidence
        self.topics = {topic: _Topic(base, weighing, named) for topic, weighing in weighings.items()}

    def foretell(self, asked: Iterable[Observation]) -> dict[str, dict[str, Foretold]]:
        """For each question, by name, what its answers would do in each topic that they move."""
        pages = {page.observe: sample_answers(self.base, page) for page in asked}
        changes = {
            name: [self.chain.change(self.facts, self.evidence, Fact(name, value)) for value in answers]
            for name, answers in pages.items()
        }
        found: dict[str, dict[str, Foretold]] = {name: {} for name in pages}
        for topic, here in self.topics.items():
            moved = {
                name: [here.changed(change, self.evidence) for change in listed]
                for name, listed in changes.items()
            }
            moved = {name: cells for name, cells in moved.items() if any(new or old for new, old in cells)}
            weights = {name: [*pages[name].values()] for name in moved}
            for name, foretold in here.foretell(moved, weights).items():
                found[name][topic] = foretold
        return found


def sample_answers(base: RuleBase, observation: Observation) -> Mapping[Value, float]:
    """One value for each answer that could be given, with its weight in a sound wine."""
    weights = normal_weights(base, observation)
    if observation.kind == "several":
        return {frozenset({answer}): weight for answer, weight in weights.items()}
    if observation.kind == "number":
        return {inside(observation, band): weight for band, weight in weights.items()}
    plain: dict[Value, float] = {answer: weight for answer, weight in weights.items()}  # noqa: C416
    return plain


def inside(observation: Observation, band: str) -> float:
    """A value inside a band."""
    assert observation.plausible is not None
    low, high = observation.plausible
    names = list(observation.bands)
    start = observation.bands[band].starts
    following = names.index(band) + 1
    end = observation.bands[names[following]].starts if following < len(names) else None
    return ((low if start is None else start) + (high if end is None else end)) / 2


class _Topic:
    """One topic as it stands, with its findings kept so that a few more can be counted quickly."""

    def __init__(self, base: RuleBase, weighing: Weighing, named: Decisions) -> None:
        self.base, self.weighing = base, weighing
        self.sets, _ = prior_weights(
            tuple(weighing.priors.items()), PAIRS, companions(weighing.priors, weighing.cells)
        )
        small = np.array(weighing.shares[: len(self.sets.members)])
        self.shares = small / small.sum()
        self.done = numbered(self.sets, named)
        self.before = float(doubt(gathered(self.shares[np.newaxis], self.done))[0])
        self.now = self.sets.chances(self.shares[np.newaxis])[0]
        self.cells: dict[Key, Cell] = {(cell.key, cell.answer): cell for cell in weighing.cells}
        self.best: dict[tuple[str, str, bool], tuple[Key, Row]] = {}
        self.rows: dict[Key, tuple[Row, ...]] = {}
        for entry in weighing.counted:
            if entry.repeats is None:
                key = entry.finding, entry.answer
                self.best[group_of(entry.row)] = key, entry.row
                self.rows[key] = (*self.rows.get(key, ()), entry.row)

    def changed(self, change: Change, evidence: frozenset[Evidence]) -> tuple[list[Cell], list[Cell]]:
        """The findings that would be new or different, and those they replace."""
        if change.lost:
            return self._counted_anew((evidence - change.lost) | change.gained)
        rows: dict[Key, tuple[Row, ...]] = {}
        best: dict[tuple[str, str, bool], tuple[Key, Row]] = {}
        for item in sorted(change.gained, key=lambda item: (item.cause, item.row, item.answer)):
            if item.cause not in self.weighing.priors:
                continue
            key, row = (item.observe, item.answer), row_of(self.base, item)
            group = group_of(row)
            beaten = best.get(group) or self.best.get(group)
            if beaten:
                if strength(*beaten[0], beaten[1]) > strength(*key, row):
                    continue
                left = rows.get(beaten[0], self.rows.get(beaten[0], ()))
                rows[beaten[0]] = tuple(other for other in left if other is not beaten[1])
            best[group] = key, row
            rows[key] = (*rows.get(key, self.rows.get(key, ())), row)
        new = [self._cell(key, left) for key, left in rows.items() if left]
        return new, [self.cells[key] for key in rows if key in self.cells]

    def _cell(self, key: Key, rows: Sequence[Row]) -> Cell:
        ratios: dict[str, float] = {}
        for row in rows:
            ratios[row.cause] = ratios.get(row.cause, 1.0) * 10 ** (row.decibans / 10)
        return make_cell(*key, normal_chance(self.base, *key), is_nothing(self.base, *key), ratios)

    def _counted_anew(self, evidence: Iterable[Evidence]) -> tuple[list[Cell], list[Cell]]:
        rows = findings(self.base, evidence, self.weighing.priors)
        cells = {(cell.key, cell.answer): cell for cell in make_cells(rows, count_once(rows))}
        same = {key for key, cell in cells.items() if key in self.cells and _alike(cell, self.cells[key])}
        new = [cell for key, cell in cells.items() if key not in same]
        return new, [cell for key, cell in self.cells.items() if key not in same]

    def foretell(
        self,
        moved: Mapping[str, Sequence[tuple[Sequence[Cell], Sequence[Cell]]]],
        weights: Mapping[str, Sequence[float]],
    ) -> dict[str, Foretold]:
        """What the answers to each question would do; the cells that come and go are given for each answer."""
        if not moved:
            return {}
        scores = self._scores(moved, weights)
        counts = [len(answers) for answers in moved.values()]
        starts = np.concatenate([[0], np.cumsum(counts)[:-1]])
        # For each set of causes the answers to one question are made to share one whole.
        whole = np.repeat(np.add.reduceat(scores, starts, axis=0), counts, axis=0)
        joint = self.shares * scores / whole
        likely = joint.sum(axis=1)
        left = likely * doubt(gathered(joint / likely[:, np.newaxis], self.done))
        gains = self.before - np.add.reduceat(left, starts)
        after = self.shares * scores
        chances = self.sets.chances(after / after.sum(axis=1, keepdims=True))
        return {
            name: Foretold(
                likely[start : start + count],
                max(0.0, float(gain)),
                chances[start : start + count],
                self.sets.causes,
                self.now,
            )
            for name, start, count, gain in zip(moved, starts, counts, gains, strict=True)
        }

    def _scores(
        self,
        moved: Mapping[str, Sequence[tuple[Sequence[Cell], Sequence[Cell]]]],
        weights: Mapping[str, Sequence[float]],
    ) -> Numbers:
        """For each answer (row) and set of causes (column), how readily it is given, up to a common factor."""
        answers = [pair for listed in moved.values() for pair in listed]
        cells = [cell for new, old in answers for cell in (*new, *old)]
        ratios = ratios_of(cells, self.sets)
        scores = np.repeat(
            np.array([weight for name in moved for weight in weights[name]])[:, np.newaxis],
            len(self.shares),
            axis=1,
        )
        at = 0
        for row, (new, old) in enumerate(answers):
            for _ in new:
                scores[row] *= ratios[at]
                at += 1
            for _ in old:
                scores[row] /= ratios[at]
                at += 1
        return scores


def _alike(one: Cell, other: Cell) -> bool:
    """Whether two findings say the same; what other topics bring is left out of account."""
    return (one.normal, one.nothing, one.ratios) == (other.normal, other.nothing, other.ratios)
