"""What goes wrong around the program is told in a sentence with an exit status, and never as a trace of its code."""

from __future__ import annotations

import os
import sys
from collections.abc import Callable
from pathlib import Path

import pytest
from click.testing import CliRunner
from diagnose.cli.main import main
from diagnose.cli.shared import sayable
from diagnose.commands.status import INTERRUPTED, WRONG


def broken_by(error: BaseException) -> Callable[[], None]:
    """A command during which this happens."""

    @sayable
    def command() -> None:
        raise error

    return command


@pytest.mark.parametrize(
    ("error", "status", "said"),
    [
        (
            UnicodeDecodeError("utf-8", b"\xff", 0, 1, "invalid start byte"),
            WRONG,
            "What came in is not UTF-8 text. Everything answered before is kept.",
        ),
        (
            KeyboardInterrupt(),
            INTERRUPTED,
            "Stopped. Everything answered is kept; `diagnose continue` goes on.",
        ),
        (
            OSError(28, "No space left on device", "cases/white.yaml"),
            WRONG,
            "cases/white.yaml: no space left",
        ),
        (OSError("It is gone."), WRONG, "The machine: it is gone."),
    ],
    ids=["no text", "stopped", "disk full", "no file named"],
)
def test_what_happens_to_a_command_is_told(
    error: BaseException, status: int, said: str, capsys: pytest.CaptureFixture[str]
) -> None:
    """Whoever answers questions learns what happened and that the answers are kept."""
    with pytest.raises(SystemExit) as ended:
        broken_by(error)()
    assert ended.value.code == status
    told = capsys.readouterr()
    assert said in told.err and "Traceback" not in told.err and told.out == ""


def test_a_reader_that_has_gone_is_told_nothing(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """A list cut short by `head` ends in silence: what would still be printed goes nowhere."""
    with (tmp_path / "pipe").open("w", encoding="utf-8") as pipe:
        monkeypatch.setattr(sys, "stdout", pipe)
        with pytest.raises(SystemExit) as ended:
            broken_by(BrokenPipeError())()
        assert ended.value.code == WRONG
        pipe.write("The rest of the list.")
        pipe.flush()
        assert os.path.samestat(os.fstat(pipe.fileno()), Path(os.devnull).stat())
    assert (tmp_path / "pipe").read_text(encoding="utf-8") == ""
    assert capsys.readouterr().err == ""


@pytest.mark.parametrize(
    ("typed", "missing", "names_told"),
    [(["report"], "CASE", True), (["schema"], "{rules|cases", False), (["rename", "white"], "TITLE", False)],
)
def test_what_is_missing_behind_a_command_is_named(typed: list[str], missing: str, names_told: bool) -> None:
    """Only where it is the case that is missing are the kept cases pointed to; anything else is named as it is."""
    done = CliRunner().invoke(main, typed)
    assert done.exit_code == 2
    assert f"Missing argument '{missing}" in done.output
    assert ("`diagnose cases` lists them" in done.output) == names_told
