"""Bench trials that were read: the readings of each jar, what they came to, and drawings of them."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from functools import partial
from typing import Annotated, Any, Literal

from pydantic import Field, ValidationError

from diagnose.calculators import OutOfRange
from diagnose.calculators.trial import Outcome, TrialDesign
from diagnose.casebook.models import Event, PlannedTrial
from diagnose.knowledge.base import AsTuple, Id, Item, Number, Range
from diagnose.knowledge.models.treatments import Criterion, Fix
from diagnose.knowledge.rule_base import RuleBase
from diagnose.planning.trials import Bench, agent_of, fixes_with_ladder, per_gram, plan_trial, trial_of
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
    marks: Mapping[Id, bool | Number] = Field(default_factory=dict)
    """What was read by the criteria of the page; older files have none."""


class KeptRead(Item):
    """The `data` of an event `trial_read`."""

    fix: Id
    outcome: Outcome
    dose: Number | None = None
    clear_rank: Annotated[int, Field(ge=0, le=50)] | None = None
    """Up to which rank the reader called a jar bright; older files have none."""
    passes: Mapping[Id, Range] = Field(default_factory=dict)
    """The numbers that pass, by criterion, where the person set them."""
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
        return TrialTold("A bench trial", event.at[:10], "", "", (), (), ())
    fix = base.fixes[read.fix]
    design = _design(base, fix, planned, own_limits) if planned else None
    doses = {sample.number: sample.dose_given_g_per_l for sample in design.samples} if design else {}
    rows = sorted(read.readings, key=lambda reading: reading.sample)
    agent = agent_of(fix)
    labels = [f"{doses[row.sample] * per_gram(agent):.3g}" if row.sample in doses else "?" for row in rows]
    columns = tuple(_columns(fix, read))
    return TrialTold(
        name=fix.name,
        day=event.at[:10],
        outcome=outcome_words(fix, read.outcome, read.dose),
        dose_in=agent.dose_in,
        heads=tuple(head for head, _ in columns),
        jars=tuple(
            Jar(
                name="control" if row.sample == 0 else str(row.sample),
                dose=label,
                read=tuple(cell(row) for _, cell in columns),
                notes=row.notes,
            )
            for row, label in zip(rows, labels, strict=True)
        ),
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


def _columns(fix: Fix, read: KeptRead) -> Iterator[tuple[str, Callable[[KeptReading], str]]]:
    """What was read, as heads with what stands below them."""
    criteria = trial_of(fix).criteria
    if not criteria:
        by_eye = any(row.clarity_rank is not None for row in read.readings)
        yield f"Clarity ({_by_eye(read.clear_rank) if by_eye else 'NTU'})", _clarity
        yield "Heat test", _heat
    for one in criteria:
        if one.kind != "rank":
            yield _head(one, read.passes.get(one.criterion)), partial(_mark, one.criterion)
    if not criteria or trial_of(fix).taste:
        yield (
            "Taste, 1 the best",
            lambda row: NOT_READ if row.flavour_rank is None else str(row.flavour_rank),
        )


def _head(one: Criterion, own: tuple[float, float] | None) -> str:
    name, between = one.criterion.replace("_", " "), own or one.between
    passes = f"{between[0]:g} to {between[1]:g}" if between else one.passes
    return f"{name} ({passes}{f' {one.unit}' if between and one.unit else ''} passes)"


def _mark(name: str, row: KeptReading) -> str:
    mark = row.marks.get(name)
    if isinstance(mark, bool):
        return "yes" if mark else "no"
    return NOT_READ if mark is None else f"{mark:g}"


def _clarity(row: KeptReading) -> str:
    clarity = row.clarity_ntu if row.clarity_ntu is not None else row.clarity_rank
    return NOT_READ if clarity is None else f"{clarity:g}"


def _heat(row: KeptReading) -> str:
    return (row.heat if isinstance(row.heat, str) or row.heat is None else f"+{row.heat:g} NTU") or NOT_READ


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
    numbers = (
        draw(
            one.criterion.replace("_", " "),
            doses,
            [_number(row.marks.get(one.criterion)) for row in rows],
            chosen,
        )
        for one in trial_of(fix).criteria
        if one.kind == "number"
    )
    for drawing in (
        *numbers,
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


def _number(mark: bool | float | None) -> float | None:
    return None if isinstance(mark, bool) else mark
