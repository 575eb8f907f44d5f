"""Readings in a text: numbers with the name of what they measure before or after them, or with a telling unit."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from diagnose.casebook.answers import NotAnAnswer, Units, read_answer
from diagnose.knowledge.models.facts import Observation
from diagnose.knowledge.models.hearing import Heard, SmallWords
from diagnose.plain_text import spoken
from diagnose.units import unit_at_start

from .words import Token

_THREE_DECIMALS = re.compile(r"[01][.,]\d{3}")
_LONGEST_NAME = 6


@dataclass(frozen=True)
class Reading:
    """A number of a text, and the question it answers. `named` is false where only its unit or its look told so."""

    observe: str
    value: float
    words: str
    named: bool


@dataclass(frozen=True)
class Numbers:
    """What became of the numbers of a text; `used` are the places of words that belong to one."""

    readings: tuple[Reading, ...]
    refused: tuple[str, ...]
    """Sentences about values that cannot be."""
    untaken: tuple[str, ...]
    """Numbers of which nothing says what they measure."""
    used: frozenset[int]


class Gauge:
    """The names of all questions that a number answers."""

    def __init__(
        self, observations: Mapping[str, Observation], entries: Sequence[Heard], small: Sequence[SmallWords]
    ) -> None:
        self._asked = {name: one for name, one in observations.items() if one.kind == "number"}
        self._names: dict[tuple[str, ...], str] = {}
        for name, observation in self._asked.items():
            for says in (observation.short, name.replace("_", " ")):
                self._names.setdefault(tuple(spoken(says).split()), name)
        for entry in entries:
            if entry.names in self._asked:
                self._names |= {tuple(spoken(says).split()): entry.names for says in entry.phrases}
        self._between = {spoken(word) for item in small for word in item.before_numbers}
        self._alone = {
            str(self._asked[entry.names].quantity): (entry.names, entry.alone)
            for entry in entries
            if entry.alone and entry.names in self._asked
        }

    def named(self, words: str) -> str | None:
        """The question that goes by exactly this name."""
        return self._names.get(tuple(spoken(words).split()))

    def names(self) -> dict[str, str]:
        """Each question with everything it is called, in one line."""
        called: dict[str, list[str]] = {name: [] for name in self._asked}
        for words, name in self._names.items():
            called[name].append(" ".join(words))
        return {name: "; ".join(words) for name, words in called.items()}

    def read(self, text: str, tokens: Sequence[Token], units: Units) -> Numbers:
        """Every number of the text: taken, refused, or left because nothing says what it is."""
        readings: list[Reading] = []
        refused: list[str] = []
        untaken: list[str] = []
        used: set[int] = set()
        for at, token in enumerate(tokens):
            if token.kind != "number" or at in used:
                continue
            named = self._name_before(tokens, at, used) or self._name_after(text, tokens, at, used)
            if named is None:
                lone = self._lone(text, token, units)
                if lone is None:
                    untaken.append(_with_unit(text, token, None))
                    continue
                name, names_at = lone, range(at, at)
            else:
                name, names_at = named
            quantity = str(self._asked[name].quantity)
            written = _with_unit(text, token, quantity)
            end = token.start + len(written)
            used.update(names_at)
            used.update(place for place in range(at, len(tokens)) if tokens[place].start < end)
            try:
                value = read_answer(self._asked[name], written, units)
            except NotAnAnswer as error:
                refused.append(str(error))
                continue
            assert isinstance(value, float)
            readings.append(Reading(name, value, written, named is not None))
        return Numbers(tuple(readings), tuple(refused), tuple(untaken), frozenset(used))

    def _name_before(self, tokens: Sequence[Token], at: int, used: set[int]) -> tuple[str, range] | None:
        end = at
        while end > 0 and tokens[end - 1].kind == "word" and tokens[end - 1].says in self._between:
            end -= 1
        return self._name_ending(tokens, end, used) or self._name_ending(tokens, at, used)

    def _name_ending(self, tokens: Sequence[Token], end: int, used: set[int]) -> tuple[str, range] | None:
        for length in range(min(_LONGEST_NAME, end), 0, -1):
            found = self._called(tokens, range(end - length, end), used)
            if found:
                return found
        return None

    def _name_after(
        self, text: str, tokens: Sequence[Token], at: int, used: set[int]
    ) -> tuple[str, range] | None:
        """A name right after the number and its unit, such as `20 ppm free SO2`."""
        unit_ends = tokens[at].start + len(_with_unit(text, tokens[at], None))
        behind = (place for place in range(at + 1, len(tokens)) if tokens[place].start >= unit_ends)
        for start in dict.fromkeys((at + 1, next(behind, at + 1))):
            while (
                start < len(tokens) and tokens[start].kind == "word" and tokens[start].says in self._between
            ):
                start += 1
            for length in range(min(_LONGEST_NAME, len(tokens) - start), 0, -1):
                found = self._called(tokens, range(start, start + length), used)
                if found and self._belongs(text, tokens, at, *found):
                    return found
                if found:
                    break  # the beginning of a name that belongs to another number is no name of this one
        return None

    def _belongs(self, text: str, tokens: Sequence[Token], at: int, name: str, places: range) -> bool:
        """Whether a name behind a number is its name, and not that of the next number."""
        quantity = str(self._asked[name].quantity)
        unit = unit_at_start(text[tokens[at].end :], None)
        # A name such as pH is its own unit, and stands before the next number just as well.
        if unit and tokens[at].end + len(unit) <= tokens[places.start].start:
            return bool(unit_at_start(text[tokens[at].end :], quantity))
        following = places.stop
        while following < len(tokens) and tokens[following].says in self._between:
            following += 1
        if following >= len(tokens) or tokens[following].kind != "number":
            return True
        rest = text[tokens[following].end :]
        return bool(unit_at_start(rest, None)) and not unit_at_start(rest, quantity)

    def _called(self, tokens: Sequence[Token], places: range, used: set[int]) -> tuple[str, range] | None:
        words = [tokens[place] for place in places]
        if any(word.kind != "word" for word in words) or any(place in used for place in places):
            return None
        name = self._names.get(tuple(word.says for word in words))
        return (name, places) if name else None

    def _lone(self, text: str, token: Token, units: Units) -> str | None:
        """The question that takes a number like this one without a name."""
        for quantity, (name, looks) in self._alone.items():
            unit = unit_at_start(text[token.end :], quantity)
            bare = looks == "three_decimals" and _THREE_DECIMALS.fullmatch(token.says)
            if not unit and not (bare and not _letter_follows(text, token)):
                continue
            if bare:
                try:
                    read_answer(self._asked[name], token.says, units)
                except NotAnAnswer:
                    continue
            return name
        return None


def _letter_follows(text: str, token: Token) -> bool:
    return text[token.end : token.end + 1].isalpha() or text[token.end : token.end + 1] in ("%", "°")


def _with_unit(text: str, token: Token, quantity: str | None) -> str:
    """The number as written, with its unit; one of another quantity too, so that it is refused and not dropped."""
    unit = unit_at_start(text[token.end :], quantity) if quantity else ""
    unit = unit or unit_at_start(text[token.end :], None)
    return text[token.start : token.end + len(unit)]
