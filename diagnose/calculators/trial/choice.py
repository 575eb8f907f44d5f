"""Choosing from a bench trial: the least dose that is clear, stable and keeps the flavour."""

from __future__ import annotations

import itertools
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Literal

from .design import TrialDesign
from .ladder import Ladder, refine_below, refine_between
from .reading import TrialLimits, TrialReading, Verdict, judge

Criterion = Literal["clarity", "heat", "flavour"]
Outcome = Literal["chosen", "refine_below", "none_serves", "control_serves", "contradictory", "incomplete"]
Wanted = Literal["clarity", "heat", "flavour", "clear_rank"]


@dataclass(frozen=True)
class Failure:
    """A sample that did not serve, and the first thing it failed on."""

    sample: int
    dose_g_per_l: float
    criterion: Criterion


@dataclass(frozen=True)
class Missing:
    """A reading still needed; the sample is None when it concerns the whole trial."""

    sample: int | None
    what: Wanted


@dataclass(frozen=True)
class TrialChoice:
    """What the trial says.

    chosen: treat with `dose_g_per_l`; `next_doses_g_per_l` would find it more closely, where it is worth it.
    refine_below: the lowest dose serves already; try the lower `next_doses_g_per_l` before treating.
    none_serves: see `failures`. control_serves: no treatment needed. contradictory: more was worse than less;
    set the samples in `repeat` again. incomplete: see `missing`.
    """

    outcome: Outcome
    sample: int | None = None
    dose_g_per_l: float | None = None
    next_doses_g_per_l: Ladder = ()
    failures: tuple[Failure, ...] = ()
    repeat: tuple[int, ...] = ()
    missing: tuple[Missing, ...] = ()


def choose_dose(design: TrialDesign, readings: Sequence[TrialReading], limits: TrialLimits) -> TrialChoice:
    """The least dose that is clear, heat-stable where asked, and no worse in flavour than the control.

    Asked of every sample is its clarity; of the clear ones the heat test, since a hazy sample cannot be
    heat-tested (AWRI, Measurement of heat stability of wine: start brilliantly clear); of the clear and
    stable ones, from the lowest up to the first that serves, and of the control, the flavour.

    Raises `OutOfRange` for a reading of no sample or two of the same, a rank below 1, or a reading in NTU
    without the limit that judges it.
    """
    verdicts = judge(design, readings, limits)
    missing = tuple(_missing_measurements(verdicts, readings, limits))
    if missing:
        return TrialChoice("incomplete", missing=missing)
    clarity = [(verdict, bool(verdict.clear)) for verdict in verdicts]
    heat = [(verdict, bool(verdict.stable)) for verdict in verdicts if verdict.clear]
    repeat = _contradictions(clarity) | _contradictions(heat)
    if repeat:
        return TrialChoice("contradictory", repeat=tuple(sorted(repeat)), failures=_failures(verdicts))
    if verdicts[0].sound:
        return TrialChoice("control_serves", sample=0, dose_g_per_l=0.0)
    missing = tuple(_missing_flavour(verdicts, readings))
    if missing:
        return TrialChoice("incomplete", missing=missing)
    return _among_sound(verdicts, limits)


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


def _failed_on(verdict: Verdict) -> Criterion | None:
    if verdict.clear is False:
        return "clarity"
    if verdict.stable is False:
        return "heat"
    return "flavour" if verdict.flavour is False else None


def _missing_measurements(
    verdicts: Sequence[Verdict], readings: Sequence[TrialReading], limits: TrialLimits
) -> Iterator[Missing]:
    by_eye = {reading.sample for reading in readings if reading.clarity_rank is not None}
    if limits.clear_rank is None and any(v.clear is None and v.sample in by_eye for v in verdicts):
        yield Missing(None, "clear_rank")
        return
    for verdict in verdicts:
        if verdict.clear is None:
            yield Missing(verdict.sample, "clarity")
        elif verdict.clear and verdict.stable is None:
            yield Missing(verdict.sample, "heat")


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
