from __future__ import annotations

import pytest
from diagnose.casebook.answers import NotAnAnswer, Units, choices_of, read_answer, show_answer
from diagnose.knowledge.models.facts import Observation
from hypothesis import example, given
from hypothesis import strategies as st
from kept_cases import BASE, values_of
from made_bases import number

QUESTIONS = list(BASE.observations.values())
COLOUR, SMELLS, HEATED, BUBBLES = (
    BASE.observations[name] for name in ("colour", "smells", "heated", "bubbles")
)


def refusal(observation: Observation, written: str | float | list[str], units: Units = "metric") -> str:
    """What is said to an answer that is none."""
    with pytest.raises(NotAnAnswer) as refused:
        read_answer(observation, written, units)
    return str(refused.value)


@pytest.mark.parametrize("written", ["1", " 1 ", "white", "WHITE", "w", "wh", 1, 1.0])
def test_a_choice_is_its_number_its_word_or_the_beginning_of_it(written: str | float) -> None:
    """Whoever types the number or the first letters means the answer."""
    assert read_answer(COLOUR, written, "metric") == "white"


@pytest.mark.parametrize("written", ["", " ", "0", "3", "-1", "1.5", "purple", "1 2", "whitewash", 3, 1.5])
def test_what_is_no_choice_is_refused_with_the_numbers_that_are(written: str | float) -> None:
    """Nothing is guessed from an answer that is not there; the range of numbers is told."""
    assert "a number from 1 to 2" in refusal(COLOUR, written)


def test_a_beginning_that_fits_two_answers_is_not_guessed() -> None:
    """`a` may be ash or amber."""
    twins = COLOUR.model_copy(update={"choices": {"amber": "Amber", "ash": "Ash", "blue": "Blue"}})
    assert "'a' is not one" in refusal(twins, "a")
    assert read_answer(twins, "am", "metric") == "amber"


@pytest.mark.parametrize(
    "written", ["1 2", "1,2", "2; 1", "vinegar, yeast", "vin;2", "1 2 2", ["yeast", "vinegar"]]
)
def test_several_answers_in_any_writing_are_one_set(written: str | list[str]) -> None:
    """Commas, spaces, order and repeats make no difference."""
    assert read_answer(SMELLS, written, "metric") == frozenset({"vinegar", "yeast"})


@pytest.mark.parametrize("written", ["", " , ;", []])
def test_nothing_ticked_is_not_an_answer(written: str | list[str]) -> None:
    """An empty line at a list is asked again, with how to write it."""
    assert "Type the numbers" in refusal(SMELLS, written)


def test_nothing_found_cannot_stand_beside_something_found() -> None:
    """Clean and vinegar cannot both be smelled; clean by itself can."""
    assert "'clean' cannot stand beside" in refusal(SMELLS, "1 3")
    assert read_answer(SMELLS, "3", "metric") == frozenset({"clean"})


@pytest.mark.parametrize("observation", [COLOUR, BUBBLES, HEATED], ids=lambda seen: seen.observe)
def test_a_list_where_one_answer_belongs_is_refused(observation: Observation) -> None:
    """One wine has one colour and one turbidity."""
    assert "not a list" in refusal(observation, ["1", "2"])


@pytest.mark.parametrize("written", [-0.1, 100.1, "101", "1e300", float("nan"), float("inf"), -float("inf")])
def test_a_number_that_cannot_be_is_refused_with_what_can(written: float | str) -> None:
    """The value, the question and both ends of what is plausible are named."""
    said = refusal(HEATED, written)
    assert "cannot be right for heated" in said and "0 NTU to 100 NTU" in said


def test_the_usual_slip_is_told_with_the_refusal() -> None:
    """A page that knows the usual slip tells it when the number is out of range."""
    page = number("ph", quantity="ph", plausible=[2.5, 4.5], slip="Was the point forgotten?")
    said = refusal(Observation.model_validate(page), "7")
    assert said == "7.00 cannot be right for ph; expected 2.50 to 4.50. Was the point forgotten?"


def test_a_bare_number_is_in_the_units_of_the_case() -> None:
    """68 is degrees Fahrenheit to one cellar and far too warm to the other; both ends are told in its own units."""
    warmth = Observation.model_validate(number("warmth", quantity="temperature", plausible=[-5, 40]))
    assert read_answer(warmth, "68", "us") == pytest.approx(20)
    assert read_answer(warmth, "68 F", "metric") == pytest.approx(20)
    assert refusal(warmth, "68").startswith("68 °C cannot be right for warmth; expected -5 °C to 40 °C")
    assert "23 °F to 104 °F" in refusal(warmth, "200", "us")
    # A number already in the cellar unit, as a case file holds it, is never converted.
    assert read_answer(warmth, 20.0, "us") == 20


@given(st.sampled_from(QUESTIONS), st.text(max_size=200) | st.floats() | st.lists(st.text(max_size=20)))
@example(HEATED, 1e240)
@example(HEATED, "1e240")
@example(HEATED, -1e-300)
def test_whatever_is_written_is_an_answer_or_one_short_sentence(
    observation: Observation, written: str | float | list[str]
) -> None:
    """No keyboard mash ends in anything but an answer that the question has, or a sentence that fits a screen."""
    try:
        value = read_answer(observation, written, "metric")
    except NotAnAnswer as refused:
        assert str(refused).strip() and len(str(refused)) < 300
        return
    if observation.kind == "number":
        assert observation.plausible is not None and isinstance(value, float)
        assert observation.plausible[0] <= value <= observation.plausible[1]
    elif observation.kind == "several":
        assert isinstance(value, frozenset) and value and value <= set(observation.choices)
    else:
        assert value in choices_of(observation)


@given(st.data())
def test_an_answer_is_shown_in_the_words_of_its_question(data: st.DataObject) -> None:
    """What is shown of a choice is its wording without the full stop, and reads back as the same answer."""
    name = data.draw(st.sampled_from(["bubbles", "colour", "smells", "heat_test"]))
    value, observation = data.draw(values_of(name)), BASE.observations[name]
    shown = show_answer(observation, value, "metric")
    assert read_answer(observation, shown, "metric") == value


def test_a_number_is_shown_with_its_unit() -> None:
    """A bare 12.5 says little."""
    assert show_answer(HEATED, 12.5, "metric") == "12.5 NTU"
