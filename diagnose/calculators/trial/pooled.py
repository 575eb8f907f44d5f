"""Reading equal jars together: mean and spread, the least dose that serves at each level, and which level.

A level is read as one row of readings for each replicate, the control of the level in every row.
"""

from __future__ import annotations

import statistics
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import partial
from typing import Literal, TypeVar

from ..amounts import OutOfRange
from .choice import Criterion, TrialChoice, choose_dose
from .design import TrialDesign
from .reading import Mark, TrialLimits, TrialReading, judge
from .reading import Measure as Asked
from .sureness import UNKNOWN, Sureness, beside_the_spread, by_preference

Rows = Sequence[Sequence[TrialReading]]
Measure = str
"""`clarity_ntu`, `clarity_rank`, `heat`, `flavour_rank`, or the name of a measure of the trial."""

LIKING: Criterion = "liking"
"""What the step is judged by where the best liked is looked for: the dose chosen beside the next best."""

_Read = TypeVar("_Read")


@dataclass(frozen=True)
class Pooled:
    """Equal jars read together; `spread` is the standard deviation between them, None for a single one."""

    mean: float
    spread: float | None
    jars: int


@dataclass(frozen=True)
class LevelRead:
    """What one level came to: the choice, and how sure the step from the dose before is."""

    design: TrialDesign
    rows: Rows
    choice: TrialChoice
    sure: Sureness
    sure_by: Criterion | None = None
    lees_percent: tuple[float, float] | None = None


@dataclass(frozen=True)
class Side:
    """One thing in which two chosen doses are compared; `better` is the level, None where neither is."""

    what: Literal["clarity", "heat", "flavour", "lees"]
    better: int | None
    sure: Sureness


def values_of(rows: Rows, sample: int, measure: Measure) -> list[float]:
    """What was read in the equal jars of one dose, in the order of the rows; heat as a rise in NTU, or 0 stable
    and 1 unstable; yes as 1, no as 0.
    """
    found = [_value(reading, measure) for row in rows for reading in row if reading.sample == sample]
    return [_number(value) for value in found if value is not None]


def _value(reading: TrialReading, measure: Measure) -> float | str | None:
    built_in = any(measure == known for _, known in _MEASURES)
    value: float | str | None = getattr(reading, measure) if built_in else reading.marks.get(measure)
    return value


def pool(rows: Rows, sample: int, measure: Measure) -> Pooled | None:
    """Mean and spread of the equal jars of one dose; None where none was read."""
    values = values_of(rows, sample, measure)
    if not values:
        return None
    spread = statistics.stdev(values) if len(values) > 1 else None
    return Pooled(statistics.fmean(values), spread, len(values))


def read_level(
    design: TrialDesign, rows: Rows, limits: TrialLimits, lees_percent: tuple[float, float] | None = None
) -> LevelRead:
    """The least dose of which every jar serves, or of those doses the best liked on the mean.

    Raises `OutOfRange` as `choose_dose` does, and without rows.
    """
    if not rows:
        raise OutOfRange("There are no readings. Give one row for each set of jars.")
    together = as_one(rows, limits)
    choice = choose_dose(design, together, limits)
    sure, by = _step(design, rows, together, choice, limits)
    return LevelRead(design, rows, choice, sure, by, lees_percent)


def as_one(rows: Rows, limits: TrialLimits) -> tuple[TrialReading, ...]:
    """One reading for each dose that passes only if every equal jar does; a jar not read leaves it unread.

    The worst of the equal jars stands for them all, of the control too: a jar is worse in flavour when it lies
    behind every control, since equal controls lie apart by chance as well. Where the best liked is looked for it
    is the mean rank, since no single jar must pass.
    """
    samples = sorted({reading.sample for row in rows for reading in row})
    return tuple(_one(rows, sample, limits) for sample in samples)


def compare(first: LevelRead, second: LevelRead) -> tuple[tuple[Side, ...], int | None]:
    """Two chosen doses beside each other, and the level that is better on the whole; None where neither is.

    Both serve, so both are clear and stable enough. Then flavour counts first, where the taster was at least
    likely to find a difference; then wine lost in the lees, where the two ranges do not meet.
    """
    levels = (first, second)
    serves = [level.choice.outcome == "chosen" for level in levels]
    if not all(serves):
        return (), serves.index(True) if any(serves) else None
    sides = (
        _side("clarity", levels, ("clarity_ntu", "clarity_rank")),
        _side("heat", levels, ("heat",)),
        _side("flavour", levels, ("flavour_rank",)),
        _lees(levels),
    )
    told = tuple(side for side in sides if side is not None)
    for what in ("flavour", "lees"):
        for side in told:
            if side.what == what and side.better is not None and side.sure.word in ("sure enough", "likely"):
                return told, side.better
    return told, None


def _number(value: float | str) -> float:
    return float(value == "unstable") if isinstance(value, str) else float(value)


def _one(rows: Rows, sample: int, limits: TrialLimits) -> TrialReading:
    found = [next((reading for reading in row if reading.sample == sample), None) for row in rows]
    readings = [TrialReading(sample) if reading is None else reading for reading in found]
    return TrialReading(
        sample,
        clarity_ntu=_worst([reading.clarity_ntu for reading in readings], max),
        clarity_rank=_worst([reading.clarity_rank for reading in readings], max),
        flavour_rank=_worst(
            [reading.flavour_rank for reading in readings], statistics.fmean if limits.best_liked else max
        ),
        heat=_worst([reading.heat for reading in readings], _worst_heat),
        marks={
            asked.name: mark
            for asked in limits.measures
            if (mark := _worst([reading.marks.get(asked.name) for reading in readings], partial(_off, asked)))
            is not None
        },
    )


def _off(asked: Asked, marks: Sequence[Mark]) -> Mark:
    """The mark that passes only if all do: of numbers the one farthest from the middle of what passes."""
    if asked.between is None:
        return next((mark for mark in marks if mark is not asked.passes), asked.passes)
    middle = sum(asked.between) / 2
    return max(marks, key=lambda mark: abs(mark - middle))


def _worst(values: Sequence[_Read | None], worst: Callable[[Sequence[_Read]], _Read]) -> _Read | None:
    read = [value for value in values if value is not None]
    return worst(read) if len(read) == len(values) else None


def _worst_heat(
    values: Sequence[Literal["stable", "unstable"] | float],
) -> Literal["stable", "unstable"] | float:
    if "unstable" in values:
        return "unstable"
    rises = [value for value in values if not isinstance(value, str)]
    return max(rises) if rises else "stable"


def _step(
    design: TrialDesign,
    rows: Rows,
    together: Sequence[TrialReading],
    choice: TrialChoice,
    limits: TrialLimits,
) -> tuple[Sureness, Criterion | None]:
    """How sure the dose chosen is: beside the next best liked, or beside the dose before in what that one failed on."""
    if choice.outcome not in ("chosen", "refine_below") or choice.sample is None:
        return UNKNOWN, None
    others = [verdict for verdict in judge(design, together, limits) if verdict.sample != choice.sample]
    if limits.best_liked:
        ranked = [(verdict.rank, verdict.sample) for verdict in others if verdict.sound and verdict.rank]
        if ranked:
            pair = [values_of(rows, sample, "flavour_rank") for sample in (choice.sample, min(ranked)[1])]
            return by_preference(*pair), LIKING
    before = choice.sample - 1
    failed = next((failure.criterion for failure in choice.failures if failure.sample == before), None)
    if before == 0 and limits.measures:
        failed = next((name for name, passed in others[0].measured if not passed), None)
    samples = range(len(design.samples))
    measured = [(asked.name, asked.name) for asked in limits.measures]
    for by, measure in (*measured, *_MEASURES):
        if failed in (None, by):
            pair = [values_of(rows, sample, measure) for sample in (before, choice.sample)]
            if all(pair):
                return _sure(rows, samples, pair[0], pair[1], measure), by
    return UNKNOWN, failed


_MEASURES: tuple[tuple[Criterion, Measure], ...] = (
    ("clarity", "clarity_ntu"),
    ("clarity", "clarity_rank"),
    ("heat", "heat"),
    ("flavour", "flavour_rank"),
)


def _sure(
    rows: Rows, samples: Sequence[int], first: list[float], second: list[float], measure: Measure
) -> Sureness:
    if measure in ("clarity_rank", "flavour_rank") or _in_words(rows, measure):
        return by_preference(first, second)
    return beside_the_spread(first, second, [values_of(rows, sample, measure) for sample in samples])


def _in_words(rows: Rows, measure: Measure) -> bool:
    return any(isinstance(_value(reading, measure), (str, bool)) for row in rows for reading in row)


def _side(
    what: Literal["clarity", "heat", "flavour"],
    levels: tuple[LevelRead, LevelRead],
    measures: Sequence[Measure],
) -> Side | None:
    """Of two chosen doses the one that read lower; the spread is that of both ladders."""
    for measure in measures:
        read = [values_of(level.rows, level.choice.sample or 0, measure) for level in levels]
        if not all(read):
            continue
        means = [statistics.fmean(values) for values in read]
        better = None if means[0] == means[1] else means.index(min(means))
        if measure in ("clarity_rank", "flavour_rank") or any(
            _in_words(level.rows, measure) for level in levels
        ):
            return Side(what, better, by_preference(*read))
        # Without the controls: the levels may share them, and no jar counts twice.
        groups = [
            values_of(level.rows, sample.number, measure)
            for level in levels
            for sample in level.design.samples[1:]
        ]
        return Side(what, better, beside_the_spread(read[0], read[1], groups))
    return None


def _lees(levels: tuple[LevelRead, LevelRead]) -> Side | None:
    """The level that loses less wine, by what is known of the agents; surely only where the ranges do not meet."""
    first, second = (level.lees_percent for level in levels)
    if first is None or second is None:
        return None
    if first[1] < second[0] or second[1] < first[0]:
        return Side("lees", 0 if first[1] < second[0] else 1, Sureness("likely"))
    return Side("lees", None, UNKNOWN)
