"""Stop the command at many points, and write what was found: `python tests/crash/long_run.py --points 400 --seed 1`.

Writes docs/crash-safety.md unless `--no-page` is given. Ends with 1 when anything was lost or not as it must be.
"""

from __future__ import annotations

import argparse
import os
import platform
import subprocess
import sys
import time
from collections import Counter
from collections.abc import Sequence
from concurrent.futures import ProcessPoolExecutor
from datetime import date
from functools import partial
from pathlib import Path
from tempfile import TemporaryDirectory

sys.path.insert(0, str(Path(__file__).parent))
sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from crash_points import ROOT, WAYS, NotReached, Outcome, Place, point
from crash_races import RACE, race
from diagnose import __version__

PAGE = ROOT / "docs" / "crash-safety.md"
KINDS = (*WAYS, RACE)
AT_THE_DISK = "killed before, within or after a file operation"
TURNS = (*KINDS, *[AT_THE_DISK] * 4)
"""The kinds take turns; where a file operation is cut there is most to meet."""
DEEPEST = 30
"""More operations of the disk than any of the stories has at most of its stops."""

HEAD = """# Is every answer safe when the program is stopped?

The real command is stopped at points drawn by a seed, and then started again. What the screen said was kept must be in
the file. Every case must read. Only notes of who had a case, and new files that were not done, may lie beside it, under
hidden names, and the next start of a case takes its own away. That start must say what happened and keep one more
entry. A case that was cut off while it was moved to the archive, brought to a new format or begun is there once,
and whole.

This page is written by the run itself:
"""
FOUND = """
An entry that was found and not told was on the disk before the screen could say so. A half line was never told to be
kept; the next opening drops it."""
LIMITS = """
## What this does not show

- A killed program is not a power cut: the system still writes what it took. That each entry is forced to the disk
  before it is acknowledged is tested by itself, in `tests/casebook`. A disk that says so and lies is not guarded
  against.
- The full disk, the largest file and the read-only folder are the system's own. Other failing operations are put
  between the program and the system.
- Windows was not tried. Two terminals at one case are not kept apart there.
"""


def one(cache: Path, job: tuple[int, int]) -> Outcome:
    """One point."""
    number, seed = job
    kind = TURNS[number % len(TURNS)]
    try:
        return race(seed, cache) if kind == RACE else point(kind, seed, cache, True, deepest=DEEPEST)
    except NotReached:
        return Outcome(kind, "not reached", seed)


def warmed(folder: Path) -> Path:
    """A cache of the rules, so that each start is as quick as a person's second one."""
    cache = folder / "cache"
    place = Place(folder, cache)
    words = [sys.executable, "-m", "diagnose", "check"]
    subprocess.run(words, env=place.environment(), check=True, capture_output=True)
    return cache


def main(words: Sequence[str]) -> int:
    """Run, and write the page."""
    ask = argparse.ArgumentParser(description=__doc__)
    ask.add_argument("--points", type=int, default=400)
    ask.add_argument("--seed", type=int, default=1)
    ask.add_argument("--workers", type=int, default=os.cpu_count() or 1)
    ask.add_argument("--minutes", type=float, default=120, help="stop there, with the points reached by then")
    ask.add_argument("--no-page", action="store_true")
    asked = ask.parse_args(words)
    begun = time.monotonic()
    with TemporaryDirectory() as folder, ProcessPoolExecutor(asked.workers) as workers:
        cache = warmed(Path(folder))
        jobs = [(number, asked.seed * 100_000 + number) for number in range(asked.points)]
        outcomes = []
        for outcome in workers.map(partial(one, cache), jobs):
            outcomes.append(outcome)
            for wrong in outcome.wrong:
                print(
                    f"{outcome.kind}, {outcome.story}, seed {outcome.seed} {outcome.where}: {wrong}",
                    flush=True,
                )
    minutes = (time.monotonic() - begun) / 60
    page = written(outcomes, asked.seed, minutes)
    print(page)
    if not asked.no_page:
        PAGE.write_text(page, encoding="utf-8")
    return int(any(outcome.wrong for outcome in outcomes))


def written(outcomes: Sequence[Outcome], seed: int, minutes: float) -> str:
    """The page, made of what was found."""
    reached = [outcome for outcome in outcomes if outcome.story != "not reached"]
    lost = sum(any(wrong.startswith("LOST") for wrong in outcome.wrong) for outcome in reached)
    wrong = sum(bool(outcome.wrong) for outcome in reached)
    told = Counter(outcome.told for outcome in reached)
    stories = Counter(outcome.story for outcome in reached)
    where = Counter(outcome.where for outcome in reached if outcome.kind == AT_THE_DISK)
    missing = "" if len(KINDS) == 12 else " Mounting was not allowed here, so two kinds are missing."
    system = f"{platform.system()} {platform.release().split('-')[0]}"
    lines = [
        HEAD,
        f"```sh\npython tests/crash/long_run.py --points {len(outcomes)} --seed {seed}\n```\n",
        f"Run on {date.today()} in {minutes:.0f} minutes, with version {__version__}, Python "
        f"{platform.python_version()} and {system}.",
        f"{len(reached)} of {len(outcomes)} points were reached.{missing}\n",
        f"**Points at which something acknowledged was lost: {lost}.**",
        f"Points at which anything else was not as it must be: {wrong - lost}.\n",
        "| how it was stopped | points | entries told to be kept | entries found | half lines left | lost | wrong |",
        "| --- | ---: | ---: | ---: | ---: | ---: | ---: |",
    ]
    for kind in KINDS:
        of_kind = [outcome for outcome in reached if outcome.kind == kind]
        numbers = (
            len(of_kind),
            sum(outcome.acknowledged for outcome in of_kind),
            sum(outcome.kept for outcome in of_kind),
            sum(outcome.half_line for outcome in of_kind),
            sum(any(wrong.startswith("LOST") for wrong in outcome.wrong) for outcome in of_kind),
            sum(bool(outcome.wrong) for outcome in of_kind),
        )
        lines.append(f"| {kind} | {' | '.join(map(str, numbers))} |")
    lines += [
        FOUND,
        f"The next start said *half written* {told['half written']} times, and *cut off* {told['cut off']} times.\n",
        "| what was being done | points |",
        "| --- | ---: |",
        *(f"| {name} | {count} |" for name, count in stories.most_common()),
        "\n| file operation at which it was killed | points |",
        "| --- | ---: |",
        *(f"| {name} | {count} |" for name, count in sorted(where.items())),
        LIMITS,
    ]
    return "\n".join(lines)


if __name__ == "__main__":
    raise SystemExit(main(sys.argv[1:]))
