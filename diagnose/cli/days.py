"""What was done and read on the days after the advice, and what is due."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Any, Literal

import click

from diagnose.commands.given import WORDS

from .completing import fixes, kept
from .help import command
from .shared import sayable

on_option = click.option("--on", metavar="DAY", help="The day: 2026-11-30, today or yesterday.")

note_option = click.option("--note", metavar="WORDS", type=WORDS, help="A remark kept with it.")


@command('diagnose done haze_2026_03_14 bentonite "clay=25 g"', "diagnose done haze bentonite --on yesterday")
@click.argument("case", required=False, shell_complete=kept)
@click.argument("fix", required=False, shell_complete=fixes)
@click.argument("amounts", nargs=-1)
@click.option("--step", type=int, metavar="NUMBER", help="Only this step of it, counted from 1.")
@on_option
@note_option
@click.pass_obj
@sayable
def done(
    obj: dict[str, Any],
    case: str | None,
    fix: str | None,
    amounts: Sequence[str],
    step: int | None,
    on: str | None,
    note: str | None,
) -> None:
    """Keep that a fix was done, with what was really added: "clay=25 g". Without FIX it is asked."""
    from diagnose.commands.done import record_done

    if fix and "=" in fix:
        amounts, fix = (fix, *amounts), None
    raise SystemExit(record_done(obj["rules"], obj["cases"], case, fix, amounts, step, on, note))


@command("diagnose checked haze_2026_03_14 bentonite good")
@click.argument("case", required=False, shell_complete=kept)
@click.argument("fix", required=False, shell_complete=fixes)
@click.argument("found", required=False, type=click.Choice(["good", "not-good", "unsure"]))
@on_option
@note_option
@click.pass_obj
@sayable
def checked(
    obj: dict[str, Any],
    case: str | None,
    fix: str | None,
    found: str | None,
    on: str | None,
    note: str | None,
) -> None:
    """Keep how the check of a fix came out. What is left out is asked."""
    from diagnose.commands.done import record_checked

    raise SystemExit(record_checked(obj["rules"], obj["cases"], case, fix, found, on, note))


@command('diagnose note haze_2026_03_14 "Moved to the cellar."')
@click.argument("case", shell_complete=kept)
@click.argument("text", nargs=-1, metavar="WORDS...")
@on_option
@click.pass_obj
@sayable
def note(obj: dict[str, Any], case: str, text: Sequence[str], on: str | None) -> None:
    """Keep a remark with a case. Nothing is concluded from it."""
    from diagnose.commands.done import record_note

    raise SystemExit(record_note(obj["rules"], obj["cases"], case, text, on))


@command("diagnose due", "diagnose due --calendar cellar.ics")
@click.option("--on", metavar="DAY", help="Seen from this day instead of today.")
@click.option("--all", "everything", is_flag=True, help="Also what comes after this week, and closed cases.")
@click.option(
    "--calendar",
    metavar="FILE",
    type=click.Path(path_type=Path, dir_okay=False),
    help="Write what has a day into this .ics file, for a calendar.",
)
@click.pass_obj
@sayable
def due(obj: dict[str, Any], on: str | None, everything: bool, calendar: Path | None) -> None:
    """Show what is late, due today and due this week, over all cases."""
    from diagnose.commands.due import show_what_is_due

    raise SystemExit(show_what_is_due(obj["rules"], obj["cases"], on, everything, calendar))


@command("diagnose log haze_2026_03_14", "diagnose log haze_2026_03_14 gravity=0.995 temp=18C")
@click.argument("case", shell_complete=kept)
@click.argument("readings", nargs=-1)
@click.option("--on", metavar="DAY", help="The day of these readings, and its time if you like; else now.")
@click.option(
    "--import",
    "table",
    metavar="FILE",
    help="Take the readings of a table saved as CSV; - for what is piped in.",
)
@click.option("--paste", is_flag=True, help="Take lines such as '12 Oct 1.050 20C', until an empty one.")
@click.option(
    "--dates",
    type=click.Choice(["day-first", "month-first"]),
    help="How to read a day such as 12/10/2026.",
)
@click.option("--keep-good", is_flag=True, help="Keep what is right, where some of it is wrong.")
@click.option(
    "--save",
    metavar="FILE",
    type=click.Path(path_type=Path, dir_okay=False),
    help="Draw the curves into a .svg file.",
)
@click.pass_obj
@sayable
def log(
    obj: dict[str, Any],
    case: str,
    readings: Sequence[str],
    on: str | None,
    table: str | None,
    paste: bool,
    dates: Literal["day-first", "month-first"] | None,
    keep_good: bool,
    save: Path | None,
) -> None:
    """Show the log of a case, or add readings to it: gravity=1.020 temp=18C."""
    from diagnose.commands.log import Wanted
    from diagnose.commands.log import log as log_of

    wanted = Wanted(readings, on, table, paste, dates, keep_good, save)
    raise SystemExit(log_of(obj["rules"], obj["cases"], case, wanted))


SECTION = (
    "The days that follow",
    (
        done,
        checked,
        note,
        due,
        log,
    ),
)
