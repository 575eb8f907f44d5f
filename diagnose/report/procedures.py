"""Tests and fixes as sheets to work from: cautions at the step, amounts for the vessel, limits as they count here."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterable, Mapping, Sequence

from diagnose.engine.compile import FREE
from diagnose.knowledge.models.treatments import Fix, Step
from diagnose.knowledge.rule_base import RuleBase
from diagnose.planning.fixes import Amount, FixAdvice, Reason
from diagnose.planning.order import Constraint
from diagnose.present.question import time_words
from diagnose.present.result import amount_words, limit_words
from diagnose.present.steps import BLANK, fill
from diagnose.present.words import answer_words, first_down, with_own
from diagnose.units import System, show_quantity

from .citations import Citations
from .told import CautionTold, DoseTold, FixTold, Refs, Sentence, StepTold, TestTold

HARMS = {"person": "Danger", "wine": "For the wine", "law": "The law"}
"""Whom a caution is about, as the word before it."""

_KEY = re.compile(r"`(\w+)`")


class Procedures:
    """Writes sheets out, and remembers which cautions stand on them."""

    def __init__(
        self, base: RuleBase, units: System, own_limits: Mapping[str, float], citations: Citations
    ) -> None:
        self.base, self.units, self.own_limits, self.citations = base, units, own_limits, citations
        self.shown: set[str] = set()

    def cautions(self, names: Iterable[str]) -> tuple[CautionTold, ...]:
        """Cautions in their words."""
        found = tuple(dict.fromkeys(names))
        self.shown.update(found)
        pages = [self.base.cautions[name] for name in found]
        return tuple(CautionTold(HARMS[page.harms], page.says) for page in pages)

    def reasons(self, reasons: Iterable[Reason]) -> tuple[Sentence, ...]:
        """Reasons with their sources, each sentence once."""
        told = {reason.says: self.citations.sentence(reason.says, reason.source) for reason in reasons}
        return tuple(told.values())

    def test(self, name: str, why: Iterable[Reason] = ()) -> TestTold:
        """A test written out."""
        page = self.base.tests[name]
        return TestTold(
            name=page.name,
            time=time_words(page),
            laboratory=page.where == "laboratory",
            purpose=page.purpose,
            why=self.reasons(why),
            equipment=page.equipment,
            steps=self._steps(page.steps, {}),
            cautions=self._rest(page.cautions, page.steps),
            reading=tuple(self._read(text, page.yields) for text in page.reading),
            pitfalls=page.pitfalls,
            refs=self.citations.refs(page.source),
        )

    def fix(
        self,
        name: str,
        amounts: Sequence[Amount],
        why: Iterable[Sentence] = (),
        begun: Collection[int] = (),
        order: Iterable[Constraint] = (),
        named: bool = False,
    ) -> FixTold:
        """A fix written out, with these amounts. `begun` are the steps done, `order` the fixes it comes after.

        With `named`, each blank says what belongs there.
        """
        page = self.base.fixes[name]
        filled = {item.name: f"{BLANK} ({item.says})" for item in page.quantities} if named else {}
        filled |= {amount.name: amount_words(amount, self.units) for amount in amounts}
        return FixTold(
            name=page.name,
            does=with_own(self.base, "fix", name, page.does),
            professional=page.done_by == "professional",
            can_be_undone=page.can_be_undone == "yes",
            why=tuple(why),
            after=tuple(self._after(item) for item in order),
            dose=self._dose(page),
            amounts=tuple((amount.says, filled[amount.name]) for amount in amounts),
            prepare=page.prepare,
            steps=self._steps(page.steps, filled, begun),
            cautions=self._rest(page.cautions, page.steps),
            check=f"After {page.check.after}: {page.check.do}",
            good=page.check.good,
            if_not=page.check.if_not,
            if_it_fails=page.if_it_fails,
            refs=self.citations.refs(page.source),
        )

    def _read(self, text: str, yields: Iterable[str]) -> str:
        """How to read a test, with an answer in its words where the rule file has its key."""

        def worded(key: re.Match[str]) -> str:
            said = (answer_words(self.base, name, key[1]) for name in yields)
            return next((f"“{words}”" for words in said if words != key[1]), key[0])

        return _KEY.sub(worded, text)

    def offered(self, advice: FixAdvice) -> tuple[Sentence, ...]:
        """The rules that offer a fix by name; those that follow from a cause are told with the cause."""
        return self.reasons(reason for reason in advice.offered_by if reason.rule.startswith(FREE))

    def _steps(
        self, steps: Sequence[Step], amounts: Mapping[str, str], done: Collection[int] = ()
    ) -> tuple[StepTold, ...]:
        return tuple(
            StepTold(fill(step.do, amounts), self.cautions(step.caution), number in done)
            for number, step in enumerate(steps, 1)
        )

    def _rest(self, cautions: Iterable[str], steps: Sequence[Step]) -> tuple[CautionTold, ...]:
        at_steps = {caution for step in steps for caution in step.caution}
        return self.cautions(caution for caution in cautions if caution not in at_steps)

    def _after(self, constraint: Constraint) -> Sentence:
        name = first_down(self.base.fixes[constraint.after].name)
        return self.citations.sentence(f"After {name}: {constraint.because}", constraint.source)

    def _dose(self, fix: Fix) -> DoseTold | None:
        if fix.dose is None:
            return None
        limits = [(self.base.limits[name], self.own_limits.get(name)) for name in fix.dose.limit]
        return DoseTold(
            says=fix.dose.says,
            usual=self._usual(fix.dose.usual, fix.dose.quantity),
            limits=tuple(limit_words(limit, own) for limit, own in limits),
            trial=fix.trial.says if fix.trial else "",
            refs=self._dose_refs(fix),
        )

    def _usual(self, usual: tuple[float, float] | None, quantity: str) -> str:
        if usual is None:
            return ""
        return " to ".join(show_quantity(value, quantity, self.units) for value in usual)

    def _dose_refs(self, fix: Fix) -> Refs:
        assert fix.dose is not None
        limits = [source for name in fix.dose.limit for source in self.base.limits[name].source]
        return self.citations.refs([*fix.dose.source, *limits, *(fix.trial.source if fix.trial else ())])
