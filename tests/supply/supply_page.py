"""The page of measured versions, and the ranges that `diagnose check-setup` goes by, made from what was measured.

Run by itself it writes both: `python tests/supply/supply_page.py`.
"""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import yaml
from measure import EDGES, PARTS, PYTHONS

HERE = Path(__file__).resolve().parent
ROOT = HERE.parents[1]
PAGE = ROOT / "docs" / "supply.md"
TESTED = ROOT / "diagnose" / "setup_check" / "tested.yaml"

NOT_YET = "–"

HEAD = """# What the program stands on

Each run-time package is tried at its lowest and at its newest version on every Python named; the table of runs says
which were. The wheel is built once and installed away from the checkout. The demonstration must come to its plan, a
report be written, and all tests of the parts named with the run pass. One test of speed is left out, since it holds a
time. The parts are

- `all`: {all};
- `short`: {short}.

*Lowest* is the lower bound in `pyproject.toml`, or the first release with a wheel for that Python where it is later.
*Newest* is what `tests/supply/test.lock` holds, installed with its hashes. `python tests/supply/measure.py` measures
anew, and `python tests/supply/supply_page.py` writes this page and the ranges that `diagnose check-setup` goes by; see
[carrying it on](../DEVELOPERS.md#supply). Licences stand in [licences](licences.md).
"""


def measured() -> dict[str, Any]:
    """What was measured: the parts, and a row for each Python and edge."""
    found: dict[str, Any] = yaml.safe_load((HERE / "measured.yaml").read_text(encoding="utf-8"))
    return found


def supply_page() -> str:
    """The whole page."""
    runs = measured()["measured"]
    cells = {(minor(run), run["edge"]): run for run in runs}
    told = {name: ", ".join(f"`{part}`" for part in parts) for name, parts in PARTS.items()}
    lines = [HEAD.format(**told)]
    lines.append("## Versions, lowest to newest\n")
    lines.append("| package | " + " | ".join(f"Python {python}" for python in PYTHONS) + " |")
    lines.append("| --- |" + " --- |" * len(PYTHONS))
    for name in sorted(runs[0]["versions"]):
        spans = (
            [cells[python, edge]["versions"][name] if (python, edge) in cells else NOT_YET for edge in EDGES]
            for python in PYTHONS
        )
        lines.append(f"| {name} | " + " | ".join(" to ".join(dict.fromkeys(span)) for span in spans) + " |")
    lines.append("\n## Runs\n")
    lines.append(
        "| Python | edge | parts | tests passed | failed | skipped | on |\n| --- | --- | --- | --- | --- | --- | --- |"
    )
    for run in runs:
        # A run with a failure is not kept at all.
        row = (run["python"], run["edge"], run["parts"], run["passed"], 0, run["skipped"], run["on"])
        lines.append("| " + " | ".join(map(str, row)) + " |")
    lacking = [f"{python} {edge}" for python in PYTHONS for edge in EDGES if (python, edge) not in cells]
    if lacking:
        lines.append(f"\nNot measured yet: {', '.join(lacking)}.")
    return "\n".join(lines) + "\n"


def ranges_file() -> str:
    """The ranges over all Pythons, as the program reads them."""
    runs = measured()["measured"]
    lines = ["# Written by tests/supply/supply_page.py from what was measured; see docs/supply.md."]
    lines.append(f"python: {span([minor(run) for run in runs])}")
    lines.append("packages:")
    for name in sorted(runs[0]["versions"]):
        lines.append(f"  {name}: {span([run['versions'][name] for run in runs])}")
    return "\n".join(lines) + "\n"


def span(versions: list[str]) -> str:
    """Lowest and newest of some versions, as a mapping."""
    return f'{{lowest: "{min(versions, key=order)}", newest: "{max(versions, key=order)}"}}'


def minor(run: dict[str, Any]) -> str:
    """3.10 of 3.10.13."""
    return ".".join(run["python"].split(".")[:2])


def order(version: str) -> tuple[int, ...]:
    """A version by its numbers."""
    return tuple(int(part) for part in re.findall(r"\d+", version))


if __name__ == "__main__":
    PAGE.write_text(supply_page(), encoding="utf-8")
    TESTED.write_text(ranges_file(), encoding="utf-8")
