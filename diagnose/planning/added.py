"""What was really added, beside what the plan and the law say."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from diagnose.knowledge.models.treatments import Fix
from diagnose.knowledge.models.vocabulary import Limit
from diagnose.knowledge.rule_base import RuleBase
from diagnose.units import canonical_unit

from .fixes import Amount

AS_PLANNED = 0.02
"""A difference up to this share is that of any scale."""

NOT_MEANT = 50.0
"""An amount this many times the planned one, or this part of it, is a slip of the unit or of the point."""


@dataclass(frozen=True)
class Deviation:
    """An amount that differs from the planned one, in cellar units."""

    name: str
    says: str
    quantity: str
    planned: float
    added: float


@dataclass(frozen=True)
class OverLimit:
    """A limit that was passed, in the unit of the limit."""

    limit: Limit
    figure: float
    reached: float


def cannot_be(planned: float | None, quantity: str, added: float, vessel_l: float | None) -> str | None:
    """What is expected instead of an amount that cannot be; None where it can. Amounts are in cellar units."""
    if added <= 0:
        return "more than nothing"
    if vessel_l is not None and quantity in ("volume", "mass"):
        most = vessel_l if quantity == "volume" else 1000 * vessel_l
        # Of a blend more may be poured in than there was wine, and the plan says so.
        if added > most and not (planned and planned > most):
            return "less than the wine itself"
    if planned and not planned / NOT_MEANT < added < planned * NOT_MEANT:
        return "something near the planned amount"
    return None


def deviations(planned: tuple[Amount, ...], added: Mapping[str, float]) -> tuple[Deviation, ...]:
    """The amounts added that differ from the planned ones."""
    return tuple(
        Deviation(amount.name, amount.says, amount.quantity, amount.value, added[amount.name])
        for amount in planned
        if amount.name in added
        and amount.value is not None
        and abs(added[amount.name] - amount.value) > AS_PLANNED * amount.value
    )


def real_dose(fix: Fix, planned: tuple[Amount, ...], added: Mapping[str, float]) -> float | None:
    """The dose that was really given, told as such or from an amount that grows with it; None where unknown."""
    if "dose" in added:
        return added["dose"]
    agent = fix.trial.agent if fix.trial else None
    if agent is None:
        return None
    by_dose = [
        quantity.name for quantity in fix.quantities if agent.dose_kept_as in quantity.compute.with_.values()
    ]
    for amount in planned:
        dose = amount.inputs.get("dose_g_per_l")
        grows = amount.name in by_dose and amount.quantity in ("mass", "volume") and amount.name in added
        if grows and amount.value and isinstance(dose, float):
            return dose * added[amount.name] / amount.value
    return None


def over_limits(
    base: RuleBase,
    fix: Fix,
    planned: tuple[Amount, ...],
    added: Mapping[str, float],
    vessel_l: float | None,
    own: Mapping[str, float],
) -> tuple[OverLimit, ...]:
    """The limits of a fix that the amounts really added pass: its dose, and the share of liquid in the wine."""
    found = []
    dose = real_dose(fix, planned, added)
    # A liquid that was added counts as water whole; what is dissolved in it is a small part of it.
    liquid = sum(value for name, value in added.items() if fix.amount_quantities.get(name) == "volume")
    for name in fix.dose.limit if fix.dose else ():
        limit = base.limits[name]
        figure = own.get(name, limit.value)
        reached = None
        if limit.unit.startswith(("percent", "%")) and vessel_l and liquid:
            reached = 100 * liquid / vessel_l
        elif fix.dose and limit.unit == canonical_unit(fix.dose.quantity):
            reached = dose
        if reached is not None and reached > figure:
            found.append(OverLimit(limit, figure, reached))
    return tuple(found)
