"""Which rules spoke in the worked cases, and which never did: a rule that never spoke has never been seen to work."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from diagnose.engine.compile import EngineRule


@dataclass(frozen=True)
class Covered:
    """The rules made of one kind of page, in one folder of the rules: how many there are, and the silent ones."""

    kind: str
    rules: int
    silent: tuple[EngineRule, ...]

    @property
    def spoke(self) -> int:
        """Rules that fired in some case."""
        return self.rules - len(self.silent)


def coverage(rules: Mapping[str, EngineRule], spoke: Iterable[frozenset[str]]) -> tuple[Covered, ...]:
    """For each kind of page, the rules made of it and those that no case has made speak."""
    fired = frozenset().union(*spoke)
    kinds: dict[str, list[EngineRule]] = {}
    for rule in rules.values():
        kinds.setdefault(rule.page[0], []).append(rule)
    return tuple(
        Covered(kind, len(made), tuple(rule for rule in made if rule.id not in fired))
        for kind, made in sorted(kinds.items())
    )


def cases_of(rules: Mapping[str, EngineRule], spoke: Mapping[str, frozenset[str]]) -> Mapping[str, int]:
    """For each page of the rules, as `kind/id`, in how many cases a rule of it spoke."""
    found: dict[str, int] = {f"{rule.page[0]}/{rule.page[1]}": 0 for rule in rules.values()}
    for fired in spoke.values():
        for page in {f"{rules[name].page[0]}/{rules[name].page[1]}" for name in fired if name in rules}:
            found[page] += 1
    return found
