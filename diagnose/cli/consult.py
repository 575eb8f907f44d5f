"""Going on with a consultation, one without questions, and the demonstration."""

from __future__ import annotations

from typing import Any

import click

from .completing import kept, kept_or_file
from .help import command
from .shared import sayable


@command("diagnose continue", "diagnose continue haze_2026_03_14", name="continue")
@click.argument("name", required=False, shell_complete=kept)
@click.pass_obj
@sayable
def continue_(obj: dict[str, Any], name: str | None) -> None:
    """Go on with a case: the newest, or the one named."""
    from diagnose.commands.consult import consult_again

    raise SystemExit(consult_again(name=name, **obj))


@command("diagnose demo", "diagnose demo --tour")
@click.option("--tour", is_flag=True, help="Stop at each screen and tell what stands there.")
@click.pass_obj
@sayable
def demo(obj: dict[str, Any], tour: bool) -> None:
    """Play the demonstration consultation, from the first words to the plan."""
    from diagnose.commands.demo import guide, play

    raise SystemExit(guide(obj["rules"], obj["cases"]) if tour else play(obj["rules"]))


@command("diagnose judge my_white.yaml", "diagnose judge my_white.yaml --ready", files=True)
@click.argument("case", shell_complete=kept_or_file)
@click.option("--json", "as_json", is_flag=True, help="Print the whole judgement as JSON.")
@click.option("--ready", is_flag=True, help="Show only whether the wine is ready to bottle, gate by gate.")
@click.pass_obj
@sayable
def judge(obj: dict[str, Any], case: str, as_json: bool, ready: bool) -> None:
    """Judge a case file, or a kept case, without asking anything."""
    from diagnose.commands.judge import judge_case

    raise SystemExit(judge_case(obj["rules"], obj["cases"], case, as_json, ready))


SECTION = (
    "A wine in trouble",
    (
        continue_,
        demo,
        judge,
    ),
)
