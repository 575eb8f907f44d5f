"""Going on with a consultation, one without questions, and the demonstration."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import click

from .shared import sayable


@click.command("continue")
@click.argument("name", required=False)
@click.pass_obj
@sayable
def continue_(obj: dict[str, Any], name: str | None) -> None:
    """Go on with a case: the newest, or the one named."""
    from diagnose.commands.consult import consult_again

    raise SystemExit(consult_again(name=name, **obj))


@click.command()
@click.pass_obj
@sayable
def demo(obj: dict[str, Any]) -> None:
    """Play the demonstration consultation, from the first words to the plan."""
    from diagnose.commands.demo import play

    raise SystemExit(play(obj["rules"]))


@click.command()
@click.argument("file", type=click.Path(path_type=Path))
@click.option("--json", "as_json", is_flag=True, help="Print the whole judgement as JSON.")
@click.option("--ready", is_flag=True, help="Show only whether the wine is ready to bottle, gate by gate.")
@click.pass_obj
@sayable
def judge(obj: dict[str, Any], file: Path, as_json: bool, ready: bool) -> None:
    """Judge a case file without asking anything."""
    from diagnose.commands.judge import judge_file

    raise SystemExit(judge_file(file, as_json, ready, obj["rules"]))


SECTION = (
    "A wine in trouble",
    (
        continue_,
        demo,
        judge,
    ),
)
