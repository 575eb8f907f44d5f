"""Weaknesses of conditions: rules that contradict each other, add nothing, or can never hold; gaps between figures."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from itertools import combinations, permutations

from diagnose.engine.compile import EngineRule
from diagnose.engine.facts import Fact
from diagnose.engine.truth import Branch, branches
from diagnose.knowledge.models.facts import State
from diagnose.knowledge.problems import Place

from .algebra import Ways, gaps, implies, overlap
from .survey import Survey
from .weakness import Weakness

_LOSES: Mapping[tuple[str, str], str] = {
    ("offered", "forbidden"): "offer_contradicts",
    ("requested", "withheld"): "request_contradicts",
}
"""What is concluded in vain where the second is concluded too. The other way round it is an exception, and meant."""


@dataclass(frozen=True)
class _Saying:
    """One fact that a rule concludes."""

    rule: EngineRule
    fact: Fact


def weak_rules(survey: Survey) -> Iterator[Weakness]:
    """Of rules that conclude something of the same fact: those that contradict a wider one, or add nothing to it."""
    sayings: dict[str, list[_Saying]] = {}
    for rule in survey.rules:
        if not rule.id.startswith(("band/", "derive/", "evidence/", "caution/")):
            for fact in rule.conclude({}):
                if isinstance(fact, Fact) and survey.reachable(rule.branches):
                    sayings.setdefault(fact.name, []).append(_Saying(rule, fact))
    for alike in sayings.values():
        for one, other in permutations(alike, 2):
            kind = _kind(one, other)
            if kind and implies(one.rule.branches, other.rule.branches, survey.domains):
                same = implies(other.rule.branches, one.rule.branches, survey.domains)
                if same and one.fact == other.fact and one.rule.id > other.rule.id:
                    continue  # told once
                if kind == "rule_adds_nothing" and one.fact.name.startswith("fix.") and not same:
                    kind = "adds_a_reason_only"
                yield _weak(survey, kind, one, other)


def _kind(one: _Saying, other: _Saying) -> str | None:
    if one.rule.id == other.rule.id:
        return None
    if one.fact == other.fact:
        return "rule_adds_nothing"
    if one.rule.page[0] == "state":
        return "values_contradict"
    return _LOSES.get((str(one.fact.value), str(other.fact.value)))


def _weak(survey: Survey, kind: str, one: _Saying, other: _Saying) -> Weakness:
    place = _place(survey, one.rule)
    there = f"{'.'.join(other.rule.page)} (line {_place(survey, other.rule).line} there)"
    said, wider = f"{one.fact.name} is {one.fact.value}", f"{other.fact.name} is {other.fact.value}"
    if one.fact == other.fact:
        what = f"wherever this concludes that {said}, so does {there}."
        mend = "Take the narrower one out, or let it conclude something else."
    else:
        what = f"wherever this concludes that {said}, {there} concludes that {wider}."
        mend = "Give the wider rule a condition that leaves this out, or take one of the two out."
    return Weakness(kind, ".".join(one.rule.page), place, what, mend, one.fact.name.rpartition(".")[2])


def _place(survey: Survey, rule: EngineRule) -> Place:
    """Where a rule is written; a page may have several, told by the number in the id."""
    written = rule.id.rpartition("/")[2].partition("_")[0]
    numbered = rule.id.startswith(("state/", "never/", "evidence/"))
    return survey.place(*rule.page, int(written) - 1 if numbered else None)


def never_holding(survey: Survey) -> Iterator[Weakness]:
    """Rules and questions whose condition can never hold, and values of states that nothing concludes."""
    for rule in survey.rules:
        # A test or fix that never comes about brings no caution; that is told of the test or fix.
        if not rule.id.startswith("caution/") and not survey.reachable(rule.branches):
            part = rule.id.rpartition("/")[2]
            yield _dead(survey, ".".join(rule.page), _place(survey, rule), rule.branches, part)
    asked: list[tuple[str, str, Ways]] = [
        ("observe", name, branches(page.ask_when))
        for name, page in survey.base.observations.items()
        if page.ask_when
    ]
    asked += [("clash", name, branches(page.when)) for name, page in survey.base.clashes.items()]
    for kind, name, ways in asked:
        if not survey.reachable(ways):
            yield _dead(survey, f"{kind}.{name}", survey.place(kind, name), ways, "")
    for name, state in survey.base.states.items():
        for value in state.values:
            if value not in (survey.reach.get(name) or ()):
                yield Weakness(
                    "value_never_concluded",
                    f"state.{name}",
                    survey.place("state", name),
                    f"no rule that can hold concludes that '{name}' is '{value}'.",
                    "Write a rule for it, mend the one it has, or take the value out.",
                    value,
                )


def _dead(survey: Survey, page: str, place: Place, ways: Ways, part: str) -> Weakness:
    said = " or ".join(" and ".join(map(str, way.tests)) for way in ways) or "what it reads"
    missing = sorted({name for way in ways for name in way.names if name not in survey.reach})
    reason = f"; nothing concludes {', '.join(missing)}" if missing else ""
    what = f"this can never hold: {said}{reason}."
    return Weakness("never_holds", page, place, what, "Mend the condition, or take it out.", part)


# ---------------------------------------------------------------- figures


def weak_figures(survey: Survey) -> Iterator[Weakness]:
    """Stretches of a number that the rules of a state leave out, or give two values."""
    for name, state in survey.base.states.items():
        rules = [(rule.is_, branches(rule.when)) for rule in state.rules]
        for number in _numbers(rules):
            ways = [way for _, written in rules for way in written]
            for stretch in gaps(number, ways, survey.domains):
                yield Weakness(
                    "gap_between_figures",
                    f"state.{name}",
                    survey.place("state", name),
                    f"no rule of '{name}' says anything of {number} {stretch}, between figures that have rules.",
                    "Let one rule begin where the other ends, or say in a remark why not.",
                    number,
                )
            yield from _overlapping(survey, state, rules, number)


def _numbers(rules: list[tuple[str, tuple[Branch, ...]]]) -> list[str]:
    leaves = {leaf for _, ways in rules for way in ways for leaf in way.tests}
    return sorted(
        {leaf.name for leaf in leaves if any(isinstance(wanted, float) for _, wanted in leaf.parts)}
    )


def _overlapping(
    survey: Survey, state: State, rules: list[tuple[str, tuple[Branch, ...]]], number: str
) -> Iterator[Weakness]:
    for (at, (value, ways)), (_, (other, others)) in combinations(enumerate(rules), 2):
        if value == other:
            continue
        for one, two in ((one, two) for one in ways for two in others):
            stretches = _shared(survey, number, one, two)
            if stretches:
                said = " and ".join(map(str, stretches))
                yield Weakness(
                    "figures_overlap",
                    f"state.{state.state}",
                    survey.place("state", state.state, at),
                    f"'{state.state}' is both '{value}' and '{other}' at {number} {said}.",
                    "Let one rule begin where the other ends.",
                    number,
                )


def _shared(survey: Survey, number: str, one: Branch, two: Branch) -> tuple[object, ...]:
    """Where two ways both hold by this number alone: neither lies in the other, and nothing else tells them apart."""
    if not all(any(leaf.name == number for leaf in way.tests) for way in (one, two)):
        return ()
    rests = [_without(number, way) for way in (one, two)]
    if not (implies(rests[:1], rests[1:], survey.domains) or implies(rests[1:], rests[:1], survey.domains)):
        return ()
    if implies([one], [two], survey.domains) or implies([two], [one], survey.domains):
        return ()  # a contradiction, and told as such
    return overlap(number, [one], [two], survey.domains)


def _without(number: str, way: Branch) -> Branch:
    return replace(way, tests=tuple(leaf for leaf in way.tests if leaf.name != number))
