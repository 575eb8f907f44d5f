"""The cases kept here, and the wines they belong to."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import click

from diagnose.commands.given import WORDS

from .completing import archived, kept
from .help import command
from .shared import sayable


@command("diagnose cases", "diagnose cases hazy --open")
@click.argument("words", nargs=-1)
@click.option("--wine", metavar="NAME", help="Only cases of this wine.")
@click.option("--open", "state", flag_value="open", help="Only cases that are not closed.")
@click.option("--closed", "state", flag_value="closed", help="Only cases that are closed.")
@click.option("--archived", "state", flag_value="archived", help="Only cases that were put away.")
@click.option("--json", "as_json", is_flag=True, help="Print the list as JSON.")
@click.pass_obj
@sayable
def cases(
    obj: dict[str, Any], words: Sequence[str], wine: str | None, state: str | None, as_json: bool
) -> None:
    """List the cases kept here, or those in which all WORDS stand."""
    from diagnose.commands.cases import list_kept

    raise SystemExit(list_kept(obj["cases"], words, wine, state or "kept", as_json))


@command('diagnose wine haze_2026_03_14 "Garden white 2026"')
@click.argument("case", shell_complete=kept)
@click.argument("name")
@click.pass_obj
@sayable
def wine(obj: dict[str, Any], case: str, name: str) -> None:
    """Say which wine a case is about."""
    from diagnose.commands.cases import name_case

    raise SystemExit(name_case(obj["rules"], obj["cases"], case, "wine", name))


@command('diagnose rename haze_2026_03_14 "Keg in the shed"')
@click.argument("case", shell_complete=kept)
@click.argument("title")
@click.pass_obj
@sayable
def rename(obj: dict[str, Any], case: str, title: str) -> None:
    """Give a case another title. Its name stays."""
    from diagnose.commands.cases import name_case

    raise SystemExit(name_case(obj["rules"], obj["cases"], case, "title", title))


@command("diagnose copy haze_2026_03_14 --only-wine")
@click.argument("case", shell_complete=kept)
@click.option("--only-wine", is_flag=True, help="Take over only what stays with the wine.")
@click.pass_obj
@sayable
def copy(obj: dict[str, Any], case: str, only_wine: bool) -> None:
    """Begin a new case from the answers of another."""
    from diagnose.commands.cases import copy as begin_copy

    raise SystemExit(begin_copy(obj["rules"], obj["cases"], case, only_wine))


@command("diagnose archive haze_2026_03_14")
@click.argument("case", shell_complete=kept)
@click.pass_obj
@sayable
def archive(obj: dict[str, Any], case: str) -> None:
    """Put a case away, out of the list."""
    from diagnose.commands.cases import archive as move

    raise SystemExit(move(obj["cases"], case, back=False))


@command("diagnose unarchive stuck_2025_10_20")
@click.argument("case", shell_complete=archived)
@click.pass_obj
@sayable
def unarchive(obj: dict[str, Any], case: str) -> None:
    """Bring a case back from the archive."""
    from diagnose.commands.cases import archive as move

    raise SystemExit(move(obj["cases"], case, back=True))


@command("diagnose close haze_2026_03_14 solved", 'diagnose close haze given-up --lesson "Too late."')
@click.argument("case", shell_complete=kept)
@click.argument("how", required=False, type=click.Choice(["solved", "not-solved", "given-up"]))
@click.option("--lesson", metavar="WORDS", type=WORDS, help="What you will want to remember next time.")
@click.pass_obj
@sayable
def close(obj: dict[str, Any], case: str, how: str | None, lesson: str | None) -> None:
    """Close a case, with what you learned from it."""
    from diagnose.commands.cases import close as close_case

    raise SystemExit(close_case(obj["rules"], obj["cases"], case, how, lesson))


@command("diagnose reopen so2_2026_01_09")
@click.argument("case", shell_complete=kept)
@click.pass_obj
@sayable
def reopen(obj: dict[str, Any], case: str) -> None:
    """Open a closed case again."""
    from diagnose.commands.cases import reopen as open_again

    raise SystemExit(open_again(obj["rules"], obj["cases"], case))


SECTION = (
    "The cases and the wines",
    (
        cases,
        wine,
        rename,
        copy,
        archive,
        unarchive,
        close,
        reopen,
    ),
)
