"""Two agents side by side in the real command, read on another day; the sheet and the report show the same jars."""

from __future__ import annotations

from pathlib import Path

import pytest
from diagnose.calculators.trial import blind_order
from ready_start import Run

HEAD = 'case: "{name}"\ntitle: "A consultation"\ntopic: "haze"\ncase_format: 2\nunits: "metric"\nevents:\n'
SEED = 11
BENCH = '{{"sample_ml": 100, "weighed": false, "strength": {}, "smallest": 0.1, "step": 0.01}}'
PLANNED = (
    '- {"at": "2026-03-16T20:14:33+01:00", "did": "trial_planned", "data": {"fix": "counter_fine", "doses": '
    f'[0.02, 0.04], "bench": {BENCH.format(10)}, "seed": {SEED}, "replicates": 2, "second": '
    f'{{"fix": "bentonite", "doses": [0.2, 0.4], "bench": {BENCH.format(50)}}}}}}}\n'
)


@pytest.fixture
def case(home: Path) -> Path:
    """A kept case without anything in it yet."""
    (home / "cases").mkdir()
    file = home / "cases" / "plum.yaml"
    file.write_text(HEAD.format(name="plum"), encoding="utf-8")
    return file


def flat(text: str) -> str:
    """A text on one line."""
    return " ".join(text.split())


def test_two_agents_are_planned_today_and_read_another_day(run: Run, case: Path) -> None:
    """Silica beside clay, two jars of each; the jars settle, the person comes back, and the dose of clay is kept."""
    silica, clay = ["1", "10", "100 mL", "0.1", "0.01", "0.02 0.04"], ["1", "50", "0.1", "0.01", "0.2 0.4"]
    first = run(
        "continue",
        "plum",
        lines=["enough", "trial counter_fine and bentonite", *silica, *clay, "2", "yes", "later", "stop"],
    )
    assert first.returncode == 3 and "10 jars." in first.stdout and "The plan is kept" in first.stdout
    read = ["2", "9/8 5/6 4/4", "6/5 0.7/0.8", "u/u u/u s/s", "1/2 - -", "- 1/2", "100 L"]
    second = run("continue", "plum", lines=["enough", "trial counter_fine and bentonite", *read, "stop"])
    assert "Only dry clay has a dose to choose yet." in flat(second.stdout)
    assert "dry clay: 40 g" in flat(second.stdout)
    kept = case.read_text(encoding="utf-8")
    assert '"about": "bentonite_dose", "value": 0.4' in kept and "silica_dose" not in kept
    report = run("report", "plum").stdout
    assert "Take out what a fining left behind, beside: Take the protein out with bentonite" in flat(report)
    assert "in clarity? Sure enough: the spread between equal jars alone" in flat(report)
    assert all(jar in report for jar in ("control b", "2a", "4b"))


def test_the_sheet_shows_every_jar_with_its_code(run: Run, case: Path) -> None:
    """Two jars of the control and of each dose, with the codes of the kept seed; asked for by either name."""
    case.write_text(HEAD.format(name="plum") + PLANNED, encoding="utf-8")
    for name in ("counter_fine", "bentonite"):
        page = run("sheet", "plum", "trial", name).stdout
        for jar in ("control a", "control b", "1a", "2b", "3a", "4b"):
            assert f"| {jar} |" in page
        blind = blind_order(10, SEED)
        assert f"control a {blind.codes[0]}, control b {blind.codes[1]}, jar 1a {blind.codes[2]}" in flat(
            page
        )
        assert "1 L of wine" in flat(page)


@pytest.mark.parametrize(
    ("wrong", "names"),
    [
        (PLANNED.replace('"second": {"fix": "bentonite"', '"second": {"fix": "moonlight"'), "moonlight"),
        (
            PLANNED.replace('"second": {"fix": "bentonite"', '"second": {"fix": "counter_fine"'),
            "stands twice",
        ),
        (PLANNED.replace('"replicates": 2', '"replicates": 9'), "replicates"),
    ],
)
def test_a_plan_of_two_that_is_not_whole_is_told_with_its_place(
    run: Run, case: Path, wrong: str, names: str
) -> None:
    """A second agent that no ladder doses, the same one twice, or too many jars stop the case at its line."""
    case.write_text(HEAD.format(name="plum") + wrong, encoding="utf-8")
    done = run("continue", "plum", lines=["stop"])
    assert (
        done.returncode == 1
        and names in done.stderr + done.stdout
        and "plum.yaml:7" in done.stderr + done.stdout
    )


def test_no_sheet_of_two_agents_of_which_one_must_not_be_used(run: Run, case: Path) -> None:
    """Clay did nothing in this wine, so the sheet of silica beside clay is refused with the reason, by either name."""
    found = (
        '- {"at": "2026-03-17T20:00:00+01:00", "did": "answered", "about": "bentonite_trial", '
        '"value": "no_effect"}\n'
    )
    case.write_text(HEAD.format(name="plum") + PLANNED + found, encoding="utf-8")
    for name in ("counter_fine", "bentonite"):
        done = run("sheet", "plum", "trial", name)
        assert done.returncode == 1 and "clay does nothing here" in flat(done.stderr)
