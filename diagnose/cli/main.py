"""The command `diagnose` itself.

Exit status: 0 done, 1 something is wrong with a file or the machine, 2 the command was misused, 3 incomplete
(the advice needs more answers, or the consultation was left before its end), 4 and 5 a change of rules changes
something, and guards less, 130 interrupted.
"""

from __future__ import annotations

import io
import sys
from collections.abc import Sequence
from pathlib import Path

import click

from diagnose import __version__
from diagnose.commands.given import Commands
from diagnose.knowledge.own import RuleFolders

from . import advice, cellar, consult, days, rules, sums
from .shared import sayable

SECTIONS = tuple(room.SECTION for room in (consult, cellar, advice, days, rules, sums))


class Sections(Commands):
    """The commands listed under headings, in the order in which a person meets them."""

    def format_commands(self, context: click.Context, formatter: click.HelpFormatter) -> None:
        """Write each heading with its commands."""
        for heading, commands in SECTIONS:
            with formatter.section(heading):
                formatter.write_dl([(one.name or "", one.get_short_help_str(limit=90)) for one in commands])


rules_option = click.option(
    "--rules",
    "rules_folders",
    multiple=True,
    type=click.Path(path_type=Path),
    help="Use the rules in this folder instead of the ones that came along; may be given several times.",
)
own_option = click.option(
    "--own",
    "own_folders",
    multiple=True,
    type=click.Path(path_type=Path),
    help="Put your own folder of rules on top of the others; may be given several times.",
)
cases_option = click.option(
    "--cases",
    "cases_folder",
    type=click.Path(path_type=Path),
    help="Keep cases in this folder (also: the variable DIAGNOSE_CASES).",
)
units_option = click.option(
    "--units", type=click.Choice(["metric", "us"]), help="Units to show and to assume."
)


@click.group(
    cls=Sections, invoke_without_command=True, context_settings={"help_option_names": ["-h", "--help"]}
)
@click.version_option(__version__, prog_name="diagnose")
@rules_option
@own_option
@cases_option
@units_option
@click.option(
    "--about",
    metavar="SUBJECT",
    multiple=True,
    help="Begin a consultation about this subject, such as haze; may be given several times.",
)
@click.option("--wine", help="Begin a consultation about this wine, such as 'Garden white 2026'.")
@click.pass_context
@sayable
def main(
    context: click.Context,
    rules_folders: Sequence[Path],
    own_folders: Sequence[Path],
    cases_folder: Path | None,
    units: str | None,
    about: Sequence[str],
    wine: str | None,
) -> None:
    """Find out what is wrong with a wine, what to do about it, and why.

    Without a command, a new consultation begins.
    """
    for stream in (sys.stdout, sys.stderr):
        # A terminal that cannot show a sign shows a question mark instead of ending the program.
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors="replace")
    rules = RuleFolders(tuple(rules_folders), tuple(own_folders))
    context.obj = {"rules": rules, "cases": cases_folder, "units": units}
    if context.invoked_subcommand is None:
        from diagnose.commands.consult import consult_new

        raise SystemExit(consult_new(about=about, wine=wine, **context.obj))


for _, commands in SECTIONS:
    for command in commands:
        main.add_command(command)
