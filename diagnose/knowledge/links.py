"""Checks between pages: every name that one page uses must be known on another, and fit there."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass

from diagnose.calculators import registry
from diagnose.units import quantities

from .conditions import Condition, FactTest
from .load import Located
from .models import (
    BenchTest,
    Cause,
    Compute,
    Derived,
    EvidenceRow,
    Fix,
    Observation,
    Rule,
    State,
    Topic,
    WordTable,
)
from .problems import Place, Problem, nearest, quoted
from .rule_base import Observable
from .yaml_reader import Path_

WORD_TABLES = (
    "strength",
    "how_common",
    "normally",
    "effort",
    "waiting",
    "how_well",
    "burden",
    "standing",
    "asking",
)
CONCLUDED: Mapping[str, tuple[str, ...]] = {
    "cause": ("unlikely", "possible", "likely", "confirmed"),
    "test": ("requested", "withheld"),
    "fix": ("offered", "forbidden"),
    "caution": ("shown",),
}
"""What the machinery itself concludes about pages, by the prefix of the fact's name."""

UNKNOWN_CAUSE = "cause.unknown"
"""Something these rules do not know: always among the causes, without a page."""

_NUMBERS = ("at_least", "above", "at_most", "below")
_SEVERAL = ("includes", "includes_any", "includes_none")


@dataclass(frozen=True)
class Names:
    """All items by kind and id."""

    by_kind: Mapping[str, Mapping[str, Located]]

    def known(self, kind: str) -> Mapping[str, Located]:
        """Items of a kind."""
        return self.by_kind[kind]

    def words(self, table: str) -> tuple[str, ...]:
        """The words of a table; none if the table is missing."""
        located = self.by_kind["words"].get(table)
        return tuple(located.item.values) if located and isinstance(located.item, WordTable) else ()

    def observable(self, name: str) -> Observable | None:
        """The observation, state or derived number of that name."""
        for kind in ("observe", "state", "derive"):
            if located := self.by_kind[kind].get(name):
                assert isinstance(located.item, Observation | State | Derived)
                return located.item
        return None

    def observables(self) -> list[str]:
        """Names that conditions and evidence may read."""
        return [name for kind in ("observe", "state", "derive") for name in self.by_kind[kind]]


def check_links(
    items: list[Located], by_kind: Mapping[str, Mapping[str, Located]], folder: str = "rules"
) -> list[Problem]:
    """Every mistake between pages; `folder` is named when something is missing altogether."""
    names = Names(by_kind)
    problems = [*_repeated(items), *_tables(names, folder)]
    for located in items:
        check = _CHECKS.get(located.kind)
        if check:
            problems += check(located, names)
        problems += _sources(located, names)
    return problems


def _repeated(items: list[Located]) -> Iterator[Problem]:
    seen: dict[tuple[str, str], Located] = {}
    for located in items:
        # Observations, states and derived numbers share one space of names: all become facts.
        space = "fact" if located.kind in ("observe", "state", "derive") else located.kind
        first = seen.setdefault((space, located.id), located)
        if first is not located:
            where = f"{first.place.file}:{first.place.line}"
            what = f"'{located.id}' is already the name of another item, at {where}."
            yield located.problem((located.kind,), what, "Give one of them another name.")


def _tables(names: Names, folder: str) -> Iterator[Problem]:
    for table in WORD_TABLES:
        if not names.words(table):
            yield Problem(Place(folder), f"the word table '{table}' is missing.", f"Add `words: {table}`.")


# ---------------------------------------------------------------- one name at a time


def _one(
    located: Located, path: Path_, word: str, known: Iterable[str], what: str, key: bool = False
) -> Iterator[Problem]:
    known = list(known)
    if word not in known:
        yield located.problem(path, f"{quoted(word)} is not {what}.", nearest(word, known), key=key)


def _answer(
    located: Located, path: Path_, word: str, observable: Observable, key: bool = False
) -> Iterator[Problem]:
    if _is_number(observable) and not observable.answers:
        mend = "Give it `bands`, or use `when` with `at_least` or `below`."
        what = f"'{observable.id}' is a number without bands, so '{word}' cannot be its answer."
        yield located.problem(path, what, mend, key=key)
    else:
        yield from _one(located, path, word, observable.answers, f"an answer of '{observable.id}'", key)


def _each(
    located: Located, path: Path_, words: Iterable[str], known: Iterable[str], what: str
) -> Iterator[Problem]:
    known = list(known)
    for index, word in enumerate(words):
        yield from _one(located, (*path, index), word, known, what)


def _sources(located: Located, names: Names) -> Iterator[Problem]:
    """Every `source` anywhere in the item."""
    for path, place in located.document.values.items():
        inside = path[: len(located.path)] == located.path and len(path) > len(located.path)
        if not inside or ("source" not in path[-2:] and "common_source" not in path[-2:]):
            continue
        if located.kind == "source":
            continue
        value = _value_at(located, path)
        if isinstance(value, str) and value not in names.known("source"):
            what = f"'{value}' is not a known source."
            yield located.document.problem(place, what, nearest(value, names.known("source")))


def _value_at(located: Located, path: Path_) -> object:
    value = located.document.value
    for step in path:
        value = value[step]
    return value


def _condition(
    located: Located, path: Path_, condition: Condition | None, names: Names, concluded: bool = False
) -> Iterator[Problem]:
    """Fact names known, and each test of a kind that the fact can pass."""
    if condition is None:
        return
    if not _needs_something_known(condition):
        what = "this condition asks only that things be unknown."
        yield located.problem(path, what, "Add at least one fact that must be known.")
    if concluded:
        yield from _unknown_pages(located, path, condition)
    for inner, name, test in _leaves(condition, path):
        yield from _fact_name(located, inner, name, names, concluded)
        if test is not None:
            yield from _fact_test(located, inner, name, test, names)


def _needs_something_known(condition: Condition, negated: bool = False) -> bool:
    """Whether the condition cannot hold while nothing is known; under `not`, known and unknown change places."""
    inside = [_needs_something_known(inner, negated) for inner in condition.any_]
    parts = [True] * len(condition.facts)
    parts += [not negated] * len(condition.known) + [negated] * len(condition.unknown)
    parts += [_needs_something_known(inner, negated) for inner in condition.all_]
    if inside:
        parts.append(any(inside) if negated else all(inside))
    if condition.not_:
        parts.append(_needs_something_known(condition.not_, not negated))
    return all(parts) if negated else any(parts)


def _unknown_pages(located: Located, path: Path_, condition: Condition) -> Iterator[Problem]:
    """What is concluded about pages is never `unknown`: that would depend on the order of the rules."""
    for inner, name, test in _leaves(condition, path):
        if test is not None or "." not in name:
            continue
        negated = inner.count("not") % 2 == 1
        if inner[-2] == ("known" if negated else "unknown"):
            words = CONCLUDED.get(name.partition(".")[0], ("likely",))
            mend = f"Ask what has been concluded, for example `{name}: {words[0]}`."
            yield located.problem(inner, f"'{name}' cannot be asked to be unknown.", mend)


def _leaves(condition: Condition, path: Path_) -> Iterator[tuple[Path_, str, FactTest | None]]:
    for name, test in condition.facts.items():
        yield (*path, name), name, test
    for key, names in (("known", condition.known), ("unknown", condition.unknown)):
        for index, name in enumerate(names):
            yield (*path, key, index), name, None
    for key, inners in (("all", condition.all_), ("any", condition.any_)):
        for index, inner in enumerate(inners):
            yield from _leaves(inner, (*path, key, index))
    if condition.not_:
        yield from _leaves(condition.not_, (*path, "not"))


def _fact_name(located: Located, path: Path_, name: str, names: Names, concluded: bool) -> Iterator[Problem]:
    if "." not in name:
        if names.observable(name) is None:
            what = f"'{name}' is not an observation, a state or a derived number."
            yield located.problem(path, what, nearest(name, names.observables()), key=True)
        return
    kind, _, page = name.partition(".")
    if not concluded:
        what = f"'{name}' is concluded after the weighing, so it cannot be read here."
        yield located.problem(path, what, "Only rules and fixes may read it.", key=True)
    elif kind not in CONCLUDED:
        yield located.problem(
            path, f"'{kind}.' is not known before a dot.", nearest(kind, CONCLUDED), key=True
        )
    elif page not in names.known(kind) and name != UNKNOWN_CAUSE:
        yield located.problem(
            path, f"'{page}' is not a known {kind}.", nearest(page, names.known(kind)), key=True
        )


def _fact_test(located: Located, path: Path_, name: str, test: FactTest, names: Names) -> Iterator[Problem]:
    parts = test.parts()
    observable = names.observable(name)
    if "." in name:
        kind = name.partition(".")[0]
        if kind not in CONCLUDED:
            return
        allowed: tuple[str, ...] = CONCLUDED[kind]
    elif observable is None:
        return
    else:
        allowed = observable.answers
    for key, value in parts.items():
        if key in _NUMBERS and not _is_number(observable):
            yield located.problem(
                (*path, key), f"'{name}' is not a number.", "Use `is` or `one_of`.", key=True
            )
        elif key in _SEVERAL and not _is_several(observable):
            mend = "Use `is` or `one_of`; `includes` is for questions with several answers."
            yield located.problem((*path, key), f"'{name}' has one answer.", mend, key=True)
        elif key not in _NUMBERS + _SEVERAL and (_is_number(observable) or _is_several(observable)):
            fitting = ", ".join(_NUMBERS if _is_number(observable) else _SEVERAL)
            what = f"'{name}' cannot be compared with `{key}`."
            yield located.problem((*path, key), what, f"Use one of: {fitting}.", key=True)
        elif key not in _NUMBERS:
            for index, word in enumerate((value,) if isinstance(value, str) else value):
                yield from _one(located, (*path, key, index), word, allowed, f"an answer of '{name}'")


def _is_number(observable: Observable | None) -> bool:
    return isinstance(observable, Derived) or (
        isinstance(observable, Observation) and observable.kind == "number"
    )


def _is_several(observable: Observable | None) -> bool:
    return isinstance(observable, Observation) and observable.kind == "several"


# ---------------------------------------------------------------- kind by kind


def _check_observation(located: Located, names: Names) -> Iterator[Problem]:
    item = located.item
    assert isinstance(item, Observation)
    yield from _one(located, ("effort",), item.effort, names.words("effort"), "a word for effort")
    if item.quantity:
        yield from _one(located, ("quantity",), item.quantity, quantities(), "a quantity with known units")
    yield from _condition(located, ("ask_when",), item.ask_when, names)
    yield from _each(located, ("alone",), item.alone or (), item.answers, f"an answer of '{item.observe}'")
    if item.instead_of:
        known = names.known("observe")
        yield from _one(located, ("instead_of",), item.instead_of, known, "a known observation")
    yield from _answers(located, item, names)


def _answers(located: Located, item: Observable, names: Names) -> Iterator[Problem]:
    allowed = item.answers
    yield from _each(located, ("nothing",), item.nothing, allowed, f"an answer of '{item.id}'")
    for answer, word in item.normally.items():
        yield from _answer(located, ("normally", answer), answer, item, key=True)
        yield from _one(
            located, ("normally", answer), word, names.words("normally"), "a word for how often it is met"
        )


def _check_state(located: Located, names: Names) -> Iterator[Problem]:
    item = located.item
    assert isinstance(item, State)
    yield from _answers(located, item, names)
    for index, rule in enumerate(item.rules):
        yield from _one(located, ("rules", index, "is"), rule.is_, item.answers, f"a value of '{item.state}'")
        yield from _condition(located, ("rules", index, "when"), rule.when, names)


def _check_derived(located: Located, names: Names) -> Iterator[Problem]:
    item = located.item
    assert isinstance(item, Derived)
    yield from _answers(located, item, names)
    yield from _one(located, ("quantity",), item.quantity, quantities(), "a quantity with known units")
    yield from _compute(located, ("compute",), item.compute, names)
    yield from _condition(located, ("when",), item.when, names)


def _compute(located: Located, path: Path_, compute: Compute, names: Names) -> Iterator[Problem]:
    calculators = registry.calculators()
    name = compute.calculator
    if name not in calculators:
        yield from _one(located, (*path, "calculator"), name, calculators, "a calculator")
        return
    parameters = {parameter.name: parameter for parameter in calculators[name].parameters}
    for given, value in compute.with_.items():
        here = (*path, "with", given)
        yield from _one(located, here, given, parameters, f"something that '{name}' takes", key=True)
        if isinstance(value, str) and not _is_number(names.observable(value)):
            numbers = [known for known in names.observables() if _is_number(names.observable(known))]
            yield from _one(located, here, value, numbers, "a fact that is a number")
    for parameter in parameters.values():
        if parameter.required and parameter.name not in compute.with_:
            what = f"the calculator '{name}' also needs '{parameter.name}'."
            yield located.problem((*path, "with"), what, f"Add `{parameter.name}:` with a fact or a number.")


def _check_cause(located: Located, names: Names) -> Iterator[Problem]:
    item = located.item
    assert isinstance(item, Cause)
    yield from _one(located, ("topic",), item.topic, names.known("topic"), "a known topic")
    words = names.words("how_common")
    yield from _one(located, ("how_common",), item.how_common, words, "a word for how common it is")
    for index, row in enumerate(item.evidence):
        yield from _evidence(located, ("evidence", index), row, names)
    for index, mimic in enumerate(item.mimics):
        here = ("mimics", index)
        yield from _one(located, (*here, "cause"), mimic.cause, names.known("cause"), "a known cause")
        yield from _each(
            located, (*here, "told_apart_by"), mimic.told_apart_by, names.observables(), "an observation"
        )
    for index, finding in enumerate(item.confirmed_by):
        here = ("confirmed_by", index)
        observable = names.observable(finding.observe)
        yield from _one(located, (*here, "observe"), finding.observe, names.observables(), "an observation")
        if observable:
            for place, answer in enumerate(finding.answers):
                yield from _answer(located, (*here, "answers", place), answer, observable)
    for index, cure in enumerate(item.cured_by):
        here = ("cured_by", index)
        yield from _one(located, (*here, "fix"), cure.fix, names.known("fix"), "a known fix")
        yield from _one(
            located, (*here, "how_well"), cure.how_well, names.words("how_well"), "a word for how well"
        )


def _evidence(located: Located, path: Path_, row: EvidenceRow, names: Names) -> Iterator[Problem]:
    strengths = names.words("strength")
    if row.when is not None:
        yield from _condition(located, (*path, "when"), row.when, names)
        yield from _one(located, (*path, "weight"), str(row.weight), strengths, "a strength")
        return
    observable = names.observable(str(row.observe))
    if observable is None:
        yield from _one(
            located, (*path, "observe"), str(row.observe), names.observables(), "an observation or a state"
        )
        return
    for answer, strength in row.says.items():
        here = (*path, "says", answer)
        yield from _answer(located, here, answer, observable, key=True)
        yield from _one(located, here, strength, strengths, "a strength")


def _check_test(located: Located, names: Names) -> Iterator[Problem]:
    item = located.item
    assert isinstance(item, BenchTest)
    yield from _each(located, ("yields",), item.yields, names.known("observe"), "a known observation")
    yield from _one(located, ("hands_on",), item.hands_on, names.words("effort"), "a word for effort")
    yield from _one(located, ("waiting",), item.waiting, names.words("waiting"), "a word for waiting")
    yield from _condition(located, ("only_if",), item.only_if, names, concluded=True)
    standings = CONCLUDED["cause"]
    yield from _each(located, ("asked_for_when",), item.asked_for_when, standings, "how a cause stands")
    yield from _cautions(located, item, names)


def _cautions(located: Located, item: BenchTest | Fix, names: Names) -> Iterator[Problem]:
    known = names.known("caution")
    yield from _each(located, ("cautions",), item.cautions, known, "a known caution")
    for index, step in enumerate(item.steps):
        yield from _each(located, ("steps", index, "caution"), step.caution, known, "a known caution")


def _check_fix(located: Located, names: Names) -> Iterator[Problem]:
    item = located.item
    assert isinstance(item, Fix)
    yield from _cautions(located, item, names)
    yield from _one(located, ("effort",), item.effort, names.words("burden"), "a word for a burden")
    for key in ("cost", "wine_loss", "flavour_harm"):
        yield from _one(located, (key,), getattr(item, key), names.words("burden"), "a word for a burden")
    for index, never in enumerate(item.never_when):
        yield from _condition(located, ("never_when", index, "when"), never.when, names, concluded=True)
    yield from _condition(located, ("offer_when",), item.offer_when, names, concluded=True)
    if item.dose:
        yield from _each(located, ("dose", "limit"), item.dose.limit, names.known("limit"), "a known limit")
        yield from _one(
            located, ("dose", "quantity"), item.dose.quantity, quantities(), "a quantity with known units"
        )
    for index, quantity in enumerate(item.quantities):
        here = ("quantities", index)
        yield from _one(
            located, (*here, "quantity"), quantity.quantity, quantities(), "a quantity with known units"
        )
        yield from _compute(located, (*here, "compute"), quantity.compute, names)
    blanks = {quantity.name for quantity in item.quantities}
    for index, step in enumerate(item.steps):
        for blank in re.findall(r"\{([^{}]*)\}", step.do):
            what = "a quantity of this fix"
            yield from _one(located, ("steps", index, "do"), blank, blanks, what)
    for index, follows in enumerate(item.comes_after):
        place = ("comes_after", index, "fix")
        yield from _one(located, place, follows.fix, names.known("fix"), "a known fix")


PLACEHOLDER = re.compile(r"\{([a-z0-9_]+)\}")
"""A quantity named in the text of a step."""


def _check_rule(located: Located, names: Names) -> Iterator[Problem]:
    item = located.item
    assert isinstance(item, Rule)
    yield from _condition(located, ("when",), item.when, names, concluded=True)
    yield from _each(located, ("request",), item.request, names.known("test"), "a known test")
    yield from _each(located, ("withhold",), item.withhold, names.known("test"), "a known test")
    yield from _each(located, ("offer",), item.offer, names.known("fix"), "a known fix")
    yield from _each(located, ("warn",), item.warn, names.known("caution"), "a known caution")
    for index, forbid in enumerate(item.forbid):
        yield from _each(located, ("forbid", index, "fix"), forbid.fix, names.known("fix"), "a known fix")


def _check_topic(located: Located, names: Names) -> Iterator[Problem]:
    item = located.item
    assert isinstance(item, Topic)
    for index, step in enumerate(item.opening):
        here = ("opening", index)
        yield from _one(located, (*here, "observe"), step.observe, names.known("observe"), "an observation")
        yield from _condition(located, (*here, "when"), step.when, names)
    words = names.words("how_common")
    yield from _one(located, ("how_common_unknown",), item.how_common_unknown, words, "a word for how common")


_CHECKS: Mapping[str, Callable[[Located, Names], Iterator[Problem]]] = {
    "observe": _check_observation,
    "state": _check_state,
    "derive": _check_derived,
    "cause": _check_cause,
    "test": _check_test,
    "fix": _check_fix,
    "rule": _check_rule,
    "topic": _check_topic,
}
