"""A log of gravity readings: how fast a ferment goes, how well that is known, and whether it goes at all.

A spread is the plus-or-minus of a reading that covers it nineteen times out of twenty. A point is 0.001 of
gravity. A fall that is not larger than its spread is not called a fall.
"""

from . import pace, rates, verdict

__all__ = ["pace", "rates", "verdict"]
