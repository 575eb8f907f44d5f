"""The long run: hostile inputs by the hundred thousand, and what came of them, written down by the run itself.

`python tests/hostile/run.py --inputs 200000 --seed 1` throws mutated files at every door of the program. With
`--guided 20000` a coverage-guided fuzzer goes on, where atheris is installed; with `--command 150` as many inputs go
through the real command. `--write` puts the figures into `measured.json`, from which `docs/validation.md` is made.
"""

from __future__ import annotations

import argparse
import importlib.util
import json
import os
import platform
import re
import resource
import subprocess
import sys
import tempfile
import time
import traceback
from collections.abc import Iterator, Sequence
from concurrent.futures import ProcessPoolExecutor, as_completed
from functools import cache
from multiprocessing import get_context
from pathlib import Path
from random import Random
from typing import Any

import doors
from diagnose.judgement.judge import Cellar
from diagnose.knowledge.read import read_rule_base
from real_command import COMMANDS, run_command, wrong_with

HERE = Path(__file__).resolve().parent
MEASURED = HERE / "measured.json"
MEMORY = 2 * 1024**3
"""Bytes of address space that a run may take; beyond it the machine refuses, and that is a fault."""
CHUNK = 2_000


@cache
def _cellar() -> Cellar:
    """The rules, read once in each process."""
    return Cellar(read_rule_base([doors.seeds.ROOT / "rules"]))


def _thrown(task: tuple[str, int, int]) -> dict[str, Any]:
    """Throw some inputs at one door. The same name and seed always make the same inputs."""
    name, seed, count = task
    resource.setrlimit(resource.RLIMIT_AS, (MEMORY, MEMORY))
    way, rng = doors.WAYS[name], Random(f"{name} {seed}")
    found: dict[str, Any] = {"name": name, "inputs": count, "let_in": 0, "slowest": 0.0, "memory": 0}
    found["faults"] = []
    with doors.cellars(_cellar()) as room:
        for _ in range(count):
            raw = doors.made(way, rng)
            _forget_peak()
            try:
                let_in, took = doors.knock(room, way, raw)
                found["let_in"] += let_in
                found["slowest"] = max(found["slowest"], took)
            except Exception as error:
                frames = [
                    frame
                    for frame in traceback.extract_tb(error.__traceback__)
                    if "diagnose" in frame.filename
                ]
                where = f"{Path(frames[-1].filename).name}:{frames[-1].lineno}" if frames else ""
                found["faults"].append([type(error).__name__, str(error)[:300], where, raw[:5000].hex()])
            found["memory"] = max(found["memory"], _peak())
    return found


_STATUS, _FORGET = Path("/proc/self/status"), Path("/proc/self/clear_refs")


def _forget_peak() -> None:
    """From here on the peak of memory is counted anew, so that what made the input is left out; on Linux only."""
    if _FORGET.exists():
        _FORGET.write_text("5")


def _peak() -> int:
    """The most memory that this process has held, in kB; the rules alone take a hundred thousand of it."""
    if _STATUS.exists():
        line = next(line for line in _STATUS.read_text().splitlines() if line.startswith("VmHWM"))
        return int(line.split()[1])
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss


def random_part(rows: dict[str, dict[str, Any]], inputs: int, seed: int, workers: int) -> Iterator[None]:
    """Inputs at every door, by its share; several processes side by side. Counts them in `rows`, lot by lot."""
    tasks: list[tuple[str, int, int]] = []
    for name, way in doors.WAYS.items():
        left, part = round(inputs * way.share), 0
        while left > 0:
            tasks.append((name, seed * 10_000 + part, min(CHUNK, left)))
            left, part = left - CHUNK, part + 1
    # Mixed, so that a run that is stopped has knocked at every door.
    Random(seed).shuffle(tasks)
    with ProcessPoolExecutor(workers, mp_context=get_context("spawn")) as pool:
        for found in (done.result() for done in as_completed([pool.submit(_thrown, task) for task in tasks])):
            row = rows.setdefault(
                found["name"], {"inputs": 0, "let_in": 0, "slowest": 0.0, "memory": 0, "faults": []}
            )
            row["inputs"] += found["inputs"]
            row["let_in"] += found["let_in"]
            row["slowest"] = max(row["slowest"], found["slowest"])
            row["memory"] = max(row["memory"], found["memory"])
            row["faults"] += found["faults"]
            print(f"{found['name']}: {row['inputs']} inputs, {len(row['faults'])} faults", flush=True)
            yield


# ---------------------------------------------------------------- through the real command


def command_part(inputs: int, seed: int) -> dict[str, Any]:
    """Some inputs through the real command, each in a process of its own."""
    rng, found = Random(f"command {seed}"), {"inputs": inputs, "slowest": 0.0, "faults": []}
    for number in range(inputs):
        name = list(COMMANDS)[number % len(COMMANDS)]
        raw = doors.made(doors.WAYS[name], rng)
        with tempfile.TemporaryDirectory() as folder:
            began = time.perf_counter()
            done = run_command(Path(folder), name, raw)
            found["slowest"] = max(found["slowest"], time.perf_counter() - began)
            if wrong := wrong_with(done):
                found["faults"].append([name, wrong, raw[:5000].hex()])
    return found


# ---------------------------------------------------------------- guided


def guided_begun(inputs: int, seed: int, folder: Path) -> subprocess.Popen[str] | None:
    """Begin to grow inputs in a process of its own; None where there is no such fuzzer."""
    if not inputs or importlib.util.find_spec("atheris") is None:
        return None
    with (folder / "told").open("w") as told:
        return subprocess.Popen(
            [sys.executable, str(HERE / "guided.py"), str(folder / "guided.json"), str(inputs), str(seed)],
            env={**os.environ, "PYTHONPATH": os.pathsep.join((str(HERE), str(HERE.parents[1])))},
            stdout=told,
            stderr=told,
            text=True,
        )


def _seconds_alone(fault: Sequence[str]) -> float:
    """The processor time of an input where the lines that it reaches are not counted."""
    with doors.cellars(_cellar()) as room:
        return doors.knock(room, doors.WAYS[fault[0]], bytes.fromhex(fault[3]), 10 * doors.SECONDS)[1]


def guided_ended(running: subprocess.Popen[str], folder: Path) -> dict[str, Any]:
    """What came of the inputs that were grown."""
    status = running.wait()
    told = (folder / "told").read_text(errors="replace")
    out = folder / "guided.json"
    if status or not out.exists():
        raise SystemExit(f"The guided part ended with status {status}: {told[-2000:]}")
    counts: dict[str, Any] = json.loads(out.read_text())
    slow = [fault for fault in counts["faults"] if fault[1] == "TooSlow"]
    alone = [_seconds_alone(fault) for fault in slow]
    counts["slow_when_counted"] = {"inputs": len(slow), "slowest_alone": max(alone, default=0)}
    well = [fault for fault, took in zip(slow, alone, strict=True) if took <= doors.SECONDS]
    counts["faults"] = [[*fault[:3], fault[3][:6000]] for fault in counts["faults"] if fault not in well]
    reached = [int(number) for number in re.findall(r"\bcov: (\d+)", told)]
    kept = [int(number) for number in re.findall(r"\bcorp: (\d+)", told)]
    return {**counts, "reached_first": reached[:1], "reached": reached[-1:], "kept": kept[-1:]}


def main(arguments: Sequence[str] | None = None) -> int:
    """Run what was asked for, and say what came of it."""
    parser = argparse.ArgumentParser(description=(__doc__ or "").split("\n")[0])
    parser.add_argument("--inputs", type=int, default=200_000)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--guided", type=int, default=0)
    parser.add_argument("--command", type=int, default=0)
    parser.add_argument("--workers", type=int, default=1)
    parser.add_argument("--write", nargs="?", const=MEASURED, type=Path)
    wanted = parser.parse_args(arguments)
    result: dict[str, Any] = {"seed": wanted.seed, "python": platform.python_version(), "doors": {}}
    if wanted.write and not wanted.inputs and wanted.write.exists():
        result = json.loads(wanted.write.read_text())
    began, before = time.perf_counter(), result.get("minutes", 0.0)

    def keep() -> None:
        # After every lot, so that a run that is stopped has still told what it did.
        result["minutes"] = round((time.perf_counter() - began) / 60 + before, 1)
        if wanted.write:
            Path(wanted.write).write_text(json.dumps(result, indent=1) + "\n")

    with tempfile.TemporaryDirectory() as folder:
        running = guided_begun(wanted.guided, wanted.seed, Path(folder))
        for _ in random_part(result["doors"], wanted.inputs, wanted.seed, wanted.workers):
            keep()
        if wanted.command:
            result["command"] = command_part(wanted.command, wanted.seed)
            keep()
        if running:
            result["guided"] = guided_ended(running, Path(folder))
    keep()
    parts = [*result["doors"].values(), *(result[name] for name in ("command", "guided") if name in result)]
    faults = [fault for part in parts for fault in part["faults"]]
    for fault in faults[:20]:
        print("FAULT", *(str(piece)[:300] for piece in fault))
    print(
        f"{sum(part['inputs'] for part in parts)} inputs, {len(faults)} faults, {result['minutes']} minutes."
    )
    return 1 if faults else 0


if __name__ == "__main__":
    raise SystemExit(main())
