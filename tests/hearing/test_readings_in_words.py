"""A note of readings, as a person writes it down or says it."""

from __future__ import annotations

import pytest
from diagnose.hearing.hear import Ear

NOTE = "pH 3.6, free SO2 20 ppm, TA 6.1 g/L, 1.012, 68 F, 5 gal carboy"


def found(ear: Ear, text: str) -> dict[str, object]:
    """The readings taken, by question."""
    values = {one.observe: one.value for one in ear.note(text, "metric").findings}
    return {name: round(value, 3) if isinstance(value, float) else value for name, value in values.items()}


def test_a_pasted_note_becomes_answers(listening: Ear) -> None:
    """Each figure finds its question by its name, its unit or its look, and comes out in the cellar unit."""
    assert found(listening, NOTE) == {
        "ph": 3.6,
        "free_so2": 20,
        "titratable_acidity": 6.1,
        "gravity_now": 1.012,
        "cellar_temperature": 20,
        "vessel_volume": 18.927,
    }
    unsure = {one.observe for one in listening.note(NOTE, "metric").findings if not one.sure}
    assert unsure == {"gravity_now", "cellar_temperature"}


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("OG 1.090, now 1.012", {"start_gravity": 1.09, "gravity_now": 1.012}),
        (
            "20 ppm free so2, 12% abv, 23 L, pH: 3,5",
            {"free_so2": 20, "alcohol": 12, "vessel_volume": 23, "ph": 3.5},
        ),
        ("the must got up to 36 C", {"ferment_temperature": 36}),
        ("sg 1012", {"gravity_now": 1.012}),
        ("gravity is about 1.020 now", {"gravity_now": 1.02}),
        ("alcohol 13, va 0.4 g/L", {"alcohol": 13, "volatile_acidity": 0.4}),
        ("total so2 120ppm free 30ppm", {"total_so2": 120, "free_so2": 30}),
        ("20 ppm pH 3.6", {"ph": 3.6}),
        ("3.6 pH", {"ph": 3.6}),
        ("3.6 pH cloudy", {"ph": 3.6}),
        ("3.6 pH, 20 ppm free so2", {"ph": 3.6, "free_so2": 20}),
        ("3.6 pH 20 L", {"ph": 3.6, "vessel_volume": 20}),
        ("sample 2 pH 3.6", {"ph": 3.6}),
        ("sample 2 pH is about 3.6", {"ph": 3.6}),
        ("sample 2 free so2 30 ppm", {"free_so2": 30}),
        ("sample 2 total acidity is 6.1 g/L", {"titratable_acidity": 6.1}),
        ("5 gal carboy 1.012", {"vessel_volume": 18.927, "gravity_now": 1.012}),
        ("density at the start 24 Brix", {"start_gravity": 1.101}),
        ("Iron 5 mg/L", {"lab_iron": 5}),
        ("colour: red", {"wine_colour": "red"}),
        ("gas = none", {"gas": "none"}),
        ("sweetness dry", {"sweetness": "dry"}),
    ],
)
def test_names_before_and_behind(text: str, expected: dict[str, object], listening: Ear) -> None:
    """The name may stand before the figure or behind it; a unit that does not fit shows whose name it is not."""
    assert found(listening, text) == expected


def test_a_bare_number_is_not_taken(listening: Ear) -> None:
    """Nothing says what 20 is: it is left, and named."""
    heard = listening.hear("cloudy, ph 3.5, 20", "metric")
    assert {one.observe for one in heard.findings} == {"ph"}
    assert heard.remarks == ("Not taken, since nothing says what it measures: 20.",)


def test_a_figure_that_only_looks_like_a_gravity_is_left(listening: Ear) -> None:
    """Three decimals are the mark of a gravity, but no wine has one of 3.650: it is named, and not taken."""
    heard = listening.note("3.650, pH 3.6", "metric")
    assert {one.observe: one.value for one in heard.findings} == {"ph": 3.6}
    assert heard.remarks == ("Not taken, since nothing says what it measures: 3.650.",)


def test_sulfite_that_is_neither_free_nor_total_is_not_taken(listening: Ear) -> None:
    """`SO2 20 ppm` may be either, so it is neither."""
    assert found(listening, "SO2 20 ppm") == {}


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("pH 12, sg 1.012", "cannot be right for pH"),
        ("abv 45%", "cannot be right for Alcohol"),
        ("1,000 L tank", "may mean 1000 or 1.000"),
    ],
)
def test_what_cannot_be_is_refused_with_its_reason(text: str, why: str, listening: Ear) -> None:
    """An impossible figure is refused in the words that answer it at its question."""
    heard = listening.hear(text, "metric")
    assert any(why in remark for remark in heard.remarks)
    assert not {"ph", "alcohol", "vessel_volume"} & {one.observe for one in heard.findings}


def test_two_figures_for_one_question_are_not_taken(listening: Ear) -> None:
    """Of two readings of one thing the program does not choose."""
    heard = listening.note("pH 3.5, pH 3.7", "metric")
    assert heard.findings == ()
    assert heard.remarks == ("Two answers for pH were heard, so none is taken: 3.50; 3.70.",)
