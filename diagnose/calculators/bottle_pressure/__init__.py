"""Gas in a closed bottle: how much a referment or a malolactic ferment makes, and how hard it pushes.

Pressures called `overpressure` are above that of the air outside, as a gauge shows them. The gas is taken to stay in
the bottle: a sound cork lets a third of it go in six years (Liger-Belair and Villaume, losses of dissolved CO2 through
the cork stopper), too slow to save a bottle. The swelling of warmed wine, which squeezes a small headspace, is left
aside.
"""

from . import overpressure, solubility, verdict

__all__ = ["overpressure", "solubility", "verdict"]
