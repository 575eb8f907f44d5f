"""The sums of the cellar, and a person's settings."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Any

import click

from .completing import laws, sums, words
from .help import command
from .shared import sayable


@command("diagnose calculate", "diagnose calculate molecular_so2 free=30 ph=3.4 alcohol=12")
@click.argument("name", required=False, shell_complete=sums)
@click.argument("inputs", nargs=-1)
@click.option(
    "--measured", is_flag=True, help="Give every measured input the spread of its usual instrument."
)
@click.option(
    "--limit",
    metavar="LIMIT",
    help="Compare the result with a figure, a legal limit, or what your law says of it.",
)
@click.option(
    "--colour", type=click.Choice(["white", "rose", "red"]), help="The wine, for a limit that asks."
)
@click.option("--sugar", metavar="NUMBER", help="Sugar in the wine, for a limit that asks.")
@click.option("--json", "as_json", is_flag=True, help="Print the calculation as JSON.")
@click.option("--plot", is_flag=True, help="Draw the table of an input that runs.")
@click.option(
    "--save",
    metavar="FILE",
    type=click.Path(path_type=Path, dir_okay=False),
    help="Draw it into a .svg or .png file.",
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


@command("diagnose settings", "diagnose settings --units us --law us")
@click.option("--units", type=click.Choice(["metric", "us"]), help="Units to show and to assume.")
@click.option(
    "--law",
    metavar="LAW",
    shell_complete=laws,
    help="Whose legal limits are looked up: us, eu, oiv or another that the rules know.",
)
@click.option(
    "--limit", "limits", multiple=True, metavar="ID=NUMBER", help="Your own figure for a legal limit."
)
@click.option(
    "--own",
    "own",
    metavar="FOLDER",
    multiple=True,
    type=click.Path(path_type=Path, file_okay=False, exists=True),
    help="Your own folder of rules, to lie on top of those that came along from now on; instead of any kept before.",
)
@click.option("--no-own", is_flag=True, help="Use no folder of rules of your own any more.")
@click.option(
    "--plain", type=click.Choice(["yes", "no"]), help="Draw nothing, say every sign as a word, from now on."
)
@click.pass_obj
@sayable
def settings(
    obj: dict[str, Any],
    units: str | None,
    law: str | None,
    limits: Sequence[str],
    own: Sequence[Path],
    no_own: bool,
    plain: str | None,
) -> None:
    """Show your settings, or change them."""
    from diagnose.commands.settings import change_settings

    if own and no_own:
        raise click.UsageError("--own and --no-own: give one of them.")
    folders = () if no_own else own or None
    keep_plain = None if plain is None else plain == "yes"
    raise SystemExit(change_settings(obj["rules"], obj["cases"], units, law, limits, folders, keep_plain))


@command("diagnose glossary", "diagnose glossary NTU")
@click.argument("word", nargs=-1, shell_complete=words)
@click.pass_obj
@sayable
def glossary(obj: dict[str, Any], word: Sequence[str]) -> None:
    """Say what a word of the trade means, or list them all. At a question, type what is and the word."""
    from diagnose.commands.glossary import glossary as say_words

    raise SystemExit(say_words(obj["rules"], " ".join(word)))


@command("diagnose completion", "diagnose completion bash")
@click.argument("shell", required=False, type=click.Choice(["bash", "zsh", "fish"]))
@click.pass_context
@sayable
def completion(context: click.Context, shell: str | None) -> None:
    """Let the Tab key finish commands and names: how to set it up, or the script for a SHELL."""
    from diagnose.commands.completion import print_script, tell_how

    raise SystemExit(print_script(context.find_root().command, shell) if shell else tell_how())


@command("diagnose check-setup", "diagnose check-setup --json", name="check-setup")
@click.option("--json", "as_json", is_flag=True, help="Print what was found as JSON.")
@click.pass_obj
@sayable
def check_setup(obj: dict[str, Any], as_json: bool) -> None:
    """Check the installation: packages, folders, rules and sums. To send to whoever helps you."""
    from diagnose.commands.check_setup import check_setup as look

    raise SystemExit(look(obj["rules"], obj["cases"], as_json))


SECTION = (
    "The sums, the words, and this program",
    (
        calculate,
        glossary,
        settings,
        check_setup,
        completion,
    ),
)
