"""A thousand worked cases tried, with one process and with one for each processor: `python tests/benchmarks/tried.py`.

The figures are kept in `tried.json`; the page of benchmarks shows them with the large rule base (see `load.py`).
"""

from __future__ import annotations

import json
import resource
import shutil
import statistics
import sys
import tempfile
import time
from collections.abc import Sequence
from functools import partial
from pathlib import Path

from diagnose.commands.setup import make_cellar
from diagnose.knowledge.own import RuleFolders
from diagnose.review.trying import case_files, processors, try_cases
from diagnose.shipped import shipped_folder
from tables import table

MEASURED = Path(__file__).with_name("tried.json")
COPIES = 4
"""Copies of the shipped cases, to have a thousand."""


def measure(runs: int) -> None:
    """Try all cases in turn with one process and with several."""
    found: list[list[float]] = []
    make = partial(make_cellar, RuleFolders(()))
    make()  # so that the rules are kept, as after any first start
    with tempfile.TemporaryDirectory() as room:
        for copy in range(COPIES):
            shutil.copytree(shipped_folder("cases"), Path(room) / str(copy))
        files = case_files([Path(room)])
        for jobs in [1, processors()] * runs:
            clock, own, others = time.perf_counter(), *_used()
            tried = try_cases(make, files, jobs)
            now, now_others = _used()
            assert all(item.as_expected for item in tried)
            found.append([jobs, time.perf_counter() - clock, now - own, now_others - others])
            MEASURED.write_text(
                json.dumps({"cases": len(files), "runs": found}, indent=1) + "\n", encoding="utf-8"
            )
            print(found[-1], file=sys.stderr, flush=True)


def _used() -> tuple[float, float]:
    """Processor time of this process, and of those it started and that ended."""
    kinds = (resource.RUSAGE_SELF, resource.RUSAGE_CHILDREN)
    own, others = (resource.getrusage(kind) for kind in kinds)
    return own.ru_utime + own.ru_stime, others.ru_utime + others.ru_stime


def tried_lines() -> list[str]:
    """This part of the page; nothing where nothing was measured."""
    if not MEASURED.exists():
        return []
    measured = json.loads(MEASURED.read_text(encoding="utf-8"))
    rows = []
    for jobs in sorted({run[0] for run in measured["runs"]}):
        runs = [run[1:] for run in measured["runs"] if run[0] == jobs]
        rows.append([jobs, len(runs), *(_span([run[at] for run in runs]) for at in range(3))])
    head = [
        "processes",
        "runs",
        "by the clock",
        "processor, in the first process",
        "processor, in the others",
    ]
    return [
        "### A thousand worked cases tried",
        "",
        f"`diagnose try` on {measured['cases']:,} case files, the shipped ones {COPIES} times over. Nearly all of the "
        "work is shared out, and sharing it out costs next to nothing. Other programs ran too, so "
        "the clock says how much of the processors was left for this one. With processors of their own, two "
        "processes would need by the clock about half of the processor's time of one; that is reckoned, not measured.",
        "",
        *table(head, rows),
    ]


def _span(values: Sequence[float]) -> str:
    return f"{statistics.median(values):.1f} s ({min(values):.1f} to {max(values):.1f})"


if __name__ == "__main__":
    measure(int(sys.argv[1]) if len(sys.argv) > 1 else 3)
