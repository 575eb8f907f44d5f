"""Blind glasses: a code for each jar and the order to taste them in, the same again from the same seed."""

from __future__ import annotations

import random
from dataclasses import dataclass

from ..amounts import within


@dataclass(frozen=True)
class BlindOrder:
    """`codes` by number of the jar, the control first; `order` is the codes as they are poured and tasted."""

    codes: tuple[int, ...]
    order: tuple[int, ...]


def blind_order(jars: int, seed: int) -> BlindOrder:
    """Three-digit codes, no two alike, and a tasting order drawn by lot.

    The seed is kept with the trial, so that the sheet shows the same codes on another day.
    Range: 2 to 100 jars. Raises `OutOfRange`.
    """
    within("number of jars", jars, "", at_least=2, at_most=100, mend="A control and at least one dose.")
    lot = random.Random(seed)
    codes = tuple(lot.sample(range(100, 1000), jars))
    return BlindOrder(codes, tuple(lot.sample(codes, jars)))
