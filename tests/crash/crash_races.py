"""Several processes at one case: each tries until it is told that its entry is kept, and one of them is killed."""

from __future__ import annotations

import random
import subprocess
import sys
import time
from pathlib import Path
from tempfile import TemporaryDirectory

from crash_points import Outcome, Place, entries, lay, padded
from crash_stories import NAME, STORIES

RACE = "several processes at one case"
_TRIES = 40


def race(seed: int, cache: Path, most: int = 4) -> Outcome:
    """Let several remarks, readings and titles be written into one case at once, and kill one writer.

    Whoever is refused must have been told that another terminal has the case, and tries again.
    """
    rng = random.Random(seed)
    story = padded(rng, STORIES["note a remark"])
    outcome = Outcome(RACE, "several at once", seed)
    with TemporaryDirectory() as folder:
        place = Place(Path(folder), cache)
        lay(place, story)
        case = place.cases / f"{NAME}.yaml"
        before = entries(case, cache)
        work = {f"writer {number}": ["note", NAME, f"writer {number}"] for number in range(1, most)}
        work["title"] = ["rename", NAME, "Raced"]
        told, killed = _all_of(rng, place, work, outcome)
        now = entries(case, cache)
        remarks = [value for did, _, value in now[len(before) :] if did == "noted"]
        outcome.acknowledged, outcome.kept = (
            len(told),
            len(remarks) + (b'title: "Raced"' in case.read_bytes()),
        )
        if now[: len(before)] != before:
            outcome.wrong.append("LOST: earlier entries are not there")
        for name in told:
            there = b'title: "Raced"' in case.read_bytes() if name == "title" else remarks.count(name) == 1
            if not there:
                outcome.wrong.append(f"LOST: '{name}' was said to be kept; there are {remarks}")
        if len(remarks) > len(set(remarks)) or not set(remarks) <= {*told, killed}:
            outcome.wrong.append(f"entries are there that nobody was told of: {remarks}")
        left = [path.name for path in place.cases.iterdir() if path != case]
        if left:
            outcome.wrong.append(f"left beside the case: {left}")
    return outcome


def _all_of(
    rng: random.Random, place: Place, work: dict[str, list[str]], outcome: Outcome
) -> tuple[set[str], str]:
    """Do all the work, at once and again; returns what was told to be kept, and whose process was killed."""
    told: set[str] = set()
    victim = rng.choice(sorted(work))
    killed = False
    for _ in range(_TRIES):
        running = {name: _begun(place, words) for name, words in work.items() if name not in told}
        if not running:
            return told, victim
        if not killed:
            killed = True
            time.sleep(rng.uniform(0.2, 1.2))
            running[victim].kill()
        for name, process in running.items():
            out, err = (text.decode() for text in process.communicate(timeout=60))
            if process.returncode == 0 or "Noted in" in out or "Kept: the title" in out:
                told.add(name)
            elif process.returncode == 1 and "open in another terminal" not in err:
                outcome.wrong.append(f"it was refused for another reason: {err}")
            elif process.returncode not in (1, -9):
                outcome.wrong.append(f"it ended with {process.returncode}: {err}")
        if victim not in told and any(
            value == victim for _, _, value in entries(place.cases / f"{NAME}.yaml", place.cache)
        ):
            # Killed after it was on the disk and before it could say so: a person sees it in the case.
            work.pop(victim)
    outcome.wrong.append(f"not all could write in {_TRIES} rounds")
    return told, victim


def _begun(place: Place, words: list[str]) -> subprocess.Popen[bytes]:
    return subprocess.Popen(
        [sys.executable, "-m", "diagnose", *words],
        stdin=subprocess.DEVNULL,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        env=place.environment(),
    )
