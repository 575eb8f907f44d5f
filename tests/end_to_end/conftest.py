"""Driving the real command, as a person or a script would."""

from __future__ import annotations

import os
import subprocess
from collections.abc import Sequence
from pathlib import Path
from typing import Any

import pytest
from ready_start import Run
from ready_start import run_command as start
from terminal import about_haze


@pytest.fixture
def home(tmp_path: Path) -> Path:
    """A folder of its own for cases and settings."""
    return tmp_path


@pytest.fixture
def environment(home: Path) -> dict[str, str]:
    """The environment of a person who has a place for cases, and was asked for units and law before."""
    (home / "settings.yaml").write_text("units: metric\n", encoding="utf-8")
    keep = {key: value for key, value in os.environ.items() if key in ("PATH", "HOME", "SYSTEMROOT")}
    places = {"DIAGNOSE_CASES": str(home / "cases"), "DIAGNOSE_SETTINGS": str(home / "settings.yaml")}
    return {**keep, **places, "LANG": "C.UTF-8", "TERM": "xterm-256color", "COLUMNS": "80"}


@pytest.fixture
def run(environment: dict[str, str]) -> Run:
    """Run the command with lines from a pipe."""

    def run_command(
        *arguments: str, lines: Sequence[str] | bytes = (), **more: Any
    ) -> subprocess.CompletedProcess[str]:
        raw = lines if isinstance(lines, bytes) else "".join(f"{line}\n" for line in lines).encode()
        done = start(about_haze(arguments), {**environment, **more.pop("environment", {})}, raw, **more)
        out, err = done.stdout.decode("utf-8", "replace"), done.stderr.decode("utf-8", "replace")
        return subprocess.CompletedProcess(done.args, done.returncode, out, err)

    return run_command
