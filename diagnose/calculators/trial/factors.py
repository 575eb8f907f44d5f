"""A trial of two factors: a ladder of doses at each level of another factor, and several jars of each dose.

The levels are two agents, each with its own ladder and stock, or one agent in wine with and without something
else. All jars, the controls too, get as much liquid as the wettest of them.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from ..amounts import OutOfRange, within
from .codes import BlindOrder, blind_order
from .design import TrialDesign, TrialSample, design_trial
from .stock import Balance, Pipette, Stock

KITCHEN_JARS = 24
"""More jars than this are hardly set up, read and tasted in one day at home (judgement of this program)."""

MOST_REPLICATES = 6


@dataclass(frozen=True)
class Level:
    """One level of the factor beside the dose, with its ladder and what measures it out; a blend has no stock."""

    name: str
    doses: tuple[float, ...]
    stock: Stock | None
    instrument: Pipette | Balance
    water_limit_percent: float | None = None
    usual_high: float | None = None


@dataclass(frozen=True)
class Jar:
    """One jar. `glass` numbers the doses through all levels; `level` is None for a control that all levels share."""

    glass: int
    level: int | None
    replicate: int
    sample: TrialSample
    replicates: int

    @property
    def is_control(self) -> bool:
        """Without agent."""
        return self.sample.number == 0

    @property
    def letter(self) -> str:
        """Which of the equal jars it is; empty where there is one of each."""
        return "abcdef"[self.replicate] if self.replicates > 1 else ""


@dataclass(frozen=True)
class FactorTrial:
    """The jars: controls first, then the doses of each level, equal jars side by side. `blind` needs a seed."""

    levels: tuple[str, ...]
    designs: tuple[TrialDesign, ...]
    replicates: int
    own_controls: bool
    jars: tuple[Jar, ...]
    blind: BlindOrder | None

    @property
    def wine_needed_ml(self) -> float:
        """Wine for all jars, in mL."""
        return math.fsum(jar.sample.final_ml - jar.sample.added_ml for jar in self.jars)

    def stock_needed(self, level: int) -> float:
        """Stock of one level for all its jars, in its own unit."""
        return self.replicates * self.designs[level].stock_needed

    @property
    def added_ml(self) -> float:
        """Stock and water that go into all jars together, in mL."""
        return math.fsum(jar.sample.added_ml for jar in self.jars)

    @property
    def water_share_percent(self) -> float:
        """All that is added, counted as water, in percent of all the wine."""
        return 100 * self.added_ml / self.wine_needed_ml

    @property
    def too_many(self) -> bool:
        """More jars than a kitchen holds."""
        return len(self.jars) > KITCHEN_JARS


def design_factors(
    levels: Sequence[Level],
    sample_ml: float,
    replicates: int = 1,
    seed: int | None = None,
    *,
    own_controls: bool = False,
) -> FactorTrial:
    """The jars of one or two ladders, `replicates` of each dose and of the control.

    With `own_controls` each level has a control of its own, which a level needs that changes the wine itself,
    such as an enzyme; two agents share one.
    Range: 1 or 2 levels with different names, 1 to 6 replicates, at most 100 jars. Raises `OutOfRange`.
    """
    within("number of levels", len(levels), "", at_least=1, at_most=2, mend="Try the others another day.")
    mend = "Two or three jars of each dose are usual."
    within("number of equal jars", replicates, "", at_least=1, at_most=MOST_REPLICATES, mend=mend)
    names = tuple(level.name for level in levels)
    if len(set(names)) < len(names):
        raise OutOfRange(f"'{names[0]}' stands twice. Name two different levels.")
    wettest = max(_design(level, sample_ml, 0.0).samples[-1].added_ml for level in levels)
    designs = tuple(_design(level, sample_ml, wettest) for level in levels)
    jars = tuple(_jars(designs, replicates, own_controls))
    blind = None if seed is None else blind_order(len(jars), seed)
    return FactorTrial(names, designs, replicates, own_controls, jars, blind)


def _design(level: Level, sample_ml: float, match_to_ml: float) -> TrialDesign:
    return design_trial(
        level.doses,
        sample_ml,
        level.stock,
        level.instrument,
        water_limit_percent=level.water_limit_percent,
        usual_high=level.usual_high,
        match_to_ml=match_to_ml,
    )


def _jars(designs: Sequence[TrialDesign], replicates: int, own_controls: bool) -> Iterator[Jar]:
    each = range(replicates)
    controls = range(len(designs)) if own_controls else (None,)
    for level in controls:
        yield from (Jar(0, level, n, designs[level or 0].samples[0], replicates) for n in each)
    glass = 0
    for level, design in enumerate(designs):
        for sample in design.samples[1:]:
            glass += 1
            yield from (Jar(glass, level, n, sample, replicates) for n in each)
