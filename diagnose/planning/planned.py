"""A bench trial as it was planned and kept: one ladder or two side by side, and how many equal jars of each dose."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import asdict, dataclass
from typing import Any

from diagnose.calculators import OutOfRange
from diagnose.calculators.trial import FactorTrial, Level, design_factors
from diagnose.knowledge.rule_base import RuleBase

from .trials import Bench, agent_of, per_gram, trial_of, water_limit

ALONE = "{} is tried alone so far: try the other one in a trial of its own."


@dataclass(frozen=True)
class Beside:
    """The ladder of one fix, in g/L, and what its stock is measured out with."""

    fix: str
    doses: tuple[float, ...]
    bench: Bench

    def data(self) -> dict[str, Any]:
        """As plain values for the case file."""
        return {"fix": self.fix, "doses": list(self.doses), "bench": asdict(self.bench)}

    @classmethod
    def from_data(cls, data: Mapping[str, Any]) -> Beside:
        """From a case file, which was checked at opening."""
        return cls(str(data["fix"]), tuple(float(dose) for dose in data["doses"]), Bench(**data["bench"]))


@dataclass(frozen=True)
class Planned(Beside):
    """A trial as planned: enough to set it up again on another day."""

    seed: int | None = None
    """What the codes of the blind glasses are drawn with; a plan from before there were codes has none."""
    replicates: int = 1
    second: Beside | None = None

    @property
    def is_plain(self) -> bool:
        """One ladder with one jar of each dose."""
        return self.second is None and self.replicates == 1

    @property
    def ladders(self) -> tuple[Beside, ...]:
        """The ladder, or the two of them."""
        return (self,) if self.second is None else (self, self.second)

    def data(self) -> dict[str, Any]:
        """As plain values for the case file; what is as it always was is left out."""
        plain = super().data()
        if self.seed is not None:
            plain["seed"] = self.seed
        if self.replicates > 1:
            plain["replicates"] = self.replicates
        if self.second is not None:
            plain["second"] = self.second.data()
        return plain

    @classmethod
    def from_data(cls, data: Mapping[str, Any]) -> Planned:
        """From a case file, which was checked at opening."""
        first, second = Beside.from_data(data), data.get("second")
        return cls(
            first.fix,
            first.doses,
            first.bench,
            data.get("seed"),
            data.get("replicates", 1),
            Beside.from_data(second) if second else None,
        )


def fixes_in(data: Mapping[str, Any]) -> tuple[str, ...]:
    """The fixes that the data of a trial, planned or read, is about."""
    second = data.get("second")
    names = (data.get("fix"), second.get("fix") if isinstance(second, Mapping) else second)
    return tuple(str(name) for name in names if name)


def design_planned(base: RuleBase, planned: Planned, overrides: Mapping[str, float]) -> FactorTrial:
    """The jars of a planned trial. Raises OutOfRange for values that cannot be."""
    for ladder in planned.ladders if planned.second else ():
        if trial_of(base.fixes[ladder.fix]).criteria:
            raise OutOfRange(ALONE.format(base.fixes[ladder.fix].name))
    sizes = {ladder.bench.sample_ml for ladder in planned.ladders}
    if len(sizes) > 1:
        raise OutOfRange("The jars of the two agents are not equally large. Take as much wine in each jar.")
    levels = [_level(base, ladder, overrides) for ladder in planned.ladders]
    return design_factors(levels, sizes.pop(), planned.replicates, planned.seed)


def _level(base: RuleBase, ladder: Beside, overrides: Mapping[str, float]) -> Level:
    fix = base.fixes[ladder.fix]
    limit = water_limit(base, fix, overrides)
    usual: Sequence[float] | None = fix.dose.usual if fix.dose else None
    return Level(
        ladder.fix,
        ladder.doses,
        ladder.bench.stock(agent_of(fix)),
        ladder.bench.instrument(),
        limit[1] if limit else None,
        usual[1] / per_gram(agent_of(fix)) if usual else None,
    )
