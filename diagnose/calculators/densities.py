"""What water, sugar and alcohol weigh: the curves that hydrometer, refractometer and alcohol sums share.

Nothing here is checked for its range; the calculators that use these curves do that. SG is always relative
density 20/20: the liquid at 20 C against water at 20 C, as a hydrometer in air shows it.
"""

from __future__ import annotations

SG_RANGE = (0.95, 1.2)
"""Between a wine far drier and a must far sweeter than any cellar has."""

WATER_20_KG_PER_M3 = 998.20123
"""Density of water at 20 C in OIML R22 (1975)."""

ALCOHOL_20_KG_PER_M3 = 789.24
"""Density of pure alcohol at 20 C that defines % vol: OIML R22 (1975), Council Directive 76/766/EEC."""

AIR_KG_PER_M3 = 1.2
"""Density of air, from memory: a hydrometer floats in it too. It moves g/L of sugar by less than 0.1 %."""

# Each pair of lists below is one curve of OIML R22 (1975): rho(p, t) with p the share of alcohol by mass and
# d = t - 20. _ALCOHOL (A) and _WARMTH (B) are as printed in Council Directive 76/766/EEC; _BOTH (C) is from memory.
_ALCOHOL = (
    998.20123,
    -192.9769495,
    389.1238958,
    -1668.103923,
    13522.15441,
    -88292.78388,
    306287.4042,
    -613838.1234,
    747017.2998,
    -547846.1354,
    223446.0334,
    -39032.85426,
)
_WARMTH = (0.0, -0.20618513, -0.0052682542, 3.6130013e-5, -3.8957702e-7, 7.169354e-9, -9.9739231e-11)
_BOTH = (
    (
        0.0,
        0.1693443461530087,
        -10.46914743455169,
        71.96353469546523,
        -704.7478054272792,
        3924.090430035045,
        -12101.64659068747,
        22486.46550400788,
        -26055.62982188164,
        18523.73922069467,
        -7420.201433430137,
        1285.617841998974,
    ),
    (
        0.0,
        -0.0119301300505701,
        0.2517399633803461,
        -2.170575700536993,
        13.53034988843029,
        -50.29988758547014,
        109.6355666577570,
        -142.2753946421155,
        108.0435942856230,
        -44.14153236817392,
        7.442971530188783,
    ),
    (
        0.0,
        -6.802995733503803e-4,
        0.01876837790289664,
        -0.2002561813734156,
        1.022992966719220,
        -2.895696483903638,
        4.810060584300675,
        -4.672147440794683,
        2.458043105903461,
        -0.5411227621436812,
    ),
    (0.0, 4.075376675622027e-6, -8.763058573471110e-6, 6.515031360099368e-6, -1.515784836987210e-6),
    (0.0, -2.788074354782409e-8, 1.345612883493354e-8),
)

_HALVINGS = 60
_CORRECTIONS = 40
"""Rounds that find the share by mass of a % vol; the last digit has settled long before."""


def _polynomial(coefficients: tuple[float, ...], x: float) -> float:
    total = 0.0
    for coefficient in reversed(coefficients):
        total = total * x + coefficient
    return total


def alcohol_water_density(mass_share: float, temperature_c: float = 20.0) -> float:
    """Density in kg/m3 of alcohol and water, the alcohol as a share by mass from 0 to 1, from -20 to 40 C.

    Source: OIML R22 (1975), general formula; the coefficients for other temperatures than 20 C of a mixture are
    from memory.
    """
    d = temperature_c - 20
    mixed = tuple(_polynomial(row, mass_share) for row in _BOTH)
    return _polynomial(_ALCOHOL, mass_share) + _polynomial(_WARMTH, d) + d * _polynomial(mixed, d)


def water_density(temperature_c: float) -> float:
    """Density of water in kg/m3 from 0 to 40 C: OIML R22 without alcohol."""
    return alcohol_water_density(0.0, temperature_c)


def mass_share_of_alcohol(alcohol_percent: float) -> float:
    """Share of alcohol by mass, 0 to 1, for an alcohol in % vol at 20 C: % vol = 100 x share x density / 789.24."""
    alcohol_kg_per_m3 = alcohol_percent / 100 * ALCOHOL_20_KG_PER_M3
    share = alcohol_kg_per_m3 / WATER_20_KG_PER_M3
    for _ in range(_CORRECTIONS):
        share = alcohol_kg_per_m3 / alcohol_water_density(share)
    return share


def sg_of_alcohol(alcohol_percent: float) -> float:
    """SG of nothing but water and alcohol of this % vol."""
    return alcohol_water_density(mass_share_of_alcohol(alcohol_percent)) / WATER_20_KG_PER_M3


def brix_from_sg(sg: float) -> float:
    """Degrees Brix for a specific gravity 20/20 between 0.95 and 1.2.

    The cubic fitted to the table of NBS Circular C440 (1942), as given in an encyclopaedia article on Brix: good
    to 0.001 Brix from SG 1.000 to 1.179. Below 1.000, where a dry wine sits, it is carried on as hydrometers are:
    the reading is a mark on a stem, not sugar.
    """
    return ((182.46007 * sg - 775.68212) * sg + 1262.7794) * sg - 669.56218


def sg_from_brix(brix: float) -> float:
    """Specific gravity 20/20 for degrees Brix: the same cubic, turned round.

    The cubic rises all the way, so halving the interval always finds the one answer. Outside the range
    the nearer end is returned, a little beyond it, so that whoever checks the range refuses it.
    """
    low, high = SG_RANGE[0] - 0.01, SG_RANGE[1] + 0.01
    for _ in range(_HALVINGS):
        middle = (low + high) / 2
        if brix_from_sg(middle) < brix:
            low = middle
        else:
            high = middle
    return (low + high) / 2


def oechsle_from_sg(sg: float) -> float:
    """Degrees Oechsle: thousandths of gravity above water (wein.plus encyclopaedia, must-weight units)."""
    return 1000 * (sg - 1)


def sg_from_oechsle(oechsle: float) -> float:
    """Specific gravity for degrees Oechsle; see `oechsle_from_sg`."""
    return 1 + oechsle / 1000


def density_from_sg(sg: float) -> float:
    """Density at 20 C in kg/m3; the hydrometer's SG is weighed in air, so the air it displaces is put back."""
    return sg * (WATER_20_KG_PER_M3 - AIR_KG_PER_M3) + AIR_KG_PER_M3


def extract_from_sg(sg: float) -> float:
    """g/L of everything dissolved, counted as sucrose, in a liquid without alcohol; below 0 under SG 1.000."""
    return brix_from_sg(sg) / 100 * density_from_sg(sg)


def sg_from_extract(extract_g_per_l: float) -> float:
    """Specific gravity of water that holds this much sucrose: `extract_from_sg` turned round."""
    low, high = SG_RANGE[0] - 0.01, SG_RANGE[1] + 0.01
    for _ in range(_HALVINGS):
        middle = (low + high) / 2
        if extract_from_sg(middle) < extract_g_per_l:
            low = middle
        else:
            high = middle
    return (low + high) / 2


def sg_of_wine(alcohol_percent: float, extract_g_per_l: float) -> float:
    """SG of a wine from what is in it, by the relation of Tabarie (OIV-MA-AS2-03B): the parts simply add."""
    return sg_of_alcohol(alcohol_percent) + sg_from_extract(extract_g_per_l) - 1


def extract_of_wine(sg: float, alcohol_percent: float) -> float:
    """g/L of everything dissolved in a wine: Tabarie turned round."""
    return extract_from_sg(sg - sg_of_alcohol(alcohol_percent) + 1)
