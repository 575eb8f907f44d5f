"""Days are read as they were meant, or asked again."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from diagnose.logbook.days import NotADay, TwoDays, clock, order_of, read_day, read_moment, told
from hypothesis import given
from hypothesis import strategies as st

TODAY = date(2026, 11, 26)


@pytest.mark.parametrize(
    ("written", "meant"),
    [
        ("2026-10-12", date(2026, 10, 12)),
        ("2026/10/12", date(2026, 10, 12)),
        ("12 Oct", date(2026, 10, 12)),
        ("12. October 2026", date(2026, 10, 12)),
        ("12 Sept 2026", date(2026, 9, 12)),
        ("sep 12", date(2026, 9, 12)),
        ("Mon 12 Oct", date(2026, 10, 12)),
        ("Oct 12th, 2026", date(2026, 10, 12)),
        ("3 Dec", date(2025, 12, 3)),
        ("Sept 3", date(2026, 9, 3)),
        ("30 sept 2026", date(2026, 9, 30)),
        ("27 Nov", date(2026, 11, 27)),
        ("25/10/2026", date(2026, 10, 25)),
        ("10/25/26", date(2026, 10, 25)),
        ("5.5.2026", date(2026, 5, 5)),
        ("29 Feb", date(2024, 2, 29)),
        ("today", TODAY),
        ("yesterday", date(2026, 11, 25)),
    ],
)
def test_a_day_is_read_as_it_was_meant(written: str, meant: date) -> None:
    """Without a year it is the nearest that is past; tomorrow is let pass, for a clock that is a little slow."""
    assert read_day(written, TODAY) == meant


@pytest.mark.parametrize(
    "written", ["29 Feb 2025", "31 Apr", "2026-13-01", "28 Nov 2026", "12 Oct 1926", "", "Rosa", "12 Okt"]
)
def test_what_is_no_day_is_refused(written: str) -> None:
    """A day that no calendar has, or that is still to come, says what is wrong with it."""
    with pytest.raises(NotADay):
        read_day(written, TODAY)


def test_a_day_to_come_names_what_the_machine_takes_for_today() -> None:
    """If the clock of the machine is wrong, the person sees it at once."""
    with pytest.raises(NotADay, match="today is 26 Nov 2026"):
        read_day("2027-01-03", TODAY)


def test_what_may_be_two_days_is_asked_again_with_both() -> None:
    """12/10 is October for one half of the world and December for the other."""
    with pytest.raises(TwoDays, match=r"12 Oct 2026 or 10 Dec 2026.*--dates"):
        read_day("12/10/2026", TODAY)
    assert read_day("12/10/2026", TODAY, "day-first") == date(2026, 10, 12)
    assert read_day("10/12/2026", TODAY, "month-first") == date(2026, 10, 12)


def test_one_clear_day_settles_a_whole_column() -> None:
    """A 25th can be no month; two cells that contradict each other are refused."""
    assert order_of(["12/10/2026", "25/10/2026"], TODAY) == "day-first"
    assert order_of(["10/12/2026", "10/25/2026"], TODAY) == "month-first"
    assert order_of(["2026-10-12", "5/5/2026"], TODAY) is None
    with pytest.raises(TwoDays):
        order_of(["12/10/2026", "1/2/2026"], TODAY)
    with pytest.raises(NotADay, match="one way"):
        order_of(["25/10/2026", "10/25/2026"], TODAY)


@given(st.dates(date(1950, 1, 1), TODAY + timedelta(days=1)))
def test_every_day_that_is_told_can_be_read(day: date) -> None:
    """What the program writes, it reads; so does every usual way to write a day with its year."""
    for written in (told(day), day.isoformat(), f"{day:%d/%b/%Y}".replace("/", " ")):
        assert read_day(written, TODAY) == day
    assert read_day(f"{day:%d.%m.%Y}", TODAY, "day-first") == day
    assert read_day(f"{day:%m/%d/%Y}", TODAY, "month-first") == day


def test_times_of_the_day() -> None:
    """Half the world counts to twelve."""
    assert [clock(text) for text in ("8:30", "20:15", "7 pm", "12 am", "8", "25:00", "13 pm")] == [
        *(510, 1215, 1140, 0),
        *(None, None, None),
    ]
    assert read_moment("12 Oct 2026 7pm", TODAY).written == "2026-10-12T19:00"
    assert read_moment("2026-10-12T08:30:11+01:00", TODAY).written == "2026-10-12T08:30"


@given(st.text(max_size=40))
def test_no_text_breaks_it(text: str) -> None:
    """Junk is refused, and never falls through."""
    try:
        read_moment(text, TODAY)
    except NotADay as error:
        assert str(error)
