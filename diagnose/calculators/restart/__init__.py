"""Starting a stuck ferment again: whether to, and the starter built up step by step by balances of mass.

Volumes of wine, water and starter are taken to add up; the little that fermentation and evaporation change them
is left out.
"""

from . import cooling, fitness, protocols, stages

__all__ = ["cooling", "fitness", "protocols", "stages"]
