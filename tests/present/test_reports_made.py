"""The report of a case: what is doubtful in it, and what it says of a trouble that is not clear."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

import pytest
from a_page import plainly
from diagnose.casebook.store import load_case
from diagnose.engine.facts import Fact
from diagnose.judgement.judge import judge
from diagnose.report.case import CaseJudged
from diagnose.report.drawing import draw
from diagnose.report.made import make_report
from diagnose.report.sheets import fix_sheet
from diagnose.report.written import write
from diagnose.shipped import shipped_folder

if TYPE_CHECKING:
    from conftest import Worked

TODAY = date(2026, 3, 2)


def of_case(worked: Worked, name: str, *more: Fact) -> CaseJudged:
    """A worked case, with further facts that its owner told."""
    found, state = load_case(shipped_folder("cases") / f"{name}.yaml", worked.base)
    judged = judge(worked.cellar, found.topics, [*state.facts(), *more], machine="chain")
    return CaseJudged(worked.cellar, found, state, judged, {})


REPORTED: dict[tuple[str, tuple[Fact, ...]], tuple[str, ...]] = {
    ("stuck/refractometer_says_eight", ()): (
        "These do not fit together. It is said to taste dry, and the density is 1.008 or more",
        "Both are kept. Measure again: density now and sweetness.",
    ),
    ("haze/demonstration", (Fact("gas", "lively"),)): (
        "Gas in the wine: the findings say both “Foam, hissing or a strong push, or the airlock works by itself” and",
    ),
    ("haze/demonstration", (Fact("heated_ntu", 1.0), Fact("control_ntu", 9.0))): ("swapped",),
    ("haze/unknown_mead_with_wax", ()): (
        "a rarer haze, two hazes at once that hide each other",
        "Treat nothing blind.",
    ),
    ("runaway/sorbate_met_the_malolactic", ()): (
        "Not clear yet. The answers point to it without saying why.",
    ),
    ("outside/descaler_in_the_kettle", ()): ("Take it to hazardous waste",),
    ("haze/clay_that_left_the_haze", ()): ("Opens with: Pectic enzyme beside an untreated twin.",),
}


@pytest.mark.parametrize(("asked", "said"), REPORTED.items(), ids=lambda part: None)
def test_what_is_doubtful_stands_in_the_report(
    worked: Worked, asked: tuple[str, tuple[Fact, ...]], said: tuple[str, ...]
) -> None:
    """A clash, a contradiction, a sum that cannot be and a lock are read by whoever gets the report too."""
    report = make_report(of_case(worked, asked[0], *asked[1]), TODAY)
    whole = plainly(write(report, "md").replace("\\", ""))
    assert not [part for part in said if part not in whole], whole


def test_a_wine_of_which_nothing_was_told_is_reported_as_such(worked: Worked) -> None:
    """Without a single finding the report says that these are only the commonest causes, and calls none most likely."""
    it = of_case(worked, "haze/demonstration")
    empty = CaseJudged(it.cellar, it.case, it.state, judge(worked.cellar, "haze", [], machine="chain"), {})
    whole = plainly(write(make_report(empty, TODAY), "md").replace("\\", ""))
    assert "Nothing that was told so far speaks for any of these. They are only the commonest ones." in whole
    assert "Most likely:" not in whole


@pytest.mark.parametrize(("fix", "warned"), [("pectic_enzyme", True), ("bentonite", False), ("degas", False)])
def test_the_sheet_of_a_fix_outside_the_plan_says_so(worked: Worked, fix: str, warned: bool) -> None:
    """What cannot be undone and what nothing speaks for is not to be done yet; the sheet of a step in the plan is."""
    whole = plainly(
        write(fix_sheet(of_case(worked, "haze/demonstration"), fix, TODAY), "md").replace("\\", "")
    )
    assert ("nothing here speaks for it, and it cannot be undone. Do not do it yet." in whole) == warned


def test_the_sheet_of_a_step_says_what_it_comes_after(worked: Worked) -> None:
    """Whoever works from the sheet alone reads there that the wine is marked and locked away first, and why."""
    sheets = [
        plainly(
            write(fix_sheet(of_case(worked, "outside/spirit_from_a_canister"), fix, TODAY), "md").replace(
                "\\", ""
            )
        )
        for fix in ("no_distilling", "mark_and_lock_away")
    ]
    said = "After do not drink it. Mark it, lock it away, ask the poison line: First see to it that nobody can drink it"
    assert said in sheets[0] and said not in sheets[1]


def test_readings_that_are_all_nought_are_drawn_from_nought_to_one() -> None:
    """Jars that all read 0 NTU lie on the ground line under a scale that has an end."""
    drawn = draw("Clarity", ("0.1", "0.2"), (0.0, 0.0), None)
    assert drawn is not None and [tick.label for tick in drawn.up_ticks] == ["0", "1"]
    assert {point.y for point in drawn.points} == {drawn.up_ticks[0].at}
