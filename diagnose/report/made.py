"""A judged case as a report. Nothing is concluded here; what was concluded is put into words and in order."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date

from diagnose.casebook.answers import show_answer
from diagnose.casebook.case import remark_of
from diagnose.casebook.models import CaseFile
from diagnose.engine.compile import REFUSED
from diagnose.judgement.gates import GatesStand, GateStands, gates_stand
from diagnose.judgement.judge import Judged, doubts
from diagnose.judgement.whole import plan_of_case
from diagnose.knowledge.rule_base import RuleBase
from diagnose.logbook.told import tell_log
from diagnose.planning.fixes import FixAdvice
from diagnose.present.gates import UNKNOWN as NOBODY_LOOKED
from diagnose.present.result import clash_words, contradiction_words, cost_words, nothing_yet, turning_told
from diagnose.present.words import answer_words, cause_name, observable_name
from diagnose.reasoning.questions import Candidate

from .case import CaseJudged
from .citations import Citations
from .curve import draw_log
from .differential import troubles
from .planned import serves, tell_plan
from .procedures import Procedures
from .told import (
    CautionTold,
    Change,
    Finding,
    GatesTold,
    GateTold,
    Named,
    Report,
)
from .trials import trials_read
from .worked import tell_end, tell_work

WRITTEN_OUT = 5
"""Tests whose steps are written out; the rest are named with their reasons."""

CHANGES = 6
"""Answers told that would put another cause first."""


def make_report(it: CaseJudged, today: date) -> Report:
    """The report of a case, made `today`."""
    base, case, judged, plan = it.base, it.case, it.judged, it.judged.plan
    citations = Citations(base)
    sheets = Procedures(base, case.units, it.own_limits, citations)
    open_questions = doubts(it.cellar, judged)
    mind = sheets.cautions(item.caution for item in plan.cautions if item.holds_now)
    weighed = troubles(it.cellar, judged, case.topics, case.units, citations)
    tests = tuple(sheets.test(item.test, item.reasons) for item in plan.tests[:WRITTEN_OUT])
    whole = tell_plan(it, plan_of_case(it.cellar, judged, it.state, today), sheets)
    log = tell_log(base, it.state, case.units, today) if it.state.readings else None
    return Report(
        title=case.title,
        case=case.case,
        made=today.isoformat(),
        rule_base=base.edition,
        begun_with=case.rule_base if case.rule_base and case.rule_base != base.edition else "",
        invented=case.invented == "yes",
        story=case.story or "",
        brought=tuple(base.topics[topic].complaint for topic in case.topics),
        remarks=tuple(_remarks(case)),
        ended=tell_end(it),
        work=tell_work(it),
        findings=tuple(_findings(it)),
        doubtful=tuple(_doubtful(it)),
        mind=mind,
        troubles=weighed,
        changes=tuple(_changes(it, open_questions)),
        not_known=_asked(it, it.state.skipped),
        put_off=_asked(it, it.state.put_off),
        tests=tests,
        more_tests=tuple(
            Named(base.tests[item.test].name, sheets.reasons(item.reasons))
            for item in plan.tests[WRITTEN_OUT:]
        ),
        nothing_yet="" if whole.steps else nothing_yet(plan),
        plan=whole,
        locked=tuple(_locked(base, sheets, advice) for advice in plan.locked),
        others=tuple(
            Named(base.fixes[advice.fix].name, serves(it, sheets, advice)) for advice in plan.others
        ),
        forbidden=tuple(
            Named(base.fixes[advice.fix].name, sheets.reasons(advice.forbidden_by))
            for advice in plan.forbidden_in_play
        ),
        other_cautions=_other_cautions(judged, sheets),
        log=log,
        log_drawings=draw_log(log) if log else (),
        trials=trials_read(base, it.state.trials, it.own_limits),
        gates=tuple(_gates(base, stand) for stand in gates_stand(it.cellar, judged)),
        sources=citations.told(),
    )


def _findings(it: CaseJudged) -> Iterator[Finding]:
    """The answers that stand, in the order they were given."""
    days = {event.about: event.at[:10] for event in it.case.events if event.did == "answered"}
    known, from_log = it.state.known, it.state.from_log
    for name in dict.fromkeys((*it.state.order, *from_log)):
        if name in known:
            page = it.base.observations[name]
            answer = show_answer(page, known[name], it.case.units)
            day = f"{from_log[name].day}, from the log" if name in from_log else days.get(name, "")
            yield Finding(page.ask, answer, day)


def _remarks(case: CaseFile) -> Iterator[tuple[str, str]]:
    """What was noted in the file, in whatever words."""
    for event in case.events:
        if event.did == "noted":
            yield event.at[:10], remark_of(event)


def _doubtful(it: CaseJudged) -> Iterator[str]:
    """What was refused, what does not fit together, and what came out with several values."""
    base, judged = it.base, it.judged
    for name, values in judged.facts.items():
        if name.startswith(REFUSED):
            yield f"{observable_name(base, name.removeprefix(REFUSED))}: {values[0]}"
    for clash in judged.clashes:
        yield clash_words(base, clash)
    for name, values in judged.contradictions.items():
        yield contradiction_words(base, name, values)


def _changes(it: CaseJudged, open_questions: tuple[Candidate, ...]) -> Iterator[Change]:
    for point in turning_told(it.judged, open_questions)[:CHANGES]:
        yield Change(
            question=it.base.observations[point.observation].ask,
            answer=answer_words(it.base, point.observation, point.answer),
            cause=cause_name(it.base, point.cause),
            cost=cost_words(it.base, point.observation),
        )


def _asked(it: CaseJudged, names: set[str]) -> tuple[str, ...]:
    return tuple(it.base.observations[name].ask for name in sorted(names))


def _locked(base: RuleBase, sheets: Procedures, advice: FixAdvice) -> Named:
    names = ", ".join(base.tests[test].name for test in advice.unlocked_by)
    opens = f" Opens with: {names}." if names else ""
    return Named(
        base.fixes[advice.fix].name,
        sheets.reasons(advice.offered_by),
        f"It cannot be undone, and no test has confirmed the cause yet.{opens}",
    )


def _other_cautions(judged: Judged, sheets: Procedures) -> tuple[CautionTold, ...]:
    """What the judgement warns of and no sheet has said yet: it belongs to steps that are not written out here."""
    return sheets.cautions(item.caution for item in judged.plan.cautions if item.caution not in sheets.shown)


def _gates(base: RuleBase, stand: GatesStand) -> GatesTold:
    verdict = stand.verdict
    values = base.states[verdict.state].values
    return GatesTold(
        name=stand.name,
        verdict=values[verdict.value] if verdict.value else "Too little is known to say.",
        because=verdict.because,
        each=tuple(_gate(base, gate) for gate in stand.each),
    )


def _gate(base: RuleBase, gate: GateStands) -> GateTold:
    return GateTold(
        gate.name,
        gate.value.replace("_", " ") if gate.value else NOBODY_LOOKED,
        gate.because,
        tuple(base.tests[test].name for test in gate.find_out),
    )
