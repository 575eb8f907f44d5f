"""A rule base thirty times the shipped one, read from its files: `python tests/benchmarks/load.py`.

Each size is written to a folder and read by processes of their own, as the program reads it: anew with every check,
then from what was kept. Figures are added to `load.json` run by run; `run.py` puts them on the page of benchmarks, and
`--page` puts them there alone.
"""

from __future__ import annotations

import argparse
import json
import os
import platform
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Mapping, Sequence
from datetime import datetime, timezone
from pathlib import Path
from typing import Any, cast

from many import COPY, Grow, write_many
from tables import table
from tried import tried_lines

HERE = Path(__file__).resolve().parent
ROOT = HERE.parents[1]
MEASURED = HERE / "load.json"
PAGE = ROOT / "docs" / "benchmarks.md"
HEAD = "## Under load"

STEPS: Mapping[str, str] = {
    "anew": "read anew with every check, and kept",
    "kept": "read from what was kept",
    "ready": "a consultation opened and made ready",
    "next": "from an answer to the next question, median of 6",
    "judge": "a worked case judged",
    "anew_mb": "peak memory, read anew, MB",
    "kept_mb": "peak memory, from what was kept to the judgement, MB",
}
"""What is measured, and how it is called on the page."""

SIZES: Mapping[str, str] = {
    "1x": "the shipped rules",
    "30x topics": "30x, each copy with topics and questions of its own",
    "30x rows": "30x, the copied causes weighed in the shipped topics through the shipped questions",
}

TOPIC = "haze"


# ---------------------------------------------------------------- measured, each in a process of its own


def read_anew(folder: Path, keep_in: Path) -> dict[str, float]:
    """Read, check and keep; `diagnose check` does the same and keeps nothing."""
    from diagnose.knowledge.kept import read_rule_base_kept
    from speed import own_peak

    began = time.process_time()
    base = read_rule_base_kept([folder], keep_in)
    return {"anew": time.process_time() - began, "anew_mb": own_peak(), "pages": len(base.places)}


def consult(folder: Path, keep_in: Path) -> dict[str, float]:
    """From what was kept: a consultation opened, six answers, and a worked case judged."""
    from diagnose.knowledge.kept import read_rule_base_kept
    from diagnose.shipped import shipped_folder
    from play import Play, Rules, WorkedCase
    from speed import own_peak

    def anew() -> None:
        raise SystemExit("Nothing was kept of these rules, so no start from it can be measured.")

    found: dict[str, float] = {}
    began = time.process_time()
    base = read_rule_base_kept([folder], keep_in, before_reading=anew)
    found["kept"] = time.process_time() - began
    case: WorkedCase = _case(shipped_folder("cases"), base)
    began = time.process_time()
    rules = Rules(base)
    play = Play(rules, TOPIC)
    name = play.next_question()
    play.make_ready()
    found["ready"] = time.process_time() - began
    steps: list[float] = []
    while name is not None and len(steps) < 6:
        value = case.answers.get(COPY.sub("", name))
        began = time.process_time()
        play.answer(name, value)
        name = play.next_question()
        steps.append(time.process_time() - began)
    found["next"] = statistics.median(steps)
    began = time.process_time()
    rules.judged(TOPIC, case.answers)
    found["judge"] = time.process_time() - began
    weighed = sum(cause.topic == TOPIC for cause in base.causes.values())
    return {**found, "kept_mb": own_peak(), "rules": len(rules.cellar.rules), "weighed": weighed}


def _case(folder: Path, base: Any) -> Any:
    """The worked case of the topic with the most answers."""
    from diagnose.casebook.store import load_case
    from play import WorkedCase

    cases = []
    for file in sorted(Path(folder).rglob("*.yaml")):
        case, state = load_case(file, base)
        if case.topic == TOPIC:
            cases.append(WorkedCase(case.case, case.topic, dict(state.answers), ""))
    return max(cases, key=lambda each: len(each.answers))


def _apart(work: str, folder: Path, keep_in: Path) -> dict[str, float]:
    program = (
        "import json\nfrom pathlib import Path\nimport load\n"
        f"print(json.dumps(load.{work}(Path({str(folder)!r}), Path({str(keep_in)!r}))))\n"
    )
    path = os.pathsep.join([str(ROOT), str(HERE)])
    done = subprocess.run(
        [sys.executable, "-c", program],
        check=True,
        capture_output=True,
        text=True,
        env={**os.environ, "PYTHONPATH": path},
    )
    return cast("dict[str, float]", json.loads(done.stdout.splitlines()[-1]))


# ---------------------------------------------------------------- the page


def load_lines(measured: Mapping[str, Any]) -> list[str]:
    """The part of the page of benchmarks that tells of this; nothing where nothing was measured."""
    if not measured.get("runs"):
        return []
    alone = _runs(measured, "1x")
    lines = [HEAD, "", INTRODUCTION, "", *_when(measured), ""]
    for size in SIZES:
        if size == "1x" or not (runs := _runs(measured, size)):
            continue
        first = next(run for run in runs if "rules" in run)
        lines += [
            f"### {SIZES[size]}",
            "",
            f"{first['rules']:,} rules, {first['weighed']} causes weighed in one consultation; the shipped rules are "
            f"{alone[0]['rules']:,}, and weigh {alone[0]['weighed']}.",
            "",
            *table(
                ["what", "shipped, median", "median (least to most)", "ratio", "runs"], _rows(alone, runs)
            ),
        ]
    return [*lines, *NOTES, "", *tried_lines()]


INTRODUCTION = (
    "This part is measured by `python tests/benchmarks/load.py`, from rule files on the disk. Times are the "
    "processor's. The shipped rules were measured between the runs of the larger ones."
)

NOTES = (
    "The three judgements with the shipped rules took 14, 105, 114 ms. They are too far apart for a ratio: that "
    "in the line of the judgement says little, and over the quickest of them 30x took 2 and 29 times as long.",
    "",
    "The bounds on the size and number of rule files were raised for this (from 16 MB and 5,000 files), the bound "
    "on the steps of a run now grows with the rules, and the check of links no longer grows with their square: at "
    "30x with topics of their own it took 76 s before and 4.6 s after, of the processor's time, one run each. "
    "What still grows faster than the rules, reading what was kept and making ready, does so through Python's "
    "search for garbage in circles, which walks over all that is held: with it switched off, the last size took "
    "2.1 s instead of 4.4 s, and 2.4 s instead of 6.3 s, one run each.",
    "",
    "Copies are alike, so they show how work grows and nothing about how well thirty times the knowledge would "
    "judge. A cause among thirty equal ones shares its chance with them.",
)


def _when(measured: Mapping[str, Any]) -> list[str]:
    return [f"Measured on {measured['date']}, {measured['machine']}."]


def _runs(measured: Mapping[str, Any], size: str) -> list[dict[str, float]]:
    return [run for name, run in measured["runs"] if name == size]


def _rows(alone: Sequence[Mapping[str, float]], runs: Sequence[Mapping[str, float]]) -> list[list[object]]:
    rows: list[list[object]] = []
    for key, says in STEPS.items():
        ours, theirs = ([run[key] for run in many if key in run] for many in (runs, alone))
        if not ours or not theirs:
            continue
        before, now = statistics.median(theirs), statistics.median(ours)
        span = f"{_shown(key, now)} ({_shown(key, min(ours))} to {_shown(key, max(ours))})"
        rows.append([says, _shown(key, before), span, f"{now / before:.1f}", len(ours)])
    return rows


def _shown(key: str, value: float) -> str:
    if key.endswith("_mb"):
        return f"{value:.0f}"
    return f"{1000 * value:.0f} ms" if value < 1 else f"{value:.1f} s"


def read_measured() -> dict[str, Any]:
    """What was measured before."""
    return json.loads(MEASURED.read_text(encoding="utf-8")) if MEASURED.exists() else {"runs": []}


def write_page() -> None:
    """Put this part at the end of the page of benchmarks, in the place of what stood there."""
    before = PAGE.read_text(encoding="utf-8").partition(f"\n{HEAD}")[0].rstrip()
    lines = [before, "", *load_lines(read_measured())]
    PAGE.write_text("\n".join(lines).rstrip() + "\n", encoding="utf-8")


def main(given: Sequence[str]) -> None:
    """Measure, and keep the figures after every run."""
    parser = argparse.ArgumentParser(description=(__doc__ or "").split("\n")[0])
    parser.add_argument("--times", type=int, default=30)
    parser.add_argument("--grow", nargs="*", default=["topics", "rows"])
    parser.add_argument("--anew", type=int, default=1, help="times each size is read anew")
    parser.add_argument("--runs", type=int, default=3, help="consultations at each size")
    parser.add_argument("--page", action="store_true", help="only write the page from what was measured")
    want = parser.parse_args(given)
    if not want.page:
        _measure(want)
    write_page()


def _measure(want: argparse.Namespace) -> None:
    measured = read_measured()
    measured["date"] = f"{datetime.now(timezone.utc):%Y-%m-%d}"
    measured["machine"] = (
        f"{os.cpu_count()} processors, {platform.system()}, Python {platform.python_version()}"
    )

    def keep(size: str, run: dict[str, float]) -> None:
        measured["runs"].append([size, run])
        MEASURED.write_text(json.dumps(measured, indent=1) + "\n", encoding="utf-8")
        print(size, json.dumps(run), file=sys.stderr, flush=True)

    with tempfile.TemporaryDirectory() as room:
        folders = {"1x": (1, "topics"), **{f"{want.times}x {grow}": (want.times, grow) for grow in want.grow}}
        for size, (times, grow) in folders.items():
            write_many(Path(room) / size, times, cast(Grow, grow))
        for run in range(max(want.anew, want.runs)):
            for size in folders:
                folder, keep_in = Path(room) / size, Path(room) / f"{size} kept"
                found: dict[str, float] = {}
                if run < want.anew or size == "1x":
                    # Into an empty folder each time, so that nothing is found there.
                    found |= _apart("read_anew", folder, keep_in if run == 0 else keep_in / str(run))
                if run < want.runs:
                    found |= _apart("consult", folder, keep_in)
                keep(size, found)


if __name__ == "__main__":
    main(sys.argv[1:])
