"""Any words of a person come out of the calendar as they went in, whoever reads it."""

from __future__ import annotations

from datetime import date, datetime, timezone

import icalendar
from diagnose.days.calendar import calendar, uid
from diagnose.days.due import Due
from hypothesis import given
from hypothesis import strategies as st

WORDS = st.text(
    st.characters(exclude_categories=("C", "Z")) | st.sampled_from(" ,;:\\\n"), min_size=1
).filter(lambda text: text == text.strip())
MADE = datetime(2026, 3, 1, tzinfo=timezone.utc)


def due(day: date | None = date(2026, 3, 9), which: int = 0, since: date = date(2026, 3, 2)) -> Due:
    """A check that waits."""
    return Due("mine", None, "check", "bentonite", "Clay", since, day, which)


@given(WORDS, WORDS)
def test_words_go_through_whole(summary: str, description: str) -> None:
    """Commas, semicolons, backslashes, ends of lines and any script survive escaping and folding."""
    raw = calendar([(due(), summary, description)], MADE)
    assert all(len(line) <= 75 for line in raw.split(b"\r\n"))
    [event] = icalendar.Calendar.from_ical(raw).walk("VEVENT")
    assert (str(event["SUMMARY"]), str(event["DESCRIPTION"])) == (summary, description)


def test_what_has_no_day_is_not_in_a_calendar() -> None:
    """Only what has a day becomes an event."""
    assert b"VEVENT" not in calendar([(due(None), "a", "b")], MADE)


def test_a_uid_names_the_thing_and_not_its_words() -> None:
    """The second look, or the same fix done again, is another event; everything else is the same one."""
    assert uid(due()) == uid(due(date(2026, 3, 10)))
    assert len({uid(due()), uid(due(which=1)), uid(due(since=date(2026, 3, 3)))}) == 3


@given(st.dates(date(2020, 1, 1), date(2030, 1, 1)), st.dates(date(2020, 1, 1), date(2030, 1, 1)))
def test_a_day_belongs_to_one_term(day: date, today: date) -> None:
    """Late is before today, this week the seven days after it, and nothing is in two."""
    term = due(day).term(today)
    days = (day - today).days
    assert term == ("late" if days < 0 else "today" if days == 0 else "this_week" if days <= 7 else "later")
