"""Ladders: the rising doses of a trial, in g/L. The control, dose 0, is not part of a ladder."""

from __future__ import annotations

from ..amounts import OutOfRange, within

Ladder = tuple[float, ...]


def even_ladder(low: float, high: float, steps: int) -> Ladder:
    """Doses at even distances from `low` to `high` g/L, both included.

    Range: 0 < low < high, at least 2 steps. Raises `OutOfRange`.
    """
    _ends(low, high, steps)
    inner = (low + (high - low) * at / (steps - 1) for at in range(1, steps - 1))
    return tuple(_tidy(dose) for dose in (low, *inner, high))


def geometric_ladder(low: float, high: float, steps: int) -> Ladder:
    """Doses at even ratios from `low` to `high` g/L, both included: for a wide search.

    Range: 0 < low < high, at least 2 steps. Raises `OutOfRange`.
    """
    _ends(low, high, steps)
    inner = (low * (high / low) ** (at / (steps - 1)) for at in range(1, steps - 1))
    return tuple(_tidy(dose) for dose in (low, *inner, high))


def refine_below(lowest: float, steps: int = 4) -> Ladder:
    """Finer doses in even steps above 0 g/L up to the lowest dose that served.

    That dose is repeated as the top step, so that the second trial can be read without the first.
    Range: lowest above 0, at least 2 steps. Raises `OutOfRange`.
    """
    within("lowest dose that served", lowest, "g/L", more_than=0, mend="The control needs no finer ladder.")
    return refine_between(0.0, lowest, steps)


def refine_between(last_failing: float, first_good: float, steps: int = 4) -> Ladder:
    """Finer doses in even steps above the last dose that failed up to the first that served, in g/L.

    The dose that served is repeated as the top step, so that the second trial can be read without the
    first. Range: 0 <= last_failing < first_good, at least 2 steps. Raises `OutOfRange`.
    """
    within("last failing dose", last_failing, "g/L", at_least=0, mend="Give 0 when only the control failed.")
    within("first good dose", first_good, "g/L", more_than=last_failing, mend="It is the higher one.")
    _enough(steps)
    width = first_good - last_failing
    inner = (last_failing + width * at / steps for at in range(1, steps))
    return tuple(_tidy(dose) for dose in (*inner, first_good))


def _ends(low: float, high: float, steps: int) -> None:
    within("lowest dose", low, "g/L", more_than=0, mend="The control is added to every trial by itself.")
    within("highest dose", high, "g/L", more_than=low, mend="Give the lower dose first.")
    _enough(steps)


def _enough(steps: int) -> None:
    if not 2 <= steps <= 50:
        raise OutOfRange(f"A ladder cannot have {steps} steps; it must have 2 to 50. Four to six are usual.")


def _tidy(dose: float) -> float:
    # Ten digits: takes away 0.30000000000000004, keeps everything a balance could ever weigh.
    return float(f"{dose:.10g}")
