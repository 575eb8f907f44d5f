"""Words that the program itself looks up: a rule base without them would fail in the middle of a consultation."""

from __future__ import annotations

from pathlib import Path
from typing import get_args

import pytest
from diagnose.calculators.trial import Outcome
from diagnose.knowledge.models.facts import Group
from diagnose.knowledge.models.trials import TRIAL_OUTCOMES
from diagnose.present.question import GROUPS
from rule_folders import SOUND, assert_well_said, folder_with, problems_of

WORDS = (SOUND / "words.yaml").read_text(encoding="utf-8")

SLIPS = {
    "a word of `asking` misspelt": (
        "least_gain: 0.02",
        "least_gian: 0.02",
        "rules/words.yaml:16:61: 'least_gian' is not a word of the table 'asking'.",
        "Did you mean 'least_gain'? Known: a_cheap_sign, a_long_wait, a_question, least_gain, least_worth, "
        "start_early, stay_with.",
    ),
    "a word of `asking` left out": (
        "least_gain: 0.02, ",
        "",
        "rules/words.yaml:16:37: the table 'asking' lacks the word 'least_gain', which the program looks up.",
        "Add `least_gain:` with its number.",
    ),
    "a word of `asking` that nothing reads": (
        "a_question: 3",
        "a_question: 3, patience: 2",
        "rules/words.yaml:16:61: 'patience' is not a word of the table 'asking'.",
        "Known: a_cheap_sign, a_long_wait, a_question, least_gain, least_worth, start_early, stay_with.",
    ),
    "a question that costs nothing": (
        "a_question: 3",
        "a_question: 0",
        "rules/words.yaml:16:58: 'a_question' is 0; it must be above 0.",
        "Write a number above 0.",
    ),
    "a gain below nothing": (
        "least_gain: 0.02",
        "least_gain: -1",
        "rules/words.yaml:16:73: 'least_gain' is -1; it must be 0 or more.",
        "Write a number 0 or more.",
    ),
    "a word of `standing` misspelt": (
        "possible: 0.08",
        "posible: 0.08",
        "rules/words.yaml:15:61: 'posible' is not a word of the table 'standing'.",
        "Did you mean 'possible'? Known: likely, possible, unlikely.",
    ),
    "a word of `standing` left out": (
        "possible: 0.08, ",
        "",
        "rules/words.yaml:15:39: the table 'standing' lacks the word 'possible', which the program looks up.",
        "Add `possible:` with its number.",
    ),
    "confirmed as a mere chance": (
        "{likely: 0.5",
        "{confirmed: 0.9, likely: 0.5",
        "rules/words.yaml:15:48: 'confirmed' is not a word of the table 'standing'.",
        "Known: likely, possible, unlikely.",
    ),
    "no word for the smallest chances": (
        "unlikely: 0}",
        "unlikely: 0.01}",
        "rules/words.yaml:15:87: a chance below 0.01 would have no word; 'unlikely' begins at 0.",
        "Let unlikely begin at 0, possible higher, and likely higher still, up to 1.",
    ),
    "words of `standing` out of order": (
        "possible: 0.08",
        "possible: 0.6",
        "rules/words.yaml:15:56: 'likely' begins at 0.5, which is not above 'possible' at 0.6.",
        "Let unlikely begin at 0, possible higher, and likely higher still, up to 1.",
    ),
    "a chance above one": (
        "likely: 0.5",
        "likely: 50",
        "rules/words.yaml:15:56: 'likely' begins at 50, and no chance is above 1.",
        "Let unlikely begin at 0, possible higher, and likely higher still, up to 1.",
    ),
    "every answer a slip": (
        "an_answer: 0.03",
        "an_answer: 1",
        "rules/words.yaml:31:56: 'an_answer' is 1; a chance lies from 0 up to 1, and not every answer is a slip.",
        "Write how often an answer is a slip, such as 0.03.",
    ),
    "no word for what is met sometimes": (
        "sometimes: 10, ",
        "",
        "rules/words.yaml:10:39: the table 'normally' lacks the word 'sometimes', which the program looks up.",
        "Add `sometimes:` with its number.",
    ),
    "no word for the burden of what cannot be undone": (
        ", much: 0.25}",
        "}",
        "rules/words.yaml:14:37: the table 'burden' lacks the word 'much', which the program looks up.",
        "Add `much:` with its number.",
    ),
}
"""By the slip: what was written, what is written now, and the first and last line of the message."""


@pytest.mark.parametrize("slip", SLIPS)
def test_a_mentor_who_changes_a_table_is_told_what_it_lacks(
    slip: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A word that no page reads, but the program does, is missed when the rules are read, not in the cellar."""
    monkeypatch.chdir(tmp_path)
    written, instead, first, mend = SLIPS[slip]
    assert WORDS.count(written) == 1
    (problem,) = problems_of(folder_with(Path(), {"words.yaml": WORDS.replace(written, instead)}))
    assert_well_said(problem)
    told = str(problem).split("\n")
    assert (told[0], told[-1].strip()) == (first, mend)


def test_every_heading_of_questions_is_known_to_the_screen() -> None:
    """A question is never shown under the bare word of its group."""
    assert set(GROUPS) == set(get_args(Group))


def test_every_outcome_of_a_ladder_is_one_a_page_may_speak_of() -> None:
    """A page may say what any end of a trial means, but for a trial that was not finished or denies itself."""
    ends = set(get_args(Outcome)) - {"incomplete", "contradictory"}
    assert set(TRIAL_OUTCOMES) == ends | {"never_clear", "never_stable"}
