"""Bench trials that were read: the readings of each jar, what they came to, and drawings of them."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import replace
from functools import partial
from typing import Annotated, Any, Literal

from pydantic import Field, ValidationError

from diagnose.calculators import OutOfRange
from diagnose.calculators.trial import Criterion as Judged
from diagnose.calculators.trial import Outcome, Sureness, TrialDesign
from diagnose.calculators.trial.sureness import Word
from diagnose.casebook.models import Event, kept_plan
from diagnose.knowledge.base import AsTuple, Id, Item, Number, Range
from diagnose.knowledge.models.treatments import Fix
from diagnose.knowledge.models.trials import Criterion
from diagnose.knowledge.rule_base import RuleBase
from diagnose.planning.planned import Planned, design_planned, fixes_in
from diagnose.planning.trials import agent_of, fixes_with_ladder, per_gram, trial_of
from diagnose.present.factors import step_words
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
    replicate: Annotated[int, Field(ge=1, le=6)] = 1
    """Which of the equal jars of a dose it is."""
    marks: Mapping[Id, bool | Number] = Field(default_factory=dict)
    """What was read by the criteria of the page; older files have none."""


class KeptSure(Item):
    """How sure the step to the dose chosen is, and in what."""

    word: Word
    luck_percent: Number | None = None
    more: Annotated[int, Field(ge=0, le=500)] | None = None
    counted: bool = False
    by: Judged | None = None


class KeptBeside(Item):
    """What the ladder of one agent came to."""

    fix: Id
    outcome: Outcome
    dose: Number | None = None
    sure: KeptSure | None = None
    """Kept of trials with equal jars or with two agents."""
    passes: Mapping[Id, Range] = Field(default_factory=dict)
    """The numbers that pass, by criterion, where the person set them."""
    readings: Annotated[tuple[KeptReading, ...], AsTuple]


class KeptRead(KeptBeside):
    """The `data` of an event `trial_read`."""

    clear_rank: Annotated[int, Field(ge=0, le=50)] | None = None
    """Up to which rank the reader called a jar bright; older files have none."""
    second: KeptBeside | None = None
    """The ladder that stood beside it; its control stands with the first."""

    @property
    def ladders(self) -> tuple[KeptBeside, ...]:
        """The ladder, or the two of them."""
        return (self,) if self.second is None else (self, self.second)


Column = tuple[str, Callable[[KeptReading], str]]
"""A head, and what stands below it."""


def planned_for(events: Sequence[Event], *fixes: str) -> Planned | None:
    """The trial planned last that all these fixes are part of."""
    for event in reversed(events):
        if event.did == "trial_planned" and set(fixes) <= set(fixes_in(event.data)):
            return Planned.from_data(kept_plan(event.data))
    return None


def trials_read(
    base: RuleBase, events: Sequence[Event], own_limits: Mapping[str, float]
) -> tuple[TrialTold, ...]:
    """Every ladder read, oldest first. `events` are those of the trials, in order."""
    return tuple(
        told
        for number, event in enumerate(events)
        if event.did == "trial_read"
        for told in _told(base, event, planned_for(events[:number], *fixes_in(event.data)), own_limits)
    )


def _told(
    base: RuleBase, event: Event, planned: Planned | None, own_limits: Mapping[str, float]
) -> Iterator[TrialTold]:
    """A trial as told. The file may have been edited by hand; what is not whole is said to be so."""
    read = _whole(base, event.data)
    if read is None:
        yield TrialTold("A bench trial", event.at[:10], "", "", (), (), ())
        return
    designs = _designs(base, read, planned, own_limits)
    before = 0
    for number, ladder in enumerate(read.ladders):
        design = designs.get(ladder.fix)
        controls = () if number == 0 else tuple(row for row in read.readings if row.sample == 0)
        rows = sorted((*controls, *ladder.readings), key=lambda row: (row.sample, row.replicate))
        names = [other.fix for other in read.ladders if other is not ladder]
        beside = "".join(f", beside: {base.fixes[name].name}" for name in names)
        columns = tuple(_columns(base.fixes[ladder.fix], ladder, rows, read.clear_rank))
        told = _ladder(base.fixes[ladder.fix], ladder, rows, columns, design, before)
        yield replace(told, name=told.name + beside, day=event.at[:10])
        before += max((row.sample for row in rows), default=0)


def _ladder(
    fix: Fix,
    read: KeptBeside,
    rows: Sequence[KeptReading],
    columns: Sequence[Column],
    design: TrialDesign | None,
    before: int,
) -> TrialTold:
    agent = agent_of(fix)
    doses = {sample.number: sample.dose_given for sample in design.samples} if design else {}
    labels = [f"{doses[row.sample] * per_gram(agent):.3g}" if row.sample in doses else "?" for row in rows]
    several = any(row.replicate > 1 for row in rows)
    said = outcome_words(fix, read.outcome, read.dose, rows)
    return TrialTold(
        name=fix.name,
        day="",
        outcome=f"{said} {_sure(read, rows)}".rstrip(),
        dose_in=agent.dose_head,
        heads=tuple(head for head, _ in columns),
        jars=tuple(
            Jar(
                name=_name(row, before, several),
                dose=label,
                read=tuple(cell(row) for _, cell in columns),
                notes=row.notes,
            )
            for row, label in zip(rows, labels, strict=True)
        ),
        drawings=tuple(_drawings(fix, rows, labels, _chosen(read, rows, doses))),
    )


def _sure(read: KeptBeside, rows: Sequence[KeptReading]) -> str:
    """How sure the step to the dose chosen is; nothing where none was chosen or none kept."""
    if read.sure is None or read.outcome not in ("chosen", "refine_below"):
        return ""
    kept = read.sure
    sure = Sureness(kept.word, kept.luck_percent, kept.more, kept.counted)
    return step_words(sure, kept.by, max((row.replicate for row in rows), default=1))


def _by_eye(clear_rank: int | None) -> str:
    bright = {None: "", 0: ", none bright"}.get(clear_rank, f", bright up to {clear_rank}")
    return f"rank by eye, 1 the clearest{bright}"


def _whole(base: RuleBase, data: Mapping[str, Any]) -> KeptRead | None:
    try:
        read = KeptRead.model_validate(data)
    except ValidationError:
        return None
    known = fixes_with_ladder(base)
    return read if all(ladder.fix in known for ladder in read.ladders) else None


def _designs(
    base: RuleBase, read: KeptRead, planned: Planned | None, own_limits: Mapping[str, float]
) -> Mapping[str, TrialDesign]:
    """The jars of each ladder as planned; nothing where no plan is kept, or none that a bench can do."""
    if planned is None:
        return {}
    try:
        trial = design_planned(base, planned, own_limits)
    except OutOfRange:
        return {}
    return dict(zip(trial.levels, trial.designs, strict=True))


def _name(row: KeptReading, before: int, several: bool) -> str:
    letter = "abcdef"[row.replicate - 1] if several else ""
    return f"control {letter}".strip() if row.sample == 0 else f"{row.sample + before}{letter}"


def _columns(
    fix: Fix, read: KeptBeside, rows: Sequence[KeptReading], clear_rank: int | None
) -> Iterator[Column]:
    """What was read, as heads with what stands below them."""
    criteria = trial_of(fix).criteria
    if not criteria:
        by_eye = any(row.clarity_rank is not None for row in rows)
        yield f"Clarity ({_by_eye(clear_rank) if by_eye else 'NTU'})", _clarity
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


def _chosen(read: KeptBeside, rows: Sequence[KeptReading], doses: Mapping[int, float]) -> int | None:
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
