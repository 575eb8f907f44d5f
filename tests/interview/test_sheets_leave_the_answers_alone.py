"""A question that only serves a sheet never costs an answer, and a test put off is put off whole."""

from __future__ import annotations

from pathlib import Path

import pytest
from click.testing import CliRunner
from diagnose.cli.main import main

START = "1\n1\n1\n1\nnone of these\nnone of these\n1\nenough\n"


def consult(tmp_path: Path, typed: str) -> tuple[str, str]:
    """The screen and the case file after a piped consultation."""
    env = {"DIAGNOSE_CASES": str(tmp_path), "DIAGNOSE_SETTINGS": str(tmp_path / "none.yaml")}
    shown = CliRunner().invoke(main, ["--about", "haze"], input=typed, env=env)
    assert not shown.exception or isinstance(shown.exception, SystemExit), shown.exception
    return shown.output, next(tmp_path.glob("*.yaml")).read_text(encoding="utf-8")


@pytest.mark.parametrize("leave", ["back", "stop"])
def test_leaving_the_volume_takes_no_answer_back(tmp_path: Path, leave: str) -> None:
    """`back` at the volume of a sheet leaves the sheet; what was answered before stays."""
    screen, kept = consult(tmp_path, START + f"steps wait_and_rack\n{leave}\n")
    assert "took_back" not in kept
    assert "Left as it was." in screen


def test_an_unknown_volume_is_said(tmp_path: Path) -> None:
    """Blank amounts are explained."""
    screen, _ = consult(tmp_path, START + "steps wait_and_rack\nskip\n")
    assert "amounts stay blank" in screen


def test_a_step_that_cannot_be_undone_says_so_outside_the_plan(tmp_path: Path) -> None:
    """The sheet of an irreversible fix that nothing speaks for is headed by a warning."""
    screen, _ = consult(tmp_path, START + "steps glucanase\nskip\n")
    assert "Not in your plan" in screen or "Not now" in screen or "Locked" in screen


def test_later_puts_off_the_whole_test(tmp_path: Path) -> None:
    """Who has not done the heat test is not asked for its meter readings."""
    screen, kept = consult(tmp_path, START + "read heat_test\nlater\n")
    assert "What you answered is kept." in screen
    assert "turbidity meter read for the heated" not in screen
    assert kept.count("put_off") >= 2


def test_nothing_told_means_nothing_found(tmp_path: Path) -> None:
    """Where nothing was answered, no cause is explained as if it were found."""
    screen, _ = consult(tmp_path, "enough\n")
    assert "only the commonest ones" in screen
