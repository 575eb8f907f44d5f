"""Titratable acidity: its units, its titration, raising it and lowering it.

Titratable acidity (TA) is in g/L as tartaric acid unless the name of a number says otherwise. How the pH
follows is in `charge_balance`; only rules of thumb for it are here.
"""

from .additions import (
    AcidForTa,
    acids_for_ta,
    citric_for_ta,
    lactic_for_ta,
    malic_for_ta,
    ph_after_tartaric_by_rule,
    tartaric_for_ph_by_rule,
    tartaric_for_ta,
)
from .deacidification import (
    Deacidifier,
    DoubleSaltPlan,
    calcium_carbonate_for_ta,
    deacidifiers_for_ta,
    double_salt_plan,
    double_salt_share_percent,
    potassium_bicarbonate_for_ta,
    potassium_carbonate_for_ta,
    ta_drop_by_calcium_carbonate,
    ta_drop_by_potassium_bicarbonate,
    ta_drop_by_potassium_carbonate,
)
from .losses import (
    bitartrate_from_ta_drop,
    ta_after_bitartrate,
    ta_after_malolactic,
)
from .titration import (
    ta_from_titration,
    titrant_strength_from_phthalate,
)
from .units import (
    AcidityInAllUnits,
    ta_from_citric,
    ta_from_malic,
    ta_from_meq,
    ta_from_percent,
    ta_from_sulfuric,
    ta_in_all_units,
    ta_to_citric,
    ta_to_malic,
    ta_to_meq,
    ta_to_percent,
    ta_to_sulfuric,
)

__all__ = [
    "AcidForTa",
    "AcidityInAllUnits",
    "Deacidifier",
    "DoubleSaltPlan",
    "acids_for_ta",
    "bitartrate_from_ta_drop",
    "calcium_carbonate_for_ta",
    "citric_for_ta",
    "deacidifiers_for_ta",
    "double_salt_plan",
    "double_salt_share_percent",
    "lactic_for_ta",
    "malic_for_ta",
    "ph_after_tartaric_by_rule",
    "potassium_bicarbonate_for_ta",
    "potassium_carbonate_for_ta",
    "ta_after_bitartrate",
    "ta_after_malolactic",
    "ta_drop_by_calcium_carbonate",
    "ta_drop_by_potassium_bicarbonate",
    "ta_drop_by_potassium_carbonate",
    "ta_from_citric",
    "ta_from_malic",
    "ta_from_meq",
    "ta_from_percent",
    "ta_from_sulfuric",
    "ta_from_titration",
    "ta_in_all_units",
    "ta_to_citric",
    "ta_to_malic",
    "ta_to_meq",
    "ta_to_percent",
    "ta_to_sulfuric",
    "tartaric_for_ph_by_rule",
    "tartaric_for_ta",
    "titrant_strength_from_phthalate",
]
