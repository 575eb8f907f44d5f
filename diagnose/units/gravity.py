"""Specific gravity and the sugar scales of the hydrometer.

Brix from apparent SG 20/20 is the cubic fitted to the table of NBS Circular C440 (1942), as given in an
encyclopaedia article on Brix: good to 0.001 Brix from SG 1.000 to 1.179. Below 1.000, where a dry wine
sits, it is carried on as hydrometers are: the reading is a mark on a stem, not sugar.
"""

from __future__ import annotations

SG_RANGE = (0.95, 1.2)
"""Between a wine far drier and a must far sweeter than any cellar has."""


def brix_from_sg(sg: float) -> float:
    """Degrees Brix for a specific gravity 20/20 between 0.95 and 1.2."""
    return ((182.46007 * sg - 775.68212) * sg + 1262.7794) * sg - 669.56218


def sg_from_brix(brix: float) -> float:
    """Specific gravity 20/20 for degrees Brix: the same cubic, turned round.

    The cubic rises all the way, so halving the interval always finds the one answer. Outside the range
    the nearer end is returned, a little beyond it, so that the range check of the table refuses it.
    """
    low, high = SG_RANGE[0] - 0.01, SG_RANGE[1] + 0.01
    for _ in range(60):
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
