"""Which lines and branches the whole suite runs, the processes it starts counted: `python tests/mutants/cover.py`.

Adds what was found to tests/mutants/measured.yaml; mutants_page.py writes docs/mutants.md from that. Needs coverage.
Each start of this interpreter is watched, so run it in an environment that is yours to change: a file is laid into
its site-packages for as long as the run lasts. `--from FOLDER` only reads what an earlier run left in a folder.
"""

from __future__ import annotations

import argparse
import os
import subprocess
import sys
import sysconfig
from collections import defaultdict
from collections.abc import Iterable
from datetime import date
from pathlib import Path
from tempfile import mkdtemp
from typing import Any

import coverage
import yaml
from coverage.results import Numbers

ROOT = Path(__file__).resolve().parents[2]
MEASURED = Path(__file__).with_name("measured.yaml")
ENOUGH = 95
HOOK = Path(sysconfig.get_paths()["purelib"]) / "zz_watched_by_coverage.pth"
SETTINGS = """[run]
branch = true
parallel = true
source = {root}/diagnose
data_file = {folder}/data
patch = _exit, fork
sigterm = true
"""


def main() -> None:
    """Run the suite, or read what a run left, and keep what was found."""
    words = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    words.add_argument("--from", dest="folder", type=Path, help="folder that an earlier run left its data in")
    words.add_argument("--processes", type=int, default=2)
    words.add_argument("--note", default="", help="a sentence for the page about this run")
    asked = words.parse_args()
    folder = asked.folder or run(Path(mkdtemp()), asked.processes)
    kept = yaml.safe_load(MEASURED.read_text("utf-8")) if MEASURED.exists() else {"runs": []}
    kept["coverage"] = {**counted(folder), "note": asked.note}
    MEASURED.write_text(yaml.safe_dump(kept, sort_keys=False, allow_unicode=True, width=110), "utf-8")


def run(folder: Path, processes: int) -> Path:
    """The whole suite, every process that this interpreter starts watched, whatever environment it is given."""
    settings = folder / "settings"
    settings.write_text(SETTINGS.format(root=ROOT, folder=folder), "utf-8")
    HOOK.write_text(
        f"import os; os.environ['COVERAGE_PROCESS_START'] = {str(settings)!r}; "
        "import coverage; coverage.process_startup()\n",
        "utf-8",
    )
    try:
        subprocess.run([sys.executable, "-m", "pytest", "-n", str(processes)], cwd=ROOT, check=False)
    finally:
        HOOK.unlink()
    return folder


def counted(folder: Path) -> dict[str, Any]:
    """Lines and branches by room, and the files of which too little is run."""
    watch = coverage.Coverage(
        data_file=str(folder / "data"), branch=True, source=[str(ROOT / "diagnose")], config_file=False
    )
    watch.combine([str(folder)], keep=True)
    rooms: dict[str, dict[str, Numbers]] = defaultdict(dict)
    for file in sorted((ROOT / "diagnose").rglob("*.py")):
        parts = file.relative_to(ROOT / "diagnose").parts
        rooms[parts[0] if len(parts) > 1 else "."]["/".join(parts[1:]) or parts[0]] = watch._analyze(
            str(file)
        ).numbers
    every = [numbers for files in rooms.values() for numbers in files.values()]
    total = sum(every, Numbers())
    return {
        "date": date.today(),
        "version": coverage.__version__,
        "statements": total.n_statements,
        "branch_count": total.n_branches,
        **_shares(every),
        "rooms": {
            room: {
                **_shares(files.values()),
                "low": {
                    file: round(one.pc_covered, 1) for file, one in files.items() if one.pc_covered < ENOUGH
                },
            }
            for room, files in rooms.items()
        },
    }


def _shares(numbers: Iterable[Numbers]) -> dict[str, float]:
    total = sum(numbers, Numbers())
    lines = 100 * total.n_executed / total.n_statements if total.n_statements else 100.0
    branches = 100 * total.n_executed_branches / total.n_branches if total.n_branches else 100.0
    return {"lines": round(lines, 2), "branches": round(branches, 2)}


if __name__ == "__main__":
    os.chdir(ROOT)
    main()
