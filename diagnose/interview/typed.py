"""What may be typed at the questions of a bench trial, and what it is read as."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from typing import Any, Literal

from diagnose.casebook.answers import NotAnAnswer
from diagnose.knowledge.models.trials import Agent
from diagnose.planning.trials import per_gram, usual_stock
from diagnose.units import NotAQuantity, read_quantity

from .form import Field


def one_of(choices: Mapping[str, Any]) -> Callable[[str], Any]:
    """One of a few words, each with what it stands for."""

    def read_choice(typed: str) -> Any:
        word = " ".join(typed.lower().split())
        if word not in choices:
            raise NotAnAnswer(
                f"'{typed[:40]}' is not one of the answers; type {', '.join(list(choices)[:2])}."
            )
        return choices[word]

    return read_choice


def yes_no(key: str, ask: str, how: str, usual: str | None = None) -> Field:
    """A question answered yes or no."""
    answers = {"yes": True, "y": True, "no": False, "n": False}
    return Field(key, ask, how, "It is your wine.", one_of(answers), usual)


def plain_number(typed: str) -> float:
    """A number without a unit, or a percentage, with a point or a comma. Raises NotAnAnswer."""
    try:
        return read_quantity(typed.strip().removesuffix("%"), "count", "metric")
    except NotAQuantity as error:
        raise NotAnAnswer(str(error)) from None


def number_between(low: float, high: float, unit: str) -> Callable[[str], float]:
    """A number in a range, in a unit that may be written behind it."""

    def read_number(typed: str) -> float:
        value = plain_number(re.sub(rf"\s*{re.escape(unit)}$", "", typed.strip(), flags=re.I))
        if not low <= value <= high:
            behind = f" {unit}" if unit else ""
            raise NotAnAnswer(
                f"{value:g}{behind} cannot be right here; expected {low:g} to {high:g}{behind}."
            )
        return value

    return read_number


def strength_of(agent: Agent) -> Callable[[str], float]:
    """Grams per litre; a percentage of a stock made up to volume is ten times that."""
    usual, between = usual_stock(agent)
    low, high = (10 * percent for percent in between)

    def read_strength(typed: str) -> float:
        if typed.strip().endswith("%"):
            value = 10 * plain_number(typed)
        else:
            try:
                value = read_quantity(typed, "dose", "metric")
            except NotAQuantity as error:
                raise NotAnAnswer(str(error)) from error
        if not low <= value <= high:
            raise NotAnAnswer(
                f"{value:g} g/L cannot be right for a {agent.poured}; expected {low:g} to {high:g} g/L "
                f"({usual:g} % is {10 * usual:g} g/L)."
            )
        return value

    return read_strength


def volume_ml(typed: str) -> float:
    """The wine of a jar in mL."""
    text = typed if re.search(r"[a-zA-Z]", typed) else f"{typed} mL"
    try:
        value = read_quantity(text, "volume", "metric") * 1000
    except NotAQuantity as error:
        raise NotAnAnswer(str(error)) from error
    if not 10 <= value <= 5000:
        raise NotAnAnswer(f"{value:g} mL is no jar for a trial; expected 10 to 5000 mL. 100 mL is handy.")
    return value


def doses_between(between: tuple[float, float], agent: Agent) -> Callable[[str], tuple[float, ...]]:
    """Doses that a case can keep, typed in the unit of the agent, read as g/L; nought stands for the control."""
    (low, high), unit = between, agent.unit

    def read_ladder(typed: str) -> tuple[float, ...]:
        pieces = [piece for piece in re.split(r"[\s;]+", typed.replace(unit, " ").strip()) if piece]
        if len(pieces) == 1 and "." in pieces[0]:
            pieces = [piece for piece in pieces[0].split(",") if piece]
        elif len(pieces) == 1 and pieces[0].count(",") > 1:
            raise NotAnAnswer(f"'{typed[:40]}' can be read in two ways; put spaces between the doses.")
        doses = tuple(plain_number(piece.rstrip(",")) for piece in pieces)
        if not doses:
            raise NotAnAnswer(f"Type doses in {unit} with spaces between, such as 0.1 0.2 0.4.")
        wrong = [dose for dose in doses if dose != 0 and not low <= dose <= high]
        if wrong:
            what = f"{wrong[0]:g} {unit} cannot be right; expected {low:g} to {high:g} {unit}."
            hints = {"g/L": " 50 g/hL is 0.5 g/L.", "%": " A share is a part of the finished blend."}
            raise NotAnAnswer(f"{what}{hints.get(unit, '')}")
        return tuple(dose / per_gram(agent) for dose in doses)

    return read_ladder


def row(
    jars: int, read_cell: Callable[[str], Any], order: str = "the control first"
) -> Callable[[str], list[Any]]:
    """A value for each jar in the order said; a dash is not read."""

    def read_row(typed: str) -> list[Any]:
        cells = typed.split()
        if len(cells) != jars:
            raise NotAnAnswer(
                f"{len(cells)} values for {jars} jars; type {jars}, {order}, a dash if not read."
            )
        return [None if cell in ("-", "–") else read_cell(cell) for cell in cells]

    return read_row


def equal_jars(jars: int, read_cell: Callable[[str], Any]) -> Callable[[str], list[Any]]:
    """The values of so many equal jars, with a stroke between; a dash is not read."""

    def read_cells(typed: str) -> list[Any]:
        cells = typed.split("/")
        if len(cells) != jars:
            raise NotAnAnswer(
                f"'{typed[:20]}' holds {len(cells)} values for {jars} equal jars; write {jars} with / between, such "
                f"as {'/'.join(['1'] * jars)}."
            )
        return [None if cell in ("-", "–") else read_cell(cell) for cell in cells]

    return read_cells


def rank(cell: str) -> int:
    """A rank, 1 the best."""
    if not (cell.isdecimal() and 1 <= int(cell) <= 50):
        raise NotAnAnswer(f"'{cell[:20]}' is not a rank; ranks are 1, 2, 3 and so on.")
    return int(cell)


def whole(low: int, high: int) -> Callable[[str], int]:
    """A whole number in a range."""

    def read_whole(typed: str) -> int:
        if not (typed.strip().isdecimal() and low <= int(typed) <= high):
            raise NotAnAnswer(f"'{typed[:20]}' is not a whole number from {low} to {high}.")
        return int(typed)

    return read_whole


def not_negative(cell: str) -> float:
    """A turbidity in NTU."""
    value = plain_number(cell)
    if not 0 <= value <= 4000:
        raise NotAnAnswer(f"{value:g} NTU cannot be right; expected 0 to 4000.")
    return value


def heat(cell: str) -> Literal["stable", "unstable"] | float:
    """What the heat test of a jar came to."""
    words: dict[str, Literal["stable", "unstable"]] = {
        "s": "stable",
        "stable": "stable",
        "u": "unstable",
        "unstable": "unstable",
    }
    return words.get(cell.lower()) or plain_number(cell)
