"""What a change of the rules changes for people: two outcomes of one case compared, what can hurt somebody first."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from diagnose.knowledge.rule_base import RuleBase
from diagnose.review.outcome import Outcome

LEAST = 0.02
"""Chances that move less than this are not told."""


@dataclass(frozen=True)
class Change:
    """One thing that is otherwise. `safety` where something that guarded a person or a wine is gone."""

    kind: str
    says: str
    before: str
    after: str
    safety: bool = False


def compare(base: RuleBase, before: Outcome, after: Outcome) -> tuple[Change, ...]:
    """Everything that is otherwise after a change of the rules, safety first. `base` names the pages of before."""
    found = [*_safety(base, before, after), *_causes(before, after), *_advice(before, after)]
    return tuple(sorted(found, key=lambda change: not change.safety))


def _safety(base: RuleBase, before: Outcome, after: Outcome) -> Iterator[Change]:
    for caution in sorted(before.cautions - after.cautions):
        page = base.cautions.get(caution)
        harms = page.harms if page else "person"
        yield Change("caution", f"{caution} is no longer shown", harms, "", safety=harms != "wine")
    for fix in sorted(before.forbidden & after.offered):
        yield Change("fix", f"{fix} was forbidden and is offered", "forbidden", "offered", safety=True)
    for name in sorted(before.withheld - after.withheld):
        yield Change("withheld", f"{name} is no longer withheld", "withheld", "", safety=True)
    for fix in sorted(before.locked & after.offered):
        yield Change("fix", f"{fix} was locked and is open", "locked", "open", safety=True)
    for gate in sorted(after.passed - before.passed):
        yield Change(
            "gate", f"{gate} is passed", before.gates.get(gate, "not known"), after.gates[gate], safety=True
        )


def _causes(before: Outcome, after: Outcome) -> Iterator[Change]:
    for topic in sorted({*before.firsts, *after.firsts}):
        was, now = before.firsts.get(topic), after.firsts.get(topic)
        if was is None or now is None:
            yield Change("topic", f"{topic} is {'no longer ' if now is None else ''}looked into", "", "")
        elif was[0] != now[0]:
            yield Change("first cause", f"first cause in {topic}", was[0], now[0])
        elif was[1] != now[1]:
            yield Change("standing", f"{was[0]} in {topic}", was[1], now[1])
    for cause in sorted({*before.chances, *after.chances}):
        was_chance, is_chance = before.chances.get(cause, 0.0), after.chances.get(cause, 0.0)
        if abs(was_chance - is_chance) >= LEAST:
            yield Change("chance", cause, f"{was_chance:.2f}", f"{is_chance:.2f}")


def _advice(before: Outcome, after: Outcome) -> Iterator[Change]:
    if before.steps != after.steps:
        yield Change("plan", "the plan", ", ".join(before.steps) or "none", ", ".join(after.steps) or "none")
    for kind, was, now in (
        ("fix", before.offered, after.offered - before.forbidden - before.locked),
        ("forbidden", before.forbidden, after.forbidden),
        ("caution", frozenset[str](), after.cautions - before.cautions),
        ("test", before.tests, after.tests),
        ("withheld", frozenset[str](), after.withheld - before.withheld),
    ):
        for name in sorted(was ^ now):
            yield Change(kind, name, *(("not there", "there") if name in now else ("there", "gone")))


@dataclass(frozen=True)
class CaseImpact:
    """What changes for one case, worked or simulated; `asked` is how many questions it took before and after."""

    name: str
    changes: tuple[Change, ...]
    asked: tuple[int, int] | None = None

    @property
    def safety(self) -> bool:
        """Whether something that guarded is gone."""
        return any(change.safety for change in self.changes)


@dataclass(frozen=True)
class Impact:
    """What changes over all cases."""

    cases: tuple[CaseImpact, ...]

    @property
    def touched(self) -> tuple[CaseImpact, ...]:
        """The cases in which anything is otherwise, safety first."""
        found = [
            case for case in self.cases if case.changes or (case.asked and case.asked[0] != case.asked[1])
        ]
        return tuple(sorted(found, key=lambda case: (not case.safety, case.name)))

    @property
    def safety(self) -> bool:
        """Whether in any case something that guarded is gone."""
        return any(case.safety for case in self.cases)

    def count(self, kind: str) -> int:
        """In how many cases a kind of change is met."""
        return sum(any(change.kind == kind for change in case.changes) for case in self.cases)

    @property
    def asked(self) -> tuple[int, int] | None:
        """Questions over all cases, before and after; None where they were not counted."""
        counted = [case.asked for case in self.cases if case.asked]
        return (sum(was for was, _ in counted), sum(now for _, now in counted)) if counted else None


def impact_of(
    base: RuleBase,
    names: Iterable[str],
    before: Iterable[Outcome],
    after: Iterable[Outcome],
    asked: Iterable[tuple[int, int] | None],
) -> Impact:
    """Cases compared one by one, in the order given."""
    return Impact(
        tuple(
            CaseImpact(name, compare(base, was, now), counted)
            for name, was, now, counted in zip(names, before, after, asked, strict=True)
        )
    )
