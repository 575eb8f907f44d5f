"""How likely each cause is, given what was found.

Causes combine as in a noisy-OR: a finding needs only one cause that explains it, while finding *nothing*
speaks against every cause that should have shown. All sets of up to three causes at once are weighed, and
"something these rules do not know" is one of the causes. The person came because something is wrong, so at
least one cause is in play.

When the wine has several kinds of trouble, each topic is weighed by itself, and what the causes of one topic
explain already is no surprise to the others (`weigh_topics`).

Heckerman and Shwe (arXiv 1303.1463) compared such combinations on hard clinical cases: noisy-OR came closest
to the reference, own odds for each cause overestimated, one-cause-only underestimated.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property, lru_cache
from itertools import combinations
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

UNKNOWN = "unknown"
"""Something these rules do not know."""

MOST_AT_ONCE = 3
COMPANIONS = 32
"""In a topic with more causes than this, only those that explain most by themselves are weighed in company."""
DIGITS = 13
"""Chances are told to so many figures; those that are then equal stand in the order of their names."""
SWEEPS = 3
"""How often topics take account of one another; more changes nothing that could be seen."""
_CEILING = 0.95
"""No cause makes a finding more certain than this."""


Numbers: TypeAlias = NDArray[np.float64]


@dataclass(frozen=True)
class Row:
    """What one finding says about one cause, in decibans."""

    cause: str
    row: int
    decibans: float
    about: str


@dataclass(frozen=True)
class FindingRows:
    """One finding, with every row that speaks of it.

    `normal` is the chance of this answer when none of the causes is at work; `nothing` says that the answer
    means that nothing was found.
    """

    key: str
    answer: str
    normal: float
    nothing: bool
    rows: tuple[Row, ...]


@dataclass(frozen=True)
class Cell:
    """A finding made ready: for each cause its likelihood ratio, repeats already left out.

    `beside` is the chance that a positive finding is met anyway: `normal`, and what causes of other topics bring.
    """

    key: str
    answer: str
    normal: float
    nothing: bool
    ratios: Mapping[str, float]
    beside: float

    def ratio(self, causes: Iterable[str]) -> float:
        """How many times more often the finding is met with these causes than with none."""
        return float(ratios_of([self], Sets.of([tuple(causes)]))[0, 0])


@dataclass(frozen=True)
class Sets:
    """Sets of causes, by name, and by the places of their causes: a row for each set, filled up with one place more.

    Sums over the causes of each set are picked out by place. A product of matrices would do the same, but its last
    digits, and its speed on a busy machine, depend on the library behind it.
    """

    causes: tuple[str, ...]
    members: tuple[tuple[str, ...], ...]
    places: NDArray[np.intp] = field(repr=False)

    @staticmethod
    def of(members: Iterable[tuple[str, ...]]) -> Sets:
        """These sets of causes."""
        listed = tuple(members)
        causes = tuple(sorted({cause for causes in listed for cause in causes}))
        place = {cause: at for at, cause in enumerate(causes)}
        places = np.full((len(listed), max(map(len, listed), default=1)), len(causes))
        for row, inside in enumerate(listed):
            places[row, : len(inside)] = [place[cause] for cause in inside]
        return Sets(causes, listed, places)

    def sums(self, values: Numbers) -> Numbers:
        """For each row of values (a column for each cause), the sum over the causes of each set."""
        more = np.concatenate([values, np.zeros((len(values), 1))], axis=1)
        found: Numbers = more[:, self.places[:, 0]]
        for column in range(1, self.places.shape[1]):
            found = found + more[:, self.places[:, column]]
        return found

    def chances(self, shares: Numbers) -> Numbers:
        """For each row of shares (a column for each set), the chance of each cause."""
        width = len(self.causes) + 1
        found = np.zeros((len(shares), width))
        rows = np.arange(len(shares))[:, np.newaxis] * width
        for column in range(self.places.shape[1]):
            at = (rows + self.places[:, column]).ravel()
            found += np.bincount(at, shares.ravel(), found.size).reshape(found.shape)
        return found[:, :-1]


def ratios_of(cells: Sequence[Cell], sets: Sets) -> Numbers:
    """For each finding (row) and each set of causes (column), how many times more often it is met than with none."""
    place = {cause: at for at, cause in enumerate(sets.causes)}
    against = np.zeros((len(cells), len(sets.causes)))
    away = np.zeros_like(against)
    for row, cell in enumerate(cells):
        for cause in cell.ratios.keys() & place.keys():
            ratio = cell.ratios[cause]
            if ratio < 1:
                against[row, place[cause]] = math.log(ratio)
            elif ratio > 1:
                away[row, place[cause]] = math.log((1 - cell.normal * ratio) / (1 - cell.normal))
    beside = np.array([cell.beside for cell in cells])[:, np.newaxis]
    nothing = np.array([cell.nothing for cell in cells], dtype=bool)[:, np.newaxis]
    lowered, stays_away = sets.sums(against), sets.sums(away)
    # Noisy-OR: the finding stays away only if every cause fails to bring it.
    explained = (stays_away < 0) & ~(nothing & (lowered < 0))
    return np.where(explained, (1 - (1 - beside) * np.exp(stays_away)) / beside, np.exp(lowered))


@dataclass(frozen=True)
class Counted:
    """A row as it was counted: `repeats` names the stronger finding of the same group that stands for it."""

    finding: str
    answer: str
    row: Row
    repeats: str | None = None


@dataclass(frozen=True)
class Weighing:
    """Chances of causes, and how they came about: each weighed set of causes with its chance."""

    priors: Mapping[str, float]
    cells: tuple[Cell, ...]
    counted: tuple[Counted, ...]
    weighed: Sets = field(repr=False, compare=False)
    shares: tuple[float, ...] = field(repr=False)
    """The chance of each weighed set."""

    @cached_property
    def sets(self) -> tuple[tuple[tuple[str, ...], float], ...]:
        """Each weighed set of causes with its chance."""
        return tuple(zip(self.weighed.members, self.shares, strict=True))

    @cached_property
    def chances(self) -> Mapping[str, float]:
        """The chance of each cause, the unknown one included, most likely first; ties by name, as they are listed."""
        exact = self.weighed.chances(np.array([self.shares]))[0].tolist()
        listed = [
            (cause, float(f"{chance:.{DIGITS}g}"))
            for cause, chance in zip(self.weighed.causes, exact, strict=True)
        ]
        return dict(sorted(listed, key=lambda item: -item[1]))


def weigh(priors: Mapping[str, float], findings: Sequence[FindingRows]) -> Weighing:
    """Weigh all findings. `priors` holds the chance of each cause beforehand, `UNKNOWN` among them.

    The order of findings makes no difference.
    """
    ordered = sorted(findings, key=lambda finding: (finding.key, finding.answer))
    counted = count_once(ordered)
    return _weighed(priors, make_cells(ordered, counted), counted)


def _weighed(priors: Mapping[str, float], cells: tuple[Cell, ...], counted: tuple[Counted, ...]) -> Weighing:
    sets, weights = prior_weights(tuple(priors.items()), MOST_AT_ONCE, companions(priors, cells))
    scored = weights * ratios_of(cells, sets).prod(axis=0)
    return Weighing(priors, cells, counted, sets, tuple((scored / scored.sum()).tolist()))


def companions(priors: Mapping[str, float], cells: Sequence[Cell]) -> tuple[str, ...]:
    """The causes that are weighed in company: all of them, unless the topic is very large."""
    if len(priors) <= COMPANIONS:
        return tuple(sorted(priors))
    alone = {
        cause: math.log(chance / (1 - chance))
        + math.fsum(math.log(cell.ratios[cause]) for cell in cells if cause in cell.ratios)
        for cause, chance in priors.items()
    }
    return tuple(sorted(sorted(alone, key=lambda cause: (-alone[cause], cause))[:COMPANIONS]))


@lru_cache(maxsize=256)
def prior_weights(
    priors: tuple[tuple[str, float], ...], most: int, companions: tuple[str, ...]
) -> tuple[Sets, Numbers]:
    """Every cause alone and every set of up to `most` companions, with its weight before any finding."""
    odds = {cause: chance / (1 - chance) for cause, chance in sorted(priors)}
    members: list[tuple[str, ...]] = [(cause,) for cause in odds]
    members += [group for size in range(2, most + 1) for group in combinations(companions, size)]
    weights = np.array([math.prod(odds[cause] for cause in group) for group in members])
    return Sets.of(members), weights


# ---------------------------------------------------------------- several topics at once


def weigh_topics(
    priors: Mapping[str, Mapping[str, float]], findings: Mapping[str, Sequence[FindingRows]]
) -> dict[str, Weighing]:
    """Weigh each topic; a positive finding that causes of another topic bring surprises less.

    Exact while topics share no finding, or one; else an approximation that passes messages between topics, each
    without what it was told itself.
    """
    found = {topic: weigh(priors[topic], findings[topic]) for topic in priors}
    for _ in range(SWEEPS if len(found) > 1 else 0):
        away = {topic: _stays_away(weighing) for topic, weighing in found.items()}
        found = {
            topic: _weighed(
                weighing.priors,
                tuple(
                    replace(cell, beside=_beside(cell, (away[other] for other in away if other != topic)))
                    for cell in weighing.cells
                ),
                weighing.counted,
            )
            for topic, weighing in found.items()
        }
    return found


def _stays_away(weighing: Weighing) -> dict[tuple[str, str], float]:
    """For each positive finding, the chance that no cause of this topic brings it, by all the other findings."""
    ratios = ratios_of(weighing.cells, weighing.weighed)
    found = {}
    for row, cell in enumerate(weighing.cells):
        if any(ratio > 1 for ratio in cell.ratios.values()):
            without = np.array(weighing.shares) / ratios[row]
            bare = replace(cell, beside=cell.normal)
            brought = ratios_of([bare], weighing.weighed)[0] * cell.normal
            away = np.clip((1 - brought) / (1 - cell.normal), 0.0, 1.0)
            found[cell.key, cell.answer] = float((without * away).sum() / without.sum())
    return found


def _beside(cell: Cell, others: Iterable[Mapping[tuple[str, str], float]]) -> float:
    away = math.prod(found.get((cell.key, cell.answer), 1.0) for found in others)
    return 1 - (1 - cell.normal) * away


def count_once(findings: Sequence[FindingRows]) -> tuple[Counted, ...]:
    """Of rows that say the same about the same cause, only the strongest counts.

    Rows of one group that point in opposite directions contradict each other; both stay.
    """
    strongest: dict[tuple[str, str, bool], tuple[FindingRows, Row]] = {}
    for finding in findings:
        for row in finding.rows:
            best = strongest.get(group_of(row))
            if best is None or _strength(finding, row) > _strength(*best):
                strongest[group_of(row)] = finding, row
    counted = []
    for finding in findings:
        for row in finding.rows:
            best_finding, best_row = strongest[group_of(row)]
            stands = best_finding is finding and best_row is row
            counted.append(Counted(finding.key, finding.answer, row, None if stands else best_finding.key))
    return tuple(counted)


def group_of(row: Row) -> tuple[str, str, bool]:
    """Rows of one group say the same thing of the same cause in the same direction; only the strongest counts."""
    return row.cause, row.about, row.decibans > 0


def _strength(finding: FindingRows, row: Row) -> tuple[float, str, str, int]:
    return strength(finding.key, finding.answer, row)


def strength(key: str, answer: str, row: Row) -> tuple[float, str, str, int]:
    """What decides which row of a group counts; no two rows are alike."""
    return abs(row.decibans), key, answer, row.row


def make_cells(findings: Sequence[FindingRows], counted: Iterable[Counted]) -> tuple[Cell, ...]:
    """Findings with the ratios that count. A finding with none left is dropped."""
    ratios: dict[tuple[str, str], dict[str, float]] = {}
    for entry in counted:
        if entry.repeats is None:
            cell = ratios.setdefault((entry.finding, entry.answer), {})
            cell[entry.row.cause] = cell.get(entry.row.cause, 1.0) * 10 ** (entry.row.decibans / 10)
    return tuple(
        make_cell(finding.key, finding.answer, finding.normal, finding.nothing, found)
        for finding in findings
        if (found := ratios.get((finding.key, finding.answer)))
    )


def make_cell(key: str, answer: str, normal: float, nothing: bool, ratios: Mapping[str, float]) -> Cell:
    """One finding with the ratios that count."""
    # The mentor's ratio is kept exactly for a cause alone: the finding is then taken to be rare enough
    # in a sound wine for the strongest ratio to be possible at all.
    normal = min(normal, _CEILING / max([1.0, *ratios.values()]))
    return Cell(key, answer, normal, nothing, ratios, normal)


def decibans_of(weighing: Weighing, cause: str, cell: Cell) -> float:
    """What one finding does to the odds of one cause here, in decibans: the chances with it and without it.

    Differs from the mentor's strength where another cause explains the finding away.
    """
    sets = weighing.weighed
    without = np.array(weighing.shares) / ratios_of([cell], sets)[0]
    bare = float(sets.chances(without[np.newaxis])[0, sets.causes.index(cause)] / without.sum())
    return 10 * (_log_odds(weighing.chances[cause]) - _log_odds(bare))


def _log_odds(chance: float) -> float:
    held = min(max(chance, 1e-12), 1 - 1e-12)
    return math.log10(held / (1 - held))
