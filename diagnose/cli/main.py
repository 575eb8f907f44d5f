"""The command `diagnose` itself.

Exit status: 0 done, 1 something is wrong with a file or the machine, 2 the command was misused, 3 incomplete
(the advice needs more answers, or the consultation was left before its end), 4 and 5 a change of rules changes
something, and guards less, 130 interrupted.
"""

from __future__ import annotations

import gc
import io
import sys
from collections.abc import Sequence
from pathlib import Path

import click

from diagnose import __version__, places
from diagnose.commands.given import Commands

from . import advice, cellar, consult, days, rules, sums
from .completing import topics
from .help import write_examples
from .mistyped import not_a_command
from .shared import sayable

SECTIONS = tuple(room.SECTION for room in (consult, cellar, advice, days, rules, sums))

EXAMPLES = (
    "diagnose",
    'diagnose --about haze --wine "Garden white 2026"',
    "diagnose --units us",
    "diagnose --cases my_cases cases",
    "diagnose plan --help",
)


class Sections(Commands):
    """The commands listed under headings, in the order in which a person meets them."""

    def format_commands(self, context: click.Context, formatter: click.HelpFormatter) -> None:
        """Write each heading with its commands."""
        for heading, commands in SECTIONS:
            with formatter.section(heading):
                formatter.write_dl([(one.name or "", one.get_short_help_str(limit=90)) for one in commands])

    def format_epilog(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        """Write examples, the exit statuses in a line, and where more is told."""
        write_examples(formatter, EXAMPLES)
        formatter.write_paragraph()
        formatter.write_text(
            "It ends with 0 done, 1 something is wrong, 2 mistyped, 3 more answers are needed, "
            "4 or 5 a change of rules changes something or guards less, 130 stopped by Ctrl-C."
        )
        formatter.write_paragraph()
        formatter.write_text("`diagnose settings` shows where your cases and settings are kept.")

    def resolve_command(
        self, ctx: click.Context, args: list[str]
    ) -> tuple[str | None, click.Command | None, list[str]]:
        """The command that is meant. Raises UsageError with the next step where there is none of that name."""
        if not ctx.resilient_parsing and self.get_command(ctx, args[0]) is None:
            not_a_command(ctx, args[0], self.list_commands(ctx))
        return super().resolve_command(ctx, args)


rules_option = click.option(
    "--rules",
    "rules_folders",
    metavar="FOLDER",
    multiple=True,
    type=click.Path(path_type=Path),
    help="Use the rules in this folder instead of the ones that came along; may be given several times.",
)
own_option = click.option(
    "--own",
    "own_folders",
    metavar="FOLDER",
    multiple=True,
    type=click.Path(path_type=Path),
    help="Put your own folder of rules on top of the others; may be given several times.",
)
cases_option = click.option(
    "--cases",
    "cases_folder",
    metavar="FOLDER",
    type=click.Path(path_type=Path),
    help=f"Keep cases in this folder (also: the variable {places.CASES}).",
)
settings_option = click.option(
    "--settings",
    "settings_file",
    metavar="FILE",
    type=click.Path(path_type=Path, dir_okay=False),
    help=f"Use this settings file (also: the variable {places.SETTINGS}).",
)
cache_option = click.option(
    "--cache",
    "cache_folder",
    metavar="FOLDER",
    type=click.Path(path_type=Path, file_okay=False),
    help=f"Keep here what only saves time (also: the variable {places.CACHE}).",
)
units_option = click.option(
    "--units", type=click.Choice(["metric", "us"]), help="Units to show and to assume."
)


plain_option = click.option(
    "--plain",
    "plain",
    is_flag=True,
    default=None,
    envvar="DIAGNOSE_PLAIN",
    help="For a screen reader: draw nothing, say every sign as a word (also: the variable DIAGNOSE_PLAIN=yes).",
)


@click.group(
    cls=Sections, invoke_without_command=True, context_settings={"help_option_names": ["-h", "--help"]}
)
@click.version_option(__version__, prog_name="diagnose")
@rules_option
@own_option
@cases_option
@settings_option
@cache_option
@units_option
@plain_option
@click.option(
    "--about",
    metavar="SUBJECT",
    multiple=True,
    shell_complete=topics,
    help="Begin a consultation about this subject, such as haze; may be given several times.",
)
@click.option(
    "--wine", metavar="NAME", help="Begin a consultation about this wine, such as 'Garden white 2026'."
)
@click.pass_context
@sayable
def main(
    context: click.Context,
    rules_folders: Sequence[Path],
    own_folders: Sequence[Path],
    cases_folder: Path | None,
    settings_file: Path | None,
    cache_folder: Path | None,
    units: str | None,
    plain: bool | None,
    about: Sequence[str],
    wine: str | None,
) -> None:
    """Find out what is wrong with a wine, what to do about it, and why.

    Without a command, a new consultation begins.
    """
    # Rules are many small objects that stay; to look through them for rubbish takes a tenth of the time.
    gc.set_threshold(100_000)
    # Here and not above: help and completion are asked for without waiting.
    from diagnose.knowledge.own import RuleFolders

    for stream in (sys.stdout, sys.stderr):
        # A terminal that cannot show a sign shows a question mark instead of ending the program.
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors="replace")
    places.choose(settings_file, cache_folder)
    rules = RuleFolders(tuple(rules_folders), tuple(own_folders))
    context.obj = {"rules": rules, "cases": cases_folder, "units": units}
    if context.invoked_subcommand is None:
        from diagnose.commands.consult import consult_new

        raise SystemExit(consult_new(about=about, wine=wine, **context.obj))


for _, commands in SECTIONS:
    for command in commands:
        main.add_command(command)
