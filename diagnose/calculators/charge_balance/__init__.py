"""The pH of must and wine from the balance of its charges, and what additions and losses do to it.

The acids give hydrogen away and are left with negative charges; potassium, sodium and the other cations, less
the anions of strong acids, are the positive ones. The hydrogen ions make up the difference. From a measured
pH and the acids the cations are worked out once; after that any change of acids and cations gives its pH.

Nothing here drops by itself: a wine that throws bitartrate or calcium tartrate later goes through
`ph_after_bitartrate`. Left out: phosphoric acid, sulfur dioxide, amino acids and tannin, which hold the pH a
little firmer than these sums do. Take a result for the direction and the rough size of a change; the bench
trial and the meter decide.
"""

from .additions import (
    ph_after_acid,
    ph_after_deacidification,
    potassium_bicarbonate_for_ph,
    tartaric_for_ph,
)
from .balance import (
    cation_excess,
    ph_from_acids,
    strong_ion_difference,
    ta_from_acids,
)
from .buffering import (
    buffer_capacity,
    measured_buffer_capacity,
    ph_after_tartaric_by_buffer,
)
from .constants import (
    AcidConstant,
    TartrateSpecies,
    acid_constants,
    activity_coefficient,
    pivot_ph,
    tartrate_species,
)
from .losses import (
    BitartrateEffect,
    MalolacticEffect,
    bitartrate_effect,
    malolactic_effect,
    ph_after_bitartrate,
    ph_after_malolactic,
)

__all__ = [
    "AcidConstant",
    "BitartrateEffect",
    "MalolacticEffect",
    "TartrateSpecies",
    "acid_constants",
    "activity_coefficient",
    "bitartrate_effect",
    "buffer_capacity",
    "cation_excess",
    "malolactic_effect",
    "measured_buffer_capacity",
    "ph_after_acid",
    "ph_after_bitartrate",
    "ph_after_deacidification",
    "ph_after_malolactic",
    "ph_after_tartaric_by_buffer",
    "ph_from_acids",
    "pivot_ph",
    "potassium_bicarbonate_for_ph",
    "strong_ion_difference",
    "ta_from_acids",
    "tartaric_for_ph",
    "tartrate_species",
]
