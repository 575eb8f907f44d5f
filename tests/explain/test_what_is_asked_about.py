"""What a person means by what is typed, and every kind of explanation as another program gets it."""

from __future__ import annotations

import json
from pathlib import Path
from typing import TYPE_CHECKING, Any

import jsonschema
import pytest
from diagnose.engine.facts import Fact
from diagnose.engine.truth import Leaf
from diagnose.explain.asked import About, NotMeant, asked_about, explain, explain_not
from diagnose.explain.conditions import gap_of
from diagnose.explain.plan import WhyOrder
from diagnose.explain.to_machine import explanation_out, explanations_out
from diagnose.explain.turns import Supposing, smallest_turns
from diagnose.explain.what_if import what_if
from diagnose.judgement.judge import Judged

if TYPE_CHECKING:
    from conftest import Worked

SCHEMA = json.loads(
    (Path(__file__).resolve().parents[2] / "docs" / "explanations.schema.json").read_text(encoding="utf-8")
)


def case_of(worked: Worked, name: str) -> tuple[tuple[Fact, ...], Judged]:
    """The facts and the judgement of a worked case."""
    return next((facts, judged) for case, facts, judged in worked.cases if case == name)


ASKED = {
    ("why", "protein_haze"): "cause",
    ("why not", "pectin_haze"): "why_not",
    ("why", "fix bentonite"): "said",
    ("why not", "test heat_test"): "said",
    ("why", "dose"): "dose",
    ("why", "order wait_and_rack before bentonite"): "order",
    ("why", "question gas"): "question",
    ("why", "question looks"): "question",
    ("why", "copper_without_trial"): "never",
}


@pytest.mark.parametrize(("asked", "kind"), ASKED.items())
def test_each_kind_stands_under_its_own_name(worked: Worked, asked: tuple[str, str], kind: str) -> None:
    """Another program finds one explanation under one name, with its words, valid by the schema that is published."""
    _, judged = case_of(worked, "demonstration")
    ask = explain if asked[0] == "why" else explain_not
    found = ask(worked.cellar, judged, asked_about(worked.cellar.base, judged, asked[1]))
    told = valid(worked, explanation_out(found, "Short.", "Longer."))
    assert {name for name, value in told.items() if value is not None} == {"sentence", "paragraph", kind}


def valid(worked: Worked, told: Any) -> Any:
    """One explanation as another program reads it."""
    whole = explanations_out(worked.cellar.base, "demonstration", [told]).model_dump(mode="json")
    jsonschema.Draft202012Validator(SCHEMA).validate(whole)
    return whole["explanations"][0]


def test_what_ticked_answers_and_turns_come_to_is_plain_json(worked: Worked) -> None:
    """Ticked answers are a list, a dose names what it was made of, and sets that turn it name each answer in them."""
    facts, judged = case_of(worked, "demonstration")
    answers = {fact.name: fact.value for fact in facts}
    looks = explain(worked.cellar, judged, About("question", ("looks",)))
    assert valid(worked, explanation_out(looks, "", ""))["question"]["answered"] == [["even_veil"]]
    dose = valid(
        worked, explanation_out(explain(worked.cellar, judged, About("dose", ("bentonite",))), "", "")
    )
    assert {"dose_g_per_l", "volume_l"} <= {
        part["parameter"] for part in dose["dose"]["amounts"][0]["inputs"]
    }
    supposed = what_if(worked.cellar, judged.topics, answers, {"heat_test_eye": "unchanged", "looks": None})
    moved = valid(worked, explanation_out(supposed, "", ""))["what_if"]
    assert moved["first_fix"] == {"id": "", "before": "bentonite", "after": None}
    supposing = Supposing(worked.cellar, judged.topics, answers)
    turns = valid(worked, explanation_out(smallest_turns(supposing, "fix", "given", (), 1), "", ""))["turns"]
    assert turns["size"] == 1 and {"heat_test_eye"} <= {
        one["answers"][0]["question"] for one in turns["sets"]
    }
    assert supposing.first("fix", ()) == "bentonite" == turns["first"]


@pytest.mark.parametrize(
    ("typed", "about"),
    [
        ("dose", About("dose", ("bentonite",))),
        ("order", About("order", ())),
        ("order bentonite, wait_and_rack", About("order", ("bentonite", "wait_and_rack"))),
        ("off the sediment", About("fix", ("wait_and_rack",))),
        ("Heat-Test-Eye", About("question", ("heat_test_eye",))),
    ],
)
def test_what_is_meant(worked: Worked, typed: str, about: About) -> None:
    """`dose` alone is that of the first step; a name may be written with dashes and capitals, or in part."""
    _, judged = case_of(worked, "demonstration")
    assert asked_about(worked.cellar.base, judged, typed) == about


@pytest.mark.parametrize("typed", ["fix unheard of", "haze", "order bentonite before unheard", "xyzzy"])
def test_what_is_not_surely_meant_is_asked_back(worked: Worked, typed: str) -> None:
    """Nothing of that name, or several: the names that come near are told, and nothing is guessed."""
    _, judged = case_of(worked, "demonstration")
    with pytest.raises(NotMeant, match="Nothing that is surely meant by") as told:
        asked_about(worked.cellar.base, judged, typed)
    assert typed != "haze" or len(told.value.near) > 1


def test_a_cause_of_another_trouble_was_not_weighed(worked: Worked) -> None:
    """Why a stuck ferment, asked of a haze: it is said that this was not weighed, with what was."""
    _, judged = case_of(worked, "demonstration")
    for ask in (explain, explain_not):
        with pytest.raises(NotMeant) as told:
            ask(worked.cellar, judged, About("cause", ("stuck_too_cold",)))
        assert "protein_haze" in told.value.near


def test_the_order_around_one_step(worked: Worked) -> None:
    """Asked about one step, all that it comes after or that comes after it is told, and nothing else."""
    _, judged = case_of(worked, "spirit_from_a_canister")
    found = explain(worked.cellar, judged, About("order", ("no_distilling",)))
    assert isinstance(found, WhyOrder)
    assert [(item.fix, item.after) for item in found.constraints] == [("no_distilling", "mark_and_lock_away")]
    first = explain(worked.cellar, judged, About("order", ("mark_and_lock_away",)))
    assert isinstance(first, WhyOrder)
    assert {item.fix for item in first.constraints} == {"no_distilling", "laboratory_foreign"}


@pytest.mark.parametrize(
    ("parts", "negated", "found", "gap"),
    [
        ((("at_least", 10.0), ("at_most", 20.0)), True, 18.0, (2.0, 20.0)),
        ((("at_least", 10.0), ("at_most", 20.0)), True, 11.0, (-1.0, 10.0)),
        ((("at_least", 10.0), ("at_most", 20.0)), False, 7.0, (3.0, 10.0)),
        ((("is", "yes"),), False, 7.0, (None, None)),
    ],
)
def test_how_far_a_number_misses(
    parts: tuple[tuple[str, Any], ...], negated: bool, found: float, gap: tuple[float | None, float | None]
) -> None:
    """Where a stretch must be left, the nearer end counts; where one must be reached, the bound that is missed."""
    assert gap_of(Leaf("temperature", parts, negated), (found,)) == gap
