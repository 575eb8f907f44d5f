"""Which fixes are offered, locked or forbidden here, ranked, each with its reasons."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from diagnose.calculators import calculators
from diagnose.engine.behind import confirming_tests
from diagnose.engine.compile import FREE, GIVEN, EngineRule, compute
from diagnose.engine.facts import Facts
from diagnose.engine.trace import Trace
from diagnose.knowledge.models.treatments import Fix, Quantity
from diagnose.knowledge.rule_base import RuleBase
from diagnose.reasoning.standing import Standing
from diagnose.units import to_canonical, units_of

BURDENS = ("effort", "cost", "wine_loss", "flavour_harm")
CANNOT_BE_UNDONE = "much"
"""The burden word that a fix which cannot be undone carries on top of its own."""


BEHIND = ("unchecked", "good", "unsure")
"""How a fix stands that was done and is not advised again: its check is to come, or was good."""


@dataclass(frozen=True)
class Serves:
    """A cause that a fix would help, and how far."""

    cause: str
    chance: float
    standing: str
    how_well: str
    gain: float
    """The part of the trouble it can be expected to remove: how well it works, times the chance of the cause."""
    because: str


@dataclass(frozen=True)
class Reason:
    """A sentence with the rule it came from."""

    says: str
    rule: str
    source: tuple[str, ...]


@dataclass(frozen=True)
class Amount:
    """A number worked out for this vessel; None where an input is not known yet."""

    name: str
    says: str
    quantity: str
    value: float | None
    calculator: str
    inputs: Mapping[str, float | str]


@dataclass(frozen=True)
class FixAdvice:
    """A fix as it stands in this case."""

    fix: str
    state: str
    """`open`, `locked` until a test confirms the cause, or `forbidden`."""
    score: float
    serves: tuple[Serves, ...]
    burdens: Mapping[str, str]
    offered_by: tuple[Reason, ...]
    forbidden_by: tuple[Reason, ...]
    unlocked_by: tuple[str, ...]
    """Tests, any of which could confirm the cause."""
    amounts: tuple[Amount, ...]
    done: str | None = None
    """How it stands where it was done already, as the fact `done.FIX` says; None where it was not."""


def advise(
    base: RuleBase, rules: Mapping[str, EngineRule], trace: Trace, found: Sequence[Standing]
) -> tuple[FixAdvice, ...]:
    """Every fix offered or forbidden here: open ones first, then locked, then forbidden, best first."""
    # The rest is looked through once for each fix.
    at_work = [
        standing for standing in found if standing.cause in base.causes and standing.word != "unlikely"
    ]
    advice = [
        _advice(base, rules, trace, at_work, fix)
        for name, fix in base.fixes.items()
        if f"fix.{name}" in trace.facts or _done(trace.facts, name) in BEHIND
    ]
    order = ("open", "locked", "forbidden")
    return tuple(sorted(advice, key=lambda item: (order.index(item.state), -item.score, item.fix)))


def _advice(
    base: RuleBase, rules: Mapping[str, EngineRule], trace: Trace, at_work: Sequence[Standing], fix: Fix
) -> FixAdvice:
    serves = _serves(base, at_work, fix)
    offered = _reasons(rules, trace, fix.fix, "offered")
    forbidden = _reasons(rules, trace, fix.fix, "forbidden")
    # A rule that offers a fix by name speaks for the wine as it stands, whatever the cause turns out to be.
    by_rule = any(reason.rule.startswith(FREE) for reason in offered)
    confirmed = any(serve.standing == "confirmed" for serve in serves)
    locked = fix.can_be_undone == "no" and not confirmed and not by_rule
    return FixAdvice(
        fix=fix.fix,
        state="forbidden" if forbidden else "locked" if locked else "open",
        score=_score(base, fix, serves),
        serves=serves,
        burdens={burden: getattr(fix, burden) for burden in BURDENS},
        offered_by=offered,
        forbidden_by=forbidden,
        unlocked_by=_unlocking(base, serves, trace.facts) if locked else (),
        amounts=amounts(fix, trace.facts),
        done=_done(trace.facts, fix.fix),
    )


def _done(facts: Facts, fix: str) -> str | None:
    return next((str(value) for value in facts.get(GIVEN + fix, ())), None)


def _serves(base: RuleBase, at_work: Sequence[Standing], fix: Fix) -> tuple[Serves, ...]:
    return tuple(
        Serves(
            standing.cause,
            standing.chance,
            standing.word,
            cure.how_well,
            standing.chance * base.word("how_well", cure.how_well),
            cure.because,
        )
        for standing in at_work
        for cure in base.causes[standing.cause].cured_by
        if cure.fix == fix.fix
    )


def _score(base: RuleBase, fix: Fix, serves: Sequence[Serves]) -> float:
    """The part of the trouble it can be expected to remove, less what it costs."""
    gain = sum(serve.gain for serve in serves)
    burden = sum(base.word("burden", getattr(fix, name)) for name in BURDENS)
    return gain - burden - (base.word("burden", CANNOT_BE_UNDONE) if fix.can_be_undone == "no" else 0.0)


def _reasons(rules: Mapping[str, EngineRule], trace: Trace, fix: str, value: str) -> tuple[Reason, ...]:
    fired = dict.fromkeys(firing.rule for firing in trace.behind(f"fix.{fix}", value))
    return tuple(Reason(rules[rule].because, rule, rules[rule].source) for rule in sorted(fired))


def _unlocking(base: RuleBase, serves: Sequence[Serves], facts: Facts) -> tuple[str, ...]:
    """Tests not read yet that could confirm a cause the fix serves."""
    found: dict[str, None] = {}
    for serve in serves:
        for finding in base.causes[serve.cause].confirmed_by:
            for test, answered in confirming_tests(base, finding).items():
                if not any(observation in facts for observation in answered):
                    found[test] = None
    return tuple(found)


def amounts(fix: Fix, facts: Facts) -> tuple[Amount, ...]:
    """The quantities of a fix for this vessel."""
    found = []
    for quantity in fix.quantities:
        named = [given for given in quantity.compute.with_.values() if isinstance(given, str)]
        plain = {name: facts[name][0] for name in named if len(facts.get(name, ())) == 1}
        inputs: dict[str, float | str] = {}
        for parameter, given in quantity.compute.with_.items():
            value = plain.get(given) if isinstance(given, str) else given
            inputs[parameter] = value if isinstance(value, float) else str(given)
        found.append(
            Amount(
                quantity.name,
                quantity.says,
                quantity.quantity,
                _in_cellar_unit(compute(quantity.compute, plain), quantity),
                quantity.compute.calculator,
                inputs,
            )
        )
    return tuple(found)


def _in_cellar_unit(value: float | str | None, quantity: Quantity) -> float | None:
    """A calculator says in which unit it answers; a slurry may come in mL where volumes are kept in L."""
    if not isinstance(value, float):
        return None
    unit = calculators()[quantity.compute.calculator].result_unit
    return to_canonical(value, unit, quantity.quantity) if unit in units_of(quantity.quantity) else value
