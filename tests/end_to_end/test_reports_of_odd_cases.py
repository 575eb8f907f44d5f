"""Reports and sheets of cases that are not plain: answers in doubt, locked work, trials kept by half."""

from __future__ import annotations

import json
from collections.abc import Callable
from datetime import date
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner
from diagnose.casebook.models import Event
from diagnose.casebook.store import load_case
from diagnose.cli.main import main
from diagnose.judgement.judge import Cellar, judge
from diagnose.knowledge.read import read_rule_base
from diagnose.report.case import CaseJudged
from diagnose.report.drawing import draw
from diagnose.report.made import make_report
from diagnose.report.sheets import fix_sheet
from diagnose.report.trials import trials_read
from diagnose.shipped import shipped_folder

TODAY = date(2026, 3, 14)
HEAD = "case: odd\ntitle: Invented\ninvented: yes\ntopic: {topic}\nfacts:\n"
BENCH = {"sample_ml": 100, "weighed": False, "strength": 50, "smallest": 0.1, "step": 0.01}

Told = Callable[[Path], CaseJudged]


@pytest.fixture(scope="module")
def cellar() -> Cellar:
    """The rules that came along, made ready once."""
    return Cellar(read_rule_base([shipped_folder("rules")]))


@pytest.fixture(scope="module")
def told(cellar: Cellar) -> Told:
    """A case, judged by the plain chain."""

    def of(file: Path) -> CaseJudged:
        case, state = load_case(file, cellar.base)
        return CaseJudged(cellar, case, state, judge(cellar, case.topics, state.facts(), machine="chain"), {})

    return of


def worked(name: str) -> Path:
    """A worked case that came along."""
    return shipped_folder("cases") / f"{name}.yaml"


@pytest.mark.parametrize(
    ("topic", "facts", "doubt"),
    [
        (
            "stuck",
            '  start_gravity: "1.050"\n  gravity_now: "1.090"\n',
            "Share of the sugar that has fermented: The gravity now is 1.09; it must be at least 0.994 and at most",
        ),
        (
            "haze",
            "  looks: [splinters]\n  deposit: none\n",
            "Crystals found: the findings say both “No crystals were seen where they would lie” and “Crystals, or "
            "splinters like them, were seen”. Measure that again.",
        ),
    ],
    ids=["a sum refused", "two values at once"],
)
def test_what_cannot_be_right_stands_in_the_report(
    told: Told, tmp_path: Path, topic: str, facts: str, doubt: str
) -> None:
    """Whoever reads the report is told which answers do not fit, and does not take the rest for certain."""
    file = tmp_path / "odd.yaml"
    file.write_text(HEAD.format(topic=topic) + facts, encoding="utf-8")
    assert any(sentence.startswith(doubt) for sentence in make_report(told(file), TODAY).doubtful)


def test_answers_that_clash_stand_in_the_report(told: Told) -> None:
    """A refractometer in a ferment reads too high: the clash with the hydrometer is told, and what to read again."""
    it = told(worked("stuck/refractometer_says_eight"))
    (clash,) = it.judged.clashes
    assert any(clash.says in sentence for sentence in make_report(it, TODAY).doubtful)


@pytest.mark.parametrize(
    ("name", "fix", "opens"),
    [
        ("haze/clay_that_left_the_haze", "pectic_enzyme", True),
        ("outside/soda_left_in_the_barrel", "hazardous_waste", False),
    ],
)
def test_locked_work_says_what_opens_it(told: Told, name: str, fix: str, opens: bool) -> None:
    """What cannot be undone waits for a test, and the report names the test wherever there is one."""
    it = told(worked(name))
    report = make_report(it, TODAY)
    (locked,) = (one for one in report.locked if one.name == it.base.fixes[fix].name)
    assert locked.note.startswith("It cannot be undone, and no test has confirmed the cause yet.")
    advice = it.judged.plan.of(fix)
    assert advice is not None
    tests = ", ".join(it.base.tests[test].name for test in advice.unlocked_by)
    assert bool(tests) is opens
    assert locked.note.endswith(f"Opens with: {tests}." if opens else "confirmed the cause yet.")


def test_a_trouble_that_only_shows_itself_is_told_as_not_clear(told: Told) -> None:
    """A quiet cider that was sugared may run away, though nobody asked: the report does not call that a finding."""
    report = make_report(told(worked("haze/sugar_stirred_into_a_quiet_cider")), TODAY)
    (other,) = (trouble for trouble in report.troubles if not trouble.brought)
    assert (other.verdict, other.advice) == ("Not clear yet. The answers point to it without saying why.", ())


def test_a_sheet_says_what_comes_first(told: Told) -> None:
    """Whoever takes only the sheet of racking to the cellar still reads that the wine is degassed before it."""
    it = told(worked("haze/gas_holding_up_yeast"))
    (after,) = fix_sheet(it, "wait_and_rack", TODAY).fix.after
    assert after.says.startswith("After drive out the dissolved gas: ")
    assert after.refs


def test_a_sheet_of_what_nothing_speaks_for_says_not_to_do_it(told: Told) -> None:
    """Work that cannot be undone and is in no plan is printed with a warning at its head."""
    it = told(worked("haze/gas_holding_up_yeast"))
    assert it.judged.plan.of("metal_treatment") is None
    notes = fix_sheet(it, "metal_treatment", TODAY).notes
    assert notes[0] == (
        "Not in the plan: nothing here speaks for it, and it cannot be undone. Do not do it yet."
    )
    assert not any("Do not do it" in note for note in fix_sheet(it, "wait_and_rack", TODAY).notes)


# ---------------------------------------------------------------- trials


def happened(did: str, **data: Any) -> Event:
    """An event of a trial of clay."""
    return Event.model_validate({"at": "2026-03-14T20:00:00+01:00", "did": did, "data": data})


def read(clear_rank: int | None = None, by_eye: bool = False) -> Event:
    """The trial read: three jars, of which the second dose was chosen."""
    jars = [
        {"sample": jar, ("clarity_rank" if by_eye else "clarity_ntu"): value, "flavour_rank": 1}
        for jar, value in enumerate((3, 2, 1) if by_eye else (9.0, 5.0, 0.5))
    ]
    rank = {} if clear_rank is None else {"clear_rank": clear_rank}
    return happened("trial_read", fix="bentonite", outcome="chosen", dose=0.2, readings=jars, **rank)


@pytest.mark.parametrize(
    ("clear_rank", "head"),
    [
        (None, "Clarity (rank by eye, 1 the clearest)"),
        (0, "Clarity (rank by eye, 1 the clearest, none bright)"),
        (2, "Clarity (rank by eye, 1 the clearest, bright up to 2)"),
    ],
)
def test_jars_ranked_by_eye_say_up_to_which_they_were_bright(
    cellar: Cellar, clear_rank: int | None, head: str
) -> None:
    """The clearest of three jars may still be cloudy, so the table says which were called bright."""
    (trial,) = trials_read(cellar.base, [read(clear_rank, by_eye=True)], {})
    assert trial.heads[0] == head


@pytest.mark.parametrize(
    "planned",
    [
        [],
        [happened("trial_planned", fix="bentonite", doses=[0.1, 0.2], bench={**BENCH, "sample_ml": 0})],
    ],
    ids=["no plan", "jars of nothing"],
)
def test_a_trial_without_a_plan_that_can_be_has_no_doses_to_show(
    cellar: Cellar, planned: list[Event]
) -> None:
    """The readings are shown as they are, and where nothing tells the dose of a jar no dose is made up."""
    (trial,) = trials_read(cellar.base, [*planned, read()], {})
    assert [jar.dose for jar in trial.jars] == ["?"] * 3
    assert [jar.read[0] for jar in trial.jars] == ["9", "5", "0.5"]
    good = happened("trial_planned", fix="bentonite", doses=[0.1, 0.2], bench=BENCH)
    (whole,) = trials_read(cellar.base, [good, read()], {})
    assert [jar.dose for jar in whole.jars] == ["0", "0.1", "0.2"]


def test_jars_that_all_read_nought_are_drawn_at_the_bottom() -> None:
    """Jars that stayed as clear as they were lie on the line of nought, below a scale that still has a height."""
    drawing = draw("Rise", ["0", "0.1", "0.2"], [0.0, 0.0, 0.0], None)
    assert drawing is not None
    assert [tick.label for tick in drawing.up_ticks] == ["0", "1"]
    assert {point.y for point in drawing.points} == {drawing.up_ticks[0].at}


def test_no_sheet_is_made_of_a_trial_that_cannot_be_set_up(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A plan broken by hand ends in a sentence that says why and what is usual, instead of a sheet with wrong doses."""
    event = {
        "at": "2026-03-14T20:00:00+01:00",
        "did": "trial_planned",
        "data": {"fix": "bentonite", "doses": [0.1, 0.2], "bench": {**BENCH, "sample_ml": 0}},
    }
    text = worked("haze/demonstration").read_text(encoding="utf-8").partition("expect:")[0]
    file = tmp_path / "odd.yaml"
    file.write_text(f"{text}events:\n- {json.dumps(event)}\n", encoding="utf-8")
    monkeypatch.setenv("DIAGNOSE_SETTINGS", str(tmp_path / "settings.yaml"))
    done = CliRunner().invoke(main, ["sheet", str(file), "trial", "bentonite"])
    assert done.exit_code == 1
    assert " ".join(done.output.split()) == (
        "The trial planned in this case cannot be set up. The sample is 0 mL; it must be at least 1 and at most 20000. "
        "50 to 250 mL is usual."
    )
