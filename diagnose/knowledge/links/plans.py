"""What a plan needs: orders, what keeps apart, what is followed, and what fixes do to it."""

from __future__ import annotations

from collections.abc import Iterator

from diagnose.calculators import calculators
from diagnose.units import canonical_unit, quantities

from ..load import Located
from ..models.facts import Derived, Observation
from ..models.plans import Apart, Foreseen, Order, Tracked
from ..models.treatments import Change, Fix
from ..models.vocabulary import Limit
from ..problems import Problem
from ..yaml_reader import Path_
from .conditions import check_condition
from .names import Names, check_word, check_words, is_number
from .sums import check_call, plain, result_unit


def check_order(located: Located, names: Names) -> Iterator[Problem]:
    """The fixes of an order are known."""
    item = located.item
    assert isinstance(item, Order)
    for key in ("first", "then"):
        yield from check_words(located, (key,), getattr(item, key), names.known("fix"), "a known fix")


def check_apart(located: Located, names: Names) -> Iterator[Problem]:
    """The two fixes that are kept apart are known."""
    item = located.item
    assert isinstance(item, Apart)
    yield from check_words(located, ("fixes",), item.fixes, names.known("fix"), "a known fix")


def check_foreseen(located: Located, names: Names) -> Iterator[Problem]:
    """The fixes and the facts of what is foreseen are known."""
    item = located.item
    assert isinstance(item, Foreseen)
    yield from check_words(located, ("before",), item.before, names.known("fix"), "a known fix")
    yield from check_condition(located, ("when",), item.when, names, concluded=True)


def check_tracked(located: Located, names: Names) -> Iterator[Problem]:
    """What is followed is a number that the rules know, or one of its own with a quantity; a limit fits it."""
    item = located.item
    assert isinstance(item, Tracked)
    observable = names.observable(item.tracked)
    if item.quantity is not None:
        yield from check_word(
            located, ("quantity",), item.quantity, quantities(), "a quantity with known units"
        )
        if observable is not None:
            mend = "Take `quantity` out; the page of that name has one."
            yield located.problem(("quantity",), f"'{item.tracked}' is known to the rules already.", mend)
    elif not is_number(observable):
        numbers = [name for name in names.observables if is_number(names.observable(name))]
        yield from check_word(located, ("tracked",), item.tracked, numbers, "a fact that is a number")
    if item.behaves == "follows" and not isinstance(observable, Derived) and item.quantity is None:
        what = f"'{item.tracked}' is not worked out from others, so it cannot follow them."
        yield located.problem(("behaves",), what, "Write `dissolved` or `held`.")
    if item.limit_of:
        limited = {page.item.of for page in names.known("limit").values() if isinstance(page.item, Limit)}
        yield from check_word(
            located, ("limit_of",), item.limit_of, [each for each in limited if each], "what a limit is `of`"
        )


def check_changes(located: Located, names: Names) -> Iterator[Problem]:
    """What a fix weighs and changes: things, losses, own volumes and followed numbers, all known."""
    item = located.item
    assert isinstance(item, Fix)
    for index, quantity in enumerate(item.quantities):
        if quantity.weighs:
            place = ("quantities", index, "weighs")
            yield from check_word(located, place, quantity.weighs, names.known("thing"), "a known thing")
    volumes = [quantity.name for quantity in item.quantities if quantity.quantity == "volume"]
    for index, change in enumerate(item.changes):
        here: Path_ = ("changes", index)
        if change.loses:
            yield from check_word(
                located, (*here, "loses"), change.loses, names.known("loss"), "a known loss"
            )
        if change.adds:
            yield from check_word(
                located, (*here, "adds"), change.adds, volumes, "a quantity of this fix that is a volume"
            )
        if change.of:
            tracked = names.known("tracked")
            yield from check_word(located, (*here, "of"), change.of, tracked, "a number that plans follow")
        if change.becomes:
            yield from _becomes(located, here, change, names)


def _becomes(located: Located, here: Path_, change: Change, names: Names) -> Iterator[Problem]:
    """The call of a calculator, what of it is spread, and the unit in which it answers."""
    compute = change.becomes
    assert compute is not None and change.of is not None
    wrong = [*check_call(located, (*here, "becomes"), compute, names)]
    yield from wrong
    numbers = [name for name, given in compute.with_.items() if not isinstance(given, str)]
    for name in change.plus_minus:
        place = (*here, "plus_minus", name)
        yield from check_word(located, place, name, numbers, "a plain number given to the calculator", True)
    page = names.observable(change.of)
    quantity = page.quantity if isinstance(page, Observation | Derived) else None
    if wrong or quantity not in quantities():
        return
    called = calculators()[compute.calculator]
    unit = result_unit(compute, called, names)
    unit = canonical_unit(quantity) if unit is None else plain(unit)
    if unit != canonical_unit(quantity):
        what = f"'{called.name}' gives {unit or 'a plain number'}, and '{change.of}' is in {canonical_unit(quantity)}."
        yield located.problem(
            (*here, "becomes", "calculator"), what, "Choose a calculator that gives this unit."
        )
