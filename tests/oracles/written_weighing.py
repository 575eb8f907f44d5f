"""The weighing as the pages describe it, written as a model of causes and findings that any library can be given.

From the [rule language] and the page on how the program is built: causes are independent beforehand, one of them is
the unknown one, and one to three are at work. A strength says how many times more often a finding is met with the
cause alone than with none. A positive finding stays away only if each cause that brings it fails to (noisy-OR), and
that another cause would not have brought it speaks against nothing. A finding that means "nothing found" is made
rarer by each cause that should have shown. A finding's chance in a sound wine is lowered until no cause alone brings
it with more than 95 in a hundred. Of rows about one cause in one group the strongest for and against count.

Nothing here is shared with the program but the plain records of rows and findings.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import product

from by_hand import counted_rows
from diagnose.reasoning.weigh import FindingRows

MOST_CERTAIN = 0.95
"""The highest chance with which one cause alone may bring a finding."""
MOST_AT_WORK = 3


@dataclass(frozen=True)
class WrittenFinding:
    """A finding that was made: its chance with no cause at work, and with each cause alone."""

    name: str
    sound: float
    brought_by: Mapping[str, float]
    """Causes with which it is met more often, each with the chance of the finding with that cause alone."""
    taken_by: Mapping[str, float]
    """Causes with which it is met less often, likewise."""
    nothing: bool

    @property
    def causes(self) -> tuple[str, ...]:
        """The causes of which the finding says something."""
        return tuple(sorted({*self.brought_by, *self.taken_by}))

    def chance(self, at_work: frozenset[str]) -> float:
        """The chance of the finding with exactly these causes at work."""
        bringing = [chance for cause, chance in self.brought_by.items() if cause in at_work]
        taking = [chance for cause, chance in self.taken_by.items() if cause in at_work]
        if taking and (self.nothing or not bringing):
            return self.sound * math.prod(chance / self.sound for chance in taking)
        # The share of wines without it in a sound wine to which this cause alone brings it.
        fails = [(1 - chance) / (1 - self.sound) for chance in bringing]
        return 1 - (1 - self.sound) * math.prod(fails)

    def table(self) -> Iterator[tuple[tuple[int, ...], float]]:
        """Its chance for every state of its causes."""
        for state in product((0, 1), repeat=len(self.causes)):
            at_work = frozenset(cause for cause, bit in zip(self.causes, state, strict=True) if bit)
            yield state, self.chance(at_work)


def written_findings(findings: Sequence[FindingRows]) -> list[WrittenFinding]:
    """The findings that say something, as chances."""
    counted = counted_rows(findings)
    found = []
    for number, finding in enumerate(findings):
        times: dict[str, float] = {}
        for at, row in counted:
            if at is finding:
                times[row.cause] = times.get(row.cause, 1.0) * 10 ** (row.decibans / 10)
        sound = min([finding.normal, *(MOST_CERTAIN / more for more in times.values())])
        alone = {cause: sound * more for cause, more in times.items()}
        written = WrittenFinding(
            name=f"finding_{number}",
            sound=sound,
            brought_by={cause: chance for cause, chance in alone.items() if times[cause] > 1},
            taken_by={cause: chance for cause, chance in alone.items() if times[cause] < 1},
            nothing=finding.nothing,
        )
        if written.causes:
            found.append(written)
    return found
