"""Why, with everything behind it: the balance sheet, the rules, and the sums with where each number came from."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from a_page import plainly, read
from diagnose.engine.facts import Fact
from diagnose.explain.asked import asked_about, explain, explain_not
from diagnose.explain.why import why_not
from diagnose.judgement.judge import Cellar, Judged, judge
from diagnose.present.told import paragraph, sentence
from diagnose.present.why import show_explained
from made_bases import base_of, cause, says, yes_no

if TYPE_CHECKING:
    from conftest import Worked

WARM_SHELF = "haze/demonstration"

FULL = {
    ("why", WARM_SHELF, "unknown"): (
        "Why Something these rules do not know: 5 %, unlikely",
        "Nothing speaks for it or against it; it gains when every known cause is spoken against.",
    ),
    ("why", "haze/sweetened_cider_wakes_up", "refermentation"): (
        "Here it weighs +1.9 decibans, since another trouble of this wine brings it too.",
    ),
    ("why", WARM_SHELF, "test heat_test"): (
        "Why: Heat test for protein (read already)",
        "Read already ← you said: Heat test read by eye: Much hazier, or with flakes",
        "What would stand against it, and does not",
    ),
    ("why", WARM_SHELF, "caution clay_dust"): (
        "Why this caution (shown)",
        "← This caution is shown. Take the protein out with bentonite needs this care.",
    ),
    ("why", "outside/spirit_from_a_canister", "order"): (
        "Do not drink it. Mark it, lock it away, ask the poison line, then Leave it wine; drink no unknown spirit,",
        "First see to it that nobody can drink it by mistake. [Judgement of the authors of these rules]",
    ),
    ("why", "cold/blended_after_the_cold", "dose degas"): (
        "How much: Drive out the dissolved gas",
        "Nothing is worked out for this one.",
    ),
    ("why", "cold/blended_after_the_cold", "dose wait_and_rack"): (
        "wine left behind, at most: 6 L",
        "← volume_l = 120 L ← you said: Volume of wine: 120 L",
    ),
    ("why", "outside/coil_lost_its_coolant", "question tastes"): (
        "It is not asked now: Some of these kill or blind in a mouthful and cannot be tasted.",
        "← Taste and feel is withheld. Some of these kill or blind",
        "← you said: Foreign matter feared: Coolant, antifreeze, brine or oil from a chiller",
    ),
}
NOTHING_OF = {
    ("why", WARM_SHELF, "unknown"): (
        "Speaks for it",
        "Would confirm it",
        "Confirmed by",
        "Nobody has looked yet",
    ),
    ("why not", WARM_SHELF, "unknown"): (
        "Looked at, and it did not say so",
        "Never looked at",
        "speaks for something",
    ),
    ("why", "cold/blended_after_the_cold", "dose degas"): ("not known yet",),
}


def full(worked: Worked, way: str, case: str, typed: str) -> str:
    """The whole screen for what is asked of a worked case."""
    judged = worked.judged(case)
    about = asked_about(worked.base, judged, typed)
    found = (explain if way == "why" else explain_not)(worked.cellar, judged, about)
    return read(lambda page: show_explained(page, worked.base, found, "metric", "full"))


@pytest.mark.parametrize(("asked", "said"), FULL.items(), ids=lambda part: str(part[-1])[:24])
def test_everything_behind_it_is_on_the_screen(
    worked: Worked, asked: tuple[str, str, str], said: tuple[str, ...]
) -> None:
    """Each reason stands under its head, by the names a winemaker knows, back to what was said."""
    whole = full(worked, *asked)
    assert not [part for part in said if part not in whole], whole


@pytest.mark.parametrize(("asked", "never"), NOTHING_OF.items(), ids=lambda part: str(part[-1])[:24])
def test_no_head_stands_over_nothing(
    worked: Worked, asked: tuple[str, str, str], never: tuple[str, ...]
) -> None:
    """Where nothing is known, nothing could confirm it or nothing is worked out, no empty head says otherwise."""
    whole = full(worked, *asked)
    assert not [head for head in never if head in whole], whole


def test_an_amount_that_cannot_be_is_refused_with_its_reason(worked: Worked) -> None:
    """A wine stronger already than the mix is to be gets no amount of spirit, but the reason, in full and in short."""
    facts = [Fact("alcohol", 19.0), Fact("vessel_volume", 20.0)]
    judged = judge(worked.cellar, "runaway", facts, machine="chain")
    found = explain(worked.cellar, judged, asked_about(worked.base, judged, "dose fortify_within_law"))
    whole = read(lambda page: show_explained(page, worked.base, found, "metric", "full"))
    reason = "The target is 18 in your unit; it must be at least 19 and at most 40. A blend always lies between its two"
    assert f"spirit of 40 % vol for 18 % vol in the mix: not known yet ! {reason}" in whole
    short = plainly(paragraph(worked.base, found, "metric"))
    assert reason in short and "this is not known yet" not in short


def two_causes(rarer: str) -> tuple[Cellar, Judged]:
    """Two causes that nothing was found of, the second as rare as told."""
    base = base_of(
        yes_no("film", normally={"yes": "seldom"}),
        cause("protein", says("film", yes="for")),
        cause("yeast", says("film", yes="for"), how_common=rarer),
    )
    cellar = Cellar(base)
    return cellar, judge(cellar, "haze", [Fact("film", "yes")], machine="chain")


@pytest.mark.parametrize(
    ("rarer", "said"),
    [
        (
            "rare",
            "protein goes before yeast, for it is the more common one; nothing that was found speaks more for it.",
        ),
        ("common", "protein goes before yeast, though nothing that was found speaks more for it."),
    ],
)
def test_a_winner_by_habit_alone_is_called_so(rarer: str, said: str) -> None:
    """Where both explain the film alike, the commoner goes first and that is said; of two as common, not even that."""
    cellar, judged = two_causes(rarer)
    found = why_not(cellar, judged, "yeast")
    assert sentence(cellar.base, found, "metric") == said
    whole = read(lambda page: show_explained(page, cellar.base, found, "metric", "full"))
    assert ("protein is the more common one" in whole) == (rarer == "rare")
    assert "Known, and it parts them" not in whole and "Never looked at" not in whole
