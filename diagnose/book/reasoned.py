"""What is asked and what follows from it as pages: questions, states, numbers, rules, and what a plan heeds."""

from __future__ import annotations

from collections.abc import Iterable

from diagnose.casebook.answers import choices_of
from diagnose.knowledge.models.facts import Observation
from diagnose.knowledge.models.rules import Rule
from diagnose.report.citations import Citations
from diagnose.units import System, show_quantity

from .links import Linker, anchor
from .told import Conclusion, Deed, QuestionPage, RulePage, StatePage
from .work import CasesOf


class ReasonedPages:
    """Writes out what the rules ask and conclude."""

    def __init__(self, links: Linker, citations: Citations, cases: CasesOf, units: System) -> None:
        self.base, self.links, self.citations = links.base, links, citations
        self.cases, self.units = cases, units

    def questions(self) -> Iterable[QuestionPage]:
        """Every question."""
        for name, page in self.base.observations.items():
            yield QuestionPage(
                anchor=anchor("question", name),
                id=name,
                short=page.short,
                ask=page.ask,
                answers=tuple(self._answers(page)),
                why=page.why,
                how=page.how,
                ask_when=self.links.parts(page.ask_when),
                tests=self.links.tests(self.base.tests_yielding.get(name, ())),
            )

    def _answers(self, page: Observation) -> Iterable[str]:
        if page.kind != "number":
            yield from choices_of(page).values()
            return
        assert page.plausible is not None and page.quantity is not None
        low, high = (show_quantity(end, page.quantity, self.units) for end in page.plausible)
        yield f"A number between {low} and {high}."
        for band in page.bands.values():
            starts = (
                ""
                if band.starts is None
                else f"From {show_quantity(band.starts, page.quantity, self.units)}: "
            )
            yield f"{starts}{band.says}"

    def states(self) -> Iterable[StatePage]:
        """Every state, then every number that is worked out."""
        for name, state in self.base.states.items():
            yield StatePage(
                anchor=anchor("state", name),
                id=name,
                name=state.name,
                conclusions=tuple(
                    Conclusion(
                        str(state.values[rule.is_]),
                        self.links.parts(rule.when),
                        self.citations.sentence(rule.because, rule.source),
                    )
                    for rule in state.rules
                ),
                cases=self.cases("state", name),
            )
        for name, number in self.base.derived.items():
            says = f"Worked out by the sum {number.compute.calculator.replace('_', ' ')}."
            because = self.citations.sentence(number.because, number.source)
            yield StatePage(
                anchor=anchor("number", name),
                id=name,
                name=number.name,
                conclusions=(Conclusion(says, self.links.parts(number.when), because),),
                cases=self.cases("derive", name),
            )

    def rules(self) -> Iterable[RulePage]:
        """Every free rule."""
        for name, rule in self.base.rules.items():
            yield RulePage(
                anchor=anchor("rule", name),
                id=name,
                when=self.links.parts(rule.when),
                does=tuple(self._does(rule)),
                because=self.citations.sentence(rule.because, rule.source),
                cases=self.cases("rule", name),
            )

    def _does(self, rule: Rule) -> Iterable[Deed]:
        links = self.links
        yield from (
            deed
            for deed in (
                Deed("It warns", links.facts(f"caution.{one}" for one in rule.warn)),
                Deed("It asks for the tests", links.tests(rule.request)),
                Deed("It holds back as dangerous now", links.tests(rule.withhold)),
                Deed("It does not ask", links.facts(rule.do_not_ask)),
                Deed("It offers", links.fixes(rule.offer)),
                Deed("It opens the subjects", links.facts(f"topic.{one}" for one in rule.look_into)),
            )
            if deed.to
        )
        for forbid in rule.forbid:
            yield Deed("It forbids", links.fixes(forbid.fix), forbid.because)

    def planning(self) -> Iterable[RulePage]:
        """What a plan of several fixes heeds, and answers that cannot all be right."""
        yield from self._clashes()
        yield from self._orders()
        yield from self._amounts()
        yield from self._gates()

    def _clashes(self) -> Iterable[RulePage]:
        for name, page in self.base.clashes.items():
            again = Deed("Measure again", self.links.facts(page.measure_again), page.how)
            when, because = self.links.parts(page.when), self.citations.sentence(page.says, page.source)
            yield RulePage(anchor("clash", name), name, when, (again,), because, None)
        for name, seen in self.base.foreseen.items():
            before = Deed("Foreseen before", self.links.fixes(seen.before))
            when, because = self.links.parts(seen.when), self.citations.sentence(seen.says, seen.source)
            yield RulePage(anchor("foreseen", name), name, when, (before,), because, None)

    def _orders(self) -> Iterable[RulePage]:
        fixes, told = self.links.fixes, self.citations.sentence
        for name, order in self.base.orders.items():
            deeds = (Deed("First", fixes(order.first)), Deed("Then", fixes(order.then)))
            yield RulePage(anchor("order", name), name, (), deeds, told(order.because, order.source), None)
        for name, apart in self.base.aparts.items():
            says = "Never in one plan" if apart.days is None else f"At least {apart.days:g} days apart"
            deeds = (Deed(says, fixes(apart.fixes)), Deed("The one that yields", fixes([apart.yields])))
            yield RulePage(anchor("apart", name), name, (), deeds, told(apart.because, apart.source), None)

    def _amounts(self) -> Iterable[RulePage]:
        told = self.citations.sentence
        for name, loss in self.base.losses.items():
            low, high = loss.percent
            deed = Deed(f"{loss.name}: {low:g} to {high:g} % of the wine stays behind", ())
            yield RulePage(anchor("loss", name), name, (), (deed,), told(loss.because, loss.source), None)
        for name, thing in self.base.things.items():
            deed = Deed(f"{thing.name}: have {thing.spare_percent:g} % more than is needed", ())
            yield RulePage(anchor("thing", name), name, (), (deed,), told(thing.because, thing.source), None)

    def _gates(self) -> Iterable[RulePage]:
        for name, page in self.base.gates.items():
            deeds = tuple(
                Deed("In order must be", (self.links.finding(gate.state), *self.links.tests(gate.find_out)))
                for gate in page.each
            )
            because = self.citations.sentence(f"{page.name}: all of these must be in order.", ())
            yield RulePage(anchor("gates", name), name, (), deeds, because, None)
