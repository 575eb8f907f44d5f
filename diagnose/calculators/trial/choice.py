"""Choosing from a bench trial: the least dose that passes all that is asked, or of those the best liked."""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

from .design import TrialDesign
from .ladder import Ladder, refine_below, refine_between
from .reading import Measure, TrialLimits, TrialReading, Verdict, judge

Criterion = str
"""`clarity`, `heat`, `flavour`, or the name of a measure of the trial."""
Outcome = Literal["chosen", "refine_below", "none_serves", "control_serves", "contradictory", "incomplete"]
Wanted = str
"""A criterion, or `clear_rank`."""


@dataclass(frozen=True)
class Failure:
    """A sample that did not serve, and the first thing it failed on."""

    sample: int
    dose: float
    criterion: Criterion


@dataclass(frozen=True)
class Missing:
    """A reading still needed; the sample is None when it concerns the whole trial."""

    sample: int | None
    what: Wanted


@dataclass(frozen=True)
class TrialChoice:
    """What the trial says.

    chosen: treat with `dose`; `next_doses` would find it more closely, where it is worth it; `alike` are samples that
    pass too and were ranked as high, where the best liked is looked for.
    refine_below: the lowest dose serves already; try the lower `next_doses` before treating.
    none_serves: see `failures`. control_serves: no treatment needed. contradictory: more was worse than less;
    set the samples in `repeat` again. incomplete: see `missing`.
    """

    outcome: Outcome
    sample: int | None = None
    dose: float | None = None
    next_doses: Ladder = ()
    failures: tuple[Failure, ...] = ()
    repeat: tuple[int, ...] = ()
    missing: tuple[Missing, ...] = ()
    alike: tuple[int, ...] = ()


def choose_dose(design: TrialDesign, readings: Sequence[TrialReading], limits: TrialLimits) -> TrialChoice:
    """The least dose that passes every measure and is no worse in flavour than the control.

    Without measures of its own a trial reads clarity and, where asked, heat. A measure is asked of the samples
    that passed those before it: a hazy one cannot be heat-tested (AWRI, Measurement of heat stability of wine:
    start brilliantly clear). Of the sound ones, from the lowest up to the first that serves, and of the
    control, the flavour. Where the best liked is looked for, every sound sample is tasted, the control too.

    Raises `OutOfRange` for a reading of no sample or two of the same, a rank below 1, or a reading in NTU
    without the limit that judges it.
    """
    verdicts = judge(design, readings, limits)
    missing = tuple(_missing_measurements(verdicts, readings, limits))
    if missing:
        return TrialChoice("incomplete", missing=missing)
    repeat = _slips(verdicts, readings, limits)
    if repeat:
        return TrialChoice("contradictory", repeat=tuple(sorted(repeat)), failures=_failures(verdicts))
    if limits.best_liked:
        return _best_liked(verdicts)
    if verdicts[0].sound:
        return TrialChoice("control_serves", sample=0, dose=0.0)
    missing = tuple(_missing_flavour(verdicts, readings))
    if missing:
        return TrialChoice("incomplete", missing=missing)
    return _among_sound(verdicts, limits)


def _best_liked(verdicts: Sequence[Verdict]) -> TrialChoice:
    sound = [verdict for verdict in verdicts if verdict.sound]
    missing = tuple(Missing(verdict.sample, "flavour") for verdict in sound if verdict.rank is None)
    if missing:
        return TrialChoice("incomplete", missing=missing)
    if not sound:
        return TrialChoice("none_serves", failures=_failures(verdicts))
    best = min(sound, key=lambda verdict: (verdict.rank or 0, verdict.dose))
    alike = tuple(verdict.sample for verdict in sound if verdict.rank == best.rank and verdict is not best)
    if best.sample == 0:
        return TrialChoice("control_serves", sample=0, dose=0.0, alike=alike)
    finer = refine_between(verdicts[best.sample - 1].dose, best.dose)
    failures = _measured_failures(verdicts)
    return TrialChoice("chosen", best.sample, best.dose, finer, failures, alike=alike)


def _among_sound(verdicts: Sequence[Verdict], limits: TrialLimits) -> TrialChoice:
    failures = _failures(verdicts)
    first = next((verdict for verdict in verdicts[1:] if verdict.sound and verdict.flavour), None)
    if first is None:
        return TrialChoice("none_serves", failures=failures)
    spoiled = [verdict.sample for verdict in verdicts[1 : first.sample] if verdict.sound]
    if spoiled:
        # Less of the agent lost the flavour and more of it kept it: the glasses were mixed up, or the nose.
        return TrialChoice("contradictory", repeat=(*spoiled, first.sample), failures=failures)
    if first.sample == 1 and first.dose > limits.finest_g_per_l:
        return TrialChoice("refine_below", 1, first.dose, refine_below(first.dose), failures)
    before = verdicts[first.sample - 1].dose
    worth_it = first.dose > limits.finest_g_per_l
    finer = refine_between(before, first.dose) if worth_it else ()
    return TrialChoice("chosen", first.sample, first.dose, finer, failures)


def _slips(verdicts: Sequence[Verdict], readings: Sequence[TrialReading], limits: TrialLimits) -> set[int]:
    """Samples of which one must have been set up or read wrongly."""
    more = [str(measure.more) for measure in limits.measures] or ["helps", "helps"]
    found: set[int] = set()
    for at, what in enumerate(more):
        if what in ("helps", "harms"):
            better = what == "helps"
            judged = [(v, bool(v.measured[at][1]) is better) for v in verdicts if v.reached(at)]
            found |= _contradictions(judged)
    marks = {reading.sample: reading.marks for reading in readings}
    for measure in limits.measures:
        if measure.more in ("lowers", "raises"):
            read = {number: float(of[measure.name]) for number, of in marks.items() if measure.name in of}
            found |= _wrong_way(measure, dict(sorted(read.items())))
    return found


def _wrong_way(measure: Measure, read: Mapping[int, float]) -> set[int]:
    """Neighbours between which the number went against what the agent does."""
    sign = 1 if measure.more == "raises" else -1
    return {
        number
        for (less, before), (more, after) in itertools.pairwise(read.items())
        if sign * (after - before) < -measure.give_or_take * (1 + 1e-9)
        for number in (less, more)
    }


def _contradictions(judged: Sequence[tuple[Verdict, bool]]) -> set[int]:
    """Neighbours where more was worse than less, or where the same dose was judged in two ways."""
    found: set[int] = set()
    for (less, less_good), (more, more_good) in itertools.pairwise(judged):
        if (less_good and not more_good) or (less.dose == more.dose and less_good != more_good):
            found |= {less.sample, more.sample}
    return found


def _failures(verdicts: Sequence[Verdict]) -> tuple[Failure, ...]:
    """The treated samples that failed, each with the first thing it failed on."""
    return tuple(
        Failure(verdict.sample, verdict.dose, criterion)
        for verdict in verdicts[1:]
        if (criterion := _failed_on(verdict)) is not None
    )


def _measured_failures(verdicts: Sequence[Verdict]) -> tuple[Failure, ...]:
    return tuple(failure for failure in _failures(verdicts) if failure.criterion != "flavour")


def _failed_on(verdict: Verdict) -> Criterion | None:
    failed = (name for name, passed in verdict.measured if passed is False)
    return next(failed, "flavour" if verdict.flavour is False else None)


def _missing_measurements(
    verdicts: Sequence[Verdict], readings: Sequence[TrialReading], limits: TrialLimits
) -> Iterator[Missing]:
    if not limits.measures and limits.clear_rank is None:
        by_eye = {reading.sample for reading in readings if reading.clarity_rank is not None}
        if any(v.measured[0][1] is None and v.sample in by_eye for v in verdicts):
            yield Missing(None, "clear_rank")
            return
    for verdict in verdicts:
        name, passed = next(((name, passed) for name, passed in verdict.measured if not passed), ("", True))
        if passed is None:
            yield Missing(verdict.sample, name)


def _missing_flavour(verdicts: Sequence[Verdict], readings: Sequence[TrialReading]) -> Iterator[Missing]:
    """The control and the lowest sound sample not yet tasted, unless a lower one already serves."""
    tasted = {reading.sample for reading in readings if reading.flavour_rank is not None}
    sound = [verdict for verdict in verdicts[1:] if verdict.sound]
    for verdict in sound:
        if verdict.flavour:
            return
        if verdict.flavour is None:
            yield from (Missing(n, "flavour") for n in (0, verdict.sample) if n not in tasted)
            return
