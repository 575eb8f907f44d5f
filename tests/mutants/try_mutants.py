"""Try small changes on the machinery, and see whether a test fails: `python tests/mutants/try_mutants.py --seed 1`.

Draws the same share of all changes in each room, tries each in a process of its own, and adds what was found to
tests/mutants/measured.yaml; mutants_page.py writes docs/mutants.md from that. Needs coverage (`pip install coverage`).
"""

from __future__ import annotations

import argparse
import hashlib
import importlib
import json
import os
import platform
import random
import sys
import time
import traceback
from collections import Counter
from collections.abc import Collection, Sequence
from dataclasses import asdict, replace
from datetime import date
from functools import partial
from pathlib import Path
from tempfile import gettempdir
from typing import Any

for threads in ("OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS"):
    os.environ[threads] = "1"

import coverage  # noqa: E402
import hypothesis  # noqa: E402
import pytest  # noqa: E402
import yaml  # noqa: E402
from changes import ROOMS, ROOT, Mutant, mutants  # noqa: E402
from forked import ELSEWHERE, QUIET, InPlace, Reach, forked, read_anew  # noqa: E402

MEASURED = Path(__file__).with_name("measured.yaml")
TESTS = (
    "calculators",
    "reasoning",
    "planning",
    "published",
    "workings",
    "judgement",
    "interview",
    "oracles",
    "cases",
)
READ_ONCE = (
    "numpy",
    "scipy.optimize",
    "scipy.integrate",
    "pydantic",
    "yaml",
    "click",
    "rich.console",
    "pint",
    "chempy",
)
SAME = -1
"""In place of the number of a change: the file as it is."""


def main() -> None:
    """Draw, try, and keep what was found."""
    asked = _asked()
    hypothesis.settings.register_profile(
        "mutants",
        derandomize=True,
        database=None,
        deadline=None,
        suppress_health_check=list(hypothesis.HealthCheck),
    )
    hypothesis.settings.load_profile("mutants")
    for name in READ_ONCE:
        importlib.import_module(name)
    every = [mutant for room in ROOMS for file in _files(room) for mutant in mutants(file)]
    drawn = draw(every, asked.share, asked.seed)
    drawn = [mutant for mutant in drawn if asked.only in mutant.file]
    if asked.again:
        try_again(every, asked)
        return
    controls = [
        replace(mutant, which=SAME)
        for mutant in random.Random(asked.seed).sample(drawn, min(asked.controls, len(drawn)))
    ]
    reach = Reach(_reached(asked))
    began = time.monotonic()
    found = _try([*drawn, *controls], reach, asked)
    failed = [mutant for mutant in controls if found[mutant]]
    if failed:
        raise SystemExit(f"A test fails without any change: {failed}")
    survivors = [mutant for mutant in drawn if not found[mutant]]
    run = {
        "seed": asked.seed,
        "date": date.today(),
        "python": platform.python_version(),
        "coverage": coverage.__version__,
        "hypothesis": hypothesis.__version__,
        "pytest": pytest.__version__,
        "note": asked.note,
        "share_percent": asked.share,
        "seconds_of_tests": asked.seconds,
        "minutes": round((time.monotonic() - began) / 60),
        "controls": len(controls),
        "tests": len(reach.seconds),
        "rooms": _by_room(every, drawn, found),
        "survivors": [
            {key: asdict(one)[key] for key in ("file", "line", "text", "change")} for one in survivors
        ],
    }
    for one in survivors:
        print(f"{one.file}:{one.line}  {one.change}")
    for room, counted in run["rooms"].items():
        print(room, counted)
    if not asked.no_keep:
        keep(run)


def try_again(every: list[Mutant], asked: argparse.Namespace) -> None:
    """Try the survivors of an earlier run of this seed, and note those that a test notices by now, or that are gone."""
    kept = yaml.safe_load(MEASURED.read_text("utf-8"))
    survivors = next(run for run in kept["runs"] if run["seed"] == asked.seed)["survivors"]
    by_change: dict[tuple[str, str, str], list[Mutant]] = {}
    for mutant in every:
        by_change.setdefault((mutant.file, mutant.text, mutant.change), []).append(mutant)
    still = {
        number: _nearest(one["line"], by_change.get((one["file"], one["text"], one["change"]), ()))
        for number, one in enumerate(survivors)
        if asked.only in one["file"]
    }
    found = _try([mutant for mutant in still.values() if mutant], Reach(_reached(asked)), asked)
    for number, tried in still.items():
        if not tried:
            survivors[number]["gone"] = date.today()
        elif found[tried]:
            survivors[number]["noticed"] = date.today()
    MEASURED.write_text(yaml.safe_dump(kept, sort_keys=False, allow_unicode=True, width=110), "utf-8")


def _nearest(line: int, alike: Sequence[Mutant]) -> Mutant | None:
    """Of lines that read alike, the one nearest to where it stood."""
    return min(alike, key=lambda mutant: abs(mutant.line - line), default=None)


def draw(every: list[Mutant], share: float, seed: int) -> list[Mutant]:
    """The same share of the changes of each room, in the order of the files."""
    chance = random.Random(seed)
    drawn = []
    for room in ROOMS:
        there = [mutant for mutant in every if mutant.room == room]
        places = chance.sample(range(len(there)), round(len(there) * share / 100))
        drawn += [there[place] for place in sorted(places)]
    return drawn


def keep(run: dict[str, Any]) -> None:
    """Add a run to those kept, in place of one with its seed."""
    kept = yaml.safe_load(MEASURED.read_text("utf-8")) if MEASURED.exists() else {"runs": []}
    kept["runs"] = [*(one for one in kept["runs"] if one["seed"] != run["seed"]), run]
    MEASURED.write_text(yaml.safe_dump(kept, sort_keys=False, allow_unicode=True, width=110), "utf-8")


def _asked() -> argparse.Namespace:
    words = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    words.add_argument("--seed", type=int, default=1)
    words.add_argument("--share", type=float, default=8.0, help="percent of all changes of each room (8)")
    words.add_argument("--seconds", type=float, default=15.0, help="tests for one change, together (15)")
    words.add_argument("--at-once", type=int, default=2, help="processes (2)")
    words.add_argument("--controls", type=int, default=10, help="also try so many without any change (10)")
    words.add_argument("--only", default="", help="only changes of files whose path holds this")
    words.add_argument(
        "--kept",
        default=str(Path(gettempdir()) / "diagnose-reach.json"),
        help="keeps which test runs which line",
    )
    words.add_argument(
        "--again", action="store_true", help="only the survivors kept of this seed, after new tests"
    )
    words.add_argument(
        "--tests", nargs="+", default=TESTS, help="folders and files below tests (those of one process)"
    )
    words.add_argument("--note", default="", help="a sentence for the page about this run")
    words.add_argument("--no-keep", action="store_true", help="only say what was found")
    return words.parse_args()


def _files(room: str) -> list[Path]:
    return sorted((ROOT / "diagnose" / room).rglob("*.py"))


def _state(folders: Sequence[str]) -> str:
    """A short name for the state of these folders."""
    seen = hashlib.sha256()
    for folder in folders:
        for file in sorted((ROOT / folder).rglob("*")):
            if file.suffix in (".py", ".yaml"):
                seen.update(file.read_bytes())
    return seen.hexdigest()[:12]


def _in_a_process_of_its_own(task: Any, tests: Sequence[str]) -> None:
    """With all tests read in: the task is given what runs them, and the session."""
    pid = os.fork()
    if pid:
        _, status = os.waitpid(pid, 0)
        if status:
            raise SystemExit("The tests could not be run; see above.")
        return
    code = 1
    try:
        with Path(os.devnull).open("w") as nowhere:
            if "MUTANTS_LOUD" not in os.environ:
                os.dup2(nowhere.fileno(), 1)
        ended = pytest.main([*QUIET, *(f"tests/{one}" for one in tests)], plugins=[InPlace(task)])
        code = 0 if ended in (pytest.ExitCode.OK, pytest.ExitCode.NO_TESTS_COLLECTED) else 1
    except BaseException:
        traceback.print_exc()
    finally:
        sys.stdout.flush()
        os._exit(code)


def _reached(asked: argparse.Namespace) -> dict[str, Any]:
    """Which tests run which line. Of what was measured before, what can have changed since is measured anew."""
    kept, program = Path(asked.kept), _state(("diagnose", "rules", "cases"))
    before = json.loads(kept.read_text("utf-8")) if kept.exists() else {}
    if before.get("program") != program:
        before = {"program": program, "files": {}, "seconds": {}, "lines": {}}
    files = {
        file: hashlib.sha256((ROOT / file).read_bytes()).hexdigest()[:12] for file in _test_files(asked.tests)
    }
    stale = {file for file, state in files.items() if before["files"].get(file) != state}
    if stale:
        measured = kept.with_suffix(".new")
        _in_a_process_of_its_own(partial(_measure, stale, measured), asked.tests)
        kept.write_text(
            json.dumps(together(before, json.loads(measured.read_text("utf-8")), files, stale)), "utf-8"
        )
        measured.unlink()
    reached: dict[str, Any] = json.loads(kept.read_text("utf-8"))
    return reached


def together(
    before: dict[str, Any], new: dict[str, Any], files: dict[str, str], stale: Collection[str]
) -> dict[str, Any]:
    """What was measured before and now; nothing of test files that changed or are gone."""

    def stays(test: str) -> bool:
        file = test.split("::")[0]
        return file in files and file not in stale

    lines: dict[str, dict[str, list[str]]] = {}
    for file in {**before["lines"], **new["lines"]}:
        old, more = before["lines"].get(file, {}), new["lines"].get(file, {})
        lines[file] = {
            line: [*filter(stays, old.get(line, [])), *more.get(line, [])] for line in {**old, **more}
        }
    seconds = {test: took for test, took in before["seconds"].items() if stays(test)}
    return {
        "program": before["program"],
        "files": files,
        "seconds": {**seconds, **new["seconds"]},
        "lines": lines,
    }


def _test_files(tests: Sequence[str]) -> list[str]:
    places = [ROOT / "tests" / one for one in tests]
    found = (
        file for place in places for file in (sorted(place.glob("test_*.py")) if place.is_dir() else [place])
    )
    return [file.relative_to(ROOT).as_posix() for file in found]


def _measure(stale: Collection[str], kept: Path, plugin: InPlace, session: pytest.Session) -> None:
    session.items = [item for item in session.items if item.nodeid.split("::")[0] in stale]
    kept.write_text(json.dumps(plugin.reach(session)), "utf-8")


def _try(drawn: list[Mutant], reach: Reach, asked: argparse.Namespace) -> dict[Mutant, int]:
    """For each change, 0 if no test failed."""
    tests = {mutant: reach.of(mutant, asked.seconds) for mutant in drawn}
    seconds = {mutant: sum(reach.seconds[test] for test in tests[mutant]) for mutant in drawn}
    noted = Path(gettempdir()) / f"mutants-{os.getpid()}.txt"
    noted.touch()
    place = {str(number): mutant for number, mutant in enumerate(drawn)}

    def in_place(plugin: InPlace, session: pytest.Session) -> None:
        plugin.warm(session)
        items = {item.nodeid: item for item in session.items}
        jobs = (
            (
                mutant,
                seconds[mutant],
                partial(plugin.notices, mutant, [items[test] for test in tests[mutant]]),
            )
            for mutant in drawn
            if mutant.inside and tests[mutant]
        )
        numbers = {mutant: number for number, mutant in place.items()}
        for mutant, code in forked(jobs, asked.at_once):
            with noted.open("a") as lines:
                lines.write(f"{numbers[mutant]} {code}\n")

    _in_a_process_of_its_own(in_place, asked.tests)
    found = {mutant: 0 for mutant in drawn if not tests[mutant]}
    for line in noted.read_text("utf-8").splitlines():
        number, code = line.split()
        if int(code) != ELSEWHERE:
            found[place[number]] = int(code)
    noted.unlink()
    jobs = (
        (mutant, seconds[mutant], partial(read_anew, mutant, tests[mutant]))
        for mutant in drawn
        if mutant not in found
    )
    found.update(forked(list(jobs), asked.at_once))
    return found


def _by_room(every: list[Mutant], drawn: list[Mutant], found: dict[Mutant, int]) -> dict[str, dict[str, int]]:
    all_there, there = Counter(one.room for one in every), Counter(one.room for one in drawn)
    killed = Counter(one.room for one in drawn if found[one])
    timed = Counter(one.room for one in drawn if found[one] < 0)
    return {
        room: {
            "changes": all_there[room],
            "drawn": there[room],
            "killed": killed[room],
            "by_time": timed[room],
        }
        for room in ROOMS
        if there[room]
    }


if __name__ == "__main__":
    sys.path.insert(0, str(ROOT))
    os.chdir(ROOT)
    main()
