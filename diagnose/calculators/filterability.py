"""How a wine will run through a filter, from the times of a small trial run at steady pressure."""

from __future__ import annotations

from dataclasses import dataclass

from .amounts import PlainNumber, within
from .registry import calculator, worksheet


def _seconds(what: str, value: float, more_than: float = 0.0) -> float:
    return within(
        what, value, "s", more_than=more_than, at_most=100000, mend="Read the times in order, in seconds."
    )


@calculator("clogging_index", result="clogging index", formula="t400_s - 2 x t200_s")
def clogging_index(t200_s: PlainNumber, t400_s: PlainNumber) -> PlainNumber:
    """How much slower the second 200 mL run than the first, in seconds, through a 0.65 um disc of 25 mm at 2 bar.

    Range: times above 0 s, the second the later one and at least twice the first; raises `OutOfRange`. Only for
    wine below 3 NTU. Source: French practice, formula from memory; classes from Romat 2014, see
    `filterability_class`.
    """
    _seconds("time for 200 mL", t200_s)
    within(
        "time for 400 mL",
        _seconds("time for 400 mL", t400_s, t200_s),
        "s",
        at_least=2 * t200_s,
        mend="The second half never runs faster: look for air in the line or a changed pressure.",
    )
    return t400_s - 2 * t200_s


@calculator(
    "filterability_index", result="filterability index", formula="(t400_s - t300_s) - (t200_s - t100_s)"
)
def filterability_index(
    t100_s: PlainNumber, t200_s: PlainNumber, t300_s: PlainNumber, t400_s: PlainNumber
) -> PlainNumber:
    """How much slower the fourth 100 mL run than the second, in seconds; same set-up as for the clogging index.

    Range: four rising times above 0 s; raises `OutOfRange`. Source: French practice, from memory; ask the
    laboratory which index its classes are for.
    """
    _seconds("time for 100 mL", t100_s)
    _seconds("time for 200 mL", t200_s, t100_s)
    _seconds("time for 300 mL", t300_s, t200_s)
    _seconds("time for 400 mL", t400_s, t300_s)
    return (t400_s - t300_s) - (t200_s - t100_s)


@dataclass(frozen=True)
class FilterabilityClass:
    """The class of a clogging index."""

    clogging_index: PlainNumber
    verdict: str


@worksheet("filterability_class", result="how the wine will filter")
def filterability_class(t200_s: PlainNumber, t400_s: PlainNumber) -> FilterabilityClass:
    """The class of a wine by its clogging index. Range: as for `clogging_index`; raises `OutOfRange`.

    Source: Romat 2014, Filtration en oenologie, as quoted on a French teaching site: below 25 easy, to 50 fair, to 100
    poor, above 100 not to be filtered.
    """
    index = clogging_index(t200_s, t400_s)
    for most, verdict in ((25, "easy"), (50, "fair"), (100, "poor")):
        if index < most:
            return FilterabilityClass(index, verdict)
    return FilterabilityClass(index, "not filterable: treat it or filter coarser first")
