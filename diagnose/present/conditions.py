"""One condition of a rule in words: whether it holds, by how much a number misses, and what nobody has looked at."""

from __future__ import annotations

from diagnose.engine.truth import Leaf, Truth
from diagnose.explain.conditions import STANDING, ConditionStands
from diagnose.knowledge.rule_base import RuleBase
from diagnose.units import System, from_canonical, show_quantity, usual_unit

from .words import fact_name, first_down, leaf_words, percent, value_words


def condition_told(base: RuleBase, item: ConditionStands, units: System) -> str:
    """A condition and how it stands."""
    return f"{condition_wanted(base, item, units)}: {_verdict(base, item, units)}"


def condition_wanted(base: RuleBase, item: ConditionStands, units: System) -> str:
    """What must be so."""
    if item.form == "known":
        return f"{fact_name(base, item.name)}: known"
    if item.form == "unknown":
        return f"{fact_name(base, item.name)}: not known"
    return leaf_words(base, Leaf(item.name, item.parts, item.negated), units)


def _verdict(base: RuleBase, item: ConditionStands, units: System) -> str:
    if item.truth is Truth.TRUE:
        return "holds"
    if item.name.startswith(STANDING):
        return _standing(item)
    if item.truth is Truth.UNKNOWN:
        # What rules say of a page is never looked up; it is said or not said.
        return "not so" if "." in item.name and not item.name.startswith("band.") else "nobody has looked"
    if item.form == "unknown":
        return f"it is known, {_found(base, item, units)}"
    return f"it is {_found(base, item, units)}{_missed(base, item, units)}"


def _standing(item: ConditionStands) -> str:
    word = str(item.found[0]) if item.found else "not weighed"
    if item.chance is None:
        return f"it is {word}"
    if item.bound is None:
        return f"it is {word}, at {percent(item.chance)}"
    return f"it is {word}, at {percent(item.chance)}; that begins at {percent(item.bound)}"


def _found(base: RuleBase, item: ConditionStands, units: System) -> str:
    name = item.name.removeprefix("band.")
    return " and ".join(first_down(value_words(base, name, value, units)) for value in item.found)


def _missed(base: RuleBase, item: ConditionStands, units: System) -> str:
    """By how much a number misses its bound, in the person's unit."""
    quantity = getattr(base.observables.get(item.name), "quantity", None)
    if item.gap is None or item.bound is None or quantity is None:
        return ""
    if item.gap == 0:
        return ", which is the bound itself"
    unit = usual_unit(quantity, units)
    size = abs(
        from_canonical(item.bound, unit, quantity) - from_canonical(item.bound - item.gap, unit, quantity)
    )
    sign = "°" if quantity == "temperature" else ""
    named = f"{size:.3g} {sign}{unit}".strip() if quantity not in ("ph", "gravity") else f"{size:.3g}"
    side = "too low" if item.gap > 0 else "too high"
    return f", {named} {side} (the bound is {show_quantity(item.bound, quantity, units)})"
