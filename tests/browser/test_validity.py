"""The pages before the reference checker of HTML, where a machine has it."""

from __future__ import annotations

import json
import os
import shutil
import subprocess
from collections.abc import Iterable
from pathlib import Path
from typing import Any

import pytest
from made_pages import write_pages


@pytest.fixture(scope="session")
def checker() -> list[str]:
    """The Nu Html Checker: DIAGNOSE_VNU is the path of its vnu.jar, which runs on Java."""
    jar, java = os.environ.get("DIAGNOSE_VNU"), shutil.which("java")
    if not jar or not java:
        pytest.skip("needs java, and DIAGNOSE_VNU, the path of vnu.jar (npm install vnu-jar)")
    return [java, "-jar", jar, "--format", "json", "--stdout", "--exit-zero-always"]


def errors(checker: list[str], files: Iterable[Path]) -> list[dict[str, Any]]:
    """What it calls an error, and what it warns of."""
    done = subprocess.run(
        [*checker, *map(str, files)], capture_output=True, text=True, timeout=300, check=True
    )
    return [
        said for said in json.loads(done.stdout)["messages"] if said["type"] != "info" or "subType" in said
    ]


def test_every_page_is_valid(checker: list[str], tmp_path: Path) -> None:
    """The reference checker has nothing against any report or sheet."""
    assert errors(checker, write_pages(tmp_path).values()) == []


def test_a_planted_error_is_found(checker: list[str], tmp_path: Path) -> None:
    """A paragraph in a heading is not let pass."""
    file = tmp_path / "planted.html"
    file.write_text(
        '<!DOCTYPE html><html lang="en"><title>t</title><h1><p>x</p></h1></html>', encoding="utf-8"
    )
    assert errors(checker, [file])
