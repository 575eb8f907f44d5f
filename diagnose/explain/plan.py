"""Why an amount is what it is, why one step of the plan comes before another, and why a question is asked."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from diagnose.calculators import calculators
from diagnose.engine.compile import compute
from diagnose.engine.facts import Fact, Value
from diagnose.engine.truth import branches
from diagnose.judgement.judge import Cellar, Judged, state_of
from diagnose.planning.fixes import Amount, amounts
from diagnose.planning.order import Constraint, constraints
from diagnose.reasoning.questions import Candidate, cost_of, effects_of

from .conditions import ConditionStands, condition_stands
from .said import WhySaid, why_said
from .why import Step, step_for

# ---------------------------------------------------------------- doses


@dataclass(frozen=True)
class InputFrom:
    """One input of a sum: a number written on the page of the fix, or a fact and where it came from."""

    parameter: str
    unit: str
    name: str | None
    """The fact; None for a number that the page gives."""
    value: float | None
    """In the cellar unit; None while nobody has looked."""
    step: Step | None


@dataclass(frozen=True)
class AmountFrom:
    """An amount with its sum, and where each number in it came from."""

    amount: Amount
    formula: str
    refused: str | None
    """Why the sum cannot be worked out on these numbers."""
    inputs: tuple[InputFrom, ...]


@dataclass(frozen=True)
class WhyDose:
    """Why the amounts of a fix are what they are."""

    fix: str
    amounts: tuple[AmountFrom, ...]


def why_dose(cellar: Cellar, judged: Judged, fix: str) -> WhyDose:
    """Where the amounts of a fix come from; none for a fix that has none."""
    page = cellar.base.fixes[fix]
    plain = {name: values[0] for name, values in judged.facts.items() if len(values) == 1}
    found = []
    for quantity, amount in zip(page.quantities, amounts(page, judged.facts), strict=True):
        sum_ = calculators()[amount.calculator]
        units = {parameter.name: parameter.unit for parameter in sum_.parameters}
        worked = compute(quantity.compute, plain)
        inputs = tuple(
            _input(cellar, judged, plain, parameter, units[parameter], given)
            for parameter, given in quantity.compute.with_.items()
        )
        found.append(AmountFrom(amount, sum_.formula, worked if isinstance(worked, str) else None, inputs))
    return WhyDose(fix, tuple(found))


def _input(
    cellar: Cellar, judged: Judged, plain: dict[str, Value], parameter: str, unit: str, given: str | float
) -> InputFrom:
    if not isinstance(given, str):
        return InputFrom(parameter, unit, None, given, None)
    value = plain.get(given)
    if not isinstance(value, float):
        return InputFrom(parameter, unit, given, None, None)
    return InputFrom(parameter, unit, given, value, step_for(cellar, judged.trace, Fact(given, value)))


# ---------------------------------------------------------------- order


@dataclass(frozen=True)
class WhyOrder:
    """Why steps of the plan stand in their order."""

    fixes: tuple[str, ...]
    """Those asked about; all of the plan where none was named."""
    steps: tuple[str, ...]
    """The plan, in the order of work."""
    constraints: tuple[Constraint, ...]


def why_order(cellar: Cellar, judged: Judged, fixes: Sequence[str] = ()) -> WhyOrder:
    """What says that one of these fixes comes after another; between two, or around each one named."""
    steps = tuple(item.fix for item in judged.plan.steps)
    among = constraints(cellar.base, dict.fromkeys((*steps, *fixes)))
    if len(fixes) > 1:
        among = tuple(item for item in among if item.fix in fixes and item.after in fixes)
    elif fixes:
        among = tuple(item for item in among if fixes[0] in (item.fix, item.after))
    return WhyOrder(tuple(fixes), steps, among)


# ---------------------------------------------------------------- questions


@dataclass(frozen=True)
class WhyQuestion:
    """Why a question is asked, or is not; and what its answer was used for."""

    question: str
    answered: tuple[Fact, ...]
    used_by: tuple[str, ...]
    """The rules that its answer, or the band of it, made speak."""
    candidate: Candidate | None
    """What each answer would change now; None where none would move a cause."""
    cost: float
    """Minutes of work."""
    test: str | None
    ask_when: tuple[ConditionStands, ...]
    """What must be so for the question to make sense: the way that comes nearest."""
    withheld: WhySaid


def why_question(cellar: Cellar, judged: Judged, question: str) -> WhyQuestion:
    """Why a question is asked, from the judgement as it stands."""
    base = cellar.base
    page = base.observations[question]
    answered = tuple(Fact(question, value) for value in judged.facts.get(question, ()))
    names = {question, f"band.{question}"}
    used = dict.fromkeys(
        firing.rule
        for firing in judged.trace.firings
        if any(fact.name in names for fact in firing.matched) and not firing.rule.startswith("band/")
    )
    cost, test = cost_of(base, page)
    return WhyQuestion(
        question,
        answered,
        tuple(used),
        None if answered else effects_of(state_of(cellar, judged), page),
        cost,
        test,
        condition_stands(cellar, judged, branches(page.ask_when)) if page.ask_when else (),
        why_said(cellar, judged, "question", question),
    )
