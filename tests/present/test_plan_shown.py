"""The whole plan on the screen: what to have ready, what waits for what, and the wine as foreseen."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

import pytest
from a_page import read
from diagnose.calculators.spread import Range
from diagnose.casebook.store import load_case
from diagnose.judgement.judge import judge
from diagnose.judgement.whole import whole_plan
from diagnose.planning.fixes import FixAdvice
from diagnose.planning.order import Constraint
from diagnose.planning.projection import NOT_MEASURED
from diagnose.planning.whole import Dated, LeftOut, Need, PlannedStep, Projected, Share, WholePlan
from diagnose.present.plan import between, show_whole_plan
from diagnose.shipped import shipped_folder

if TYPE_CHECKING:
    from conftest import Worked

FIRST = date(2026, 3, 2)


def planned(worked: Worked, case: str, plain: bool = False) -> str:
    """The plan of a worked case, begun on the second of March."""
    found, state = load_case(shipped_folder("cases") / f"{case}.yaml", worked.base)
    judged = judge(worked.cellar, found.topics, state.facts(), machine="chain")
    plan = whole_plan(worked.cellar, judged, state.facts(), FIRST)
    return read(lambda page: show_whole_plan(page, worked.base, judged, plan, {}, "metric"), plain=plain)


SHOWN = {
    "haze/gas_holding_up_yeast": (
        "Mind ──── ! A vessel that is closed tight while it works builds pressure",
        "2. Wait, then rack off the sediment [steps wait_and_rack] Mon 9 Mar.",
        "After step 1: Rising bubbles carry yeast and floc back up.",
        "Not foreseen, for nobody has measured it: alcohol, sugar, acidity, pH, free sulfur dioxide,",
    ),
    "so2/finished_red_worth_acid": (
        "The wine then: pH 3.57 (3.50 to 3.63); molecular",
        "No longer known: acidity: part of the acid drops again as crystals; measure it after two days.",
    ),
}


@pytest.mark.parametrize(("case", "said"), SHOWN.items())
def test_the_plan_of_a_worked_case(worked: Worked, case: str, said: tuple[str, ...]) -> None:
    """What a step waits for, what it makes of the wine, and which number nobody can foresee, is said with it."""
    whole = planned(worked, case)
    assert not [part for part in said if part not in whole], whole
    assert ("nobody has measured it" in whole) == (case == "haze/gas_holding_up_yeast")


def test_a_plan_read_aloud_has_no_drawing(worked: Worked) -> None:
    """On a plain page the days are sentences, and a caution begins with a word."""
    whole = planned(worked, "haze/gas_holding_up_yeast", plain=True)
    assert "Mind: A vessel that is closed tight" in whole and not set("─#") & set(whole)


def advice(fix: str) -> FixAdvice:
    """A fix that is open."""
    return FixAdvice(fix, "open", 1.0, (), {}, (), (), (), ())


EMPTY = Projected({}, {})


def step(fix: str, *waits_for: Constraint) -> PlannedStep:
    """A step on the first day."""
    return PlannedStep(advice(fix), FIRST, True, (), waits_for, EMPTY, EMPTY, ())


def plan_of(
    *steps: PlannedStep,
    needs: tuple[Need, ...] = (),
    behind: tuple[Dated, ...] = (),
    left_out: tuple[LeftOut, ...] = (),
    now: Projected = EMPTY,
) -> WholePlan:
    """A plan of these steps."""
    return WholePlan(FIRST, steps, behind, left_out, needs, (), now)


def shown(worked: Worked, plan: WholePlan) -> str:
    """A plan on the screen, in the wine of the warm shelf."""
    judged = worked.judged("haze/demonstration")
    return read(lambda page: show_whole_plan(page, worked.base, judged, plan, {}, "metric"))


def test_what_two_steps_take_of_one_thing_is_bought_once(worked: Worked) -> None:
    """The sum is told with the spare, each step's part beside it, and what must be measured before a part is known."""
    shares = (
        Share("bentonite", 20.0, 40.0),
        Share("second_small_ladder", 5.0, 5.0),
        Share("counter_fine", None, None, ("vessel_volume",)),
    )
    whole = shown(
        worked, plan_of(step("bentonite"), needs=(Need("bentonite", "mass", 25, 45, 50, 10, shares),))
    )
    assert "Bentonite: the plan takes 25 to 45 g. Have 50 g, 10 % to spare." in whole
    assert (
        "(20 to 40 g for take the protein out with bentonite; 5 g for a second, smaller ladder of clay"
        in whole
    )
    assert "For take out what a fining left behind this is needed first: " in whole
    unknown = Need(
        "bentonite", "mass", None, None, None, 10, (Share("bentonite", None, None, ("ph", "alcohol")),)
    )
    whole = shown(worked, plan_of(step("bentonite"), needs=(unknown,)))
    assert (
        "Bentonite: how much is not known yet. For take the protein out with bentonite this is needed"
        in whole
    )


def test_a_plan_without_shopping_says_so(worked: Worked) -> None:
    """Nothing to buy is said; a wine without a number, and nothing left unmeasured, is said too."""
    whole = shown(worked, plan_of(step("leave_alone")))
    assert "Nothing beyond what stands in the cellar." in whole
    assert "The wine now: no number is known." in whole and NOT_MEASURED not in whole
    assert "Not before Mon 2 Mar." in whole and "Left out of this plan" not in whole


def test_a_step_comes_after_what_was_done_already(worked: Worked) -> None:
    """The step before it is no more in the plan; it is called by its name, with the day on which it was done."""
    waits = Constraint("bentonite", "wait_and_rack", "A wine half clear needs less clay.", ())
    behind = Dated(advice("wait_and_rack"), date(2026, 2, 20), False, (), ())
    whole = shown(worked, plan_of(step("bentonite", waits), behind=(behind,)))
    assert (
        "After wait, then rack off the sediment, done on 2026-02-20: A wine half clear needs less clay."
        in whole
    )


def test_what_was_left_out_is_told_with_its_reason(worked: Worked) -> None:
    """Two fixes that must not stand together: the one that yields is named, beside which, and why; with no step too."""
    left = LeftOut(advice("bentonite"), "lysozyme_for_so2", "Clay takes lysozyme out again.", ())
    said = "Take the protein out with bentonite. It must not stand beside lysozyme or fungal chitosan"
    for plan in (plan_of(step("leave_alone"), left_out=(left,)), plan_of(left_out=(left,))):
        whole = shown(worked, plan)
        assert said in whole and "Clay takes lysozyme out again." in whole
    assert "Nothing yet: no cause is likely enough to treat." in whole


def test_a_step_that_leaves_the_wine_as_it_is_says_nothing_of_it(worked: Worked) -> None:
    """Only numbers that move are foreseen."""
    wine = Projected({"ph": Range(3.45, 3.5, 3.55)}, {})
    quiet = PlannedStep(advice("leave_alone"), FIRST, False, (), (), wine, wine, ())
    whole = shown(worked, plan_of(quiet, now=wine))
    assert "The wine now: pH 3.50 (3.45 to 3.55)." in whole
    assert "The wine then" not in whole and "No longer known" not in whole


@pytest.mark.parametrize(
    ("ends", "said"),
    [
        ((1.0, 2.0), "1 to 2 g"),
        ((2.0, 2.0), "2 g"),
        ((-1.0, 2.0), "0 to 2 g"),
        ((500.0, 1500.0), "500 g to 1.5 kg"),
    ],
)
def test_a_unit_is_said_once(ends: tuple[float, float], said: str) -> None:
    """Both ends in one unit share it; ends that read alike are one number; nothing lies below nothing."""
    assert between(*ends, "mass", "metric").replace("\u00a0", " ") == said
