"""What is asked and what follows from it as pages: questions, states, numbers, rules, and what a plan heeds."""

from __future__ import annotations

from collections.abc import Iterable

from diagnose.casebook.answers import choices_of
from diagnose.knowledge.models.facts import Observation
from diagnose.knowledge.models.rules import Rule
from diagnose.report.citations import Citations
from diagnose.units import System, show_quantity

from .links import Linker
from .told import Conclusion, Deed, Piece, QuestionPage, RulePage, StatePage
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
                anchor=f"question-{name}",
                id=name,
                short=page.short,
                ask=page.ask,
                answers=tuple(self._answers(page)),
                why=page.why,
                how=page.how,
                ask_when=self.links.ways(page.ask_when),
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
                anchor=f"state-{name}",
                id=name,
                name=state.name,
                conclusions=tuple(
                    Conclusion(
                        str(state.values[rule.is_]),
                        self.links.ways(rule.when),
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
                anchor=f"number-{name}",
                id=name,
                name=number.name,
                conclusions=(Conclusion(says, self.links.ways(number.when), because),),
                cases=self.cases("derive", name),
            )

    def rules(self) -> Iterable[RulePage]:
        """Every free rule."""
        for name, rule in self.base.rules.items():
            yield RulePage(
                anchor=f"rule-{name}",
                id=name,
                when=self.links.ways(rule.when),
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
        base, links, told = self.base, self.links, self.citations.sentence
        for name, clash in base.clashes.items():
            deeds = (Deed("Measure again", links.facts(clash.measure_again), clash.how),)
            says = told(clash.says, clash.source)
            yield RulePage(f"clash-{name}", name, links.ways(clash.when), deeds, says, None)
        for name, order in base.orders.items():
            deeds = (Deed("First", links.fixes(order.first)), Deed("Then", links.fixes(order.then)))
            yield RulePage(f"order-{name}", name, (), deeds, told(order.because, order.source), None)
        for name, apart in base.aparts.items():
            says = "Never in one plan" if apart.days is None else f"At least {apart.days:g} days apart"
            deeds = (
                Deed(says, links.fixes(apart.fixes)),
                Deed("The one that yields", links.fixes([apart.yields])),
            )
            yield RulePage(f"apart-{name}", name, (), deeds, told(apart.because, apart.source), None)
        for name, seen in base.foreseen.items():
            deeds = (Deed("Foreseen before", links.fixes(seen.before)),)
            says = told(seen.says, seen.source)
            yield RulePage(f"foreseen-{name}", name, links.ways(seen.when), deeds, says, None)
        for name, loss in base.losses.items():
            says = f"{loss.name}: {loss.percent[0]:g} to {loss.percent[1]:g} % of the wine stays behind"
            yield RulePage(f"loss-{name}", name, (), (Deed(says, ()),), told(loss.because, loss.source), None)
        for name, thing in base.things.items():
            says = f"{thing.name}: have {thing.spare_percent:g} % more than is needed"
            because = told(thing.because, thing.source)
            yield RulePage(f"thing-{name}", name, (), (Deed(says, ()),), because, None)
        for name, gates in base.gates.items():
            deeds = tuple(
                Deed(
                    links.finding(gate.state).text,
                    (Piece("the state", links.to("state", gate.state)), *links.tests(gate.find_out)),
                )
                for gate in gates.each
            )
            says = told(f"{gates.name}: all of these must be in order.", ())
            yield RulePage(f"gates-{name}", name, (), deeds, says, None)
