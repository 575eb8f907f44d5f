"""Writes docs/screens/*.svg: screens of the real command, as a terminal of 80 signs shows them.

    python tests/docs/screenshots.py

The letters are drawn by whoever opens the picture, so what is held current is the text and not the picture.
"""

from __future__ import annotations

import contextlib
import io
import json
import os
import re
import sys
import tempfile
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from html import unescape
from pathlib import Path
from unittest import mock

from diagnose.cli.main import main
from rich.console import Console
from rich.terminal_theme import TerminalTheme
from rich.text import Text

ROOT = Path(__file__).resolve().parents[2]
SCREENS = ROOT / "docs" / "screens"
WIDTH = 80
DEMONSTRATION = str(ROOT / "cases" / "haze" / "demonstration.yaml")

LOG_HEAD = """case: "plum"
title: "Plum wine"
topic: "stuck"
case_format: 2
wine: "Plum 2026"
units: "metric"
events:
"""
GRAVITIES = (1.094, 1.088, 1.071, 1.052, 1.036, 1.026, 1.021, 1.020, 1.020)
"""Invented: a plum wine that stops."""


@dataclass(frozen=True)
class Shot:
    """One picture: the command, what is typed at it, and which part of what it shows."""

    words: Sequence[str]
    says: str
    """What is seen, for whoever does not see the picture."""
    begins: str
    ends: str
    typed: Sequence[str] = ()


SHOTS: Mapping[str, Shot] = {
    "question": Shot(
        ("--about", "haze"),
        "The second question of a consultation. A word of it is asked for and explained.",
        "2 · What happened",
        "What could change this|What is probably wrong|3 ·",
        ("white", "what is pectin"),
    ),
    "result": Shot(
        ("judge", DEMONSTRATION),
        "A result: the causes with their chances, tests, and the steps of the plan.",
        "What is probably wrong",
        "Other ways|Not now",
    ),
    "why": Shot(
        ("why", DEMONSTRATION, "protein_haze"),
        "Why a cause is likely: each finding, its weight, the reason and the source.",
        "Why Protein haze",
        "   \\+ When the haze began|Nobody has looked",
    ),
    "plan": Shot(
        ("plan", DEMONSTRATION, "--from", "2026-03-16"),
        "A plan: what to have ready, and a line of days for each step.",
        "Have ready",
        "Step by step",
    ),
    "log": Shot(
        ("log", "plum"),
        "The log of a ferment: its readings, and the curve of its density that comes to a stop.",
        "The log of",
        "  Last read",
    ),
    "plain": Shot(
        ("--plain", "log", "plum"),
        "The same log on a plain screen: sentences in place of columns and the curve.",
        "The log of",
        "  Last read",
    ),
}


class _Terminal(io.StringIO):
    """Text that is written as to a terminal in colour."""

    def isatty(self) -> bool:
        return True


def screen(shot: Shot) -> Text:
    """What the command shows, in its colours."""
    with tempfile.TemporaryDirectory() as folder:
        readings = (
            {"at": f"2026-10-{day}T08:30", "did": "read", "about": "gravity_now", "value": gravity}
            for day, gravity in enumerate(GRAVITIES, 10)
        )
        (Path(folder) / "cases").mkdir()
        lines = "".join(f"- {json.dumps(reading)}\n" for reading in readings)
        (Path(folder) / "cases" / "plum.yaml").write_text(LOG_HEAD + lines, encoding="utf-8")
        environment = {
            "DIAGNOSE_CASES": f"{folder}/cases",
            "DIAGNOSE_SETTINGS": f"{folder}/settings.yaml",
            "DIAGNOSE_CACHE": f"{folder}/cache",
            "TERM": "xterm-256color",
            "COLUMNS": str(WIDTH),
            "LINES": "40",
        }
        typed = io.StringIO("".join(f"{line}\n" for line in shot.typed))
        out = _Terminal()
        with (
            mock.patch.dict(os.environ, environment),
            mock.patch.object(sys, "stdin", typed),
            contextlib.redirect_stdout(out),
            contextlib.suppress(SystemExit),
        ):
            os.environ.pop("NO_COLOR", None)
            main(list(shot.words), prog_name="diagnose")
    found = Text.from_ansi(out.getvalue()).split("\n")
    first = next(at for at, line in enumerate(found) if line.plain.startswith(shot.begins))
    last = next(at for at in range(first + 1, len(found)) if re.match(shot.ends, found[at].plain))
    kept = list(found[first:last])
    while not kept[-1].plain.strip():
        kept.pop()
    return Text("\n").join(kept)


PAPER, INK = (250, 248, 243), (44, 40, 36)
_CALM = [
    INK,
    (160, 52, 40),
    (74, 110, 58),
    (140, 94, 0),
    (60, 84, 120),
    (110, 70, 110),
    (50, 108, 112),
    (90, 86, 80),
]
THEME = TerminalTheme(PAPER, INK, _CALM, _CALM)

FORMAT = """<svg viewBox="0 0 {width} {height}" xmlns="http://www.w3.org/2000/svg" role="img">
<title>SAYS</title>
<style>
.{unique_id}-matrix {{ font-family: ui-monospace, "DejaVu Sans Mono", Menlo, Consolas, monospace;
 font-size: {char_height}px; line-height: {line_height}px; }}
{styles}
</style>
<defs>
<clipPath id="{unique_id}-clip-terminal"><rect width="{terminal_width}" height="{terminal_height}"/></clipPath>
{lines}
</defs>
<rect width="{width}" height="{height}" fill="#faf8f3"/>
<g transform="translate({terminal_x}, 12)">
{backgrounds}
<g class="{unique_id}-matrix">
{matrix}
</g>
</g>
</svg>
"""


def picture(name: str, shot: Shot) -> str:
    """The screen as SVG, without a frame of any window."""
    console = Console(
        record=True, file=io.StringIO(), width=WIDTH, force_terminal=True, color_system="truecolor"
    )
    console.print(screen(shot), soft_wrap=True)
    svg = console.export_svg(theme=THEME, code_format=FORMAT.replace("SAYS", shot.says), unique_id=name)
    return re.sub(r"[ \t]+\n", "\n", svg)


def words_of(svg: str) -> str:
    """The text of a picture, line by line."""
    by_line: dict[float, list[tuple[float, str]]] = {}
    for x, y, text in re.findall(r'<text[^>]*? x="([\d.]+)" y="([\d.]+)"[^>]*>(.*?)</text>', svg, re.S):
        by_line.setdefault(float(y), []).append((float(x), unescape(text)))
    lines = ("".join(text for _, text in sorted(by_line[y])) for y in sorted(by_line))
    return "\n".join(" ".join(line.split()) for line in lines if line.strip())


if __name__ == "__main__":
    SCREENS.mkdir(exist_ok=True)
    for name, shot in SHOTS.items():
        (SCREENS / f"{name}.svg").write_text(picture(name, shot), encoding="utf-8", newline="\n")
