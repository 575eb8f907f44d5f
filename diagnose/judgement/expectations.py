"""Whether a worked case comes out as it must: the regression test of the rule base."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from diagnose.casebook.models import Expected
from diagnose.knowledge.rule_base import RuleBase

from .judge import Judged

FIRST = 3
"""How many causes count as being among the first."""


@dataclass(frozen=True)
class Miss:
    """An expectation that was not met: what it is about, what should be there, and what was found."""

    says: str
    wanted: str
    found: str

    def __str__(self) -> str:
        """In one sentence."""
        return f"{self.says}; found {self.found}" if self.found else self.says


def misses(base: RuleBase, judged: Judged, expected: Expected) -> Iterator[Miss]:
    """Each expectation that is not met. Names that the rule base lacks are misses too."""
    yield from _unknown_names(base, expected)
    yield from _causes(judged, expected)
    yield from _plan(judged, expected)
    if expected.healthy:
        yield from _healthy(base, judged)


def _unknown_names(base: RuleBase, expected: Expected) -> Iterator[Miss]:
    pages = {
        "cause": {*base.causes, "unknown"},
        "fix": set(base.fixes),
        "caution": set(base.cautions),
        "test": set(base.tests),
    }
    named = {
        "cause": [*expected.among_first, *expected.also_likely, *filter(None, [expected.first_cause])],
        "fix": [
            *expected.fixes,
            *expected.locked,
            *expected.never_offered,
            *filter(None, [expected.first_fix]),
        ],
        "caution": list(expected.cautions),
        "test": list(expected.tests),
    }
    for kind, names in named.items():
        for name in names:
            if name not in pages[kind]:
                yield Miss(f"expects the {kind} '{name}', which these rules do not have", name, "")


def _causes(judged: Judged, expected: Expected) -> Iterator[Miss]:
    ranked = judged.of(judged.topics[0])
    order = [standing.cause for standing in ranked]
    shown = ", ".join(f"{s.cause} {s.chance:.2f} {s.word}" for s in ranked[:FIRST])
    if expected.first_cause and order[0] != expected.first_cause:
        yield Miss(f"first cause should be {expected.first_cause}", expected.first_cause, shown)
    for cause in expected.among_first:
        if cause not in order[:FIRST]:
            yield Miss(f"{cause} should be among the first {FIRST}", cause, shown)
    for standing in judged.standings:
        if standing.cause in expected.also_likely and not standing.is_likely:
            stands = f"{standing.cause} {standing.chance:.2f} {standing.word}"
            yield Miss(f"{standing.cause} should be likely too", f"{standing.cause} likely", stands)
    if expected.standing and judged.first.word != expected.standing:
        yield Miss(f"the first cause should be {expected.standing}", expected.standing, shown)


def _plan(judged: Judged, expected: Expected) -> Iterator[Miss]:
    plan = judged.plan
    steps = [item.fix for item in plan.steps]
    offered = {item.fix for item in (*plan.steps, *plan.others)}
    if expected.first_fix and steps[:1] != [expected.first_fix]:
        yield Miss(
            f"first fix should be {expected.first_fix}", expected.first_fix, ", ".join(steps) or "none"
        )
    for what, wanted, found in (
        ("fix", expected.fixes, offered),
        ("locked fix", expected.locked, {item.fix for item in plan.locked}),
        ("caution", expected.cautions, {item.caution for item in plan.cautions}),
        ("test", expected.tests, {item.test for item in plan.tests}),
    ):
        for name in wanted:
            if name not in found:
                yield Miss(f"{what} {name} should be there", name, ", ".join(sorted(found)) or "none")
    for name in expected.never_offered:
        if name in offered:
            yield Miss(f"{name} must not be offered here", f"no {name}", name)


def _healthy(base: RuleBase, judged: Judged) -> Iterator[Miss]:
    """A sound wine is called faulty by no known cause, and nothing is done to it."""
    for standing in judged.standings:
        page = base.causes.get(standing.cause)
        if page and page.fault == "yes" and standing.is_likely:
            says = f"{standing.cause} must not be likely in a healthy wine"
            yield Miss(says, f"{standing.cause} possible at most", standing.word)
    plan = judged.plan
    for item in (*plan.steps, *plan.others, *plan.locked):
        if base.fixes[item.fix].treats == "yes":
            yield Miss(f"{item.fix} must not be offered for a healthy wine", f"no {item.fix}", item.fix)
