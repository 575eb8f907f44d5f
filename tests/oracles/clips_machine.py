"""The rules of the cellar in CLIPS, the expert system shell, as a second opinion on our network.

Every rule in the plain form (`EngineRule`) becomes one CLIPS rule for each of its alternatives, written in the
language of CLIPS: tests of words, numbers and ticked answers are its own constraints, `unknown` is its own `not`,
the layer is its salience. Bands and evidence rows are read from the pages anew. Only the sums of derived numbers are
called in Python, since CLIPS has no calculators of ours.

Use::

    machine = ClipsMachine(base, cellar.rules.values())
    first = machine.start(facts)        # from nothing, until quiet
    second = machine.add(more_facts)    # go on with more facts
    second.facts, second.evidence
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any

import clips
from diagnose.engine.compile import EngineRule
from diagnose.engine.facts import Evidence, Fact, Facts, Value, gather
from diagnose.engine.truth import Branch, Leaf
from diagnose.knowledge.models.causes import EvidenceRow
from diagnose.knowledge.models.facts import Band, Observable
from diagnose.knowledge.rule_base import RuleBase

EVIDENCE = "evidence-row"
"""The CLIPS fact that holds evidence; with its hyphen it cannot be the name of a fact of ours."""
WORD, NUMBER, TICKED = "word", "number", "ticked"
"""The first field of each CLIPS fact says which kind of value follows, as in `(ph number 3.5)`."""


class Refused(RuntimeError):
    """A rule that cannot be put into CLIPS."""


@dataclass(frozen=True)
class Outcome:
    """All facts, given and concluded, and all evidence."""

    facts: Facts
    evidence: frozenset[Evidence]


class ClipsMachine:
    """A rule base in CLIPS. Built once; each `start` begins from nothing."""

    def __init__(self, base: RuleBase, rules: Iterable[EngineRule]) -> None:
        self._base = base
        self._environment = clips.Environment()
        self._sums: dict[str, tuple[EngineRule, tuple[str, ...]]] = {}
        self._environment.define_function(self._sum, "work-out")
        for rule in sorted(rules, key=lambda rule: rule.id):
            for construct in self._constructs(rule):
                self._environment.build(construct)

    def start(self, facts: Iterable[Fact]) -> Outcome:
        """Begin from nothing with these facts, run until quiet, and return all that is known."""
        self.run(facts)
        return self._outcome()

    def add(self, facts: Iterable[Fact]) -> Outcome:
        """Go on with more facts, run until quiet, and return all that is known since `start`."""
        self._go_on(facts)
        return self._outcome()

    def run(self, facts: Iterable[Fact]) -> int:
        """As `start`, but only counts the rules that fired: for measuring the time of CLIPS alone."""
        self._environment.reset()
        return self._go_on(facts)

    def _go_on(self, facts: Iterable[Fact]) -> int:
        for fact in facts:
            self._environment.assert_string(_as_fact(fact))
        return int(self._environment.run())

    def _outcome(self) -> Outcome:
        """What the working memory of CLIPS holds now."""
        facts, evidence = [], set()
        for found in self._environment.facts():
            fields = list(found)
            if found.template.name == EVIDENCE:
                cause, row, *words = fields
                evidence.add(Evidence(cause, row, *words))
            else:
                facts.append(Fact(found.template.name, _value(fields)))
        return Outcome(gather(facts), frozenset(evidence))

    # ------------------------------------------------------------ rules

    def _constructs(self, rule: EngineRule) -> Iterator[str]:
        """The CLIPS rules of one rule of ours."""
        family = rule.id.partition("/")[0]
        if family == "band":
            yield from self._bands(rule)
        elif family == "derive":
            yield from self._derived(rule)
        elif family == "evidence" and (row := self._row(rule)).observe is not None:
            yield from self._row_answers(rule, row)
        else:
            # What such a rule concludes is fixed, whatever matched.
            actions = " ".join(f"(assert {_conclusion(item)})" for item in rule.conclude({}))
            for number, branch in enumerate(rule.branches):
                yield _rule(f"{rule.id}#{number}", rule.layer, _conditions(branch), actions)

    def _observable(self, name: str) -> Observable:
        return self._base.observables[name]

    def _bands(self, rule: EngineRule) -> Iterator[str]:
        """A band reaches from where it starts up to the start of the next."""
        name = rule.page[1]
        bands: Mapping[str, Band] = getattr(self._observable(name), "bands")  # noqa: B009
        starts = [(band, page.starts) for band, page in bands.items()]
        for number, (band, low) in enumerate(starts):
            high = starts[number + 1][1] if number + 1 < len(starts) else None
            tests = [f"(>= ?v {low!r})"] * (low is not None) + [f"(< ?v {high!r})"] * (high is not None)
            pattern = f"({name} {NUMBER} ?v{''.join('&:' + test for test in tests)})"
            yield _rule(
                f"{rule.id}#{band}", rule.layer, pattern, f"(assert {_as_fact(Fact('band.' + name, band))})"
            )

    def _row(self, rule: EngineRule) -> EvidenceRow:
        """The evidence row a rule came from: its id ends in the number of the row and what it reads."""
        number = int(rule.id.rsplit("/", 1)[1].partition("_")[0])
        return self._base.causes[rule.page[1]].evidence[number - 1]

    def _row_answers(self, rule: EngineRule, row: EvidenceRow) -> Iterator[str]:
        """One CLIPS rule for each answer of which the row says something."""
        assert row.observe is not None
        page = self._observable(row.observe)
        read = f"band.{page.id}" if getattr(page, "bands", None) else page.id
        number = self._base.causes[rule.page[1]].evidence.index(row)
        ticked = getattr(page, "kind", None) == "several"
        for answer, strength in row.says.items():
            about = row.about or page.about or page.id
            evidence = Evidence(rule.page[1], number, rule.id, page.id, answer, strength, about)
            pattern = f'({read} {TICKED} $? "{answer}" $?)' if ticked else f'({read} {WORD} "{answer}")'
            yield _rule(f"{rule.id}#{answer}", rule.layer, pattern, f"(assert {_conclusion(evidence)})")

    def _derived(self, rule: EngineRule) -> Iterator[str]:
        inputs = self._base.derived[rule.page[1]].compute.with_.values()
        numbers = tuple(dict.fromkeys(name for name in inputs if isinstance(name, str)))
        for number, branch in enumerate(rule.branches):
            key = f"{rule.id}#{number}"
            self._sums[key] = rule, numbers
            values = " ".join(f"?v{branch.names.index(name)}" for name in numbers)
            yield _rule(key, rule.layer, _conditions(branch, numbers), f'(work-out "{key}" {values})')

    def _sum(self, key: str, *values: float) -> None:
        """Called by CLIPS: the calculator of a derived number, on the numbers that matched."""
        rule, names = self._sums[key]
        for conclusion in rule.conclude(dict(zip(names, values, strict=True))):
            self._environment.assert_string(_conclusion(conclusion))


# ---------------------------------------------------------------- the language of CLIPS


def _rule(name: str, layer: int, conditions: str, actions: str) -> str:
    return f"(defrule {name} (declare (salience {-layer})) {conditions} => {actions})"


def _conditions(branch: Branch, numbers: Iterable[str] = ()) -> str:
    """A pattern for each fact that must be known, and a `not` for each that must not; `numbers` must be numbers."""
    patterns = [
        _pattern(branch, name, f"v{place}", name in numbers) for place, name in enumerate(branch.names)
    ]
    return " ".join([*patterns, *(f"(not ({name} $?))" for name in branch.unknown)])


def _pattern(branch: Branch, name: str, variable: str, is_number: bool) -> str:
    """One fact that passes all its tests at once."""
    leaves = [leaf for leaf in branch.tests if leaf.name == name]
    kinds = {_KIND[operator] for leaf in leaves for operator, _ in leaf.parts} | (
        {NUMBER} if is_number else set()
    )
    if len(kinds) > 1:
        raise Refused(f"{name} is tested as {' and as '.join(sorted(kinds))}; no value is both.")
    if not kinds:
        return f"({name} ? $?)"
    (kind,) = kinds
    field = f"$?{variable}" if kind == TICKED else f"?{variable}"
    return f"({name} {kind} {field}{''.join('&:' + _test(leaf, variable) for leaf in leaves)})"


def _test(leaf: Leaf, variable: str) -> str:
    parts = [_OPERATORS[operator](f"?{variable}", wanted) for operator, wanted in leaf.parts]
    all_parts = parts[0] if len(parts) == 1 else f"(and {' '.join(parts)})"
    return f"(not {all_parts})" if leaf.negated else all_parts


def _member(word: str, variable: str) -> str:
    return f'(neq FALSE (member$ "{word}" {variable}))'


def _any(tests: Iterable[str]) -> str:
    return f"(or FALSE {' '.join(tests)})"


_OPERATORS: Mapping[str, Any] = {
    "is": lambda v, wanted: f'(eq {v} "{wanted}")',
    "is_not": lambda v, wanted: f'(neq {v} "{wanted}")',
    "one_of": lambda v, wanted: _any(f'(eq {v} "{word}")' for word in wanted),
    "none_of": lambda v, wanted: f"(not {_any(f'(eq {v} {_quoted(word)})' for word in wanted)})",
    "at_least": lambda v, wanted: f"(>= {v} {wanted!r})",
    "above": lambda v, wanted: f"(> {v} {wanted!r})",
    "at_most": lambda v, wanted: f"(<= {v} {wanted!r})",
    "below": lambda v, wanted: f"(< {v} {wanted!r})",
    "includes": lambda v, wanted: _member(wanted, v),
    "includes_any": lambda v, wanted: _any(_member(word, v) for word in wanted),
    "includes_none": lambda v, wanted: f"(not {_any(_member(word, v) for word in wanted)})",
}

_KIND: Mapping[str, str] = {
    **dict.fromkeys(("is", "is_not", "one_of", "none_of"), WORD),
    **dict.fromkeys(("at_least", "above", "at_most", "below"), NUMBER),
    **dict.fromkeys(("includes", "includes_any", "includes_none"), TICKED),
}


def _quoted(text: str) -> str:
    escaped = text.replace("\\", "\\\\").replace('"', '\\"')
    return f'"{escaped}"'


def _as_fact(fact: Fact) -> str:
    value = fact.value
    if isinstance(value, frozenset):
        return f"({fact.name} {TICKED} {' '.join(map(_quoted, sorted(value)))})"
    if isinstance(value, float):
        return f"({fact.name} {NUMBER} {value!r})"
    return f"({fact.name} {WORD} {_quoted(value)})"


def _conclusion(item: Fact | Evidence) -> str:
    if isinstance(item, Fact):
        return _as_fact(item)
    words = (item.rule, item.observe, item.answer, item.strength, item.about)
    return f"({EVIDENCE} {_quoted(item.cause)} {item.row} {' '.join(map(_quoted, words))})"


def _value(fields: list[Any]) -> Value:
    kind, *values = fields
    if kind == TICKED:
        return frozenset(values)
    (value,) = values
    return float(value) if kind == NUMBER else str(value)
