"""What was done about a case, and how the checks came out: the events of a fix read as one thing."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import date

from diagnose.engine.compile import GIVEN

from .models import DoneWork, Event

DONE = GIVEN
"""Prefix of the fact that says how a fix that was done stands."""

STANDS = ("begun", "unchecked", "good", "not_good", "unsure")
"""How a fix that was done can stand: a step of it done, all of it done, or how its last check came out."""


@dataclass(frozen=True)
class Work:
    """A fix that was done, or begun. The order of the lines in the file counts, not their dates."""

    fix: str
    stands: str
    """One of `STANDS`."""
    done_on: date
    """The day of the last line that says it was done."""
    checked_on: date | None = None
    steps: frozenset[int] = frozenset()
    """The steps done by themselves, counted from 1."""
    amounts: Mapping[str, float] = field(default_factory=dict)
    """What was really added, in cellar units, by the names of the amounts on the page of the fix."""


def day_of(event: Event) -> date:
    """The day of an event. A hand-written day that no calendar has raises ValueError."""
    return date.fromisoformat(event.at[:10])


def work_done(events: Iterable[Event], steps_of: Mapping[str, int] | None = None) -> dict[str, Work]:
    """Each fix of these `done` and `checked` events as it stands after the last of them.

    `steps_of` gives the number of steps of each fix; when all were done one by one, the fix was done.
    """
    found: dict[str, Work] = {}
    for event in events:
        name = str(event.about)
        before = found.get(name)
        if event.did == "done":
            found[name] = _done(event, before, (steps_of or {}).get(name, 0))
        else:
            day = day_of(event)
            last = before or Work(name, "unchecked", day)
            found[name] = Work(name, str(event.value), last.done_on, day, last.steps, last.amounts)
    return found


def _done(event: Event, before: Work | None, of: int) -> Work:
    told = DoneWork.model_validate(event.data)
    # After a check, doing it again begins anew.
    going_on = before is not None and before.stands == "begun"
    steps = before.steps if before and going_on else frozenset()
    amounts = {**(before.amounts if before and going_on else {}), **told.amounts}
    if told.step is not None:
        steps = steps | {told.step}
    whole = told.step is None or (of > 0 and len(steps) >= of)
    stands = "unchecked" if whole else "begun"
    return Work(str(event.about), stands, day_of(event), None, frozenset() if whole else steps, amounts)
