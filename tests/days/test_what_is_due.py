"""What waits in a case of an invented cellar, since when, and the command that records it."""

from __future__ import annotations

from datetime import date

import pytest
from diagnose.casebook.case import CaseState
from diagnose.casebook.models import CaseFile, Event
from diagnose.casebook.work import Work
from diagnose.days.due import Due, check_day, due_in, in_order
from made_bases import base_of, bench_test, choice, fix, yes_no

TWICE = {"after": "3 days", "do": "Look.", "good": "Clear.", "if_not": "Wait.", "days": [3, 10]}
BASE = base_of(
    yes_no("cap_test", short="the cap"),
    choice("heat_test", "hazier", "unchanged"),
    choice("cold_test", "hazier", "unchanged"),
    bench_test("warm_and_cold", "heat_test", "cold_test"),
    fix("clay", check=TWICE),
    fix("wait"),
)


def waits(*events: Event, steps: tuple[str, ...] = ()) -> list[Due]:
    """What is due in a case of these events."""
    case = CaseFile(case="shed", title="Invented", topic="haze", events=events)
    state = CaseState(base=BASE, steps_of={name: len(page.steps) for name, page in BASE.fixes.items()})
    for event in events:
        state.apply(event, "hazier" if event.did == "answered" else None)
    return in_order(due_in(BASE, case, state, steps))


def put_off(day: str, question: str) -> Event:
    """A question that waits."""
    return Event(at=day, did="put_off", about=question)


def planned(day: str, of: str) -> Event:
    """A bench trial that was set up."""
    return Event(at=day, did="trial_planned", data={"fix": of})


def test_what_was_put_off_is_one_thing_for_each_test() -> None:
    """Two questions that one test answers are one thing to do, since the first of them; one answered waits no more."""
    found = waits(
        put_off("2026-03-04", "heat_test"),
        put_off("2026-03-02", "cold_test"),
        put_off("2026-03-03", "cap_test"),
    )
    assert [(due.about, due.since) for due in found] == [
        ("warm_and_cold", date(2026, 3, 2)),
        ("cap_test", date(2026, 3, 3)),
    ]
    assert found[1].says == "the cap"
    assert {due.command for due in found} == {"diagnose continue shed"}
    answered = Event(at="2026-03-05", did="answered", about="heat_test", value="hazier")
    assert waits(put_off("2026-03-04", "heat_test"), answered) == []


def test_a_trial_waits_until_its_glasses_are_read() -> None:
    """It is gone on with where it was begun; read, or of a fix that these rules do not know, it waits no more."""
    (due,) = waits(planned("2026-03-02", "clay"))
    assert (due.kind, due.about, due.since, due.command) == (
        "trial",
        "clay",
        date(2026, 3, 2),
        "diagnose continue shed",
    )
    read = Event(at="2026-03-03", did="trial_read", data={"fix": "clay"})
    assert waits(planned("2026-03-02", "clay"), read) == []
    assert waits(planned("2026-03-02", "no_such_fix")) == []


@pytest.mark.parametrize(
    ("checked_on", "which", "day"),
    [
        (None, 0, date(2026, 3, 5)),
        (date(2026, 3, 4), 0, date(2026, 3, 5)),
        (date(2026, 3, 5), 1, date(2026, 3, 12)),
        (date(2026, 3, 12), 2, None),
    ],
)
def test_the_next_look_is_the_first_after_the_last_one(
    checked_on: date | None, which: int, day: date | None
) -> None:
    """A fix to be looked at after three days and after ten: each look that was made leaves the next; then none."""
    work = Work("clay", "unsure", date(2026, 3, 2), checked_on)
    assert check_day(BASE.fixes["clay"].check, work) == (which, day)


def test_what_has_a_day_comes_first_and_names_its_own_command() -> None:
    """A check that waits is recorded by `checked`; a step of the plan, or one that failed, by `done`."""
    done = Event(at="2026-03-02", did="done", about="clay")
    failed = [
        Event(at="2026-03-01", did="done", about="wait"),
        Event(at="2026-03-02", did="checked", about="wait", value="not_good"),
    ]
    found = waits(*failed, done, steps=("wait", "clay"))
    assert [(due.kind, due.day, due.command) for due in found] == [
        ("check", date(2026, 3, 5), "diagnose checked shed clay"),
        ("step", None, "diagnose done shed wait"),
    ]
    assert [due.term(date(2026, 3, 4)) for due in found] == ["this_week", "no_day"]
