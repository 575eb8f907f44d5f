"""Alcohol: what it weighs, what it hides from the hydrometer, and how much of it two gravities tell."""

from . import extract, mixture, two_gravities

__all__ = ["extract", "mixture", "two_gravities"]
