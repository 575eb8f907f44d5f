"""How likely each cause is, given what was found.

Causes combine as in a noisy-OR: a finding needs only one cause that explains it, while finding *nothing*
speaks against every cause that should have shown. All sets of up to three causes at once are weighed, and
"something these rules do not know" is one of the causes. The person came because something is wrong, so at
least one cause is in play.

Heckerman and Shwe (arXiv 1303.1463) compared such combinations on hard clinical cases: noisy-OR came closest
to the reference, own odds for each cause overestimated, one-cause-only underestimated.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from itertools import combinations

UNKNOWN = "unknown"
"""Something these rules do not know."""

MOST_AT_ONCE = 3
_CEILING = 0.95
"""No cause makes a finding more certain than this."""


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
    """A finding made ready: for each cause its likelihood ratio, repeats already left out."""

    key: str
    answer: str
    normal: float
    nothing: bool
    ratios: Mapping[str, float]

    def ratio(self, causes: Iterable[str]) -> float:
        """How many times more often the finding is met with these causes than with none."""
        known = [self.ratios[cause] for cause in causes if cause in self.ratios]
        against = [ratio for ratio in known if ratio < 1]
        speak_for = [ratio for ratio in known if ratio > 1]
        if self.nothing and against:
            return math.prod(against)
        if not speak_for:
            return math.prod(against)
        if len(speak_for) == 1:
            return speak_for[0]
        # Noisy-OR: the finding stays away only if every cause fails to bring it.
        stay_away = 1 - self.normal
        for ratio in speak_for:
            stay_away *= (1 - self.normal * ratio) / (1 - self.normal)
        return (1 - stay_away) / self.normal


@dataclass(frozen=True)
class Counted:
    """A row as it was counted: `repeats` names the stronger finding of the same group that stands for it."""

    finding: str
    answer: str
    row: Row
    repeats: str | None = None


@dataclass(frozen=True)
class Weighing:
    """Chances of causes, and how they came about. `sets` holds each weighed set of causes with its chance."""

    priors: Mapping[str, float]
    cells: tuple[Cell, ...]
    counted: tuple[Counted, ...]
    sets: tuple[tuple[tuple[str, ...], float], ...] = field(repr=False)

    @cached_property
    def chances(self) -> Mapping[str, float]:
        """The chance of each cause, the unknown one included, most likely first; ties by name."""
        found = dict.fromkeys(self.priors, 0.0)
        for causes, chance in self.sets:
            for cause in causes:
                found[cause] += chance
        return dict(sorted(found.items(), key=lambda item: (-item[1], item[0])))


def weigh(priors: Mapping[str, float], findings: Sequence[FindingRows]) -> Weighing:
    """Weigh all findings. `priors` holds the chance of each cause beforehand, `UNKNOWN` among them.

    The order of findings makes no difference.
    """
    ordered = sorted(findings, key=lambda finding: (finding.key, finding.answer))
    counted = count_once(ordered)
    cells = make_cells(ordered, counted)
    weights = prior_weights(priors, MOST_AT_ONCE)
    scored = [
        (causes, weight * math.prod(cell.ratio(causes) for cell in cells)) for causes, weight in weights
    ]
    total = math.fsum(score for _, score in scored)
    return Weighing(priors, cells, counted, tuple((causes, score / total) for causes, score in scored))


def prior_weights(priors: Mapping[str, float], most: int) -> tuple[tuple[tuple[str, ...], float], ...]:
    """Every set of one to `most` causes with its weight before any finding."""
    odds = {cause: chance / (1 - chance) for cause, chance in sorted(priors.items())}
    return tuple(
        (causes, math.prod(odds[cause] for cause in causes))
        for size in range(1, most + 1)
        for causes in combinations(odds, size)
    )


def count_once(findings: Sequence[FindingRows]) -> tuple[Counted, ...]:
    """Of rows that say the same about the same cause, only the strongest counts.

    Rows of one group that point in opposite directions contradict each other; both stay.
    """
    strongest: dict[tuple[str, str, bool], tuple[FindingRows, Row]] = {}
    for finding in findings:
        for row in finding.rows:
            best = strongest.get(_group(row))
            if best is None or _strength(finding, row) > _strength(*best):
                strongest[_group(row)] = finding, row
    counted = []
    for finding in findings:
        for row in finding.rows:
            best_finding, best_row = strongest[_group(row)]
            stands = best_finding is finding and best_row is row
            counted.append(Counted(finding.key, finding.answer, row, None if stands else best_finding.key))
    return tuple(counted)


def _group(row: Row) -> tuple[str, str, bool]:
    return row.cause, row.about, row.decibans > 0


def _strength(finding: FindingRows, row: Row) -> tuple[float, str, str, int]:
    return abs(row.decibans), finding.key, finding.answer, row.row


def make_cells(findings: Sequence[FindingRows], counted: Iterable[Counted]) -> tuple[Cell, ...]:
    """Findings with the ratios that count. A finding with none left is dropped."""
    ratios: dict[tuple[str, str], dict[str, float]] = {}
    for entry in counted:
        if entry.repeats is None:
            cell = ratios.setdefault((entry.finding, entry.answer), {})
            cell[entry.row.cause] = cell.get(entry.row.cause, 1.0) * 10 ** (entry.row.decibans / 10)
    return tuple(
        _cell(finding, ratios[finding.key, finding.answer])
        for finding in findings
        if (finding.key, finding.answer) in ratios
    )


def _cell(finding: FindingRows, ratios: Mapping[str, float]) -> Cell:
    # The mentor's ratio is kept exactly for a cause alone: the finding is then taken to be rare enough
    # in a sound wine for the strongest ratio to be possible at all.
    highest = max([1.0, *ratios.values()])
    return Cell(finding.key, finding.answer, min(finding.normal, _CEILING / highest), finding.nothing, ratios)


def decibans_of(weighing: Weighing, cause: str, cell: Cell) -> float:
    """What one finding does to the odds of one cause here, in decibans: the chances with it and without it.

    Differs from the mentor's strength where another cause explains the finding away.
    """
    with_it = weighing.chances[cause]
    without = [(causes, chance / cell.ratio(causes)) for causes, chance in weighing.sets]
    total = math.fsum(chance for _, chance in without)
    bare = math.fsum(chance for causes, chance in without if cause in causes) / total
    return 10 * (_log_odds(with_it) - _log_odds(bare))


def _log_odds(chance: float) -> float:
    held = min(max(chance, 1e-12), 1 - 1e-12)
    return math.log10(held / (1 - held))
