"""The sums of the cellar, and a person's settings."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Any

import click

from .shared import sayable


@click.command()
@click.argument("name", required=False)
@click.argument("inputs", nargs=-1)
@click.option(
    "--measured", is_flag=True, help="Give every measured input the spread of its usual instrument."
)
@click.option("--limit", help="Compare the result with a figure, a legal limit, or what your law says of it.")
@click.option(
    "--colour", type=click.Choice(["white", "rose", "red"]), help="The wine, for a limit that asks."
)
@click.option("--sugar", help="Sugar in the wine, for a limit that asks.")
@click.option("--json", "as_json", is_flag=True, help="Print the calculation as JSON.")
@click.option("--plot", is_flag=True, help="Draw the table of an input that runs.")
@click.option(
    "--save", type=click.Path(path_type=Path, dir_okay=False), help="Draw it into a .svg or .png file."
)
@click.pass_obj
@sayable
def calculate(
    obj: dict[str, Any],
    name: str | None,
    inputs: Sequence[str],
    measured: bool,
    limit: str | None,
    colour: str | None,
    sugar: str | None,
    as_json: bool,
    plot: bool,
    save: Path | None,
) -> None:
    """List the sums of the cellar, show what one needs, or work one out.

    Inputs are written as name=value: "free=30 ppm" "ph=3.40 ± 0.05". A value of the form "3.2 to 4.0"
    makes a table.
    """
    from diagnose.commands.calculate import calculate as work_out

    raise SystemExit(
        work_out(
            obj["rules"],
            obj["units"],
            name,
            inputs,
            measured=measured,
            limit=limit,
            colour=colour,
            sugar=sugar,
            as_json=as_json,
            plot=plot,
            save=save,
        )
    )


@click.command()
@click.option("--units", type=click.Choice(["metric", "us"]), help="Units to show and to assume.")
@click.option("--law", help="Whose legal limits are looked up: us, eu, oiv or another that the rules know.")
@click.option(
    "--limit", "limits", multiple=True, metavar="ID=NUMBER", help="Your own figure for a legal limit."
)
@click.option(
    "--own",
    "own",
    multiple=True,
    type=click.Path(path_type=Path, file_okay=False, exists=True),
    help="Your own folder of rules, to lie on top of those that came along from now on; instead of any kept before.",
)
@click.option("--no-own", is_flag=True, help="Use no folder of rules of your own any more.")
@click.pass_obj
@sayable
def settings(
    obj: dict[str, Any],
    units: str | None,
    law: str | None,
    limits: Sequence[str],
    own: Sequence[Path],
    no_own: bool,
) -> None:
    """Show your settings, or change them."""
    from diagnose.commands.settings import change_settings

    if own and no_own:
        raise click.UsageError("--own and --no-own: give one of them.")
    raise SystemExit(change_settings(obj["rules"], units, law, limits, () if no_own else own or None))


@click.command("check-setup")
@click.option("--json", "as_json", is_flag=True, help="Print what was found as JSON.")
@click.pass_obj
@sayable
def check_setup(obj: dict[str, Any], as_json: bool) -> None:
    """Check the installation: packages, folders, rules and sums. To send to whoever helps you."""
    from diagnose.commands.check_setup import check_setup as look

    raise SystemExit(look(obj["rules"], obj["cases"], as_json))


SECTION = (
    "The sums, and this program",
    (
        calculate,
        settings,
        check_setup,
    ),
)
