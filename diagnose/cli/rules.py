"""The rules themselves: checked, tried, compared, added to, reviewed and read as a book."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Any

import click

from .completing import causes, topics
from .help import command
from .shared import sayable, to_option


@command("diagnose book --cause pectin_haze --to pectin_haze.html")
@click.option("--cause", metavar="NAME", shell_complete=causes, help="Only this cause, as a sheet to print.")
@click.option(
    "--on",
    "cases",
    metavar="FOLDER",
    multiple=True,
    type=click.Path(path_type=Path, exists=True),
    help="Tell what these worked cases say of each page, instead of those that came along.",
)
@click.option(
    "--without-cases", is_flag=True, help="Leave out what worked cases say of each page; it is faster."
)
@to_option
@click.pass_obj
@sayable
def book(
    obj: dict[str, Any], cause: str | None, cases: Sequence[Path], without_cases: bool, to: Path | None
) -> None:
    """Write the rules as a book: every cause, test, fix and rule in sentences."""
    from diagnose.commands.book import book as write_book

    raise SystemExit(write_book(obj["rules"], obj["units"], cause, cases, not without_cases, to))


@command("diagnose check", "diagnose check my_cases")
@click.option("--schema", is_flag=True, help="Print the JSON schema of `judge --json`.")
@click.option(
    "--judgements",
    is_flag=True,
    help="List the evidence that rests on judgement, practice or memory, and where it is.",
)
@click.option("--weaknesses", is_flag=True, help="List what is no mistake and still weak, with the mend.")
@click.option("--only", multiple=True, metavar="KIND", help="List weaknesses of this kind only.")
@click.option("--json", "as_json", is_flag=True, help="Print the weaknesses as JSON.")
@click.argument("files", nargs=-1, type=click.Path(path_type=Path))
@click.pass_obj
@sayable
def check(
    obj: dict[str, Any],
    files: Sequence[Path],
    schema: bool,
    judgements: bool,
    weaknesses: bool,
    only: Sequence[str],
    as_json: bool,
) -> None:
    """Check the rules, and case files against what they expect."""
    from diagnose.commands.check import check_all, list_judgements, list_weaknesses

    if sum((schema, judgements, weaknesses)) > 1:
        raise click.UsageError("--schema, --judgements and --weaknesses: ask for one of them at a time.")
    if weaknesses:
        raise SystemExit(list_weaknesses(obj["rules"], files, only, as_json))
    if only or as_json:
        raise click.UsageError("--only and --json go with --weaknesses.")

    if schema:
        from diagnose.commands.schema import print_schema

        raise SystemExit(print_schema("judgement"))
    if judgements:
        if files:
            raise click.UsageError("--judgements goes through the rules and takes no case files.")
        raise SystemExit(list_judgements(obj["rules"]))
    raise SystemExit(check_all(obj["rules"], files))


@command("diagnose schema cases")
@click.argument("kind", type=click.Choice(["rules", "cases", "judgement", "plan", "explanations"]))
@sayable
def schema(kind: str) -> None:
    """Print the JSON schema of rule files or case files, for an editor; or of what is printed as JSON."""
    from diagnose.commands.schema import print_schema

    raise SystemExit(print_schema(kind))


jobs_option = click.option(
    "--jobs", type=click.IntRange(1, 64), metavar="NUMBER", help="Processes that share the work."
)


@command("diagnose try my_cases", name="try")
@click.argument("cases", nargs=-1, type=click.Path(path_type=Path, exists=True))
@click.option(
    "--coverage", is_flag=True, help="Show also which rules spoke in these cases, and which never did."
)
@jobs_option
@click.pass_obj
@sayable
def try_(obj: dict[str, Any], cases: Sequence[Path], coverage: bool, jobs: int | None) -> None:
    """Try worked cases on the rules: those named, or all that came along."""
    from diagnose.commands.try_cases import try_them

    raise SystemExit(try_them(obj["rules"], cases, jobs, coverage))


@command("diagnose impact rules_of_last_year --on my_cases")
@click.argument("before")
@click.argument("after", required=False)
@click.option(
    "--on",
    "cases",
    metavar="FOLDER",
    multiple=True,
    type=click.Path(path_type=Path, exists=True),
    help="Compare on these cases instead of those that came along; may be given several times.",
)
@click.option(
    "--simulated",
    type=click.IntRange(0, 1000),
    metavar="NUMBER",
    default=2,
    show_default=True,
    help="Cases made from each worked one with fewer answers, and as many with one answer changed.",
)
@click.option("--questions", is_flag=True, help="Count also the questions each worked case takes; slow.")
@jobs_option
@click.pass_obj
@sayable
def impact(
    obj: dict[str, Any],
    before: str,
    after: str | None,
    cases: Sequence[Path],
    simulated: int,
    questions: bool,
    jobs: int | None,
) -> None:
    """Show what a change of the rules changes for people, over all cases.

    BEFORE and AFTER are folders of rules, or commits or branches; without AFTER the rules in use are taken.
    Ends with 4 when something changes, and with 5 when something that guarded is gone.
    """
    from diagnose.commands.impact import Wanted
    from diagnose.commands.impact import impact as compare

    raise SystemExit(compare(obj["rules"], Wanted(before, after, cases, simulated, questions, jobs)))


worked_option = click.option(
    "--worked",
    metavar="FOLDER",
    type=click.Path(path_type=Path, file_okay=False),
    help="The folder of worked cases a change is held against; without it the cases that came along.",
)


@command("diagnose review --topic haze --list")
@click.option(
    "--topic",
    metavar="SUBJECT",
    shell_complete=topics,
    help="Only what belongs to this subject, such as haze.",
)
@click.option("--by", metavar="INITIALS", help="Who reviews; asked for if not given.")
@click.option(
    "--list", "listed", is_flag=True, help="List what is not reviewed, or changed since; ask nothing."
)
@worked_option
@click.pass_obj
@sayable
def review(obj: dict[str, Any], topic: str | None, by: str | None, listed: bool, worked: Path | None) -> None:
    """Read rows of evidence, tests and fixes as cards, and stand behind them or mend them."""
    from diagnose.commands.review import review as go_through

    raise SystemExit(go_through(obj["rules"], topic, by, listed, worked))


@command(
    "diagnose --rules my_rules add --worked my_cases",
    "diagnose --rules my_rules add evidence --worked my_cases",
)
@click.argument("kind", required=False, type=click.Choice(["cause", "evidence", "test", "fix"]))
@click.option(
    "--in",
    "into",
    metavar="FOLDER",
    type=click.Path(path_type=Path, file_okay=False),
    help="The folder for new pages; without it they go to the others of their subject.",
)
@worked_option
@click.pass_obj
@sayable
def add(obj: dict[str, Any], kind: str | None, into: Path | None, worked: Path | None) -> None:
    """Add a cause, a row of evidence, a test or a fix, by conversation, with a worked case."""
    from diagnose.commands.add import add as add_one

    raise SystemExit(add_one(obj["rules"], kind, into, worked))


SECTION = (
    "The rules, with a mentor",
    (
        book,
        check,
        schema,
        try_,
        impact,
        review,
        add,
    ),
)
