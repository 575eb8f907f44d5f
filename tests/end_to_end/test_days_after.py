"""The days after the advice: what was done, how it came out, and what is due, by the real command."""

from __future__ import annotations

import re
import subprocess
from collections.abc import Callable, Sequence
from datetime import date, timedelta
from pathlib import Path
from typing import Any

import icalendar
import pytest
import vobject

Run = Callable[..., "subprocess.CompletedProcess[str]"]

HEAD = """case: "{name}"
title: "Invented"
topic: "haze"
case_format: 2
wine: "{wine}"
units: "metric"
events:
"""
ANSWERS: Sequence[tuple[str, Any]] = [
    ("wine_colour", '"white"'),
    ("made_from", '"grapes"'),
    ("wine_is_in", '"vessel"'),
    ("looks", '["even_veil"]'),
    ("haze_began", '"after_clear"'),
    ("came_after", '["warming"]'),
    ("gas", '"none"'),
    ("vessel_volume", "50"),
    ("heat_test_eye", '"much_hazier"'),
    ("bentonite_dose", "0.4"),
    ("bentonite_slurry", "50"),
]
"""An invented white that went hazy in the warm and failed its heat test; 50 L at 0.4 g/L want 20 g of clay."""


def hazy_white(
    home: Path, name: str = "hazy_white", wine: str = "Shed white", day: str = "2026-03-01"
) -> Path:
    """The case of that white, kept."""
    lines = [
        f'- {{"at": "{day}T18:00:00+00:00", "did": "answered", "about": "{about}", "value": {value}}}\n'
        for about, value in ANSWERS
    ]
    file = home / "cases" / f"{name}.yaml"
    file.parent.mkdir(exist_ok=True)
    file.write_text(HEAD.format(name=name, wine=wine) + "".join(lines), encoding="utf-8")
    return file


def test_clay_that_left_the_haze_speaks_against_protein(run: Run, home: Path) -> None:
    """Bentonite done and checked not good: protein falls, clay is no step any more, and pectin is tested next."""
    case = hazy_white(home)
    before = run("judge", str(case)).stdout
    assert re.search(r"1\. Take the protein out with bentonite", before)
    done = run("done", "hazy_white", "bentonite", "clay=20 g", "--on", "2026-03-02")
    assert done.returncode == 0, done.stderr
    assert "Check it on 2026-03-09" in done.stdout
    meanwhile = run("judge", str(case)).stdout
    assert "done on 2026-03-02, check on 2026-03-09" in " ".join(meanwhile.split())
    assert not re.search(r"\d\. Take the protein out", meanwhile)
    checked = run("checked", "hazy_white", "bentonite", "not-good", "--on", "2026-03-09", "--note", "dull")
    assert checked.returncode == 0, checked.stderr
    assert "still hazy" in " ".join(checked.stdout.split())
    after = run("judge", str(case)).stdout
    assert chance(after, "Protein haze") < chance(before, "Protein haze") - 20
    assert "[test alcohol_test]" in after and "[test alcohol_test]" not in before
    assert not re.search(r"\d\. Take the protein out", after)


def chance(screen: str, cause: str) -> int:
    """The chance of a cause on a screen, in percent."""
    found = re.search(rf"(\d+)\s%\s+{cause}", screen)
    assert found, screen
    return int(found[1])


def test_a_check_that_was_good_ends_the_matter(run: Run, home: Path) -> None:
    """Done and good, it is neither a step nor due."""
    case = hazy_white(home)
    run("done", "hazy_white", "bentonite", "--on", "2026-03-02")
    run("checked", "hazy_white", "bentonite", "good", "--on", "2026-03-09")
    assert not re.search(r"\d\. Take the protein out", run("judge", str(case)).stdout)
    assert "bentonite" not in run("due", "--on", "2026-03-10").stdout


def test_amounts_may_stand_where_the_fix_was_left_out(run: Run, home: Path) -> None:
    """Whoever tells what went in, and not for which work, is asked for the work; the amount is kept with it."""
    case = hazy_white(home)
    done = run("done", "hazy_white", "clay=20 g", "--on", "2026-03-02", lines=["1"])
    assert done.returncode == 0, done.stderr
    assert "Which of these was done?" in done.stdout and "Kept: Take the protein out" in done.stdout
    (kept,) = (line for line in case.read_text(encoding="utf-8").splitlines() if '"did": "done"' in line)
    assert '"about": "bentonite"' in kept and '"clay": 20' in kept


def test_what_was_done_is_asked_calmly(run: Run, home: Path) -> None:
    """Without a fix, the steps of the plan are listed; a strange answer is asked again."""
    hazy_white(home)
    done = run("done", "hazy_white", "--on", "2026-03-02", lines=["9", "1"])
    assert done.returncode == 0, done.stderr
    assert "type a number from 1 to" in done.stdout and "Kept: Take the protein out" in done.stdout
    checked = run("checked", "hazy_white", "--on", "2026-03-09", lines=["1", "3"])
    assert "checked: unsure" in checked.stdout


def test_more_than_planned_is_told_and_judged(run: Run, home: Path) -> None:
    """600 mL of slurry in 50 L is 1.2 % of liquid, above the 1 % of 27 CFR 24.246 (as of 2015)."""
    hazy_white(home)
    done = run("done", "hazy_white", "bentonite", "clay=30 g", "slurry=600 mL", "--on", "2026-03-02")
    words = " ".join(done.stdout.split())
    assert "30 g went in, more than the 20 g planned" in words
    assert "1.2 percent" in words and "Water added" in words
    within = run("done", "hazy_white", "bentonite", "clay=20 g", "slurry=400 mL", "--on", "2026-03-02")
    assert "planned" not in within.stdout and "percent" not in within.stdout


@pytest.mark.parametrize(
    ("arguments", "told"),
    [
        (
            ("bentonite", "clay=20 kg"),
            "cannot be right; expected is something near the planned amount (20 g)",
        ),
        (("bentonite", "clay=0 g"), "expected is more than nothing"),
        (("bentonite", "slurry=60 L"), "expected is less than the wine itself"),
        (("bentonite", "sand=3 g"), "is not an amount of"),
        (("bentonite", "clay=much"), "holds no number"),
        (("bentonite", "--on", "2999-01-01"), "is still to come"),
        (("bentonite", "--on", "last week"), "is not a day"),
        (("bentonite", "--step", "99"), "There is no step 99"),
        (("magic",), "No fix is surely meant"),
    ],
)
def test_what_cannot_be_is_refused_and_nothing_kept(
    run: Run, home: Path, arguments: Sequence[str], told: str
) -> None:
    """An amount, a day or a name that cannot be is refused with a sentence, and the case stays as it was."""
    case = hazy_white(home)
    before = case.read_bytes()
    done = run("done", "hazy_white", *arguments)
    assert done.returncode == 2 and told in done.stderr
    assert case.read_bytes() == before


def test_a_check_comes_after_the_work(run: Run, home: Path) -> None:
    """What was not done cannot be checked, nor before it was done."""
    hazy_white(home)
    assert "not recorded as done" in run("checked", "hazy_white", "bentonite", "good").stderr
    run("done", "hazy_white", "bentonite", "--on", "2026-03-05")
    early = run("checked", "hazy_white", "bentonite", "good", "--on", "2026-03-04")
    assert early.returncode == 2 and "is before 2026-03-05" in early.stderr


def test_a_step_is_a_step_and_a_remark_a_remark(run: Run, home: Path) -> None:
    """One step leaves the fix in the plan, begun; a remark is kept word for word and changes nothing."""
    case = hazy_white(home)
    run("done", "hazy_white", "bentonite", "--step", "2", "--on", "2026-03-02")
    screen = run("judge", str(case)).stdout
    assert "begun, done on 2026-03-02" in " ".join(screen.split())
    assert re.search(r"1\. Take the protein out", screen)
    assert "Go on: Take the protein out" in " ".join(run("due", "--on", "2026-03-03").stdout.split())
    assert run("note", "hazy_white", "smells", "of [red]pears[/red]").returncode == 0
    assert '"value": "smells of [red]pears[/red]"' in case.read_text(encoding="utf-8")


def test_before_the_case_began_is_told(run: Run, home: Path) -> None:
    """A day before the case began is kept, and told."""
    hazy_white(home)
    done = run("done", "hazy_white", "bentonite", "--on", "2026-02-01")
    assert done.returncode == 0 and "before this case began" in " ".join(done.stdout.split())


def test_late_comes_first(run: Run, home: Path) -> None:
    """Over several cases: late, today, this week; what is farther off with --all only; the wine is named."""
    for name, wine, day in [
        ("old", "Old", "02"),
        ("now", "Now", "05"),
        ("soon", "Soon", "08"),
        ("far", "Far", "20"),
    ]:
        hazy_white(home, name, wine)
        run("done", name, "bentonite", "--on", f"2026-03-{day}")
    screen = run("due", "--on", "2026-03-12").stdout
    places = [screen.index(words) for words in ("Late", "(Old)", "Today", "(Now)", "This week", "(Soon)")]
    assert places == sorted(places)
    assert "(Far)" not in screen and "1 more after this week" in screen
    assert "diagnose checked old bentonite" in screen
    assert "(Far)" in run("due", "--on", "2026-03-12", "--all").stdout


def test_a_closed_case_is_left_out(run: Run, home: Path) -> None:
    """What is over is not due, but with --all."""
    case = hazy_white(home)
    run("done", "hazy_white", "bentonite", "--on", "2026-03-02")
    with case.open("a", encoding="utf-8") as file:
        file.write('- {"at": "2026-03-03", "did": "closed", "value": "drunk"}\n')
    assert "Nothing waits." in run("due", "--on", "2026-03-10").stdout
    assert "hazy_white" in run("due", "--on", "2026-03-10", "--all").stdout


def test_a_clock_that_went_back_is_told_once(run: Run, home: Path) -> None:
    """Events of a later day than the clock's are kept; the list says so once and reckons from the clock."""
    hazy_white(home)
    run("done", "hazy_white", "bentonite", "--on", "2026-03-02")
    ahead = date.today() + timedelta(days=400)
    for name in ("ahead", "ahead_too"):
        hazy_white(home, name, "Ahead", ahead.isoformat())
    screen = run("due").stdout
    assert screen.count("The clock of this machine says") == 1
    assert f"of {ahead}" in " ".join(screen.split())
    assert "Late" in screen
    done = run("done", "ahead", "bentonite")
    assert done.returncode == 0 and "The clock of this machine says" in done.stdout


def test_a_case_that_cannot_be_read_does_not_hide_the_others(run: Run, home: Path) -> None:
    """It is named, the rest is shown, and the exit status tells."""
    hazy_white(home)
    (home / "cases" / "broken.yaml").write_text("case: [", encoding="utf-8")
    due = run("due", "--on", "2026-03-10")
    assert due.returncode == 1
    assert "broken cannot be read" in due.stdout and "hazy_white" in due.stdout


def test_the_calendar_is_read_by_others_and_does_not_double(run: Run, home: Path) -> None:
    """Two readers of RFC 5545 find whole-day events with the words as they are; a second export has the same UIDs."""
    hazy_white(home, wine="Peach; pear, plum")
    run("done", "hazy_white", "bentonite", "--on", "2026-03-02")
    file = home / "due.ics"
    written = run("due", "--on", "2026-03-03", "--calendar", str(file))
    assert written.returncode == 0 and "Written:" in written.stdout
    raw = file.read_bytes()
    assert all(len(line) <= 75 for line in raw.split(b"\r\n")) and raw.count(b"\n") == raw.count(b"\r\n")
    [event] = icalendar.Calendar.from_ical(raw).walk("VEVENT")
    assert event.decoded("DTSTART") == date(2026, 3, 9) and event.decoded("DTEND") == date(2026, 3, 10)
    assert str(event["SUMMARY"]).endswith("(Peach; pear, plum)")
    assert "diagnose checked hazy_white bentonite" in str(event["DESCRIPTION"])
    [other] = vobject.readOne(raw.decode()).vevent_list
    assert other.dtstart.value == date(2026, 3, 9)
    assert other.summary.value == str(event["SUMMARY"])
    assert other.description.value == str(event["DESCRIPTION"])
    run("due", "--on", "2026-03-20", "--calendar", str(file))
    [again] = icalendar.Calendar.from_ical(file.read_bytes()).walk("VEVENT")
    assert again["UID"] == event["UID"]
    assert run("due", "--calendar", str(home / "due.txt")).returncode == 2


@pytest.mark.parametrize("columns", ["60", "80", "120"])
def test_no_line_is_wider_than_the_page(run: Run, home: Path, columns: str) -> None:
    """Piped, the width does not depend on a terminal that is not there, and nothing runs past it."""
    hazy_white(home)
    run("done", "hazy_white", "bentonite", "clay=30 g", "--on", "2026-03-02")
    screen = run("due", "--on", "2026-03-30", environment={"COLUMNS": columns}).stdout
    assert max(map(len, screen.splitlines())) <= 100
    assert "\x1b" not in screen and "diagnose checked hazy_white bentonite" in screen
