"""A log: for each thing measured its dated readings, and what was done to the wine between them."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import date, datetime

from diagnose.knowledge.models.facts import RunEnds
from diagnose.plain_text import spoken

NOON = 720
"""The minute of the day of a reading of which only the day is known."""


@dataclass(frozen=True)
class Moment:
    """A day, and the minute of it where that is known; as the clock of the cellar showed it."""

    day: date
    minute: int | None = None

    @property
    def at(self) -> float:
        """Days on a straight line."""
        return self.day.toordinal() + (NOON if self.minute is None else self.minute) / 1440

    def surely_after(self, other: Moment) -> bool:
        """Whether it is later whatever the hour that is not known."""
        if self.day != other.day or self.minute is None or other.minute is None:
            return self.day > other.day
        return self.minute > other.minute

    @property
    def written(self) -> str:
        """As a case file holds it."""
        if self.minute is None:
            return self.day.isoformat()
        return f"{self.day.isoformat()}T{self.minute // 60:02d}:{self.minute % 60:02d}"


def moment_of(written: str) -> Moment:
    """A moment as a case file holds it. Raises ValueError for a day that no calendar has."""
    day = date.fromisoformat(written[:10])
    try:
        clock = datetime.fromisoformat(written).time() if len(written) > 10 else None
    except ValueError:
        clock = None
    return Moment(day, None if clock is None else clock.hour * 60 + clock.minute)


@dataclass(frozen=True)
class Reading:
    """A number in the first unit of its quantity, and when it was read."""

    moment: Moment
    value: float


@dataclass(frozen=True)
class Deed:
    """Something that was done to the wine: a fix by its name, or a remark in a person's words."""

    moment: Moment
    fix: str = ""
    words: str = ""


Series = tuple[Reading, ...]
"""Readings of one thing, oldest first, one for each moment."""


@dataclass(frozen=True)
class Log:
    """All that was read and done."""

    series: Mapping[str, Series] = field(default_factory=dict)
    deeds: tuple[Deed, ...] = ()

    def run(self, name: str, ends: RunEnds | None) -> Series:
        """The readings since the wine was last changed by something that begins them anew."""
        readings = self.series.get(name, ())
        for deed in self.deeds:
            if ends and begins_anew(deed, ends):
                readings = tuple(one for one in readings if one.moment.surely_after(deed.moment))
        return readings


def in_order(readings: Iterable[Reading]) -> Series:
    """The readings by their moments; of two of one moment the one kept later is the correction, and counts."""
    last = {reading.moment.at: reading for reading in readings}
    return tuple(last[at] for at in sorted(last))


def begins_anew(deed: Deed, ends: RunEnds) -> bool:
    """Whether a deed is one of those after which readings cannot be compared with those before."""
    said = set(spoken(deed.words).split())
    return deed.fix in ends.fixes or any(set(spoken(words).split()) <= said for words in ends.words)
