"""What a log keeps, and by which names and units people write it."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property

from diagnose.casebook.answers import NotAnAnswer, Units, read_answer
from diagnose.hearing.readings import Gauge
from diagnose.knowledge.called import page_meant
from diagnose.knowledge.models.facts import Observation
from diagnose.knowledge.rule_base import RuleBase
from diagnose.units import (
    NotAQuantity,
    OutOfScale,
    read_quantity,
    show_quantity,
    to_canonical,
    unit_at_start,
    units_of,
)

_LONE_NUMBER = re.compile(r"[+-]?\d+(?:[.,]\d+)?")
_BRACKETS = re.compile(r"^(.*?)\s*[(\[]\s*([^()\[\]]*?)\s*[)\]]$")


class NotNamed(ValueError):
    """Nothing that is logged goes by this name; the message says what does."""


@dataclass(frozen=True)
class Names:
    """Everything that the rules read again and again."""

    base: RuleBase
    units: Units

    @cached_property
    def logged(self) -> Mapping[str, Observation]:
        """The questions whose readings a log keeps."""
        return {name: page for name, page in self.base.observations.items() if page.is_logged}

    @cached_property
    def gauge(self) -> Gauge:
        """What hears their names in a text."""
        return Gauge(self.logged, tuple(self.base.heard.values()), tuple(self.base.small_words.values()))

    @property
    def listed(self) -> str:
        """What is logged, in words."""
        return "; ".join(page.short.lower() if page.short != "pH" else "pH" for page in self.logged.values())

    def meant(self, words: str) -> str:
        """The question that a name means. Raises NotNamed."""
        found = self.gauge.named(words) or page_meant(words, self.gauge.names())[0]
        if found is None:
            raise NotNamed(f"'{words[:40]}' is nothing that a log keeps. It keeps: {self.listed}.")
        return found

    def column(self, head: str) -> tuple[str, str]:
        """The question that the head of a column means, and its unit; empty where none is written.

        Raises NotNamed, and NotAnAnswer for a unit that the question cannot have.
        """
        if match := _BRACKETS.match(head):
            name, unit = match[1], match[2]
            if self.gauge.named(name) is None and self._by_unit(unit) and not name:
                name = self._by_unit(unit)
            question = self.meant(name or unit)
            if unit and not self._fits(question, unit):
                known = ", ".join(units_of(str(self.logged[question].quantity)))
                raise NotAnAnswer(
                    f"'{unit[:20]}' is no unit of {self.logged[question].short}. Known: {known}."
                )
            return question, unit
        if found := self.gauge.named(head):
            return found, ""
        words = head.split()
        for cut in range(len(words) - 1, 0, -1):
            question, unit = self.gauge.named(" ".join(words[:cut])) or "", " ".join(words[cut:])
            if question and self._fits(question, unit):
                return question, unit
        if question := self._by_unit(head):
            return question, head
        return self.meant(head), ""

    def _fits(self, question: str, unit: str) -> bool:
        return unit_at_start(unit, self.logged[question].quantity) == unit

    def _by_unit(self, unit: str) -> str:
        """The only question that has such a unit, such as that of `Brix`; empty where several have it."""
        fit = [name for name in self.logged if unit and self._fits(name, unit)]
        return fit[0] if len(fit) == 1 else ""

    def value(self, question: str, written: str) -> float:
        """The number of a reading. Raises NotAnAnswer, with the scales in which the number would make sense."""
        page = self.logged[question]
        try:
            value = read_answer(page, written, self.units)
        except NotAnAnswer as error:
            raise NotAnAnswer(f"{error}{self._would_fit(page, written)}") from error
        assert isinstance(value, float)
        return value

    def _would_fit(self, page: Observation, written: str) -> str:
        """In which other unit the number could be right; a reading is often in another one than was thought."""
        match = _LONE_NUMBER.match(written.strip())
        if not match:
            return ""
        assert page.quantity is not None and page.plausible is not None
        try:
            number = read_quantity(match[0], "count", self.units)
        except NotAQuantity:
            # It is not the unit that is in doubt.
            return ""
        fits = []
        for unit in units_of(page.quantity):
            try:
                value = to_canonical(number, unit, page.quantity)
            except OutOfScale:
                continue
            if page.plausible[0] <= value <= page.plausible[1] and unit != "SG":
                fits.append(f"{match[0]} {unit} would be {show_quantity(value, page.quantity, self.units)}")
        return f" In another unit: {'; '.join(fits[:3])}." if fits else ""
