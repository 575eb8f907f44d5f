"""The plan of a case, why it is so, and what is printed of it."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Any, Literal

import click

from .shared import sayable, to_option

Length = Literal["sentence", "paragraph", "full"]


@click.command()
@click.argument("case")
@click.option(
    "--from", "begins", metavar="DAY", help="The first day of work, such as 2026-11-30; otherwise today."
)
@click.option("--json", "as_json", is_flag=True, help="Print the plan as JSON.")
@click.pass_obj
@sayable
def plan(obj: dict[str, Any], case: str, begins: str | None, as_json: bool) -> None:
    """Plan the work on a case: order, days, what to have ready. CASE is a kept case or a case file."""
    from diagnose.commands.plan import plan as show_plan

    raise SystemExit(show_plan(obj["rules"], obj["cases"], case, begins, as_json))


@click.command()
@click.argument("case")
@to_option
@click.pass_obj
@sayable
def report(obj: dict[str, Any], case: str, to: Path | None) -> None:
    """Write a report of a case, to take to a mentor. CASE is a kept case or a case file."""
    from diagnose.commands.report import report as write_report

    raise SystemExit(write_report(obj["rules"], obj["cases"], case, to))


@click.command()
@click.argument("case")
@click.argument("kind", type=click.Choice(["trial", "steps"]))
@click.argument("fix")
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


@click.command()
@click.argument("case")
@click.argument("what", nargs=-1)
@length_option
@explained_option
@click.pass_obj
@sayable
def why(obj: dict[str, Any], case: str, what: Sequence[str], length: Length, as_json: bool) -> None:
    """Explain a cause, fix, test, caution, question, `dose FIX` or `order`. CASE is a kept case or a case file.

    Without WHAT: the first cause and the first fix.
    """
    from diagnose.commands.explain import why as explain

    raise SystemExit(explain(obj["rules"], obj["cases"], case, what, length, as_json, against=False))


@click.command("why-not")
@click.argument("case")
@click.argument("what", nargs=-1, required=True)
@length_option
@explained_option
@click.pass_obj
@sayable
def why_not(obj: dict[str, Any], case: str, what: Sequence[str], length: Length, as_json: bool) -> None:
    """Explain why it is not this cause, or why a fix, test or caution is not brought up."""
    from diagnose.commands.explain import why as explain

    raise SystemExit(explain(obj["rules"], obj["cases"], case, what, length, as_json, against=True))


@click.command("what-if")
@click.argument("case")
@click.argument("answers", nargs=-1)
@click.option("--without", multiple=True, metavar="NAME", help="Suppose that this were not known.")
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
