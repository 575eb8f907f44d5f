"""Bench trials that were read: the readings of each jar, what they came to, and drawings of them."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Annotated, Any, Literal

from pydantic import Field, ValidationError

from diagnose.calculators import OutOfRange
from diagnose.calculators.trial import Outcome, TrialDesign
from diagnose.casebook.models import Event, PlannedTrial
from diagnose.knowledge.base import AsTuple, Id, Item, Number
from diagnose.knowledge.models.treatments import Fix
from diagnose.knowledge.rule_base import RuleBase
from diagnose.planning.trials import Bench, fixes_with_ladder, plan_trial, trial_of
from diagnose.present.trial import outcome_words

from .drawing import Drawing, draw
from .told import Jar, TrialTold

NOT_READ = "–"


class KeptReading(Item):
    """What was read in one jar, as a case keeps it; the control is jar 0."""

    sample: Annotated[int, Field(ge=0, le=50)]
    clarity_ntu: Number | None = None
    clarity_rank: Annotated[int, Field(ge=1, le=50)] | None = None
    flavour_rank: Annotated[int, Field(ge=1, le=50)] | None = None
    heat: Literal["stable", "unstable"] | Number | None = None
    notes: str = ""


class KeptRead(Item):
    """The `data` of an event `trial_read`."""

    fix: Id
    outcome: Outcome
    dose: Number | None = None
    clear_rank: Annotated[int, Field(ge=0, le=50)] | None = None
    """Up to which rank the reader called a jar bright; older files have none."""
    readings: Annotated[tuple[KeptReading, ...], AsTuple]


def planned_for(events: Sequence[Event], fix: str) -> PlannedTrial | None:
    """The trial of a fix that was planned last."""
    plans = [event for event in events if event.did == "trial_planned" and event.data.get("fix") == fix]
    return PlannedTrial.model_validate(plans[-1].data) if plans else None


def bench_of(planned: PlannedTrial) -> Bench:
    """What stood on the bench."""
    return Bench(**planned.bench.model_dump())


def trials_read(
    base: RuleBase, events: Sequence[Event], own_limits: Mapping[str, float]
) -> tuple[TrialTold, ...]:
    """Every trial read, oldest first. `events` are those of the trials, in order."""
    return tuple(
        _told(base, event, planned_for(events[:number], str(event.data.get("fix"))), own_limits)
        for number, event in enumerate(events)
        if event.did == "trial_read"
    )


def _told(
    base: RuleBase, event: Event, planned: PlannedTrial | None, own_limits: Mapping[str, float]
) -> TrialTold:
    """A trial as told. The file may have been edited by hand; what is not whole is said to be so."""
    read = _whole(base, event.data)
    if read is None:
        return TrialTold("A bench trial", event.at[:10], "", (), "", ())
    fix = base.fixes[read.fix]
    design = _design(base, fix, planned, own_limits) if planned else None
    doses = {sample.number: sample.dose_given_g_per_l for sample in design.samples} if design else {}
    rows = sorted(read.readings, key=lambda reading: reading.sample)
    labels = [f"{doses[row.sample]:.3g}" if row.sample in doses else "?" for row in rows]
    by_eye = any(row.clarity_rank is not None for row in rows)
    return TrialTold(
        name=fix.name,
        day=event.at[:10],
        outcome=outcome_words(fix, read.outcome, read.dose),
        jars=tuple(_jar(row, label) for row, label in zip(rows, labels, strict=True)),
        clarity_in=_by_eye(read.clear_rank) if by_eye else "NTU",
        drawings=tuple(_drawings(fix, rows, labels, _chosen(read, rows, doses))),
    )


def _by_eye(clear_rank: int | None) -> str:
    bright = {None: "", 0: ", none bright"}.get(clear_rank, f", bright up to {clear_rank}")
    return f"rank by eye, 1 the clearest{bright}"


def _whole(base: RuleBase, data: Mapping[str, Any]) -> KeptRead | None:
    try:
        read = KeptRead.model_validate(data)
    except ValidationError:
        return None
    return read if read.fix in fixes_with_ladder(base) else None


def _design(
    base: RuleBase, fix: Fix, planned: PlannedTrial, own_limits: Mapping[str, float]
) -> TrialDesign | None:
    try:
        return plan_trial(base, fix, planned.doses, bench_of(planned), own_limits)
    except OutOfRange:
        return None


def _jar(row: KeptReading, dose: str) -> Jar:
    clarity = row.clarity_ntu if row.clarity_ntu is not None else row.clarity_rank
    heat = row.heat if isinstance(row.heat, str) or row.heat is None else f"+{row.heat:g} NTU"
    return Jar(
        name="control" if row.sample == 0 else str(row.sample),
        dose=dose,
        clarity=NOT_READ if clarity is None else f"{clarity:g}",
        heat=heat or NOT_READ,
        flavour=NOT_READ if row.flavour_rank is None else str(row.flavour_rank),
        notes=row.notes,
    )


def _chosen(read: KeptRead, rows: Sequence[KeptReading], doses: Mapping[int, float]) -> int | None:
    """Which of the rows has the dose that was chosen."""
    if read.outcome != "chosen" or read.dose is None:
        return None
    near = [at for at, row in enumerate(rows) if abs(doses.get(row.sample, -1.0) - read.dose) < 1e-6]
    return near[0] if near else None


def _drawings(
    fix: Fix, rows: Sequence[KeptReading], doses: Sequence[str], chosen: int | None
) -> Iterator[Drawing]:
    clear = trial_of(fix).clear_ntu
    level = (clear, f"clear up to {clear:g} NTU") if clear is not None else None
    for drawing in (
        draw("Turbidity in NTU", doses, [row.clarity_ntu for row in rows], chosen, limit=level),
        draw("Clarity by eye, 1 the clearest", doses, [row.clarity_rank for row in rows], chosen, ranks=True),
        draw(
            "Rise in the heat test, in NTU",
            doses,
            [row.heat if isinstance(row.heat, float) else None for row in rows],
            chosen,
        ),
        draw("Taste, 1 the best liked", doses, [row.flavour_rank for row in rows], chosen, ranks=True),
    ):
        if drawing is not None:
            yield drawing
