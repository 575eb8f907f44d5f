"""When things happened, as events say it, and what is odd about it."""

from __future__ import annotations

from datetime import datetime
from itertools import pairwise

from .models import CaseFile, Event

_OF_ANOTHER_DAY = ("read", "done", "checked")
"""What may be written down days later, with the day on which it was."""


def moment_of(event: Event) -> datetime | None:
    """When it happened; None where the text is no moment that ever was."""
    try:
        return datetime.fromisoformat(event.at).astimezone()
    except (ValueError, OverflowError, OSError):
        return None


def oddities(case: CaseFile) -> tuple[str, ...]:
    """What does not fit in the moments of a case, each as a sentence. The order in the file counts in any case."""
    told: list[str] = []
    now = datetime.now().astimezone()
    dated = [(event, moment_of(event)) for event in case.events if event.did not in _OF_ANOTHER_DAY]
    moments = [moment for event, moment in dated if moment is not None and len(event.at) > len("2026-01-01")]
    back = sum(later < earlier for earlier, later in pairwise(moments))
    if back:
        told.append(
            f"In this case {_times(back)} an entry is dated before the one above it. Everything is kept, "
            "and the order in the file counts."
        )
    if moments and moments[-1] > now:
        told.append(
            f"The last entry is of {moments[-1]:%Y-%m-%d %H:%M}, and this clock says {now:%Y-%m-%d %H:%M}. "
            "Everything is kept; see whether the clock is right."
        )
    twice = sum(one == other for one, other in pairwise(case.events))
    if twice:
        told.append(f"In this case {_times(twice)} the same entry stands twice in a row.")
    return tuple(told)


def _times(count: int) -> str:
    return "once" if count == 1 else f"{count} times"
