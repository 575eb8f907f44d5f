"""What was gathered from lines or a table before anything of it is kept, and what of it is new to a case."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

from diagnose.casebook.case import CaseState, remark_of
from diagnose.casebook.store import Happened
from diagnose.series.log import Moment, moment_of


@dataclass(frozen=True)
class Taken:
    """A reading: what was measured, the number in the first unit of its quantity, and when."""

    moment: Moment
    name: str
    value: float


@dataclass(frozen=True)
class Remark:
    """Something that was done or seen, in a person's words."""

    moment: Moment
    words: str


@dataclass(frozen=True)
class Gathered:
    """Readings and remarks in the order they came, and a sentence for everything that cannot be taken."""

    readings: tuple[Taken, ...] = ()
    remarks: tuple[Remark, ...] = ()
    faults: tuple[str, ...] = ()

    def __add__(self, other: Gathered) -> Gathered:
        return Gathered(
            self.readings + other.readings, self.remarks + other.remarks, self.faults + other.faults
        )


def joined(parts: Iterable[Gathered]) -> Gathered:
    """Everything of all parts, in their order."""
    every = tuple(parts)
    return Gathered(
        tuple(one for part in every for one in part.readings),
        tuple(one for part in every for one in part.remarks),
        tuple(one for part in every for one in part.faults),
    )


@dataclass(frozen=True)
class News:
    """What a case does not hold yet. `known` counts what it holds; `corrected` are readings that now count."""

    readings: tuple[Taken, ...]
    remarks: tuple[Remark, ...]
    known: int
    corrected: Mapping[Taken, float]
    """For a reading of a moment that the case has already: the value it takes the place of."""

    def events(self) -> Iterator[Happened]:
        """As the case keeps them."""
        for one in self.readings:
            yield Happened("read", one.name, one.value, at=one.moment.written)
        for remark in self.remarks:
            yield Happened("noted", value=remark.words, at=remark.moment.written)


def news(state: CaseState, gathered: Gathered) -> News:
    """What of it is new: nothing is kept twice that has the same moment, name and value."""
    values = {(at, name, value) for at, name, value in _kept(state)}
    count = {(at, name): value for at, name, value in _kept(state)}
    said = {(moment_of(event.at).at, remark_of(event)) for event in state.notes}
    readings: list[Taken] = []
    corrected: dict[Taken, float] = {}
    for one in gathered.readings:
        key = (one.moment.at, one.name, round(one.value, 6))
        if key in values:
            continue
        values.add(key)
        readings.append(one)
        if key[:2] in count:
            corrected[one] = count[key[:2]]
        count[key[:2]] = one.value
    remarks: list[Remark] = []
    for remark in gathered.remarks:
        if (remark.moment.at, remark.words) not in said:
            said.add((remark.moment.at, remark.words))
            remarks.append(remark)
    known = len(gathered.readings) + len(gathered.remarks) - len(readings) - len(remarks)
    return News(tuple(readings), tuple(remarks), known, corrected)


def _kept(state: CaseState) -> Iterator[tuple[float, str, float]]:
    for event in state.readings:
        assert event.about is not None and isinstance(event.value, float)
        yield moment_of(event.at).at, event.about, round(event.value, 6)
