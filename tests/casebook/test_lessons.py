"""What earlier cases of an invented cellar say to this one, and when they keep silent."""

from __future__ import annotations

from pathlib import Path

import pytest
from diagnose.casebook.lessons import Lesson, lessons_for
from diagnose.casebook.shelf import cards
from diagnose.casebook.store import open_case
from kept_cases import BASE, Said, keep, kept

SAME: list[Said] = [
    ("answered", "bubbles", "no"),
    ("answered", "colour", "white"),
    ("answered", "heat_test", "hazier"),
]
OTHER: list[Said] = [
    ("answered", "bubbles", "yes"),
    ("answered", "colour", "white"),
    ("answered", "heat_test", "unchanged"),
]
HERE = {"bubbles": "no", "colour": "white", "heat_test": "hazier"}


def closed_with(folder: Path, cause: str, answers: list[Said]) -> Path:
    """An earlier case of haze that was solved, with the lesson of its end."""
    path = kept(folder, *answers)
    with open_case(path, BASE) as record:
        keep(record)
        record.record(
            "closed", value="solved", data={"causes": {"haze": cause}, "lesson": "Try it on a litre."}
        )
    return path


def told(folder: Path, wine: str | None = None) -> list[Lesson]:
    """What is told in a case in which protein is likely."""
    return [*lessons_for(BASE, folder, cards(folder), "mine", wine, ["haze"], ["protein_haze"], HERE)]


@pytest.mark.parametrize(
    ("cause", "answers", "is_told"),
    [
        ("protein_haze", SAME, True),
        ("protein_haze", OTHER, False),
        ("protein_haze", SAME[:2], False),
        ("yeast_haze", SAME, False),
    ],
    ids=["alike", "the answers differ", "too few answers", "another cause"],
)
def test_a_lesson_is_told_where_cause_and_answers_are_alike(
    tmp_path: Path, cause: str, answers: list[Said], is_told: bool
) -> None:
    """Of other wines, only a case that came to what is likely here and was answered alike says something."""
    closed_with(tmp_path, cause, answers)
    found = told(tmp_path)
    assert [lesson.card.lesson for lesson in found] == (["Try it on a litre."] if is_told else [])
    assert all((lesson.alike, lesson.compared, lesson.same_wine) == (3, 3, False) for lesson in found)


def test_a_case_that_no_longer_opens_is_silent(tmp_path: Path) -> None:
    """Its card can still be read and its answers cannot: it is not taken for one alike, and stops nothing."""
    broken = closed_with(tmp_path, "protein_haze", SAME)
    text = broken.read_text(encoding="utf-8")
    broken.write_text(text.replace('"hazier"', '"no_such_answer"'), encoding="utf-8")
    closed_with(tmp_path, "protein_haze", SAME)
    assert len(cards(tmp_path)) == 2 and all(card.lesson for card in cards(tmp_path))
    assert [lesson.card.name != broken.stem for lesson in told(tmp_path)] == [True]
