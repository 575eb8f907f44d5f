"""A person asks for one plan of all the work, at a terminal or from a script."""

from __future__ import annotations

import json
import re
from datetime import date, timedelta
from pathlib import Path
from typing import Any

import pytest
from diagnose.judgement.plan_machine import PlanOut
from diagnose.shipped import shipped_folder
from rich.cells import cell_len
from terminal import Terminal

CASE = shipped_folder("cases") / "haze" / "three_troubles_in_one_tub.yaml"
"""Air, weak powder and protein at once; invented."""

FIRST = "2026-12-01"


@pytest.fixture
def whole_case(tmp_path: Path) -> Path:
    """The case with its volume and the dose that a trial chose; invented."""
    more = "  vessel_volume: 100 L\n  bentonite_dose: 0.5 g/L\n  bentonite_slurry: 50 g/L\n  alcohol: 12 %\n"
    written = CASE.read_text(encoding="utf-8").replace("\nfacts:\n", f"\nfacts:\n{more}", 1)
    file = tmp_path / "whole.yaml"
    file.write_text(written, encoding="utf-8")
    return file


def drawing(shown: str) -> list[str]:
    """The lines of the drawing of days, without the scale."""
    part = shown.split("\nThe days\n")[1].split("\nStep by step\n")[0]
    return [line.rstrip() for line in part.splitlines() if re.match(r" *\d+\. ", line)]


@pytest.mark.parametrize("columns", [60, 80, 120])
def test_the_plan_fits_the_terminal(environment: dict[str, str], whole_case: Path, columns: int) -> None:
    """No line is wider than the screen, and every step has its line of days."""
    terminal = Terminal(environment, "plan", str(whole_case), "--from", FIRST, columns=columns)
    plain = terminal.read_rest()
    assert terminal.wait() == 0
    terminal.end()
    assert "Have ready before you begin" in plain and "Step by step" in plain
    assert max(cell_len(line) for line in plain.splitlines()) <= columns
    lines = drawing(plain)
    assert len(lines) == 3
    assert all("#" in line and ("o" in line.partition("#")[2] or line.endswith(">")) for line in lines)


def test_piped_it_is_plain_and_holds_the_days(run, whole_case: Path) -> None:
    """No colour and no control signs; the look at the clay is a week after the first day."""
    done = run("plan", str(whole_case), "--from", FIRST)
    assert done.returncode == 0, done.stderr
    assert "\x1b" not in done.stdout
    told = " ".join(done.stdout.split())
    assert "Look: Tue 8 Dec (five to seven days, after racking)." in told
    assert "Have 55 g, 10 % to spare." in told  # 0.5 g/L in 100 L is 50 g, and a tenth
    assert "If not: Clear but still failing in heat means too little clay" in told
    assert "If it fails: If the wine passes the heat test and is still cloudy" in told


def test_what_is_not_known_is_named(run) -> None:
    """Without a trial nobody can say how much clay, and the plan says which readings are missing."""
    told = " ".join(run("plan", str(CASE), "--from", FIRST).stdout.split())
    assert "Bentonite: how much is not known yet." in told
    assert "dose of bentonite chosen at the bench and volume of wine" in told


def test_a_script_gets_the_same_plan(run, whole_case: Path) -> None:
    """The JSON fits its model, its days agree with the pages, and the wine goes on from step to step."""
    done = run("plan", str(whole_case), "--from", FIRST, "--json")
    plan: dict[str, Any] = json.loads(done.stdout)
    assert PlanOut.model_validate_json(done.stdout).begins == date(2026, 12, 1)
    clay = next(step for step in plan["steps"] if step["id"] == "bentonite")
    assert clay["checks"] == [str(date(2026, 12, 1) + timedelta(days=7))]
    states = [plan["now"], *(step["after"] for step in plan["steps"])]
    assert [step["before"] for step in plan["steps"]] == states[:-1]
    # 100 L and 1 L of slurry, less 5 to 10 % in the lees (Tattersall 2001 in Waters & Colby 2009, p. 223).
    assert clay["after"]["numbers"]["vessel_volume"]["value"] == pytest.approx(101 * 0.925)
    assert clay["after"]["numbers"]["added_water"]["value"] == pytest.approx(1.0)


def test_the_limit_of_a_persons_law_is_told(run, whole_case: Path) -> None:
    """0.6 g/L in a slurry of 50 g/L brings 1.2 % of water; 27 CFR 24.246 allows 1 %, the usual law names none."""
    text = whole_case.read_text(encoding="utf-8").replace("bentonite_dose: 0.5", "bentonite_dose: 0.6")
    whole_case.write_text(text, encoding="utf-8")
    assert "passes the limit" not in run("plan", str(whole_case)).stdout
    assert run("settings", "--law", "us").returncode == 0
    told = " ".join(run("plan", str(whole_case)).stdout.split())
    assert "Water brought in: 1.2 % passes the limit of 1 percent" in told


@pytest.mark.parametrize("day", ["tomorrow", "2026-02-30", "0001-01-01", ""])
def test_what_is_no_day_is_refused_in_a_sentence(run, day: str) -> None:
    """The sentence names what was written, what can be, and an example."""
    done = run("plan", str(CASE), "--from", day)
    assert done.returncode == 2 and done.stdout == ""
    said = " ".join(done.stderr.split())
    assert f"'{day}' is no day between 1900 and 2200" in said and "2026-11-30" in said


def test_a_case_without_anything_to_do_says_why(run) -> None:
    """Nothing is planned for a trouble that the rules do not know, and the status says incomplete."""
    case = shipped_folder("cases") / "stuck" / "nothing_fits.yaml"
    done = run("plan", str(case))
    assert done.returncode == 3
    assert "Nothing yet:" in done.stdout


def test_the_result_of_a_consultation_names_the_plan_and_the_plan_is_there(run, home: Path) -> None:
    """The last screen gives the command with the name of the case, and that command finds it."""
    found = [
        "looks crystals",
        "deposit crystals",
        "crystal_shape boats_or_lenses",
        "crystals_hot_water dissolve",
    ]
    lines = ["wine_is_in bottle", "gas none", *found, "enough"]
    done = run("--about", "haze", lines=lines)
    named = re.search(r"diagnose plan (\S+)", done.stdout)
    assert named is not None, done.stdout[-1500:]
    assert (home / "cases" / f"{named[1]}.yaml").is_file()
    planned = run("plan", named[1])
    assert planned.returncode == 0 and "Step by step" in planned.stdout
