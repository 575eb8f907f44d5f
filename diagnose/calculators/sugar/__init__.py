"""Sugar in must: the scales it is read on, the alcohol it can make, and sugar added to it."""

from . import added, potential, scales

__all__ = ["added", "potential", "scales"]
