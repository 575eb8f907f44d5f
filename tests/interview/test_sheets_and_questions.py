from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from at_the_table import CELLAR, after_the_result
from diagnose.casebook.answers import NotAnAnswer
from diagnose.casebook.store import load_case, new_case, open_case
from diagnose.interview.session import Consultation
from diagnose.judgement.judge import Cellar
from diagnose.knowledge.conditions import Condition
from diagnose.present.question import KEYS

DOCS = Path(__file__).resolve().parents[2] / "docs"


def test_a_persons_own_limit_stands_in_the_sheet_of_a_fix(tmp_path: Path) -> None:
    """Who set 2 % of water reads 2 % on the sheet, beside the figure of the rules; who set nothing reads 1 %."""
    lines = ("steps protein_fining", "stop")
    given = {"vessel_volume": 100.0}
    own, _ = after_the_result(tmp_path, *lines, answers=given, limits={"us_water_share": 2.0})
    assert "Your own limit: Water added with all treatments together, 2 percent, instead of 1 (us)" in own
    usual, _ = after_the_result(tmp_path, *lines, answers=given)
    assert "Water added with all treatments together, 1 percent" in usual and "Your own" not in usual


def test_the_steps_of_a_fix_that_is_not_offered_have_its_amounts(tmp_path: Path) -> None:
    """Asked for by name, a fix that serves no likely cause still says 1 to 12 g for 100 L of wine."""
    screen, _ = after_the_result(
        tmp_path,
        "steps protein_fining",
        "stop",
        answers={"vessel_volume": 100.0, "protein_fining_dose": 0.05},
    )
    assert "takes 1 g to 12 g" in screen
    assert "after a trial kept here, 5 g" in screen


@pytest.mark.parametrize(("colour", "asked"), [("red", "made_from"), ("white", "wine_is_in")])
def test_an_opening_question_keeps_its_own_condition(tmp_path: Path, colour: str, asked: str) -> None:
    """A question for red wines alone is left out of the opening of a white."""
    base = CELLAR.base
    only_red = {"ask_when": Condition.model_validate({"wine_colour": "red"})}
    observations = {
        **base.observations,
        "made_from": base.observations["made_from"].model_copy(update=only_red),
    }
    path = new_case(tmp_path, "Invented", ("haze",), "metric", base)
    with open_case(path, base) as record:
        record.record("answered", "wine_colour", colour)
        question = Consultation(Cellar(replace(base, observations=observations)), record).next_question()
    assert question is not None and question.observation.observe == asked


def test_numbers_from_the_bench_are_kept_only_if_the_case_can_be_opened_again(tmp_path: Path) -> None:
    """A dose no question allows is refused before it is written, and nothing beside it is written either."""
    path = new_case(tmp_path, "Invented", ("haze",), "metric", CELLAR.base)
    with open_case(path, CELLAR.base) as record, pytest.raises(NotAnAnswer, match="cannot be right"):
        Consultation(CELLAR, record).add_facts(
            {"bentonite_trial": "cleared_and_stable", "bentonite_dose": 8.0}
        )
    assert load_case(path, CELLAR.base)[1].answers == {}


def test_every_key_of_a_question_is_shown_with_it() -> None:
    """The line under a question names each key that the page of commands promises."""
    text = (DOCS / "commands.md").read_text(encoding="utf-8")
    table = text.partition("## What can be typed at a question")[2].partition("\n\nThe questions of a bench")[
        0
    ]
    promised = [row.split("`")[1] for row in table.splitlines() if row.startswith("| `")]
    promised.remove("what is NTU")  # offered only under a question that has such a word
    assert len(promised) == 8
    assert set(promised) == {
        key.split(" (")[0].replace("? how to find out", "?") for key in KEYS.split(" · ")
    }


@pytest.mark.parametrize("key", ["later", "so far", "enough"])
def test_a_key_that_a_trial_does_not_know_is_told_from_a_wrong_answer(tmp_path: Path, key: str) -> None:
    """Inside a trial, a key of the consultation is named as such, and the question stays open."""
    screen, _ = after_the_result(tmp_path, "trial bentonite", key, "stop", "stop")
    assert f"'{key}' is not a key here; back, why, ? and stop are." in screen
    assert "not one of the answers" not in screen
