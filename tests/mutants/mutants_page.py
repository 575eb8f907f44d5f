"""The page about the tests of the tests, made from what was measured: `python tests/mutants/mutants_page.py`.

Reads measured.yaml, which try_mutants.py and cover.py write, and reasons.yaml, which a person keeps.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import yaml

HERE = Path(__file__).parent
ROOT = HERE.parents[1]
PAGE = ROOT / "docs" / "mutants.md"
NO_REASON = "**no reason given**"

HEAD = """# Tests of the tests: would they notice?

A test is worth something if it fails when the program is wrong. So one small thing in the program is changed (`<` into
`<=`, plus into minus, a figure by a tenth, a check of the inputs left out), the tests that run that line are run, and
one of them must fail: the change is *killed*. A change that no test minds *survives*. Survivors are listed with the
reason that a person gave; where there is none, the gap is open.

This page is written by `python tests/mutants/mutants_page.py` from the last runs of

```sh
python tests/mutants/try_mutants.py --seed 1   # tries changes, and keeps what it found
python tests/mutants/cover.py                  # the whole suite, counting the lines and branches it runs
```

The changes are far too many to try them all, so each run draws the same share of every room by a seed. What holds for
all of them is told as an interval: 95 of 100 such draws hold the true rate within theirs (Wilson's interval, with no
allowance for having drawn without putting back, which makes it a little too wide).
"""
LIMITS = """
## What this does not show

- Texts are not changed, nor is anything in the sentence of an error: whether words are right is for readers to say.
  How a field is shown to a programmer, and `strict`, which stops at a slip of one, are left alone too.
- Only tests that run within one process are tried; those that drive the real command see no change. With them more
  changes would be killed.
- For one change the likeliest tests are tried, up to the seconds named; a slower test might have noticed.
- The tests drawn from properties draw the same examples on every run here. On other days they draw others.
- A change that makes the program run on for too long counts as killed.
- A line that is run is not thereby tested: the share of lines says where nobody looked, and no more.
"""


def interval(killed: int, drawn: int) -> tuple[float, float]:
    """Wilson's 95 % interval for a share, in percent."""
    if not drawn:
        return 0.0, 100.0
    z, share = 1.959964, killed / drawn
    middle = (share + z * z / (2 * drawn)) / (1 + z * z / drawn)
    half = z * math.sqrt(share * (1 - share) / drawn + z * z / (4 * drawn * drawn)) / (1 + z * z / drawn)
    return 100 * (middle - half), 100 * (middle + half)


def reason_for(survivor: dict[str, Any], reasons: list[dict[str, str]]) -> str:
    """What a person said about it; a reason goes with a line of a file and a change of it, wherever the line moves."""
    for one in reasons:
        if all(one[key] == survivor[key] for key in ("file", "text", "change")):
            return " ".join(one["reason"].split())
    if "noticed" in survivor:
        return f"a gap then; noticed by a test since {survivor['noticed']}"
    return f"the line was gone by {survivor['gone']}" if "gone" in survivor else NO_REASON


def page(measured: dict[str, Any], reasons: list[dict[str, str]]) -> str:
    """The whole page."""
    return "\n".join(
        [
            HEAD,
            *_summary(measured["runs"]),
            *(line for run in measured["runs"] for line in _run(run, reasons)),
            *_coverage(measured.get("coverage")),
            LIMITS,
        ]
    )


def read() -> tuple[dict[str, Any], list[dict[str, str]]]:
    """What was measured, and the reasons."""
    measured = yaml.safe_load((HERE / "measured.yaml").read_text("utf-8"))
    return measured, yaml.safe_load((HERE / "reasons.yaml").read_text("utf-8"))


def _summary(runs: list[dict[str, Any]]) -> Iterator[str]:
    yield "| seed | date | room | changes there are | drawn | killed | rate | 95 % interval |"
    yield "| ---: | --- | --- | ---: | ---: | ---: | ---: | --- |"
    for run in runs:
        together = {"**together**": _sum(run["rooms"])} if len(run["rooms"]) > 1 else {}
        rooms = {**run["rooms"], **together}
        for room, counted in rooms.items():
            low, high = interval(counted["killed"], counted["drawn"])
            rate = 100 * counted["killed"] / counted["drawn"]
            yield (
                f"| {run['seed']} | {run['date']} | {room} | {counted['changes']} | {counted['drawn']} "
                f"| {counted['killed']} | {rate:.1f} % | {low:.1f} to {high:.1f} % |"
            )
    yield ""


def _sum(rooms: dict[str, dict[str, int]]) -> dict[str, int]:
    return {
        key: sum(counted[key] for counted in rooms.values())
        for key in ("changes", "drawn", "killed", "by_time")
    }


def _run(run: dict[str, Any], reasons: list[dict[str, str]]) -> Iterator[str]:
    yield f"## Seed {run['seed']}\n"
    yield (
        f"{run['note']} {run['share_percent']:g} % of the changes of each room, on {run['date']}, in {run['minutes']} "
        f"minutes, with Python {run['python']}, pytest {run['pytest']}, hypothesis {run['hypothesis']} and coverage "
        f"{run['coverage']}; {run['tests']} tests at hand, up to "
        f"{run['seconds_of_tests']:g} seconds of them for each change. "
        f"{_sum(run['rooms'])['by_time']} were killed by running on for too long. {run['controls']} places were "
        f"tried with nothing changed: no test failed. {_open(run, reasons)}\n"
    )
    yield "| survivor | line | change | reason |"
    yield "| --- | --- | --- | --- |"
    for one in run["survivors"]:
        place = f"{one['file']}:{one['line']}"
        yield f"| {place} | {_code(one['text'])} | {_code(one['change'])} | {reason_for(one, reasons)} |"
    yield ""


def _open(run: dict[str, Any], reasons: list[dict[str, str]]) -> str:
    found = [reason_for(one, reasons) for one in run["survivors"]]
    return f"{len(found)} survived, of which {found.count(NO_REASON)} have no reason yet."


def _coverage(measured: dict[str, Any] | None) -> Iterator[str]:
    if not measured:
        return
    yield "## What the whole suite runs\n"
    yield (
        f"Measured on {measured['date']} with coverage {measured['version']} over the whole suite, the processes that "
        f"it starts counted too: **{measured['lines']:.1f} % of the lines and {measured['branches']:.1f} % of the "
        f"branches** of `diagnose/` ({measured['statements']} lines that do something, {measured['branch_count']} ways "
        f"to branch). {measured['note']}\n"
    )
    yield "| room | lines | branches | files of which less than 95 % is run (lines and branches together) |"
    yield "| --- | ---: | ---: | --- |"
    for room, counted in measured["rooms"].items():
        low = ", ".join(f"{file} {share:.0f} %" for file, share in counted["low"].items())
        yield f"| {room} | {counted['lines']:.1f} % | {counted['branches']:.1f} % | {low} |"


def _code(text: str) -> str:
    shown = text if len(text) <= 110 else f"{text[:70]} … {text[-37:]}"
    return f"`{shown.replace('|', chr(92) + '|')}`"


def main() -> None:
    """Write the page."""
    PAGE.write_text(page(*read()), "utf-8")


if __name__ == "__main__":
    main()
