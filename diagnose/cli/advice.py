"""The plan of a case, why it is so, and what is printed of it."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Any, Literal

import click

from .completing import explained, fixes, kept_or_file, questions
from .help import command
from .shared import sayable, to_option

Length = Literal["sentence", "paragraph", "full"]


@command("diagnose plan haze_2026_03_14", "diagnose plan haze_2026_03_14 --from 2026-03-21", files=True)
@click.argument("case", shell_complete=kept_or_file)
@click.option(
    "--from", "begins", metavar="DAY", help="The first day of work, such as 2026-11-30; otherwise today."
)
@click.option("--json", "as_json", is_flag=True, help="Print the plan as JSON.")
@click.pass_obj
@sayable
def plan(obj: dict[str, Any], case: str, begins: str | None, as_json: bool) -> None:
    """Plan the work on a case: order, days, what to have ready."""
    from diagnose.commands.plan import plan as show_plan

    raise SystemExit(show_plan(obj["rules"], obj["cases"], case, begins, as_json))


@command("diagnose report haze_2026_03_14 --to mentor.html", files=True)
@click.argument("case", shell_complete=kept_or_file)
@to_option
@click.pass_obj
@sayable
def report(obj: dict[str, Any], case: str, to: Path | None) -> None:
    """Write a report of a case, to take to a mentor."""
    from diagnose.commands.report import report as write_report

    raise SystemExit(write_report(obj["rules"], obj["cases"], case, to))


@command(
    "diagnose sheet haze_2026_03_14 trial bentonite",
    "diagnose sheet haze steps bentonite --to steps.html",
    files=True,
)
@click.argument("case", shell_complete=kept_or_file)
@click.argument("kind", type=click.Choice(["trial", "steps"]))
@click.argument("fix", shell_complete=fixes)
@to_option
@click.pass_obj
@sayable
def sheet(obj: dict[str, Any], case: str, kind: Literal["trial", "steps"], fix: str, to: Path | None) -> None:
    """Write a sheet to print: the bench trial of a fix, or its steps."""
    from diagnose.commands.report import sheet as write_sheet

    raise SystemExit(write_sheet(obj["rules"], obj["cases"], case, kind, fix, to))


length_option = click.option(
    "--length",
    type=click.Choice(["sentence", "paragraph", "full"]),
    default="full",
    help="How much is told: a sentence, a paragraph, or the whole tree.",
)

explained_option = click.option("--json", "as_json", is_flag=True, help="Print the explanation as JSON.")


@command("diagnose why haze_2026_03_14", "diagnose why haze_2026_03_14 protein_haze", files=True)
@click.argument("case", shell_complete=kept_or_file)
@click.argument("what", nargs=-1, shell_complete=explained)
@length_option
@explained_option
@click.pass_obj
@sayable
def why(obj: dict[str, Any], case: str, what: Sequence[str], length: Length, as_json: bool) -> None:
    """Explain a cause, fix, test, caution, question, `dose FIX` or `order`.

    Without WHAT: the first cause and the first fix.
    """
    from diagnose.commands.explain import why as explain

    raise SystemExit(explain(obj["rules"], obj["cases"], case, what, length, as_json, against=False))


@command("diagnose why-not haze_2026_03_14 pectin_haze", name="why-not", files=True)
@click.argument("case", shell_complete=kept_or_file)
@click.argument("what", nargs=-1, required=True, shell_complete=explained)
@length_option
@explained_option
@click.pass_obj
@sayable
def why_not(obj: dict[str, Any], case: str, what: Sequence[str], length: Length, as_json: bool) -> None:
    """Explain why it is not this cause, or why a fix, test or caution is not brought up."""
    from diagnose.commands.explain import why as explain

    raise SystemExit(explain(obj["rules"], obj["cases"], case, what, length, as_json, against=True))


@command(
    "diagnose what-if haze_2026_03_14 gas=lively",
    "diagnose what-if haze --without gas",
    name="what-if",
    files=True,
)
@click.argument("case", shell_complete=kept_or_file)
@click.argument("answers", nargs=-1)
@click.option(
    "--without",
    multiple=True,
    metavar="NAME",
    shell_complete=questions,
    help="Suppose that this were not known.",
)
@length_option
@explained_option
@click.pass_obj
@sayable
def what_if(
    obj: dict[str, Any],
    case: str,
    answers: Sequence[str],
    without: Sequence[str],
    length: Length,
    as_json: bool,
) -> None:
    """Show what would move with other answers, written name=answer. The case stays as it is.

    Without any: the smallest sets of answers that would put another cause, or another fix, first.
    """
    from diagnose.commands.explain import suppose

    raise SystemExit(suppose(obj["rules"], obj["cases"], case, answers, without, length, as_json))


SECTION = (
    "The advice, and why",
    (
        plan,
        report,
        sheet,
        why,
        why_not,
        what_if,
    ),
)
