"""The pages that the browser is shown, written by the real command from invented cases."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

from diagnose.shipped import shipped_folder

HOSTILE = (
    "<script>alert(1)</script><img src=x onerror=alert(2)><b class=planted>bold</b> {{ 7*7 }} "
    '" onload="alert(3) <a href="javascript:alert(4)">x</a> ' + "a" * 120
)
"""What somebody might write into a case to make a page do something, with a word longer than a screen."""

BENCH = {"sample_ml": 100, "weighed": False, "strength": 50, "smallest": 0.1, "step": 0.01}
JARS = [(0, 14.0, None, 1), (1, 6.0, None, None), (2, 0.9, "stable", 1), (3, 0.8, "stable", 2)]
"""Jar, turbidity in NTU, heat test, rank in taste; invented."""

REPORTS = ("simple", "two_troubles", "trial_read", "nothing_known", "nothing_fits", "us_units", "hostile")
SHEETS = ("trial_sheet", "fix_sheet")
PAGES = (*REPORTS, *SHEETS)


def write_pages(folder: Path) -> dict[str, Path]:
    """Every page of `PAGES`, written into `folder`."""
    shipped = shipped_folder("cases")
    haze = shipped / "haze"
    cases = {
        "simple": haze / "demonstration.yaml",
        "two_troubles": haze / "three_troubles_in_one_tub.yaml",
        "nothing_fits": shipped / "stuck" / "nothing_fits.yaml",
        "trial_read": _case(folder, "trial_read"),
        "us_units": _case(folder, "us_units", units="us"),
        "hostile": _case(folder, "hostile", HOSTILE, title=HOSTILE, story=HOSTILE),
        "nothing_known": _write(
            folder, "nothing_known", "case: empty\ntitle: Empty\ninvented: yes\ntopic: haze\n"
        ),
    }
    for name, case in cases.items():
        _run(folder, "report", str(case), "--to", str(folder / f"{name}.html"))
    for name, kind in (("trial_sheet", "trial"), ("fix_sheet", "steps")):
        _run(folder, "sheet", str(cases["us_units"]), kind, "bentonite", "--to", str(folder / f"{name}.html"))
    return {name: folder / f"{name}.html" for name in PAGES}


def _case(folder: Path, name: str, notes: str = "a little closed", **head: str) -> Path:
    """The demonstration with a bench trial that was read; `head` replaces what its head says."""
    kept = (shipped_folder("cases") / "haze" / "demonstration.yaml").read_text(encoding="utf-8")
    facts = kept[kept.index("facts:") : kept.index("expect:")]
    told = {"case": name, "title": "A white that clouded", "invented": "yes", "topic": "haze", **head}
    readings = [
        {"sample": jar, "clarity_ntu": ntu, "heat": heat, "flavour_rank": rank, "notes": notes}
        for jar, ntu, heat, rank in JARS
    ]
    read = {"fix": "bentonite", "outcome": "chosen", "dose": 0.2, "readings": readings}
    events = [
        {"did": "trial_planned", "data": {"fix": "bentonite", "doses": [0.1, 0.2, 0.4], "bench": BENCH}},
        {"did": "trial_read", "data": read},
        {"did": "answered", "about": "vessel_volume", "value": 60},
        {"did": "noted", "data": {"remark": notes}},
    ]
    lines = [
        *(f"{key}: {value if value == 'yes' else json.dumps(value)}\n" for key, value in told.items()),
        facts,
        "events:\n",
        *(f"- {json.dumps({'at': '2026-03-17T20:00:00+01:00', **event})}\n" for event in events),
    ]
    return _write(folder, name, "".join(lines))


def _write(folder: Path, name: str, text: str) -> Path:
    case = folder / f"{name}.yaml"
    case.write_text(text, encoding="utf-8")
    return case


def _run(folder: Path, *words: str) -> None:
    places = {"DIAGNOSE_CASES": str(folder / "cases"), "DIAGNOSE_SETTINGS": str(folder / "settings.yaml")}
    done = subprocess.run(
        [sys.executable, "-m", "diagnose", *words],
        capture_output=True,
        text=True,
        timeout=120,
        check=False,
        env={**os.environ, **places},
    )
    assert done.returncode == 0, done.stderr
