"""Nitrogen for the yeast: how much a must needs, how much an addition brings, and when it comes too late.

Nitrogen is the yeast assimilable nitrogen of a must in mg/L: ammonium and the amino acids that yeast can use.
"""

from . import additions, demand, timing

__all__ = ["additions", "demand", "timing"]
