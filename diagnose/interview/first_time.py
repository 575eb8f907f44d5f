"""The first time: whose units and whose law, asked once, each left at the usual by `skip`."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from diagnose.casebook.answers import NotAnAnswer
from diagnose.knowledge.limits import USUAL_LAW
from diagnose.present.console import Page
from diagnose.units import System, show_quantity

from .form import Field, fill_in
from .lines import Lines

SYSTEMS: Mapping[System, str] = {"metric": "Metric", "us": "US"}
SHOWN: Mapping[str, float] = {"volume": 20, "temperature": 18}
"""An amount of each, in the cellar unit, by which the two systems are told apart at a glance."""


def ask_first_settings(page: Page, lines: Lines, laws: Mapping[str, str]) -> Mapping[str, str]:
    """The `units` and `law` that were chosen; what is skipped is not in it. Raises Stopped.

    `laws` are those that the rules know limits of, as people call them; with fewer than two there is nothing to choose.
    """
    page.title("The first time here")
    page.say("Two things first, asked only this once. Type skip to leave one as it is usual.")
    fields = [_units(), *([_law(laws)] if len(laws) > 1 else [])]
    return {name: chosen for name, chosen in fill_in(page, lines, fields).items() if chosen is not None}


def _units() -> Field:
    choices: dict[str, str] = {
        system: f"{name}: {', '.join(show_quantity(value, of, system) for of, value in SHOWN.items())}"
        for system, name in SYSTEMS.items()
    }
    return Field(
        key="units",
        ask="Which units do you work in?",
        how="Look at your scale, your thermometer and your measuring cup. You can always type another unit with a "
        "number, such as 38 F or 5 gal.",
        why="It says what a number without a unit means, and how amounts are shown.",
        read=_one_of(choices),
        usual="1",
        may_skip=True,
        listed=[*choices.values()],
    )


def _law(laws: Mapping[str, str]) -> Field:
    choices = {law: laws[law] for law in sorted(laws, key=lambda law: (law != USUAL_LAW, law))}
    return Field(
        key="law",
        ask="Whose legal limits should count?",
        how="Take the country where the wine is made or sold. If yours is not here, take the one whose rules are "
        "nearest, and ask your authority for its own figures.",
        why="Some additions, and what may be left of them in the wine, are limited by law, most of all in wine for "
        "sale. The limits differ from country to country.",
        read=_one_of(choices),
        usual="1",
        may_skip=True,
        listed=[*choices.values()],
    )


def _one_of(choices: Mapping[str, str]) -> Callable[[str], str]:
    """Reads a number, the short word, or the beginning of the wording."""

    def read(typed: str) -> str:
        word = typed.strip().casefold()
        if word.isdecimal() and 1 <= int(word[:4]) <= len(choices):
            return [*choices][int(word) - 1]
        fits = [key for key, says in choices.items() if word and says.casefold().startswith(word)]
        if word in choices or len(fits) == 1:
            return word if word in choices else fits[0]
        raise NotAnAnswer(
            f"'{typed[:40]}' is not one of them. Type a number from 1 to {len(choices)}, ? for help, or skip."
        )

    return read
