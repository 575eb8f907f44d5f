"""Sulfur dioxide: the molecular form, what to add, how much of it binds, and what the total comes to.

All sulfur dioxide is counted as SO2 in mg per litre of wine. What an addition does to the volume is left out.
"""

from . import additions, binding, constant, molecular, plan

__all__ = ["additions", "binding", "constant", "molecular", "plan"]
