"""From pages to rules: every page of the rule base becomes rules of one plain form.

A rule waits for a condition and then concludes facts or evidence. What a mentor writes on a page (`evidence`,
`never_when`, `cautions`, `confirmed_by`) is turned into such rules here, so all chaining is done in one way.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass

from diagnose.calculators import OutOfRange, call
from diagnose.knowledge.chains import dependencies, layers, reads
from diagnose.knowledge.conditions import Condition, FactTest
from diagnose.knowledge.models.causes import Cause, EvidenceRow
from diagnose.knowledge.models.facts import Band, Compute, Observable
from diagnose.knowledge.problems import Place, Problem, RuleFilesWrong
from diagnose.knowledge.rule_base import RuleBase

from .behind import confirming_tests
from .facts import Conclusion, Evidence, Fact, Value
from .truth import Branch, branches

Conclude = Callable[[Mapping[str, Value]], tuple[Conclusion, ...]]


@dataclass(frozen=True)
class EngineRule:
    """A rule in the plain form. `conclude` gets the values that matched, by name."""

    id: str
    page: tuple[str, str]
    """The kind and id of the page it came from."""
    branches: tuple[Branch, ...]
    conclude: Conclude
    concludes: tuple[str, ...]
    """Names of the facts it may conclude; evidence is named `evidence.` and the cause."""
    because: str
    source: tuple[str, ...]
    place: Place
    layer: int


GIVEN = "done."
"""Prefix of facts that have a dot in their name and yet are given with the answers: how a fix stands that was done."""

LAST = 1000
"""The layer of rules that read what others concluded about causes, tests and fixes."""


TOPIC = "topic."
"""Prefix of the fact that says that a topic was opened by the findings."""

OPENS = "look_into"
"""The key of a rule that opens topics."""


FREE = "rule/"
"""Prefix of the id of a rule a mentor wrote by itself: it speaks for the wine as it stands, whatever the cause."""


def compile_rules(base: RuleBase) -> tuple[EngineRule, ...]:
    """All rules of a rule base, ordered by id."""
    layer = layers(dependencies(base.states, base.derived))
    made = [
        *_bands(base, layer),
        *_states(base, layer),
        *_derived(base, layer),
        *_evidence(base, layer),
        *_requests(base),
        *_offers(base),
        *_forbidden(base),
        *_cautions(base),
        *_free(base, layer),
    ]
    return tuple(sorted(made, key=lambda rule: rule.id))


def _place(base: RuleBase, kind: str, page: str) -> Place:
    return base.places[kind, page]


def _ways(base: RuleBase, kind: str, page: str, condition: Condition | None) -> tuple[Branch, ...]:
    """The alternatives of a condition; no condition holds always.

    Raises RuleFilesWrong with the place of the page when there are too many to be meant.
    """
    if condition is None:
        return (Branch(),)
    try:
        return branches(condition)
    except ValueError as error:
        mend = "Put a part of the condition into a state, and read that state here."
        raise RuleFilesWrong([Problem(_place(base, kind, page), f"in '{page}', {error}.", mend)]) from error


def _says(*facts: Fact) -> Conclude:
    conclusions: tuple[Conclusion, ...] = facts
    return lambda _: conclusions


def _layer_of(condition: Condition | None, layer: Mapping[str, int]) -> int:
    """A rule speaks in the layer of what it reads, one higher for what must be unknown."""
    read = reads(condition)
    levels = [layer.get(name, 0) for name in read.known] + [layer.get(name, -1) + 1 for name in read.unknown]
    return max(levels, default=0)


# ---------------------------------------------------------------- states and derived numbers


def band_of(bands: Mapping[str, Band], value: float) -> str:
    """The band a number falls in. `bands` must not be empty."""
    names = list(bands)
    found = names[0]
    for name in names[1:]:
        starts = bands[name].starts
        if starts is not None and value >= starts:
            found = name
    return found


BAND = "band."
"""Prefix of the fact that names the band a measured number falls in."""


def _bands(base: RuleBase, layer: Mapping[str, int]) -> Iterator[EngineRule]:
    for kind, pages in (("observe", base.observations), ("derive", base.derived)):
        for page in pages.values():
            if page.bands:
                yield EngineRule(
                    id=f"band/{page.id}",
                    page=(kind, page.id),
                    branches=(Branch(known=(page.id,)),),
                    conclude=_band_conclusion(page.id, page.bands),
                    concludes=(BAND + page.id,),
                    because="The number falls in this band.",
                    source=(),
                    place=_place(base, kind, page.id),
                    layer=layer.get(page.id, 0),
                )


def _band_conclusion(name: str, bands: Mapping[str, Band]) -> Conclude:
    def conclude(facts: Mapping[str, Value]) -> tuple[Conclusion, ...]:
        value = facts[name]
        return (Fact(BAND + name, band_of(bands, value)),) if isinstance(value, float) else ()

    return conclude


def _states(base: RuleBase, layer: Mapping[str, int]) -> Iterator[EngineRule]:
    for state in base.states.values():
        for number, rule in enumerate(state.rules, 1):
            yield EngineRule(
                id=f"state/{state.state}/{number}_{rule.is_}",
                page=("state", state.state),
                branches=_ways(base, "state", state.state, rule.when),
                conclude=_says(Fact(state.state, rule.is_)),
                concludes=(state.state,),
                because=rule.because,
                source=rule.source,
                place=_place(base, "state", state.state),
                layer=layer[state.state],
            )


def _derived(base: RuleBase, layer: Mapping[str, int]) -> Iterator[EngineRule]:
    for number in base.derived.values():
        inputs = tuple(value for value in number.compute.with_.values() if isinstance(value, str))
        ways = _ways(base, "derive", number.derive, number.when)
        yield EngineRule(
            id=f"derive/{number.derive}",
            page=("derive", number.derive),
            branches=tuple(way + Branch(known=inputs) for way in ways),
            conclude=_computation(number.derive, number.compute),
            concludes=(number.derive,),
            because=number.because,
            source=number.source,
            place=_place(base, "derive", number.derive),
            layer=layer[number.derive],
        )


REFUSED = "refused."
"""Prefix of the fact that says why a calculator could not work a number out."""


def compute(page: Compute, facts: Mapping[str, Value]) -> float | str | None:
    """The number a page asks a calculator for; None when an input is unknown, a sentence when it is refused."""
    inputs: dict[str, float] = {}
    for parameter, given in page.with_.items():
        value = facts.get(given) if isinstance(given, str) else given
        if not isinstance(value, float):
            return None
        inputs[parameter] = value
    try:
        return call(page.calculator, **inputs)
    except OutOfRange as error:
        return str(error)


def _computation(name: str, page: Compute) -> Conclude:
    def conclude(facts: Mapping[str, Value]) -> tuple[Conclusion, ...]:
        found = compute(page, facts)
        assert found is not None, "the rule waits for every number that goes in"
        return (Fact(REFUSED + name if isinstance(found, str) else name, found),)

    return conclude


# ---------------------------------------------------------------- evidence


def _evidence(base: RuleBase, layer: Mapping[str, int]) -> Iterator[EngineRule]:
    for cause in base.causes.values():
        for number, row in enumerate(cause.evidence):
            yield _row_rule(base, cause, number, row, layer)


def _row_rule(
    base: RuleBase, cause: Cause, number: int, row: EvidenceRow, layer: Mapping[str, int]
) -> EngineRule:
    rule = f"evidence/{cause.cause}/{number + 1}_{row.observe or 'when'}"
    if row.observe is not None:
        observable = base.observables[row.observe]
        reads_fact = fact_read(observable)
        ways: tuple[Branch, ...] = (Branch(known=(reads_fact,)),)
        conclude = _row_conclusion(rule, cause.cause, number, row, observable, reads_fact)
        level = layer.get(row.observe, 0)
    else:
        assert row.when is not None
        ways = _ways(base, "cause", cause.cause, row.when)
        said = " or ".join(" and ".join(map(str, way.tests)) for way in ways)
        about = row.about or rule
        evidence = Evidence(cause.cause, number, rule, said, "yes", str(row.weight), about)
        conclude = _fixed(evidence)
        level = _layer_of(row.when, layer)
    return EngineRule(
        id=rule,
        page=("cause", cause.cause),
        branches=ways,
        conclude=conclude,
        concludes=(f"evidence.{cause.cause}",),
        because=row.because,
        source=row.source,
        place=_place(base, "cause", cause.cause),
        layer=level,
    )


def fact_read(observable: Observable) -> str:
    """The fact that holds the answer word: the band for a number, the fact itself for all others."""
    return BAND + observable.id if getattr(observable, "bands", None) else observable.id


def _fixed(evidence: Evidence) -> Conclude:
    return lambda _: (evidence,)


def _row_conclusion(
    rule: str, cause: str, number: int, row: EvidenceRow, observable: Observable, name: str
) -> Conclude:
    about = row.about or observable.about or observable.id

    def conclude(facts: Mapping[str, Value]) -> tuple[Conclusion, ...]:
        value = facts[name]
        answers: Iterable[str] = sorted(value) if isinstance(value, frozenset) else (str(value),)
        return tuple(
            Evidence(cause, number, rule, observable.id, answer, row.says[answer], about)
            for answer in answers
            if answer in row.says
        )

    return conclude


# ---------------------------------------------------------------- tests, fixes, cautions


def _standing(cause: str, words: tuple[str, ...]) -> Branch:
    test = FactTest.model_validate({"one_of": words})
    return branches(Condition.model_validate({f"cause.{cause}": test}))[0]


def _requests(base: RuleBase) -> Iterator[EngineRule]:
    """A possible cause asks for the tests that would confirm it, as long as they have not been read."""
    for cause in base.causes.values():
        tests: dict[str, frozenset[str]] = {}
        for finding in cause.confirmed_by:
            for test, answered in confirming_tests(base, finding).items():
                tests[test] = tests.get(test, frozenset()) | answered
        for test, answered in tests.items():
            page = base.tests[test]
            asked = Branch(unknown=tuple(sorted(answered)))
            ways = _ways(base, "test", test, page.only_if)
            yield EngineRule(
                id=f"request/{cause.cause}/{test}",
                page=("cause", cause.cause),
                branches=tuple(_standing(cause.cause, page.asked_for_when) + asked + way for way in ways),
                conclude=_says(Fact(f"test.{test}", "requested")),
                concludes=(f"test.{test}",),
                because=f"It would tell whether it is {cause.name[:1].lower()}{cause.name[1:]}.",
                source=page.source,
                place=_place(base, "cause", cause.cause),
                layer=LAST,
            )


def _offers(base: RuleBase) -> Iterator[EngineRule]:
    for cause in base.causes.values():
        for cure in cause.cured_by:
            fix = base.fixes[cure.fix]
            ways = _ways(base, "fix", cure.fix, fix.offer_when)
            yield EngineRule(
                id=f"offer/{cause.cause}/{cure.fix}",
                page=("cause", cause.cause),
                branches=tuple(_standing(cause.cause, ("likely", "confirmed")) + way for way in ways),
                conclude=_says(Fact(f"fix.{cure.fix}", "offered")),
                concludes=(f"fix.{cure.fix}",),
                because=cure.because,
                source=fix.source,
                place=_place(base, "cause", cause.cause),
                layer=LAST,
            )


def _forbidden(base: RuleBase) -> Iterator[EngineRule]:
    for fix in base.fixes.values():
        for number, never in enumerate(fix.never_when, 1):
            yield EngineRule(
                id=f"never/{fix.fix}/{number}",
                page=("fix", fix.fix),
                branches=_ways(base, "fix", fix.fix, never.when),
                conclude=_says(Fact(f"fix.{fix.fix}", "forbidden")),
                concludes=(f"fix.{fix.fix}",),
                because=never.because,
                source=never.source,
                place=_place(base, "fix", fix.fix),
                layer=LAST,
            )


def _cautions(base: RuleBase) -> Iterator[EngineRule]:
    """What is offered or asked for brings its cautions, those of its steps included."""
    for kind, word, pages in (("fix", "offered", base.fixes), ("test", "requested", base.tests)):
        for page in pages.values():
            name = getattr(page, kind)
            cautions = dict.fromkeys((*page.cautions, *(c for step in page.steps for c in step.caution)))
            if cautions:
                yield EngineRule(
                    id=f"caution/{kind}/{name}",
                    page=(kind, name),
                    branches=branches(Condition.model_validate({f"{kind}.{name}": word})),
                    conclude=_says(*(Fact(f"caution.{caution}", "shown") for caution in cautions)),
                    concludes=tuple(f"caution.{caution}" for caution in cautions),
                    because=f"{page.name} needs this care.",
                    source=page.source,
                    place=_place(base, kind, name),
                    layer=LAST,
                )


def _free(base: RuleBase, layer: Mapping[str, int]) -> Iterator[EngineRule]:
    for rule in base.rules.values():
        ways = _ways(base, "rule", rule.rule, rule.when)
        heads: list[tuple[str, tuple[Fact, ...], str]] = [
            ("request", tuple(Fact(f"test.{test}", "requested") for test in rule.request), rule.because),
            ("withhold", tuple(Fact(f"test.{test}", "withheld") for test in rule.withhold), rule.because),
            (
                "do_not_ask",
                tuple(Fact(f"question.{name}", "withheld") for name in rule.do_not_ask),
                rule.because,
            ),
            ("warn", tuple(Fact(f"caution.{caution}", "shown") for caution in rule.warn), rule.because),
            ("offer", tuple(Fact(f"fix.{fix}", "offered") for fix in rule.offer), rule.because),
            (OPENS, tuple(Fact(TOPIC + topic, "opened") for topic in rule.look_into), rule.because),
        ]
        heads += [
            (f"forbid_{number}", tuple(Fact(f"fix.{fix}", "forbidden") for fix in forbid.fix), forbid.because)
            for number, forbid in enumerate(rule.forbid, 1)
        ]
        for head, facts, because in heads:
            if facts:
                yield EngineRule(
                    id=f"{FREE}{rule.rule}/{head}",
                    page=("rule", rule.rule),
                    branches=ways,
                    conclude=_says(*facts),
                    concludes=tuple(fact.name for fact in facts),
                    because=because,
                    source=rule.source,
                    place=_place(base, "rule", rule.rule),
                    # A topic is opened with the findings, before any cause is weighed.
                    layer=_layer_of(rule.when, layer) if head == OPENS else LAST,
                )
