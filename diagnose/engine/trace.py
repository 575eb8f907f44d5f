"""What happened in a run: which rule fired on which facts, and what it concluded."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

from .facts import Conclusion, Evidence, Fact, Facts, gather


@dataclass(frozen=True)
class Firing:
    """One rule fired: the facts that matched it, and its conclusions."""

    rule: str
    matched: tuple[Fact, ...]
    concluded: tuple[Conclusion, ...]


@dataclass(frozen=True)
class Trace:
    """A whole run: what was given, and every firing in order."""

    given: tuple[Fact, ...]
    firings: tuple[Firing, ...]

    @cached_property
    def facts(self) -> Facts:
        """All facts at the end, given and concluded."""
        return gather((*self.given, *self.concluded))

    @property
    def concluded(self) -> Iterator[Fact]:
        """Facts that rules concluded, in order, repeats included."""
        for firing in self.firings:
            yield from (item for item in firing.concluded if isinstance(item, Fact))

    @cached_property
    def evidence(self) -> tuple[Evidence, ...]:
        """What speaks for or against causes, each once, in a fixed order."""
        found = {item for firing in self.firings for item in firing.concluded if isinstance(item, Evidence)}
        return tuple(sorted(found, key=lambda item: (item.cause, item.row, item.answer)))

    def behind(self, name: str, value: str | None = None) -> tuple[Firing, ...]:
        """The firings that concluded a fact of that name (and value)."""
        firings = self._by_name.get(name, ())
        if value is None:
            return tuple(firings)
        said = Fact(name, value)
        return tuple(firing for firing in firings if said in firing.concluded)

    @cached_property
    def _by_name(self) -> Mapping[str, Sequence[Firing]]:
        """The firings that concluded facts of each name, in order."""
        found: dict[str, dict[int, Firing]] = {}
        for place, firing in enumerate(self.firings):
            for item in firing.concluded:
                if isinstance(item, Fact):
                    found.setdefault(item.name, {})[place] = firing
        return {name: tuple(firings.values()) for name, firings in found.items()}
