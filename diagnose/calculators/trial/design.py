"""Planning a bench trial: how much stock and water, or other wine, each sample gets, and what to beware of."""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Literal

from ..amounts import OutOfRange, within
from ..dilution import MOST_SHARE_PERCENT
from .stock import Balance, Pipette, Stock

WarningCode = Literal[
    "below_smallest",
    "rounding",
    "over_water_limit",
    "diluted",
    "duplicate_dose",
    "same_amount",
    "above_usual",
]
Mend = Literal["larger_sample", "weaker_stock", "stronger_stock", "finer_step", "drop_one", "lower_dose"]

_ROUNDING_PERCENT = 5.0
_SENSIBLE_DILUTION_PERCENT = 5.0
_LARGEST_SAMPLE_ML = 750.0


@dataclass(frozen=True)
class TrialSample:
    """One glass of the trial; number 0 is the control.

    Doses are in g/L, or in a blend the share of the other wine in percent of the finished blend; what is poured
    in is then the other wine. Dilutions are shares of the final mix in percent. `water_share_percent` is the
    stock alone against the wine, as a law counts it and as the vessel will have it.
    """

    number: int
    dose_wanted: float
    dose_given: float
    rounding_percent: float
    stock_amount: float
    stock_ml: float
    water_ml: float
    added_ml: float
    final_ml: float
    in_the_mix: float
    dilution_percent: float
    dilution_without_water_percent: float
    water_share_percent: float


@dataclass(frozen=True)
class TrialWarning:
    """Something to put right before the trial; the sample is None when it concerns the whole trial."""

    code: WarningCode
    sample: int | None
    mend: Mend
    values: Mapping[str, float] = field(default_factory=dict)


@dataclass(frozen=True)
class TrialDesign:
    """A planned trial: the control first, then rising doses; `unit` is that of every `stock_amount`.

    A blend has no stock; its jars hold `sample_ml` of the finished blend, others of the wine before anything is added.
    """

    sample_ml: float
    stock: Stock | None
    unit: str
    matched: bool
    samples: tuple[TrialSample, ...]
    warnings: tuple[TrialWarning, ...]

    @property
    def stock_needed(self) -> float:
        """Stock for the whole trial, in its own unit."""
        return math.fsum(sample.stock_amount for sample in self.samples)

    @property
    def wine_needed_ml(self) -> float:
        """Wine for the whole trial, in mL."""
        return math.fsum(sample.final_ml - sample.added_ml for sample in self.samples)


@dataclass(frozen=True)
class _Bench:
    """What stays the same for every sample."""

    sample_ml: float
    stock: Stock | None
    instrument: Pipette | Balance

    def exact(self, dose: float) -> float:
        """What a dose takes before rounding, in the unit of the instrument."""
        return dose * self.sample_ml / self.dose_of_all

    @property
    def dose_of_all(self) -> float:
        """The dose that as much stock as wine would be; of a blend, where the jar would be the other wine alone."""
        return 100.0 if self.stock is None else 1000 * self.stock.grams_per_unit

    def ml(self, amount: float) -> float:
        """The volume of what is poured in, in mL."""
        return amount if self.stock is None else self.stock.ml(amount)

    def rounded(self, dose: float) -> float:
        """The nearest amount of stock that the instrument can measure."""
        steps = math.floor(self.exact(dose) / self.instrument.step + 0.5 + 1e-9)
        return float(f"{steps * self.instrument.step:.10g}")

    def given(self, amount: float) -> float:
        """The dose that an amount of what is poured in gives."""
        return float(f"{amount * self.dose_of_all / self.sample_ml:.10g}")


def design_trial(
    doses: Sequence[float],
    sample_ml: float,
    stock: Stock | None,
    instrument: Pipette | Balance,
    *,
    match_water: bool = True,
    water_limit_percent: float | None = None,
    sensible_dilution_percent: float = _SENSIBLE_DILUTION_PERCENT,
    usual_high: float | None = None,
    largest_sample_ml: float = _LARGEST_SAMPLE_ML,
    match_to_ml: float = 0.0,
) -> TrialDesign:
    """The samples of a trial, a control first, with warnings.

    With `match_water` every sample, the control too, gets water until all have the same added volume; else
    the taster would find the water, not the agent (common practice). That volume is `match_to_ml` at least,
    where another ladder stands beside this one. `water_limit_percent` is the legal limit,
    `usual_high` the top of the published usual range; without them nothing is said.

    Without a stock it is a blend: a dose is the share of the other wine in percent of the finished blend, the
    sample is what the jar holds in all, this wine fills it up, and there is no water.

    Range: doses 0 to 100 g/L, shares 0 to 99 %, at least one above 0; a 0 stands for the control, which
    is there anyway; sample 1 to 20000 mL; the instrument fits the unit of the stock. Raises `OutOfRange`.
    """
    within("sample", sample_ml, "mL", at_least=1, at_most=20000, mend="50 to 250 mL is usual.")
    unit = "mL" if stock is None else stock.unit
    if instrument.unit != unit:
        raise OutOfRange(
            f"The stock is measured in {unit}, the instrument in {instrument.unit}; "
            "they must be the same. Use a pipette for a stock by volume and a balance for one by weight."
        )
    bench = _Bench(sample_ml, stock, instrument)
    ladder = (0.0, *_rising(doses, stock is None))
    highest_ml = max(bench.ml(bench.rounded(dose)) for dose in ladder)
    matched = match_water and stock is not None
    top_ml = max(highest_ml, match_to_ml) if matched else None
    samples = tuple(_sample(bench, number, dose, top_ml) for number, dose in enumerate(ladder))
    warnings = (
        *_measuring(bench, samples, largest_sample_ml),
        *_repeats(samples),
        *_water(bench, samples, water_limit_percent),
        *(() if stock is None else _dilution(samples, sensible_dilution_percent)),
        *_usual(samples, usual_high),
    )
    return TrialDesign(sample_ml, stock, unit, matched, samples, warnings)


def _rising(doses: Sequence[float], blend: bool) -> list[float]:
    for dose in doses:
        if blend:
            mend = "It is the part of the finished blend; 100 % would be the other wine alone."
            within("share of the other wine", dose, "%", at_least=0, at_most=MOST_SHARE_PERCENT, mend=mend)
        else:
            within("dose", dose, "g/L", at_least=0, at_most=100, mend="Check the unit: 50 g/hL is 0.5 g/L.")
    rising = sorted(float(dose) for dose in doses if dose > 0)
    if not rising:
        what = "share above 0 %" if blend else "dose above 0 g/L"
        raise OutOfRange(f"The trial has no {what}; it needs at least one. Give a ladder.")
    return rising


def _sample(bench: _Bench, number: int, dose: float, top_ml: float | None) -> TrialSample:
    amount = bench.rounded(dose)
    given = bench.given(amount)
    stock_ml = bench.ml(amount)
    added = stock_ml if top_ml is None else top_ml
    wine_ml = bench.sample_ml - stock_ml if bench.stock is None else bench.sample_ml
    final = wine_ml + added
    return TrialSample(
        number=number,
        dose_wanted=dose,
        dose_given=given,
        rounding_percent=100 * (given - dose) / dose if dose else 0.0,
        stock_amount=amount,
        stock_ml=stock_ml,
        water_ml=float(f"{added - stock_ml:.10g}"),
        added_ml=added,
        final_ml=final,
        in_the_mix=given * bench.sample_ml / final,
        dilution_percent=100 * added / final,
        dilution_without_water_percent=100 * stock_ml / (wine_ml + stock_ml),
        water_share_percent=0.0 if bench.stock is None else 100 * stock_ml / bench.sample_ml,
    )


def _measuring(bench: _Bench, samples: Sequence[TrialSample], largest_ml: float) -> Iterator[TrialWarning]:
    """Amounts too small for the instrument, and doses that its marks bend by more than 5 %."""
    smallest = bench.instrument.smallest
    for sample in samples[1:]:
        exact = bench.exact(sample.dose_wanted)
        if exact < smallest * (1 - 1e-9):
            factor = smallest / exact
            larger_ml = bench.sample_ml * factor
            values = {
                "amount": exact,
                "smallest": smallest,
                "sample_ml": larger_ml,
            }
            mend: Mend = "larger_sample"
            if bench.stock is not None:
                values["stock_g_per_l"] = 1000 * bench.stock.grams_per_ml / factor
                mend = "larger_sample" if larger_ml <= largest_ml else "weaker_stock"
            yield TrialWarning("below_smallest", sample.number, mend, values)
        if abs(sample.rounding_percent) > _ROUNDING_PERCENT:
            yield TrialWarning(
                "rounding",
                sample.number,
                "finer_step",
                {
                    "wanted": sample.dose_wanted,
                    "given": sample.dose_given,
                    "percent": sample.rounding_percent,
                },
            )


def _repeats(samples: Sequence[TrialSample]) -> Iterator[TrialWarning]:
    for before, sample in itertools.pairwise(samples):
        values = {"dose": sample.dose_wanted, "amount": sample.stock_amount}
        if sample.dose_wanted == before.dose_wanted:
            yield TrialWarning("duplicate_dose", sample.number, "drop_one", values)
        elif sample.stock_amount == before.stock_amount:
            yield TrialWarning("same_amount", sample.number, "finer_step", values)


def _water(bench: _Bench, samples: Sequence[TrialSample], limit: float | None) -> Iterator[TrialWarning]:
    """Doses that, in the vessel, would bring more water than the law allows."""
    if limit is None or bench.stock is None:
        return
    within("water limit", limit, "%", more_than=0, at_most=100, mend="Give the limit that your law sets.")
    for sample in samples:
        if sample.water_share_percent > limit * (1 + 1e-9):
            needed = 1000 * bench.stock.grams_per_ml * sample.water_share_percent / limit
            values = {"percent": sample.water_share_percent, "limit": limit, "stock_g_per_l": needed}
            yield TrialWarning("over_water_limit", sample.number, "stronger_stock", values)


def _dilution(samples: Sequence[TrialSample], sensible: float) -> Iterator[TrialWarning]:
    """A trial so wet that it is no longer the wine that is tasted."""
    most = max(sample.dilution_percent for sample in samples)
    if most > sensible:
        yield TrialWarning("diluted", None, "stronger_stock", {"percent": most, "sensible": sensible})


def _usual(samples: Sequence[TrialSample], usual_high: float | None) -> Iterator[TrialWarning]:
    lowest = samples[1].dose_wanted
    if usual_high is not None and lowest > usual_high:
        values = {"dose": lowest, "usual_high": usual_high}
        yield TrialWarning("above_usual", 1, "lower_dose", values)
