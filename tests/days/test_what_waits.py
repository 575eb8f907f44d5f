"""What waits in a case is named with what records it, and leaves the list once it is done."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest
from diagnose.casebook.case import read_case
from diagnose.casebook.models import CaseFile
from diagnose.casebook.work import Work
from diagnose.days.due import Due, check_day, due_in, first_day, in_order, last_day
from diagnose.knowledge.models.treatments import Check
from diagnose.knowledge.read import read_rule_base
from diagnose.knowledge.yaml_reader import read_text

BASE = read_rule_base([Path(__file__).resolve().parents[1] / "knowledge" / "sound"])
HEAD = "case: keg\ntitle: Invented\ntopic: haze\ncase_format: 2\nevents:\n"
TODAY = date(2026, 10, 12)


def waiting(*events: str) -> tuple[CaseFile, list[Due]]:
    """A case of the small rules with these events, and what waits in it, in order."""
    lines = "".join(f"- {{at: {event}}}\n" for event in events)
    case, state = read_case(read_text(HEAD + lines, "keg.yaml"), BASE)
    return case, in_order(due_in(BASE, case, state))


def test_a_question_put_off_waits_under_the_name_of_its_test() -> None:
    """The test is what one has to do; a question without one waits under its own name, the longest waiting first."""
    _, found = waiting(
        "2026-10-03, did: put_off, about: heated_ntu",
        "2026-10-01, did: put_off, about: added_lately",
        "2026-10-02, did: put_off, about: gas_seen",
        "2026-10-04, did: answered, about: gas_seen, value: yes",
    )
    assert [(one.about, one.says, one.since) for one in found] == [
        ("added_lately", "added lately", date(2026, 10, 1)),
        ("heat_test", "Heat test", date(2026, 10, 3)),
    ]
    assert {one.term(TODAY) for one in found} == {"no_day"}
    assert {one.command for one in found} == {"diagnose continue keg"}


def test_a_check_whose_page_names_no_day_waits_without_one() -> None:
    """It is not late and not today; it stays on the list until it is said how it came out."""
    _, found = waiting("2026-10-01, did: done, about: bentonite")
    (one,) = found
    assert (one.kind, one.day, one.term(TODAY), one.command) == (
        "check",
        None,
        "no_day",
        "diagnose checked keg bentonite",
    )
    good = "2026-10-05, did: checked, about: bentonite, value: good"
    assert waiting("2026-10-01, did: done, about: bentonite", good)[1] == []


@pytest.mark.parametrize(
    ("checked_on", "which", "day"),
    [
        (None, 0, date(2026, 10, 2)),
        (date(2026, 10, 2), 1, date(2026, 10, 8)),
        (date(2026, 10, 5), 1, date(2026, 10, 8)),
        (date(2026, 10, 8), 2, None),
    ],
)
def test_the_next_look_is_the_first_after_the_last(
    checked_on: date | None, which: int, day: date | None
) -> None:
    """Looked at on the day itself that look is done; after the last one no day is named any more."""
    check = Check(after="a day, then a week", days=(1, 7), do="Look.", good="Clear.", if_not="Wait.")
    work = Work("bentonite", "unsure", date(2026, 10, 1), checked_on)
    assert check_day(check, work) == (which, day)


def test_a_case_lasts_from_its_earliest_to_its_latest_day() -> None:
    """Whatever the order of the lines; a case with nothing in it has neither."""
    case, _ = waiting("2026-10-05, did: noted, value: later", "2026-10-01, did: noted, value: sooner")
    assert (first_day(case), last_day(case)) == (date(2026, 10, 1), date(2026, 10, 5))
    empty = case.model_copy(update={"events": ()})
    assert (first_day(empty), last_day(empty)) == (None, None)
