"""The command `diagnose`: thin commands over the rooms of the package.

Exit status: 0 done, 1 something is wrong with a file or the machine, 2 the command was misused, 3 incomplete
(the advice needs more answers, or the consultation was left before its end), 4 and 5 a change of rules changes
something, and guards less, 130 interrupted.
"""

from __future__ import annotations

import contextlib
import io
import os
import sys
from collections.abc import Callable, Sequence
from functools import wraps
from pathlib import Path
from typing import Any, Literal, TypeVar

import click

from diagnose import __version__
from diagnose.casebook.store import CannotKeep
from diagnose.commands.status import INTERRUPTED, WRONG
from diagnose.knowledge.own import RuleFolders
from diagnose.knowledge.problems import RuleFilesWrong

Length = Literal["sentence", "paragraph", "full"]
F = TypeVar("F", bound=Callable[..., Any])


def sayable(function: F) -> F:
    """Turn what can go wrong into one clear sentence and an exit status."""

    @wraps(function)
    def run(*args: Any, **kwargs: Any) -> Any:
        try:
            return function(*args, **kwargs)
        except RuleFilesWrong as wrong:
            _complain(str(wrong))
            if len(wrong.problems) > 1:
                _complain(f"{len(wrong.problems)} mistakes.")
        except CannotKeep as error:
            _complain(str(error))
        except UnicodeDecodeError:
            _complain("What came in is not UTF-8 text. Everything answered before is kept.")
        except BrokenPipeError:
            # The reader of our output has gone; there is nobody to tell.
            os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        except KeyboardInterrupt:
            _complain("\nStopped. Everything answered is kept; `diagnose continue` goes on.")
            raise SystemExit(INTERRUPTED) from None
        except OSError as error:
            _complain(f"{error.filename or 'The machine'}: {(error.strerror or str(error)).lower()}.")
        raise SystemExit(WRONG)

    return run  # type: ignore[return-value]


def _complain(sentence: str) -> None:
    # When the terminal is closed, the exit status still tells.
    with contextlib.suppress(OSError):
        click.echo(sentence, err=True)


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


@click.group(invoke_without_command=True, context_settings={"help_option_names": ["-h", "--help"]})
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


@main.command("continue")
@click.argument("name", required=False)
@click.pass_obj
@sayable
def continue_(obj: dict[str, Any], name: str | None) -> None:
    """Go on with a case: the newest, or the one named."""
    from diagnose.commands.consult import consult_again

    raise SystemExit(consult_again(name=name, **obj))


@main.command()
@click.argument("words", nargs=-1)
@click.option("--wine", help="Only cases of this wine.")
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


@main.command()
@click.argument("case")
@click.argument("name")
@click.pass_obj
@sayable
def wine(obj: dict[str, Any], case: str, name: str) -> None:
    """Say which wine a case is about."""
    from diagnose.commands.cases import name_case

    raise SystemExit(name_case(obj["rules"], obj["cases"], case, "wine", name))


@main.command()
@click.argument("case")
@click.argument("title")
@click.pass_obj
@sayable
def rename(obj: dict[str, Any], case: str, title: str) -> None:
    """Give a case another title. Its name stays."""
    from diagnose.commands.cases import name_case

    raise SystemExit(name_case(obj["rules"], obj["cases"], case, "title", title))


@main.command()
@click.argument("case")
@click.option("--only-wine", is_flag=True, help="Take over only what stays with the wine.")
@click.pass_obj
@sayable
def copy(obj: dict[str, Any], case: str, only_wine: bool) -> None:
    """Begin a new case from the answers of another."""
    from diagnose.commands.cases import copy as begin_copy

    raise SystemExit(begin_copy(obj["rules"], obj["cases"], case, only_wine))


@main.command()
@click.argument("case")
@click.pass_obj
@sayable
def archive(obj: dict[str, Any], case: str) -> None:
    """Put a case away, out of the list."""
    from diagnose.commands.cases import archive as move

    raise SystemExit(move(obj["cases"], case, back=False))


@main.command()
@click.argument("case")
@click.pass_obj
@sayable
def unarchive(obj: dict[str, Any], case: str) -> None:
    """Bring a case back from the archive."""
    from diagnose.commands.cases import archive as move

    raise SystemExit(move(obj["cases"], case, back=True))


@main.command()
@click.argument("case")
@click.argument("how", required=False, type=click.Choice(["solved", "not-solved", "given-up"]))
@click.option("--lesson", help="What you will want to remember next time.")
@click.pass_obj
@sayable
def close(obj: dict[str, Any], case: str, how: str | None, lesson: str | None) -> None:
    """Close a case, with what you learned from it."""
    from diagnose.commands.cases import close as close_case

    raise SystemExit(close_case(obj["rules"], obj["cases"], case, how, lesson))


@main.command()
@click.argument("case")
@click.pass_obj
@sayable
def reopen(obj: dict[str, Any], case: str) -> None:
    """Open a closed case again."""
    from diagnose.commands.cases import reopen as open_again

    raise SystemExit(open_again(obj["rules"], obj["cases"], case))


@main.command()
@click.pass_obj
@sayable
def demo(obj: dict[str, Any]) -> None:
    """Play the demonstration consultation, from the first words to the plan."""
    from diagnose.commands.demo import play

    raise SystemExit(play(obj["rules"]))


@main.command()
@click.argument("file", type=click.Path(path_type=Path))
@click.option("--json", "as_json", is_flag=True, help="Print the whole judgement as JSON.")
@click.option("--ready", is_flag=True, help="Show only whether the wine is ready to bottle, gate by gate.")
@click.pass_obj
@sayable
def judge(obj: dict[str, Any], file: Path, as_json: bool, ready: bool) -> None:
    """Judge a case file without asking anything."""
    from diagnose.commands.judge import judge_file

    raise SystemExit(judge_file(file, as_json, ready, obj["rules"]))


@main.command()
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


to_option = click.option(
    "--to",
    type=click.Path(path_type=Path, dir_okay=False),
    help="Write into this .html or .md file instead of printing Markdown.",
)


@main.command()
@click.argument("case")
@to_option
@click.pass_obj
@sayable
def report(obj: dict[str, Any], case: str, to: Path | None) -> None:
    """Write a report of a case, to take to a mentor. CASE is a kept case or a case file."""
    from diagnose.commands.report import report as write_report

    raise SystemExit(write_report(obj["rules"], obj["cases"], case, to))


@main.command()
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


@main.command()
@click.option("--cause", metavar="NAME", help="Only this cause, as a sheet to print.")
@click.option(
    "--on",
    "cases",
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


on_option = click.option("--on", metavar="DAY", help="The day: 2026-11-30, today or yesterday.")
note_option = click.option("--note", metavar="TEXT", help="A remark kept with it.")


@main.command()
@click.argument("case", required=False)
@click.argument("fix", required=False)
@click.argument("amounts", nargs=-1)
@click.option("--step", type=int, help="Only this step of it, counted from 1.")
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


@main.command()
@click.argument("case", required=False)
@click.argument("fix", required=False)
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


@main.command()
@click.argument("case")
@click.argument("text", nargs=-1)
@on_option
@click.pass_obj
@sayable
def note(obj: dict[str, Any], case: str, text: Sequence[str], on: str | None) -> None:
    """Keep a remark with a case. Nothing is concluded from it."""
    from diagnose.commands.done import record_note

    raise SystemExit(record_note(obj["rules"], obj["cases"], case, text, on))


@main.command()
@click.option("--on", metavar="DAY", help="Seen from this day instead of today.")
@click.option("--all", "everything", is_flag=True, help="Also what comes after this week, and closed cases.")
@click.option(
    "--calendar",
    type=click.Path(path_type=Path, dir_okay=False),
    help="Write what has a day into this .ics file, for a calendar.",
)
@click.pass_obj
@sayable
def due(obj: dict[str, Any], on: str | None, everything: bool, calendar: Path | None) -> None:
    """Show what is late, due today and due this week, over all cases."""
    from diagnose.commands.due import show_what_is_due

    raise SystemExit(show_what_is_due(obj["rules"], obj["cases"], on, everything, calendar))


length_option = click.option(
    "--length",
    type=click.Choice(["sentence", "paragraph", "full"]),
    default="full",
    help="How much is told: a sentence, a paragraph, or the whole tree.",
)
explained_option = click.option("--json", "as_json", is_flag=True, help="Print the explanation as JSON.")


@main.command()
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


@main.command("why-not")
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


@main.command("what-if")
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


@main.command()
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
    """Check the rule base, and case files against what they expect."""
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


@main.command()
@click.argument("kind", type=click.Choice(["rules", "cases", "judgement", "plan", "explanations"]))
@sayable
def schema(kind: str) -> None:
    """Print the JSON schema of rule files or case files, for an editor; or of what is printed as JSON."""
    from diagnose.commands.schema import print_schema

    raise SystemExit(print_schema(kind))


jobs_option = click.option("--jobs", type=click.IntRange(1, 64), help="Processes that share the work.")


@main.command("try")
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


@main.command()
@click.argument("before")
@click.argument("after", required=False)
@click.option(
    "--on",
    "cases",
    multiple=True,
    type=click.Path(path_type=Path, exists=True),
    help="Compare on these cases instead of those that came along; may be given several times.",
)
@click.option(
    "--simulated",
    type=click.IntRange(0, 1000),
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


@main.command()
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


@main.command()
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


@main.command()
@click.argument("case")
@click.argument("readings", nargs=-1)
@click.option("--on", metavar="DAY", help="The day of these readings, and its time if you like; else now.")
@click.option(
    "--import", "table", metavar="FILE", help="Take the readings of a CSV file; - for standard input."
)
@click.option("--paste", is_flag=True, help="Take lines such as '12 Oct 1.050 20C', until an empty one.")
@click.option(
    "--dates",
    type=click.Choice(["day-first", "month-first"]),
    help="How to read a day such as 12/10/2026.",
)
@click.option("--keep-good", is_flag=True, help="Keep what is right, where some of it is wrong.")
@click.option(
    "--save", type=click.Path(path_type=Path, dir_okay=False), help="Draw the curves into a .svg file."
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


worked_option = click.option(
    "--worked",
    type=click.Path(path_type=Path, file_okay=False),
    help="The folder of worked cases a change is held against; without it the cases that came along.",
)


@main.command()
@click.option("--topic", help="Only what belongs to this subject, such as haze.")
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


@main.command()
@click.argument("kind", required=False, type=click.Choice(["cause", "evidence", "test", "fix"]))
@click.option(
    "--in",
    "into",
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
