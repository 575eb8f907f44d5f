"""One addition worked through from the molecular target to the scale, in both forms side by side."""

from __future__ import annotations

from dataclasses import dataclass

from ..amounts import (
    PH,
    Celsius,
    Grams,
    Litres,
    MilligramsPerLitre,
    Percent,
    PercentAlcohol,
)
from ..registry import worksheet
from .additions import limit, potassium_metabisulfite_g, room_under_so2_limit
from .binding import (
    BINDERS_FULL_AT_FREE_MG_PER_L,
    STAYS_FREE_BY_THIRDS_PERCENT,
    addition_to_raise_free_so2,
    bound_so2,
)
from .molecular import free_so2_for_molecular, free_so2_for_molecular_plain


@dataclass(frozen=True)
class SulfiteAddition:
    """An addition by one form of the molecular sum. Nothing is weighed when it is refused."""

    form: str
    free_needed_mg_per_l: MilligramsPerLitre
    addition_mg_per_l: MilligramsPerLitre
    total_after_mg_per_l: MilligramsPerLitre
    room_left_mg_per_l: MilligramsPerLitre
    potassium_metabisulfite_g: Grams
    refused_because: str
    mind: str


@worksheet("so2_addition", result="the addition by both forms of the molecular sum")
def so2_addition(
    molecular_so2_mg_per_l: MilligramsPerLitre,
    free_so2_mg_per_l: MilligramsPerLitre,
    total_so2_mg_per_l: MilligramsPerLitre,
    ph: PH,
    alcohol_percent: PercentAlcohol,
    volume_l: Litres,
    limit_mg_per_l: MilligramsPerLitre,
    temperature_c: Celsius = 20.0,
    stays_free_percent: Percent = STAYS_FREE_BY_THIRDS_PERCENT,
    powder_strength_percent: Percent = 100.0,
) -> tuple[SulfiteAddition, ...]:
    """An addition of potassium metabisulfite for a molecular target: free needed, grams, and the total against a limit.

    A line for the OIV table and a line for the plain pK 1.81, the cautious one. An addition that would take the
    total over the limit is refused: `refused_because` says so and nothing is to be weighed.
    Range: as for the sums it is made of: `free_so2_for_molecular`, `addition_to_raise_free_so2`,
    `potassium_metabisulfite_g`, `room_under_so2_limit`. Raises `OutOfRange`.
    """
    limit(limit_mg_per_l)
    bound_so2(total_so2_mg_per_l, free_so2_mg_per_l)
    needed_by_form = {
        "OIV table": free_so2_for_molecular(molecular_so2_mg_per_l, ph, alcohol_percent, temperature_c),
        "plain, pK 1.81": free_so2_for_molecular_plain(molecular_so2_mg_per_l, ph),
    }

    def line(form: str, needed: float) -> SulfiteAddition:
        addition = addition_to_raise_free_so2(max(0.0, needed - free_so2_mg_per_l), stays_free_percent)
        total = total_so2_mg_per_l + addition
        room = room_under_so2_limit(total, limit_mg_per_l)
        refusal = _refusal(total, limit_mg_per_l, addition)
        return SulfiteAddition(
            form=form,
            free_needed_mg_per_l=needed,
            addition_mg_per_l=addition,
            total_after_mg_per_l=total,
            room_left_mg_per_l=room,
            potassium_metabisulfite_g=0.0
            if refusal
            else potassium_metabisulfite_g(addition, volume_l, powder_strength_percent),
            refused_because=refusal,
            mind=_mind(free_so2_mg_per_l, addition),
        )

    return tuple(line(form, needed) for form, needed in needed_by_form.items())


def _refusal(total: float, limit_mg_per_l: float, addition: float) -> str:
    if total <= limit_mg_per_l or addition == 0:
        return ""
    return (
        f"The total would be {total:.0f} mg/L, over the limit of {limit_mg_per_l:g}. Lower the pH, take a lower "
        "target, or keep the wine safe by cold and filtration."
    )


def _mind(free_now: float, addition: float) -> str:
    if addition == 0:
        return "The free is enough as it is; add nothing."
    if free_now < BINDERS_FULL_AT_FREE_MG_PER_L:
        return (
            f"Under {BINDERS_FULL_AT_FREE_MG_PER_L:g} mg/L free the strong binders may not be full, and most of the "
            "addition may bind: try it stepwise on small samples first."
        )
    return "Measure free and total again after two days."
