"""Calls of calculators: each takes numbers in its own units, and gives one that its page must have a place for."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import get_args

from diagnose.calculators import Calculator, calculators
from diagnose.calculators.amounts import AnyUnit, PlainNumber
from diagnose.units import canonical_unit, quantities, units_of

from ..load import Located
from ..models.facts import Compute, Derived, Observation
from ..models.treatments import Quantity
from ..problems import Problem
from ..yaml_reader import Path_
from .names import Names, check_word, is_number

ANY_UNIT = get_args(AnyUnit)[1]
"""What a calculator says of numbers that may have any unit, so long as all have the same."""

PLAIN = get_args(PlainNumber)[1]
"""What a calculator says of a number without a unit."""

MOST_NAMED = 5
"""Facts or calculators of the right unit that a message names."""


def check_sum(located: Located, path: Path_, page: Derived | Quantity, names: Names) -> Iterator[Problem]:
    """The `quantity` and `compute` of a page: names known, and every number in the unit of its place."""
    yield from check_word(
        located, (*path, "quantity"), page.quantity, quantities(), "a quantity with known units"
    )
    wrong = [*check_call(located, (*path, "compute"), page.compute, names)]
    yield from wrong
    if not wrong and page.quantity in quantities():
        yield from _result(located, path, page, calculators()[page.compute.calculator], names)


def check_call(located: Located, path: Path_, compute: Compute, names: Names) -> Iterator[Problem]:
    """A call of a calculator by itself: the calculator and what it is given are known, and in its units."""
    name = compute.calculator
    if name not in calculators():
        yield from check_word(located, (*path, "calculator"), name, calculators(), "a calculator")
        return
    called = calculators()[name]
    wrong = [*_inputs(located, (*path, "with"), compute, called, names)]
    yield from wrong or _units(located, (*path, "with"), compute, called, names)


def _inputs(
    located: Located, path: Path_, compute: Compute, called: Calculator, names: Names
) -> Iterator[Problem]:
    takes = [parameter.name for parameter in called.parameters]
    for given, value in compute.with_.items():
        here = (*path, given)
        yield from check_word(located, here, given, takes, f"something that '{called.name}' takes", key=True)
        if isinstance(value, str) and not is_number(names.observable(value)):
            numbers = [fact for fact in names.observables if is_number(names.observable(fact))]
            yield from check_word(located, here, value, numbers, "a fact that is a number")
    if set(compute.with_) - set(takes):
        return  # what lacks may be what was misspelt, and that was told above
    for parameter in called.parameters:
        if parameter.required and parameter.name not in compute.with_:
            what = f"the calculator '{called.name}' also needs '{parameter.name}'."
            yield located.problem(path, what, f"Add `{parameter.name}:` with a fact or a number.")


# ---------------------------------------------------------------- units


def _units(
    located: Located, path: Path_, compute: Compute, called: Calculator, names: Names
) -> Iterator[Problem]:
    """Facts are handed over in the unit of their quantity; nothing converts them on the way."""
    common = _common_unit(compute, called, names)
    for parameter in called.parameters:
        given = compute.with_.get(parameter.name)
        unit = _unit_of_fact(given, names)
        wanted = common if parameter.unit == ANY_UNIT else plain(parameter.unit)
        if unit is None or unit == wanted:
            continue
        takes = f"'{called.name}' takes '{parameter.name}' in {_shown(wanted)}"
        if parameter.unit == ANY_UNIT:
            takes += " here, the unit of what it is given first"
        what = f"'{given}' is in {_shown(unit)}, and {takes}."
        yield located.problem((*path, parameter.name), what, _mend_input(located, wanted, names))


def _common_unit(compute: Compute, called: Calculator, names: Names) -> str | None:
    """The unit that the numbers of any unit share: that of the first fact among them."""
    among = (compute.with_.get(each.name) for each in called.parameters if each.unit == ANY_UNIT)
    return next((unit for given in among if (unit := _unit_of_fact(given, names)) is not None), None)


def result_unit(compute: Compute, called: Calculator, names: Names) -> str | None:
    """The unit in which a call answers; None where it takes any unit and is given plain numbers alone."""
    return _common_unit(compute, called, names) if called.result_unit == ANY_UNIT else called.result_unit


def _unit_of_fact(given: object, names: Names) -> str | None:
    """The unit a fact is kept in; None for a plain number, which is written in whatever unit is wanted."""
    observable = names.observable(given) if isinstance(given, str) else None
    quantity = observable.quantity if isinstance(observable, Observation | Derived) else None
    return canonical_unit(quantity) if quantity in quantities() else None


def plain(unit: str) -> str:
    """A calculator's unit as the table of quantities writes it."""
    return "" if unit == PLAIN else unit


def _shown(unit: str | None) -> str:
    return unit or "plain numbers"


def _mend_input(located: Located, wanted: str | None, names: Names) -> str:
    facts = [fact for fact in names.observables if _unit_of_fact(fact, names) == wanted]
    if others := [fact for fact in facts if fact != located.id]:
        return f"Give it a fact in {_shown(wanted)}, such as {_some(others)}; or write a number."
    if fitting := [f"`{name}`" for name in quantities() if canonical_unit(name) == wanted]:
        return f"Add a question of the quantity {' or '.join(fitting)} for it, or write a number."
    return f"No quantity is kept in {_shown(wanted)}; write a number, or choose another calculator."


def _result(
    located: Located, path: Path_, page: Derived | Quantity, called: Calculator, names: Names
) -> Iterator[Problem]:
    """What comes out must be in a unit of the page's quantity."""
    unit = result_unit(page.compute, called, names)
    if unit is None or plain(unit) in _accepted(page, page.quantity):
        return
    kept = canonical_unit(page.quantity)
    what = f"'{called.name}' gives {_shown(plain(unit))}, and the quantity '{page.quantity}' is in {_shown(kept)}."
    fitting = [f"`{name}`" for name in quantities() if plain(unit) in _accepted(page, name)]
    alike = [each for each in calculators().values() if plain(each.result_unit) == kept]
    # Sums of the same subject are the likelier ones to have been meant.
    giving = [each.name for each in alike if each.subject == called.subject] or [each.name for each in alike]
    mends = [f"write the quantity {' or '.join(fitting)}"] if fitting else []
    mends += [f"choose a calculator that gives {_shown(kept)}, such as {_some(giving)}"] if giving else []
    mend = ", or ".join(mends) or f"no calculator gives {_shown(kept)}; take it out"
    yield located.problem((*path, "quantity"), what, f"{mend[0].upper()}{mend[1:]}.")


def _accepted(page: Derived | Quantity, quantity: str) -> Sequence[str]:
    """Only the amounts of a fix are converted; a derived number is kept as it comes."""
    return units_of(quantity) if isinstance(page, Quantity) else (canonical_unit(quantity),)


def _some(names: Sequence[str]) -> str:
    return ", ".join(sorted(names)[:MOST_NAMED])
