"""The guides are followed step by step, as their reader would: what they say to type works, and says what they say.

A block names what it is by the word after its fence: `yaml FILE` is written into that file, `diff FILE` changes lines
of it, `sh` is typed (and must end with 0, unless it says otherwise), and each line of a `text` must have been shown.
"""

from __future__ import annotations

import os
import re
import shutil
import subprocess
import sys
from pathlib import Path

import pytest
from pages import DOCS, ROOT, Block, blocks

OF_YOUR_OWN = ("editor", "own-rules")
"""Guides whose files stand where the reader likes; their commands are held by the tests of layers and schemas."""

GUIDES = sorted(
    file
    for file in (DOCS / "how-to").glob("*.md")
    if blocks(file.read_text(encoding="utf-8"), "sh") and file.stem not in OF_YOUR_OWN
)


@pytest.fixture
def cellar(tmp_path: Path) -> Path:
    """A folder with the shipped rules and cases, and the command on the path."""
    for name in ("rules", "cases"):
        shutil.copytree(ROOT / name, tmp_path / name)
    tools = tmp_path / "tools"
    tools.mkdir()
    for name, runs in (("diagnose", f'"{sys.executable}" -m diagnose'), ("python", f'"{sys.executable}"')):
        (tools / name).write_text(f'#!/bin/sh\nexec {runs} "$@"\n', encoding="utf-8")
        (tools / name).chmod(0o755)
    return tmp_path


def _typed(text: str, cellar: Path) -> tuple[int, str]:
    """Type the lines of a block. Returns how the last ended, and all that was shown, on one line."""
    own = {f"DIAGNOSE_{name}": str(cellar / name.lower()) for name in ("CASES", "SETTINGS", "CACHE")}
    path = f"{cellar / 'tools'}{os.pathsep}{os.environ['PATH']}"
    done = subprocess.run(
        ["/bin/sh", "-e", "-c", text],
        cwd=cellar,
        env=os.environ | own | {"PATH": path, "PYTHONPATH": str(ROOT)},
        capture_output=True,
        text=True,
        timeout=300,
        check=False,
    )
    return done.returncode, " ".join((done.stdout + done.stderr).split())


def _changed(block: Block, file: Path) -> None:
    """Change the lines of a file; what is taken out must stand there once."""
    out = "".join(f"{line[1:]}\n" for line in block.text.splitlines() if line.startswith("-"))
    put = "".join(f"{line[1:]}\n" for line in block.text.splitlines() if line.startswith("+"))
    text = file.read_text(encoding="utf-8")
    assert text.count(out) == 1, out
    file.write_text(text.replace(out, put), encoding="utf-8")


@pytest.mark.skipif(os.name == "nt", reason="the guides are typed into a POSIX shell")
@pytest.mark.parametrize("guide", GUIDES, ids=lambda guide: guide.stem)
def test_a_guide_can_be_followed(guide: Path, cellar: Path) -> None:
    """Whoever does what the page says, in its order, gets what the page says."""
    shown = ""
    for block in blocks(guide.read_text(encoding="utf-8")):
        kind, _, rest = block.info.partition(" ")
        if kind == "yaml":
            (cellar / rest).write_text(block.text, encoding="utf-8")
        elif kind == "diff":
            _changed(block, cellar / rest)
        elif kind == "text":
            for line in block.text.splitlines():
                assert " ".join(line.split()) in shown
        else:
            assert kind == "sh"
            status, shown = _typed(block.text, cellar)
            assert status in {0 if not rest.startswith("ends") else -1, *map(int, re.findall(r"\d", rest))}, (
                shown
            )


def test_the_guides_are_there() -> None:
    """Nobody has taken the commands out of a guide, so that there would be nothing to follow."""
    assert {guide.stem for guide in GUIDES} >= {
        "add-a-question",
        "add-a-source",
        "change-a-strength",
        "share-rules",
    }
