"""One plan: what to mind, what to test first, what to do then and in which order."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from diagnose.engine.compile import FREE, EngineRule
from diagnose.engine.trace import Trace
from diagnose.knowledge.rule_base import RuleBase
from diagnose.reasoning.standing import Standing

from .fixes import BEHIND, FixAdvice, Reason, advise
from .order import Constraint, constraints, in_order

WITHHELD = "withheld"
"""What a rule concludes of a test that must wait, such as one that would open bottles under pressure."""


@dataclass(frozen=True)
class ProposedTest:
    """A test worth doing, and the reasons."""

    test: str
    reasons: tuple[Reason, ...]


@dataclass(frozen=True)
class CautionShown:
    """A caution, and which pages or rules brought it."""

    caution: str
    reasons: tuple[Reason, ...]

    @property
    def holds_now(self) -> bool:
        """Whether a rule warns for the wine as it stands, and not only for a step that may come."""
        return any(reason.rule.startswith(FREE) for reason in self.reasons)


@dataclass(frozen=True)
class Plan:
    """What to do now. `steps` are the fixes chosen, in order; `others` could take their place."""

    steps: tuple[FixAdvice, ...]
    order: tuple[Constraint, ...]
    others: tuple[FixAdvice, ...]
    locked: tuple[FixAdvice, ...]
    forbidden: tuple[FixAdvice, ...]
    tests: tuple[ProposedTest, ...]
    cautions: tuple[CautionShown, ...]
    done: tuple[FixAdvice, ...] = ()
    """Fixes done already and not to be done again: their check is to come, is not clear, or was good."""

    def of(self, fix: str) -> FixAdvice | None:
        """How a fix stands here; None where nothing speaks of it."""
        everywhere = (*self.done, *self.steps, *self.others, *self.locked, *self.forbidden)
        return next((advice for advice in everywhere if advice.fix == fix), None)

    @property
    def forbidden_in_play(self) -> tuple[FixAdvice, ...]:
        """The forbidden fixes that would serve a cause in play, or that a page offers; others would be noise."""
        return tuple(advice for advice in self.forbidden if advice.serves or advice.offered_by)


def make_plan(
    base: RuleBase, rules: Mapping[str, EngineRule], trace: Trace, found: Sequence[Standing]
) -> Plan:
    """The plan for the causes as they stand."""
    advice = advise(base, rules, trace, found)
    behind = tuple(item for item in advice if item.done in BEHIND)
    by_state = {
        state: [item for item in advice if item.state == state] for state in ("open", "locked", "forbidden")
    }
    # What was done still counts as the cure of its cause, so that no lesser one takes its place.
    chosen = [
        item for item in _chosen(base, by_state["open"], by_state["locked"], found) if item not in behind
    ]
    by_state = {state: [item for item in items if item not in behind] for state, items in by_state.items()}
    ordered = in_order(base, [item.fix for item in chosen])
    by_fix = {item.fix: item for item in chosen}
    return Plan(
        steps=tuple(by_fix[fix] for fix in ordered),
        order=constraints(base, ordered),
        others=tuple(item for item in by_state["open"] if item.fix not in by_fix),
        locked=tuple(by_state["locked"]),
        forbidden=tuple(by_state["forbidden"]),
        tests=_tests(base, rules, trace),
        done=behind,
        cautions=tuple(
            CautionShown(caution, reasons)
            for caution, reasons in _shown(base.cautions, "caution", "shown", rules, trace)
        ),
    )


def _chosen(
    base: RuleBase, offered: Sequence[FixAdvice], locked: Sequence[FixAdvice], found: Sequence[Standing]
) -> list[FixAdvice]:
    """For each cause in play its best fix if that is open, and everything a rule offers by name.

    Where the best fix is still locked, the test that opens it comes first; a lesser fix does not take its place.
    """
    chosen = {item.fix for item in offered if any(reason.rule.startswith(FREE) for reason in item.offered_by)}
    for standing in found:
        if standing.is_likely:
            serving = [
                item for item in (*offered, *locked) if any(s.cause == standing.cause for s in item.serves)
            ]
            if serving:
                best = max(serving, key=lambda item: _worth_for(base, item, standing.cause)).fix
                # A fix unlocked by one confirmed cause is not thereby right for another that is only likely.
                if standing.word == "confirmed" or base.fixes[best].can_be_undone == "yes":
                    chosen.add(best)
    return [item for item in offered if item.fix in chosen]


def _worth_for(base: RuleBase, item: FixAdvice, cause: str) -> tuple[float, int]:
    """What a fix is worth for this cause alone: help with another cause does not make it the cure of this one.

    Of equals the one that stands first on the page of the cause.
    """
    alone = item.score - sum(serve.gain for serve in item.serves if serve.cause != cause)
    named = [cure.fix for cure in base.causes[cause].cured_by]
    return round(alone, 9), -named.index(item.fix)


def _tests(base: RuleBase, rules: Mapping[str, EngineRule], trace: Trace) -> tuple[ProposedTest, ...]:
    """Requested tests that have not been read and are not withheld, least work first."""

    def work(test: str) -> tuple[float, str]:
        page = base.tests[test]
        return base.word("effort", page.hands_on) + base.word("waiting", page.waiting), test

    asked = {
        test: reasons
        for test, reasons in _shown(base.tests, "test", "requested", rules, trace)
        if WITHHELD not in trace.facts[f"test.{test}"]
        and not all(observation in trace.facts for observation in base.tests[test].yields)
    }
    return tuple(ProposedTest(test, asked[test]) for test in sorted(asked, key=work))


def _shown(
    pages: Mapping[str, object], kind: str, value: str, rules: Mapping[str, EngineRule], trace: Trace
) -> list[tuple[str, tuple[Reason, ...]]]:
    found = []
    for name in sorted(pages):
        fired = dict.fromkeys(firing.rule for firing in trace.behind(f"{kind}.{name}", value))
        if fired:
            reasons = tuple(Reason(rules[rule].because, rule, rules[rule].source) for rule in sorted(fired))
            found.append((name, reasons))
    return found
