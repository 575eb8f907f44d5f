"""Our pages beside the grades of a second reader: every disagreement has a written reason, and no reason is idle."""

from __future__ import annotations

import pytest
from diagnose.judgement.judge import Cellar, judge
from grades_haze import NEEDS_NO_ROW
from matrix import EFFECTS, Matrix, all_matrices, facts_of, ours

ROWS = [(subject, name) for subject, matrix in all_matrices().items() for name in matrix.grades]


@pytest.mark.parametrize(("subject", "name"), ROWS, ids=[f"{subject}: {name}" for subject, name in ROWS])
def test_our_page_says_what_the_grade_says_or_the_reason_is_written(
    cellar: Cellar, subject: str, name: str
) -> None:
    """A row agrees, or stands among the disagreements with a reason; a row that stands there does disagree."""
    matrix = all_matrices()[subject]
    row = matrix.grades[name]
    found = ours(cellar, matrix.topic, row)
    assert found.agrees(row.grade) == (name not in matrix.disagreements), f"{row.grade}; ours {found}"


@pytest.mark.parametrize("matrix", all_matrices().values(), ids=all_matrices())
def test_rows_and_reasons_are_whole(cellar: Cellar, matrix: Matrix) -> None:
    """Grades are of our causes and known words, reasons are sentences, and none is about a row that is not there."""
    for row in matrix.grades.values():
        assert row.grade in EFFECTS
        assert cellar.base.causes[row.cause].topic == matrix.topic
        assert row.source
    assert matrix.disagreements.keys() <= matrix.grades.keys()
    assert not matrix.not_compared.keys() & matrix.grades.keys()
    for name, reason in {**matrix.disagreements, **matrix.not_compared}.items():
        assert len(reason.split()) > 6, name
        assert reason.endswith("."), name


@pytest.mark.parametrize(
    "name", [name for name, reason in all_matrices()["haze"].disagreements.items() if reason is NEEDS_NO_ROW]
)
def test_a_sign_that_another_haze_explains_takes_from_this_one_without_a_row(
    cellar: Cellar, name: str
) -> None:
    """Where our page has no row because the sign belongs to another haze, the chance of this one does fall."""
    row = all_matrices()["haze"].grades[name]
    before, after = (
        next(
            each.chance
            for each in judge(cellar, "haze", facts_of(cellar, told), machine="chain").standings
            if each.cause == row.cause
        )
        for told in (row.beside, {**row.beside, **row.finding})
    )
    assert after < 0.8 * before
