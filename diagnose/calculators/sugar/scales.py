"""The scales that must is read on, and the weight of what is dissolved."""

from __future__ import annotations

import math

from .. import densities
from ..amounts import (
    Baume,
    Brix,
    GramsPerLitre,
    KlosterneuburgDegrees,
    Oechsle,
    Plato,
    SpecificGravity,
    within,
)
from ..registry import calculator

HEAVIEST = densities.SG_RANGE[1]
LIGHTEST = densities.SG_RANGE[0]
_BRIX_RANGE = (densities.brix_from_sg(LIGHTEST), densities.brix_from_sg(HEAVIEST))
_EXTRACT_RANGE = (densities.extract_from_sg(LIGHTEST), densities.extract_from_sg(HEAVIEST))


def gravity_in_range(gravity: float, what: str = "gravity") -> float:
    """A gravity between 0.95 and 1.2; raises `OutOfRange` otherwise."""
    return within(
        what, gravity, "SG", at_least=LIGHTEST, at_most=HEAVIEST, mend="Write 1.090, not 1090 or 90."
    )


def _brix(brix: float) -> float:
    low, high = _BRIX_RANGE
    return within("Brix", brix, "", at_least=low, at_most=high, mend="A must has 15 to 30 Brix.")


def _oechsle(oechsle: float) -> float:
    return within("Oechsle", oechsle, "", at_least=-50, at_most=200, mend="A must of 1.090 has 90 Oechsle.")


@calculator(
    "brix_from_gravity",
    result="degrees Brix",
    formula="Brix = 182.46007 x gravity^3 - 775.68212 x gravity^2 + 1262.7794 x gravity - 669.56218",
)
def brix_from_gravity(gravity: SpecificGravity) -> Brix:
    """Degrees Brix, grams of sugar in 100 g of juice, for a gravity 20/20.

    Range: 0.95 to 1.2; raises `OutOfRange`. Below 1.000 it is a mark on the stem, not sugar. Source: fitted to
    NBS Circular C440 (1942), as given in an encyclopaedia article on Brix; good to 0.001 Brix up to 40 Brix.
    """
    return densities.brix_from_sg(gravity_in_range(gravity))


@calculator("gravity_from_brix", result="gravity 20/20", formula="the Brix of the gravity = brix")
def gravity_from_brix(brix: Brix) -> SpecificGravity:
    """Gravity 20/20 for degrees Brix: the inverse of `brix_from_gravity`.

    Range: the Brix of 0.95 to 1.2; raises `OutOfRange`. Source: as there.
    """
    return densities.sg_from_brix(_brix(brix))


@calculator(
    "plato_from_gravity", result="degrees Plato", formula="Plato = Brix of the gravity, alike to 0.02"
)
def plato_from_gravity(gravity: SpecificGravity) -> Plato:
    """Degrees Plato for a gravity 20/20: the same grams in 100 g as Brix, alike to 0.02 at the hydrometer.

    Range: 0.95 to 1.2; raises `OutOfRange`. Source: as `brix_from_gravity`.
    """
    return brix_from_gravity(gravity)


@calculator("gravity_from_plato", result="gravity 20/20", formula="the Plato of the gravity = plato")
def gravity_from_plato(plato: Plato) -> SpecificGravity:
    """Gravity 20/20 for degrees Plato: the inverse of `plato_from_gravity`.

    Range: the Plato of 0.95 to 1.2; raises `OutOfRange`. Source: as there.
    """
    return gravity_from_brix(plato)


@calculator("oechsle_from_gravity", result="degrees Oechsle", formula="Oechsle = 1000 x (gravity - 1)")
def oechsle_from_gravity(gravity: SpecificGravity) -> Oechsle:
    """Degrees Oechsle: thousandths of gravity above water.

    Range: 0.95 to 1.2; raises `OutOfRange`. Source: wein.plus encyclopaedia, must-weight units.
    """
    return densities.oechsle_from_sg(gravity_in_range(gravity))


@calculator("gravity_from_oechsle", result="gravity 20/20", formula="gravity = 1 + oechsle / 1000")
def gravity_from_oechsle(oechsle: Oechsle) -> SpecificGravity:
    """Gravity 20/20 for degrees Oechsle.

    Range: -50 to 200; raises `OutOfRange`. Source: as `oechsle_from_gravity`.
    """
    return densities.sg_from_oechsle(_oechsle(oechsle))


@calculator(
    "oechsle_from_kmw",
    result="degrees Oechsle",
    formula="Oechsle = klosterneuburg x (0.022 x klosterneuburg + 4.54)",
)
def oechsle_from_kmw(klosterneuburg: KlosterneuburgDegrees) -> Oechsle:
    """Degrees Oechsle for degrees of the Klosterneuburg must scale.

    Range: 0 to 35; raises `OutOfRange`. Source: wein.plus encyclopaedia, must-weight units.
    """
    kmw = within("KMW", klosterneuburg, "", at_least=0, at_most=35, mend="A ripe must has 15 to 22 KMW.")
    return kmw * (0.022 * kmw + 4.54)


@calculator(
    "kmw_from_oechsle",
    result="degrees KMW",
    formula="KMW = (square root of (4.54^2 + 0.088 x oechsle) - 4.54) / 0.044",
)
def kmw_from_oechsle(oechsle: Oechsle) -> KlosterneuburgDegrees:
    """Degrees of the Klosterneuburg must scale for degrees Oechsle: the inverse of `oechsle_from_kmw`.

    Range: 0 to 186 Oechsle; raises `OutOfRange`. Source: as there.
    """
    within("Oechsle", oechsle, "", at_least=0, at_most=186, mend="A must of 1.090 has 90 Oechsle.")
    return (math.sqrt(4.54**2 + 0.088 * oechsle) - 4.54) / 0.044


@calculator("baume_from_gravity", result="degrees Baumé", formula="Baumé = 145 - 145 / gravity")
def baume_from_gravity(gravity: SpecificGravity) -> Baume:
    """Degrees Baumé for a gravity 20/20; one Baumé of must is about 1 % vol.

    Range: 0.95 to 1.2; raises `OutOfRange`. Source: from memory.
    """
    return 145 - 145 / gravity_in_range(gravity)


@calculator("gravity_from_baume", result="gravity 20/20", formula="gravity = 145 / (145 - baume)")
def gravity_from_baume(baume: Baume) -> SpecificGravity:
    """Gravity 20/20 for degrees Baumé: the inverse of `baume_from_gravity`.

    Range: -8 to 24.5; raises `OutOfRange`. Source: as there.
    """
    within("Baumé", baume, "", at_least=-8, at_most=24.5, mend="A ripe must has 10 to 14 Baumé.")
    return 145 / (145 - baume)


@calculator(
    "extract_from_gravity",
    result="dissolved, as sucrose",
    formula="extract = Brix of the gravity / 100 x density in kg/m3",
)
def extract_from_gravity(gravity: SpecificGravity) -> GramsPerLitre:
    """g/L of everything dissolved, counted as sucrose, in a juice or in a wine whose alcohol was boiled off.

    Range: 0.95 to 1.2; raises `OutOfRange`. Below 1.000 it is negative and only says that alcohol is there.
    Source: NBS Circular C440 as in `brix_from_gravity`, times the density at 20 C.
    """
    return densities.extract_from_sg(gravity_in_range(gravity))


@calculator(
    "gravity_from_extract",
    result="gravity 20/20",
    formula="the extract of the gravity = extract_g_per_l",
)
def gravity_from_extract(extract_g_per_l: GramsPerLitre) -> SpecificGravity:
    """Gravity 20/20 of water that holds this much sucrose: the inverse of `extract_from_gravity`.

    Range: the extract of 0.95 to 1.2; raises `OutOfRange`. Source: as there.
    """
    low, high = _EXTRACT_RANGE
    within("extract", extract_g_per_l, "g/L", at_least=low, at_most=high, mend="24 Brix is 264 g/L.")
    return densities.sg_from_extract(extract_g_per_l)
