"""The wine as foreseen: what the changes on the page of a fix do to the numbers that a plan follows."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from diagnose.calculators import OutOfRange, call
from diagnose.calculators.bentonite import water_share_percent
from diagnose.calculators.dilution import diluted
from diagnose.calculators.spread import Range, range_result
from diagnose.engine.facts import Fact, Facts, number_of
from diagnose.knowledge.models.facts import Compute, Derived, Observation
from diagnose.knowledge.models.treatments import Change, Fix
from diagnose.knowledge.rule_base import RuleBase

from .fixes import Amount
from .whole import Projected

NOT_MEASURED = "nobody has measured it"


def quantity_of(base: RuleBase, name: str) -> str:
    """The quantity of a followed number."""
    page = base.observables.get(name)
    quantity = page.quantity if isinstance(page, Observation | Derived) else base.tracked[name].quantity
    assert quantity is not None, name
    return quantity


def projected_now(base: RuleBase, facts: Facts) -> Projected:
    """The followed numbers as the facts give them, each with the spread of its usual instrument."""
    state = _State(base, {}, {}, facts)
    for name, page in base.tracked.items():
        known = number_of(facts, name)
        if page.behaves == "follows":
            continue
        if known is not None:
            state.numbers[name] = _as_measured(base, known, quantity_of(base, name))
        elif page.starts is not None:
            state.numbers[name] = Range(page.starts, page.starts, page.starts)
        else:
            state.open[name] = NOT_MEASURED
    return state.settled()


def projected_after(
    base: RuleBase, fix: Fix, amounts: Iterable[Amount], before: Projected, facts: Facts
) -> Projected:
    """The followed numbers after a fix, its changes acting in their order.

    A number that a change cannot give becomes open, with the reason; it is not guessed.
    """
    state = _State(base, dict(before.numbers), dict(before.open), facts)
    poured = {amount.name: amount for amount in amounts}
    for change in fix.changes:
        state.take(change, poured)
    return state.settled()


@dataclass(frozen=True)
class Poured:
    """A fix that was done, the day, and the amounts that went in as far as they are known."""

    fix: Fix
    day: date
    amounts: tuple[Amount, ...]


def projected_since(
    base: RuleBase, done: Iterable[Poured], measured: Projected, read_on: Mapping[str, date], facts: Facts
) -> Projected:
    """The measured wine with what was done to it since. A number read on a later day than the work stays as read."""
    state = measured
    for each in sorted(done, key=lambda item: item.day):
        then = projected_after(base, each.fix, each.amounts, state, facts)
        newer = {name for name, day in read_on.items() if day > each.day and name in measured.numbers}
        numbers = {**then.numbers, **{name: measured.numbers[name] for name in newer}}
        open_ = {name: why for name, why in then.open.items() if name not in newer}
        state = _State(base, numbers, open_, facts).settled()
    return state


def as_facts(base: RuleBase, given: Iterable[Fact], state: Projected) -> tuple[Fact, ...]:
    """The facts given, with every followed question answered as foreseen; what is open there is not known."""
    asked = [name for name in base.tracked if name in base.observations]
    kept = [fact for fact in given if fact.name not in asked]
    known = [Fact(name, state.numbers[name].value) for name in asked if name in state.numbers]
    return (*kept, *known)


def _as_measured(base: RuleBase, value: float, quantity: str) -> Range:
    """A reading with the spread of the usual instrument; taken as exact where none is known."""
    for page in base.instruments.values():
        if page.measures == quantity:
            step = max(page.plus_minus or 0.0, abs(value) * (page.percent or 0.0) / 100)
            return Range(max(0.0, value - step), value, value + step)
    return Range(value, value, value)


@dataclass
class _State:
    """The numbers while the changes of one fix act on them."""

    base: RuleBase
    numbers: dict[str, Range]
    open: dict[str, str]
    facts: Facts

    def take(self, change: Change, poured: Mapping[str, Amount]) -> None:
        """Let one change act."""
        if change.loses:
            percent = self.base.losses[change.loses].percent
            self._lose(Range(percent[0], sum(percent) / 2, percent[1]))
        elif change.adds:
            self._pour(change, poured[change.adds])
        elif change.open:
            assert change.of is not None
            self._forget((change.of,), change.open)
        else:
            assert change.becomes is not None and change.of is not None
            self._become(change.of, change.becomes, change.plus_minus)

    def settled(self) -> Projected:
        """With the numbers that follow from others worked out."""
        for name in self._named("follows"):
            self.numbers.pop(name, None)
            self.open.pop(name, None)
            self._become(name, self.base.derived[name].compute, {})
        return Projected(self.numbers, self.open)

    def _named(self, *behaves: str) -> list[str]:
        return [name for name, page in self.base.tracked.items() if page.behaves in behaves]

    def _lose(self, percent: Range) -> None:
        for name in self._named("volume"):
            self._change(name, lambda value, percent: value * (1 - percent / 100), {"percent": percent})

    def _pour(self, change: Change, amount: Amount) -> None:
        """Pour an amount in; while it is not known, the part of the wine that the page takes for it."""
        names = self._named("volume", "dissolved", *(("added_water",) if change.water == "yes" else ()))
        volume = next((self.numbers[name] for name in self._named("volume") if name in self.numbers), None)
        if amount.value is not None and volume is not None:
            # The amount is as exact as the balance; what it is a part of is as exact as the marks on the vessel.
            added, parts = Range(amount.value, amount.value, amount.value), volume
        elif change.without_amount_percent:
            low, high = change.without_amount_percent
            added, parts = Range(low, (low + high) / 2, high), Range(100, 100, 100)
        else:
            missing = [given for given in amount.inputs.values() if isinstance(given, str)]
            self._forget(names, f"{amount.says}: not known without {_listed(self.base, missing)}")
            return
        for name in names:
            self._change(name, _POURED[self.base.tracked[name].behaves], {"parts": parts, "added": added})

    def _change(self, name: str, function: Callable[..., float], more: Mapping[str, Range]) -> None:
        if name in self.numbers:
            self.numbers[name] = range_result(function, {"value": self.numbers[name], **more})

    def _become(self, name: str, compute: Compute, plus_minus: Mapping[str, float]) -> None:
        inputs: dict[str, Range] = {}
        missing = []
        for parameter, given in compute.with_.items():
            found = self._input(given, plus_minus.get(parameter, 0.0))
            if found is None:
                missing.append(str(given))
            else:
                inputs[parameter] = found
        if missing:
            self._forget((name,), f"not known without {_listed(self.base, missing)}")
            return
        try:
            self.numbers[name] = range_result(lambda **each: call(compute.calculator, **each), inputs)
            self.open.pop(name, None)
        except OutOfRange as refused:
            self._forget((name,), str(refused))

    def _input(self, given: float | str, plus_minus: float) -> Range | None:
        if not isinstance(given, str):
            return Range(given - plus_minus, given, given + plus_minus)
        if given in self.base.tracked:
            return self.numbers.get(given)
        known = number_of(self.facts, given)
        return None if known is None else Range(known, known, known)

    def _forget(self, names: Iterable[str], why: str) -> None:
        """What was known is open from here on; what nobody has measured stays so."""
        for name in names:
            if self.numbers.pop(name, None) is not None:
                self.open[name] = why
            else:
                self.open.setdefault(name, why)


def _thinned(value: float, parts: float, added: float) -> float:
    return diluted(value, parts, added)


def _watered(value: float, parts: float, added: float) -> float:
    return value + water_share_percent(1000 * added, parts)


def _grown(value: float, parts: float, added: float) -> float:
    return value * (1 + added / parts)


_POURED: Mapping[str, Callable[..., float]] = {
    "volume": _grown,
    "dissolved": _thinned,
    "added_water": _watered,
}
"""What pouring in does to a number, by how it behaves: `added` to so many `parts` of wine."""


def _listed(base: RuleBase, names: Sequence[str]) -> str:
    said = [fact_words(base, name) for name in dict.fromkeys(names)]
    return " and ".join(said) or "an amount"


def fact_words(base: RuleBase, name: str) -> str:
    """The name of a fact in plain words, to stand inside a sentence."""
    page = base.observables.get(name)
    said = str(getattr(page, "short", None) or getattr(page, "name", None) or name)
    return said[:1].lower() + said[1:] if said[1:2].islower() or said[1:2] == " " else said
