"""The last screens: what is probably wrong, what does not fit together, and what to do in which order."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from a_page import read
from diagnose.engine.facts import Fact
from diagnose.judgement.judge import Cellar, judge
from diagnose.knowledge.rule_base import RuleBase
from diagnose.present.result import show_causes, show_fix, show_never_done, show_plan, show_so_far
from made_bases import base_of, caution, cellar_pages, derive, fix, number

if TYPE_CHECKING:
    from conftest import Worked

CAUSES = {
    ("haze/unknown_mead_with_wax", "haze"): (
        "41 % Something these rules do not know · possible 25 %",
        "Something these rules do not know: a rarer haze, two hazes at once that hide each other",
        "- Treat nothing blind.",
    ),
    ("runaway/sorbate_met_the_malolactic", "runaway"): (
        "A ferment that will not stop or starts again over 99 % Malolactic bacteria taken for yeast · confirmed",
        "Off-smells, metals, and things that do not belong in wine (your answers point to this too)",
        "not clear yet. Your answers point to it without saying why.",
    ),
    ("stuck/refractometer_says_eight", "stuck"): (
        "! These do not fit together. It is said to taste dry, and the density is 1.008 or more",
        "Both are kept. Measure again: density now and sweetness.",
    ),
}


@pytest.mark.parametrize(("asked", "said"), CAUSES.items(), ids=lambda part: str(part[0])[:24])
def test_what_is_probably_wrong(worked: Worked, asked: tuple[str, str], said: tuple[str, ...]) -> None:
    """An unknown trouble comes with what to do meanwhile, a second one is set apart, and a clash of answers is told."""
    judged = worked.judged(asked[0])
    whole = read(lambda page: show_causes(page, worked.base, judged, asked[1:]))
    assert not [part for part in said if part not in whole], whole
    assert "[why unknown]" not in whole


def test_so_far_names_each_trouble_and_is_no_verdict(worked: Worked) -> None:
    """In the middle of a consultation two troubles stand under their names; one alone needs none."""
    two, one = (worked.judged(case) for case in ("runaway/sorbate_met_the_malolactic", "haze/demonstration"))
    whole = read(lambda page: show_so_far(page, worked.base, two))
    short = read(lambda page: show_so_far(page, worked.base, one))
    assert whole.startswith(
        "So far A ferment that will not stop or starts again over 99 % Malolactic bacteria"
    )
    assert short.startswith("So far 95 % Protein haze · confirmed")
    assert whole.endswith("Not a verdict yet.") and short.endswith("Not a verdict yet.")


def test_answers_that_contradict_each_other_are_both_read_back(worked: Worked) -> None:
    """Still and foaming cannot both be true of one wine: both are quoted, and it is to be measured again."""
    judged = judge(worked.cellar, "haze", [Fact("gas", "none"), Fact("gas", "lively")], machine="chain")
    whole = read(lambda page: show_plan(page, worked.base, judged, (), "metric", {}))
    assert "! Gas in the wine: the findings say both “Foam, hissing or a strong push" in whole
    assert "and “Nothing; no foam that stays and no push under the thumb”. Measure that again." in whole
    assert "No single answer that is still open" not in whole


def test_an_order_is_told_with_its_reason(worked: Worked) -> None:
    """What comes after what stands at the step, and a wine that needs no test is not sent to test."""
    judged = worked.judged("outside/spirit_from_a_canister")
    whole = read(lambda page: show_plan(page, worked.base, judged, (), "metric", {}))
    assert (
        "After do not drink it. Mark it, lock it away, ask the poison line: First see to it that nobody can"
        in whole
    )
    assert "Test before you treat" not in read(
        lambda page: show_plan(page, worked.base, worked.judged("outside/coolant_found"), (), "metric", {})
    )


def test_a_sum_that_cannot_be_is_told_beside_the_causes() -> None:
    """A heated sample clearer than its twin gives no rise, but the words that the two may be swapped."""
    base = base_of(
        number("hot"),
        number("cold"),
        derive("rise", "turbidity_rise", {"heated_ntu": "hot", "unheated_ntu": "cold"}),
    )
    judged = judge(Cellar(base), "haze", [Fact("hot", 1.0), Fact("cold", 9.0)], machine="chain")
    whole = read(lambda page: show_causes(page, base, judged, ("haze",)))
    assert "! rise: " in whole and "swapped" in whole
    assert "Nothing that was told so far speaks for any of them. These are only the commonest ones." in whole


def sheet(base: RuleBase, fix: str) -> str:
    """The sheet of a fix, without amounts."""
    return read(lambda page: show_fix(page, base, fix, (), "metric", {}))


def test_work_for_a_licence_is_called_so(worked: Worked) -> None:
    """The sheet of a treatment that no cellar may do at home begins with that, and no other sheet says it."""
    said = "! This is work for a professional with a licence"
    assert said in sheet(worked.base, "pasteurise_by_professional")
    assert said not in sheet(worked.base, "bentonite")


def test_a_sheet_has_no_head_over_nothing() -> None:
    """A fix that asks for nothing has no shopping list, and cautions that no step bears stand at the end of it."""
    base = base_of(*cellar_pages(), fix("chill", prepare=["Ice."]))
    plain, with_ice = sheet(base, "bentonite"), sheet(base, "chill")
    assert "Have ready" not in plain and "Mind also ! Take care." in plain
    assert "Have ready - Ice." in with_ice and "Mind also" not in with_ice


@pytest.mark.parametrize("instead", [(), ("wait",)])
def test_a_wrong_way_explains_itself(instead: tuple[str, ...]) -> None:
    """Why it is never done, its danger, and what is done instead; where nothing takes its place nothing is promised."""
    wrong = {"never_done": "swirl", "name": "Swirl it", "because": "It wakes.", "source": "judgement"}
    base = base_of(fix("wait"), caution("gas"), {**wrong, "instead": list(instead), "caution": "gas"})
    whole = read(lambda page: show_never_done(page, base, base.never_done["swirl"]), plain=True)
    assert whole.startswith("Swirl it: never done Mind: It wakes. Mind: Take care.")
    assert ("Instead: - wait [steps wait]" in whole) == bool(instead)
    assert ("Instead" in whole) == bool(instead)
