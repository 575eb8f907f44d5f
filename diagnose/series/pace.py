"""How fast the latest readings of a run fall, and whether they stand still."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from diagnose.calculators.ferment_log.rates import rate
from diagnose.calculators.ferment_log.verdict import level, present_stretch

from .log import Reading, Series

LONGEST_LOOK_BACK = 60
"""Readings among which the present stretch is looked for; more would only cost time."""

Moves = Literal["falls", "rises", "stands", "unclear"]


@dataclass(frozen=True)
class Pace:
    """The present straight stretch of a run: the latest readings that lie on one line within their noise."""

    stretch: Series
    loss_per_day: float
    """Below 0 when it rises."""
    spread_per_day: float
    moves: Moves

    @property
    def first(self) -> Reading:
        """Where the stretch begins."""
        return self.stretch[0]

    @property
    def last(self) -> Reading:
        """The latest reading."""
        return self.stretch[-1]

    @property
    def days(self) -> float:
        """From the first reading of the stretch to the last."""
        return self.last.moment.at - self.first.moment.at

    def lasts(self, least_days: float) -> bool:
        """Whether it is long enough; by the calendar, since nobody reads at the same minute."""
        return (self.last.moment.day - self.first.moment.day).days >= least_days


def pace_of(run: Series, spread: float) -> Pace | None:
    """The pace of the latest readings of a run, each known to `spread`; None with fewer than two."""
    looked = run[-LONGEST_LOOK_BACK:]
    if len(looked) < 2:
        return None
    line = present_stretch(_by_day(looked), spread)
    pace = _pace(looked[-len(line) :], spread)
    if pace.moves not in ("stands", "unclear"):
        return pace
    # The end of a fall and the level after it often lie on one line within the noise; then the level tells more.
    still = run[-len(level(_by_day(run), spread)) :]
    longer = len(still) > len(pace.stretch) or (pace.moves == "unclear" and len(still) > 1)
    return _pace(still, spread) if longer else pace


def _by_day(series: Series) -> tuple[tuple[float, float], ...]:
    """The readings as the sums take them, by days since the first."""
    return tuple((one.moment.at - series[0].moment.at, one.value) for one in series)


def _pace(stretch: Series, spread: float) -> Pace:
    found = rate(_by_day(stretch), spread)
    # The sum is made for gravities and tells thousandths.
    loss, noise = found.fall_points_per_day / 1000, found.spread_points_per_day / 1000
    return Pace(stretch, loss, noise, _moves(loss, noise, found.days, spread))


def _moves(loss: float, noise: float, days: float, spread: float) -> Moves:
    if loss > noise:
        return "falls"
    if loss < -noise:
        return "rises"
    # What could be a small fall is neither called a fall nor denied.
    return "stands" if abs(loss) * days < spread else "unclear"
