"""Answers as people and files write them, checked against the question."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Literal

from diagnose.engine.facts import Value
from diagnose.knowledge.models.facts import Observation
from diagnose.units import NotAQuantity, OutOfScale, read_quantity, show_quantity

Units = Literal["metric", "us"]


class NotAnAnswer(ValueError):
    """What was written does not answer the question; the message says what would."""


def read_answer(observation: Observation, written: str | float | Sequence[str], units: Units) -> Value:
    """The value of an answer.

    `written` is what a person typed, a number already in the cellar unit, or a list of words.
    Raises NotAnAnswer with a sentence that names the value, what is expected and the mend.
    """
    if observation.kind == "number":
        return _number(observation, written, units)
    if isinstance(written, float | int):
        # A lone number typed at a list of choices is the number of the choice.
        written = f"{written:g}"
    if observation.kind == "several":
        return _several(observation, _pieces(written))
    if not isinstance(written, str):
        raise NotAnAnswer("This question takes one answer, not a list.")
    return choose(observation, written)


def choices_of(observation: Observation) -> dict[str, str]:
    """The answer words of a question with their wording."""
    return {"yes": "Yes", "no": "No"} if observation.kind == "yes_no" else dict(observation.choices)


def choose(observation: Observation, written: str) -> str:
    """One of the choices, from its number, its word or the beginning of its wording."""
    choices = choices_of(observation)
    typed = " ".join(written.lower().split())
    words = list(choices)
    if typed.isdecimal() and len(typed) < 4:
        number = int(typed)
        if 1 <= number <= len(words):
            return words[number - 1]
        raise NotAnAnswer(f"There is no answer {number} here; choose a number from 1 to {len(words)}.")
    word = typed.replace(" ", "_").replace("-", "_")
    if word in choices:
        return word
    close = [
        name
        for name, says in choices.items()
        if typed and (name.startswith(word) or says.lower().startswith(typed))
    ]
    if len(close) == 1:
        return close[0]
    raise NotAnAnswer(f"'{_short(written)}' is not one of the answers; type a number from 1 to {len(words)}.")


def _pieces(written: str | Sequence[str]) -> list[str]:
    if not isinstance(written, str):
        return list(written)
    commas = [piece.strip() for piece in written.replace(";", ",").split(",") if piece.strip()]
    pieces: list[str] = []
    for piece in commas:
        numbers = piece.split()
        pieces += numbers if all(part.isdecimal() for part in numbers) else [piece]
    return pieces


def _several(observation: Observation, pieces: Sequence[str]) -> frozenset[str]:
    chosen = frozenset(choose(observation, piece) for piece in pieces)
    if not chosen:
        raise NotAnAnswer("Type the numbers of all that apply, such as 1 3.")
    nothing = [word for word in observation.standing_alone if word in chosen]
    if nothing and len(chosen) > 1:
        says = observation.choices[nothing[0]].rstrip(".")
        raise NotAnAnswer(f"'{says}' cannot stand beside other answers; leave it out or choose it alone.")
    return chosen


def _number(observation: Observation, written: str | float | Sequence[str], units: Units) -> float:
    assert observation.quantity is not None and observation.plausible is not None
    if isinstance(written, str):
        try:
            value = read_quantity(written, observation.quantity, units)
        except NotAQuantity as error:
            # What cannot exist at all is most often a slip of the point or of the unit.
            slip = f" {observation.slip}" if observation.slip and "cannot be right" in str(error) else ""
            raise NotAnAnswer(f"{error}{slip}") from error
    elif isinstance(written, float | int):
        value = float(written)
    else:
        raise NotAnAnswer("This question takes one number, not a list.")
    low, high = observation.plausible
    if not low <= value <= high:
        shown = [_show(number, observation.quantity, units) for number in (value, low, high)]
        slip = f" {observation.slip}" if observation.slip else ""
        what = f"{shown[0]} cannot be right for {observation.short}; expected {shown[1]} to {shown[2]}.{slip}"
        raise NotAnAnswer(what)
    return value


def _show(value: float, quantity: str, units: Units) -> str:
    """A number with its unit; one that no wine can have is shown bare."""
    # Written out, such a number would be hundreds of noughts.
    if value and not 1e-6 <= abs(value) < 1e9:
        return f"{value:g}"
    try:
        return show_quantity(value, quantity, units)
    except OutOfScale:
        return f"{value:g}"


def _short(text: str) -> str:
    return text if len(text) <= 40 else text[:39] + "…"


def show_answer(observation: Observation, value: Value, units: Units) -> str:
    """An answer as a person would say it."""
    choices = choices_of(observation)
    if isinstance(value, frozenset):
        return "; ".join(choices[word].rstrip(".") for word in choices if word in value)
    if isinstance(value, str):
        return choices[value].rstrip(".")
    assert observation.quantity is not None
    return show_quantity(value, observation.quantity, units)
