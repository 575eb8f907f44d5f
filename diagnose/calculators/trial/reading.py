"""What was read in each glass of a trial, and whether it passes."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Literal

from ..amounts import OutOfRange, within
from .design import TrialDesign

Mark = float | bool
"""What was read of one measure: a number, or yes or no."""


@dataclass(frozen=True)
class Measure:
    """One thing read in every sample, and what passes: a number in `between`, or the answer `passes`.

    `more` is what a higher dose does: it lowers or raises the number, or `helps`, so that a dose above one
    that passed passes too, or `harms`, so that one above a dose that failed fails too. A reading that goes the
    other way by more than `give_or_take` is a slip.
    """

    name: str
    between: tuple[float, float] | None = None
    passes: bool = True
    more: Literal["helps", "harms", "lowers", "raises"] | None = None
    give_or_take: float = 0.0

    def passed(self, mark: Mark | None) -> bool | None:
        """Whether a reading passes; None where there is none."""
        if mark is None:
            return None
        if self.between is None:
            return mark is self.passes
        return self.between[0] <= mark <= self.between[1]


@dataclass(frozen=True)
class TrialReading:
    """What was seen and tasted in one sample; None is not read.

    Clarity is a turbidity in NTU or a rank by eye, 1 the clearest; flavour is a rank tasted blind, 1 the
    best liked. Equal samples share a rank; of several jars read together it may be their mean. Heat is a verdict
    or the rise in NTU. `marks` are the readings of the measures of the trial, where it has any.
    """

    sample: int
    clarity_ntu: float | None = None
    clarity_rank: int | None = None
    flavour_rank: float | None = None
    heat: Literal["stable", "unstable"] | float | None = None
    notes: str = ""
    marks: Mapping[str, Mark] = field(default_factory=dict)


@dataclass(frozen=True)
class TrialLimits:
    """What a sample must reach.

    `clear_ntu`: the turbidity up to which it counts as clear. `clear_rank`: the last rank by eye that the
    reader calls clear, 0 when not even the clearest is. `heat_rise_ntu`: the rise up to which it counts as
    stable. `flavour_worse_by`: ranks that it may lie behind the control. `finest_g_per_l`: when the lowest
    dose serves and is no larger than this, no lower ladder is worth the trouble.
    `measures`: what is read, in this order, in place of clarity and heat. `best_liked`: of what passes, the one
    that tastes best is looked for, not the least.
    """

    clear_ntu: float | None = None
    clear_rank: int | None = None
    heat_asked: bool = True
    heat_rise_ntu: float | None = None
    flavour_asked: bool = True
    flavour_worse_by: int = 0
    finest_g_per_l: float = 0.0
    measures: tuple[Measure, ...] = ()
    best_liked: bool = False


@dataclass(frozen=True)
class Verdict:
    """One sample judged, measure by measure: True, False, or None where it was not read or could not be."""

    sample: int
    dose: float
    measured: tuple[tuple[str, bool | None], ...]
    flavour: bool | None
    rank: float | None = None

    @property
    def sound(self) -> bool:
        """Passes all that was measured."""
        return all(passed for _, passed in self.measured)

    def reached(self, measure: int) -> bool:
        """Whether it passed every measure before this one; only then is this one asked for."""
        return all(passed for _, passed in self.measured[:measure])


def judge(design: TrialDesign, readings: Sequence[TrialReading], limits: TrialLimits) -> list[Verdict]:
    """A verdict for every sample of the trial, the control first.

    Raises `OutOfRange` for a reading of no sample or two of the same, a rank below 1, or a reading in NTU
    without the limit that judges it.
    """
    found = _by_sample(readings, last=len(design.samples) - 1)
    _check_limits(found.values(), limits)
    nothing = TrialReading(0)
    control = found.get(0, nothing)
    return [
        _verdict(sample.number, sample.dose_given, found.get(sample.number, nothing), control, limits)
        for sample in design.samples
    ]


def _verdict(
    number: int, dose: float, reading: TrialReading, control: TrialReading, limits: TrialLimits
) -> Verdict:
    measured: tuple[tuple[str, bool | None], ...]
    if limits.measures:
        measured = tuple((ask.name, ask.passed(reading.marks.get(ask.name))) for ask in limits.measures)
    else:
        measured = (("clarity", _clear(reading, limits)), ("heat", _stable(reading, limits)))
    return Verdict(number, dose, measured, _flavour(reading, control, limits), reading.flavour_rank)


def _clear(reading: TrialReading, limits: TrialLimits) -> bool | None:
    if reading.clarity_ntu is not None and limits.clear_ntu is not None:
        return reading.clarity_ntu <= limits.clear_ntu
    if reading.clarity_rank is not None and limits.clear_rank is not None:
        return reading.clarity_rank <= limits.clear_rank
    return None


def _stable(reading: TrialReading, limits: TrialLimits) -> bool | None:
    if not limits.heat_asked:
        return True
    if reading.heat is None or isinstance(reading.heat, str):
        return None if reading.heat is None else reading.heat == "stable"
    return None if limits.heat_rise_ntu is None else reading.heat <= limits.heat_rise_ntu


def _flavour(reading: TrialReading, control: TrialReading, limits: TrialLimits) -> bool | None:
    if not limits.flavour_asked:
        return True
    if reading.flavour_rank is None or control.flavour_rank is None:
        return None
    return reading.flavour_rank <= control.flavour_rank + limits.flavour_worse_by


def _by_sample(readings: Sequence[TrialReading], last: int) -> Mapping[int, TrialReading]:
    found: dict[int, TrialReading] = {}
    for reading in readings:
        within("number of the sample", reading.sample, "", at_least=0, at_most=last, mend="0 is the control.")
        if reading.sample in found:
            raise OutOfRange(f"Sample {reading.sample} is read twice. Keep one reading of each sample.")
        for rank in (reading.clarity_rank, reading.flavour_rank):
            if rank is not None:
                within("rank", rank, "", at_least=1, mend="1 is the clearest or the best liked.")
        if reading.clarity_ntu is not None:
            within("turbidity", reading.clarity_ntu, "NTU", at_least=0, mend="Read the meter again.")
        if isinstance(reading.heat, (int, float)):
            within("rise on heating", reading.heat, "NTU", mend="Give heated less unheated, in NTU.")
        found[reading.sample] = reading
    return found


def _check_limits(readings: Iterable[TrialReading], limits: TrialLimits) -> None:
    for reading in readings:
        number = reading.sample
        if reading.clarity_ntu is not None and reading.clarity_rank is None and limits.clear_ntu is None:
            raise OutOfRange(
                f"Sample {number} is read in NTU, but no limit says what is clear. Give clear_ntu."
            )
        if isinstance(reading.heat, (int, float)) and limits.heat_asked and limits.heat_rise_ntu is None:
            raise OutOfRange(
                f"The heat test of sample {number} is read in NTU, but no limit says what is stable. "
                "Give heat_rise_ntu."
            )
