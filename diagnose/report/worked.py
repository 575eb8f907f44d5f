"""What was done about a case, how it came out, and how the case ended."""

from __future__ import annotations

from collections.abc import Iterator

from diagnose.casebook.case import causes_in
from diagnose.casebook.models import Event
from diagnose.casebook.work import Work, day_of, work_done
from diagnose.present.cases import ENDED
from diagnose.present.result import added_words, standing_words

from .case import CaseJudged
from .told import EndTold, WorkEvent, WorkTold

CHECKS = {"good": "checked: good", "not_good": "checked: not good", "unsure": "checked: not clear yet"}


def tell_work(it: CaseJudged) -> tuple[WorkTold, ...]:
    """Each fix that was done or begun: how it stands, and everything that was recorded of it."""
    return tuple(tell_one(it, work) for work in it.state.done().values())


def tell_one(it: CaseJudged, work: Work) -> WorkTold:
    """One fix that was done or begun."""
    name = it.base.fixes[work.fix].name
    events = (event for event in it.state.work if event.about == work.fix)
    return WorkTold(name, standing_words(it.base, work), tuple(_events(it, events)))


def _events(it: CaseJudged, events: Iterator[Event]) -> Iterator[WorkEvent]:
    for event in events:
        alone = work_done([event])[str(event.about)]
        added = (f"{says}: {amount}" for says, amount in added_words(it.base, alone, it.case.units))
        step = event.data.get("step")
        what = CHECKS[str(event.value)] if event.did == "checked" else f"step {step} done" if step else "done"
        yield WorkEvent(day_of(event).isoformat(), what, "; ".join(added), str(event.data.get("note", "")))


def tell_end(it: CaseJudged) -> EndTold | None:
    """How a closed case ended; None while it is open. What somebody broke by hand is left out."""
    event = it.state.closed
    if event is None:
        return None
    fix = str(event.data.get("fix") or "")
    return EndTold(
        day=event.at[:10],
        how=ENDED[str(event.value)],
        causes=tuple(it.cause_name(cause) for cause in causes_in(event).values() if cause in it.base.causes),
        fix=it.base.fixes[fix].name if fix in it.base.fixes else "",
        lesson=str(event.data.get("lesson") or ""),
    )
