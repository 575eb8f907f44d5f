"""Worksheets to print: a bench trial with blanks for the readings, and a treatment with boxes to tick."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from datetime import date

from diagnose.calculators.trial import TrialDesign
from diagnose.casebook.work import Work
from diagnose.knowledge.models.treatments import Fix
from diagnose.knowledge.models.trials import Agent
from diagnose.planning.fixes import amounts
from diagnose.planning.planned import Planned, design_planned
from diagnose.planning.trials import agent_of, plan_trial, trial_of, usual_bench, water_limit
from diagnose.present import factors
from diagnose.present.result import limit_words
from diagnose.present.trial import (
    blind_words,
    jar_cells,
    jar_heads,
    needed_words,
    stock_words,
    to_read,
    warning_words,
)

from .case import CaseJudged
from .citations import Citations
from .procedures import Procedures
from .told import FixSheet, TrialSheet
from .trials import planned_for
from .worked import tell_one


def trial_sheet(it: CaseJudged, fix: str, today: date) -> TrialSheet:
    """The sheet of the trial that the case has planned last, or of the usual one.

    Raises ValueError for a fix without a ladder, OutOfRange for a plan that no bench can do.
    """
    base, page = it.base, it.base.fixes[fix]
    trial, agent = trial_of(page), agent_of(page)
    planned = planned_for(it.state.trials, fix)
    if planned is not None and not planned.is_plain:
        return _sheet_of_factors(it, planned, today)
    bench = planned.bench if planned else usual_bench(agent)
    design = plan_trial(base, page, planned.doses if planned else trial.ladder, bench, it.own_limits)
    sheets = Procedures(base, it.case.units, it.own_limits, Citations(base))
    return TrialSheet(
        title=f"Bench trial: {page.name}",
        case=it.case.title,
        made=today.isoformat(),
        rule_base=base.edition,
        notes=(
            "As it was planned in this case."
            if planned
            else "No trial is planned in this case yet; these are the usual doses and the usual bench.",
        ),
        says=trial.says,
        stock=tuple(text for text in (stock_words(agent, bench, design), trial.stock) if text),
        heads=_heads(jar_heads(agent, design)),
        to_read=(*(head.capitalize() for head in to_read(trial)), "Notes"),
        jars=tuple(jar_cells(agent, design, sample) for sample in design.samples),
        needed=" ".join(needed_words(agent, design)),
        warnings=tuple(_warnings(it, fix, agent, design)),
        then=(
            *(
                f"{name}: {text.rstrip('.')}."
                for name, text in (("Contact", trial.contact), ("Settling", trial.settling))
                if text
            ),
            *blind_words(design, planned.seed if planned else None),
        ),
        judge_by=trial.judge_by,
        dose_in=agent.dose_head,
        blend=agent.is_share,
        cautions=sheets.cautions(agent.cautions),
        heat_test=sheets.test(trial.heat_test) if trial.heat_test else None,
    )


def _sheet_of_factors(it: CaseJudged, planned: Planned, today: date) -> TrialSheet:
    """The sheet of two agents side by side, or of several equal jars of each dose; every jar has a line."""
    base, fixes = it.base, factors.fixes_of(it.base, planned)
    trial = design_planned(base, planned, it.own_limits)
    sheets = Procedures(base, it.case.units, it.own_limits, Citations(base))
    heat_test = next((test for fix in fixes if (test := trial_of(fix).heat_test)), None)
    return TrialSheet(
        title=f"Bench trial: {', beside: '.join(fix.name for fix in fixes)}",
        case=it.case.title,
        made=today.isoformat(),
        rule_base=base.edition,
        notes=("As it was planned in this case.",),
        says=" ".join(trial_of(fix).says for fix in fixes),
        stock=tuple(factors.stocks(base, planned, trial)),
        heads=_heads(factors.jar_heads(fixes, trial)),
        to_read=(*_to_read(fixes, heat_test), "Notes"),
        jars=tuple((factors.jar_name(jar), *factors.jar_cells(fixes, trial, jar)) for jar in trial.jars),
        needed=" ".join(factors.needed(fixes, trial)),
        warnings=tuple(factors.beware(base, fixes, trial, it.own_limits)),
        then=(*factors.then(fixes), *factors.codes_of(trial)),
        judge_by=factors.judge_by(fixes),
        dose_in=agent_of(fixes[0]).dose_head,
        blend=agent_of(fixes[0]).is_share,
        cautions=sheets.cautions(tuple(dict.fromkeys(c for fix in fixes for c in agent_of(fix).cautions))),
        heat_test=sheets.test(heat_test) if heat_test else None,
    )


def _heads(heads: Sequence[tuple[str, str]]) -> tuple[str, ...]:
    return tuple(f"{what[:1].upper()}{what[1:]}{unit and f', {unit}'}" for what, unit in heads)


def _to_read(fixes: Sequence[Fix], heat_test: str | None) -> tuple[str, ...]:
    """What is read in each jar, for two agents that read alike."""
    if len(fixes) == 1:
        return tuple(head.capitalize() for head in to_read(trial_of(fixes[0])))
    return ("Clear?", *(("Heat test",) if heat_test else ()), "Taste")


def _warnings(it: CaseJudged, fix: str, agent: Agent, design: TrialDesign) -> Iterator[str]:
    for warning in design.warnings:
        yield warning_words(agent, warning, design)
    limit = water_limit(it.base, it.base.fixes[fix], it.own_limits)
    if limit and any(warning.code == "over_water_limit" for warning in design.warnings):
        yield limit_words(*limit)


def fix_sheet(it: CaseJudged, fix: str, today: date) -> FixSheet:
    """The sheet of a treatment, with the amounts for this vessel where they are known."""
    base, plan = it.base, it.judged.plan
    sheets = Procedures(base, it.case.units, it.own_limits, Citations(base))
    known = amounts(base.fixes[fix], it.judged.facts)
    order = [item for item in plan.order if item.fix == fix]
    advice = plan.of(fix)
    offered = advice is not None and advice.state == "open"
    work = it.state.done().get(fix)
    notes = []
    if not offered and work is None and base.fixes[fix].can_be_undone == "no":
        notes.append(
            "Not in the plan: nothing here speaks for it, and it cannot be undone. Do not do it yet."
        )
    if any(amount.value is None for amount in known):
        notes.append("What is not known yet is left blank.")
    return FixSheet(
        title=base.fixes[fix].name,
        case=it.case.title,
        made=today.isoformat(),
        rule_base=base.edition,
        notes=tuple(notes),
        work=tell_one(it, work) if work else None,
        fix=sheets.fix(fix, known, begun=_ticked(it.base.fixes[fix], work), order=order),
    )


def _ticked(fix: Fix, work: Work | None) -> Collection[int]:
    """The steps that are done; none where the check was not good, for then all may be done again."""
    if work is None or work.stands == "not_good":
        return ()
    return work.steps if work.stands == "begun" else range(1, len(fix.steps) + 1)
