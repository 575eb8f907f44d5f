"""Tests, fixes and wrong ways as pages: each in full, with the places where it serves."""

from __future__ import annotations

from collections.abc import Callable, Iterable

from diagnose.engine.behind import confirming_tests
from diagnose.knowledge.models.treatments import Fix
from diagnose.knowledge.rule_base import RuleBase
from diagnose.report.citations import Citations
from diagnose.report.procedures import Procedures

from .links import Linker, anchor
from .told import Cases, Deed, FixPage, Never, Reason, RulePage, TestPage

CasesOf = Callable[[str, str], Cases | None]
"""The worked cases of a page, by its kind and its name."""


def confirmed_by(base: RuleBase) -> dict[str, list[str]]:
    """For each test, the causes that it can confirm."""
    found: dict[str, list[str]] = {test: [] for test in base.tests}
    for name, cause in base.causes.items():
        tests = {test for finding in cause.confirmed_by for test in confirming_tests(base, finding)}
        for test in sorted(tests):
            found[test].append(name)
    return found


def curing(base: RuleBase) -> dict[str, list[str]]:
    """For each fix, the causes that it helps against."""
    found: dict[str, list[str]] = {fix: [] for fix in base.fixes}
    for name, cause in base.causes.items():
        for cure in cause.cured_by:
            found[cure.fix].append(name)
    return found


class WorkPages:
    """Writes tests and fixes out."""

    def __init__(self, links: Linker, sheets: Procedures, citations: Citations, cases: CasesOf) -> None:
        self.base, self.links, self.sheets = links.base, links, sheets
        self.citations, self.cases = citations, cases

    def tests(self) -> Iterable[TestPage]:
        """Every test."""
        confirms = confirmed_by(self.base)
        for name, page in self.base.tests.items():
            yield TestPage(
                anchor=anchor("test", name),
                id=name,
                told=self.sheets.test(name),
                answers=self.links.facts(page.yields),
                only_if=self.links.parts(page.only_if),
                confirms=self.links.causes(confirms[name]),
                cases=self.cases("test", name),
            )

    def fixes(self) -> Iterable[FixPage]:
        """Every fix."""
        cures = curing(self.base)
        for name, page in self.base.fixes.items():
            yield FixPage(
                anchor=anchor("fix", name),
                id=name,
                told=self.sheets.fix(name, (), named=True),
                called=page.called,
                costs=cost_sentence(page),
                cures=self.links.causes(cures[name]),
                offer_when=self.links.parts(page.offer_when),
                never=tuple(
                    Never(self.links.parts(never.when), self.citations.sentence(never.because, never.source))
                    for never in page.never_when
                ),
                after=tuple(self._after(name)),
                amounts=tuple(item.says for item in page.quantities),
                judge_by=page.trial.judge_by if page.trial else (),
                cases=self.cases("fix", name),
            )

    def _after(self, name: str) -> Iterable[Reason]:
        for before in self.base.follows[name]:
            wait = "once its first check is good" if before.days is None else f"{before.days:g} days later"
            because = self.citations.sentence(before.because, before.source)
            yield Reason(self.links.fixes([before.fix])[0], wait, because)

    def never_done(self) -> Iterable[RulePage]:
        """Every wrong way that people ask for."""
        for name, page in self.base.never_done.items():
            deeds = [Deed("Instead", self.links.fixes(page.instead))] if page.instead else []
            if page.caution:
                deeds.append(Deed("Mind", self.links.facts(f"caution.{one}" for one in page.caution)))
            yield RulePage(
                anchor=anchor("never", name),
                id=page.name,
                when=(),
                does=tuple(deeds),
                because=self.citations.sentence(page.because, page.source),
                cases=None,
            )


def cost_sentence(fix: Fix) -> str:
    """What a fix costs, in the words of its page."""
    told = (
        ("effort", fix.effort),
        ("cost", fix.cost),
        ("loss of wine", fix.wine_loss),
        ("harm to the flavour", fix.flavour_harm),
    )
    said = ", ".join(f"{what} {word.replace('_', ' ')}" for what, word in told)
    return f"{said[:1].upper()}{said[1:]}."
