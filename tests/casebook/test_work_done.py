"""What was done is read from the lines of a case in their order."""

from __future__ import annotations

from datetime import date

from diagnose.casebook.models import Event
from diagnose.casebook.work import work_done


def done(at: str, **data: object) -> Event:
    """A fix was done."""
    return Event(at=at, did="done", about="clay", data=data)


def checked(at: str, found: str) -> Event:
    """It was checked."""
    return Event(at=at, did="checked", about="clay", value=found)


def test_the_order_of_lines_counts_and_not_their_dates() -> None:
    """A clock that went back between doing and checking does not undo the check."""
    work = work_done([done("2026-03-20"), checked("2026-03-01", "good")])["clay"]
    assert (work.stands, work.done_on) == ("good", date(2026, 3, 20))


def test_doing_it_again_begins_anew() -> None:
    """After a check that failed, the same fix done once more waits for a new check."""
    work = work_done(
        [done("2026-03-01", amounts={"g": 2}), checked("2026-03-08", "not_good"), done("2026-03-09")]
    )
    assert (work["clay"].stands, work["clay"].checked_on, dict(work["clay"].amounts)) == (
        "unchecked",
        None,
        {},
    )


def test_the_last_step_ends_a_fix() -> None:
    """Steps done by themselves add up, with what was added, until all are done."""
    steps = [done("2026-03-01", step=1, amounts={"g": 2}), done("2026-03-02", step=2, amounts={"water": 1})]
    half, whole = work_done(steps, {"clay": 3})["clay"], work_done(steps, {"clay": 2})["clay"]
    assert (half.stands, half.steps) == ("begun", frozenset({1, 2}))
    assert (whole.stands, dict(whole.amounts)) == ("unchecked", {"g": 2, "water": 1})
