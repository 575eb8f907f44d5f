"""The bench trial of a fix: the page's ladder and limits joined with the wine and the tools at hand."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from diagnose.calculators.trial import (
    Balance,
    Pipette,
    ScaleUp,
    Stock,
    TrialChoice,
    TrialDesign,
    TrialLimits,
    TrialReading,
    choose_dose,
    design_trial,
    scale_up,
)
from diagnose.knowledge.models.treatments import Agent, Fix, Trial
from diagnose.knowledge.models.vocabulary import Limit
from diagnose.knowledge.rule_base import RuleBase


@dataclass(frozen=True)
class Bench:
    """What a person has on the bench. `strength` is g/L for a stock by volume, % by weight for a weighed one."""

    sample_ml: float
    weighed: bool
    strength: float
    smallest: float
    step: float

    def stock(self, agent: Agent) -> Stock:
        """The stock as the calculators know it."""
        if self.weighed:
            # Of unknown density, the agent is taken to need as much room as the water it replaces.
            return Stock.weighed(self.strength, 100 - self.strength, agent.density_g_per_ml or 1.0)
        return Stock.made_up(self.strength, 1000, agent.density_g_per_ml)

    def instrument(self) -> Pipette | Balance:
        """What measures the stock out."""
        return Balance(self.smallest, self.step) if self.weighed else Pipette(self.smallest, self.step)


def fixes_with_ladder(base: RuleBase) -> tuple[str, ...]:
    """The fixes whose dose a ladder finds."""
    return tuple(name for name, fix in base.fixes.items() if fix.trial and fix.trial.kind == "ladder")


def trial_of(fix: Fix) -> Trial:
    """The trial of a fix. Raises ValueError when it has none with a ladder."""
    if fix.trial is None or fix.trial.kind != "ladder":
        raise ValueError(f"{fix.name} has no trial with a ladder of doses.")
    return fix.trial


def agent_of(fix: Fix) -> Agent:
    """What the ladder of a fix doses. Raises ValueError when it has none."""
    agent = trial_of(fix).agent
    if agent is None:
        raise ValueError(f"the ladder of {fix.name} does not say what it doses.")
    return agent


def water_limit(base: RuleBase, fix: Fix, overrides: Mapping[str, float]) -> tuple[Limit, float] | None:
    """The legal limit on added water that a fix names, with the figure in force here."""
    for name in fix.dose.limit if fix.dose else ():
        limit = base.limits[name]
        if limit.unit.startswith(("percent", "%")):
            return limit, overrides.get(name, limit.value)
    return None


def plan_trial(
    base: RuleBase, fix: Fix, doses: Sequence[float], bench: Bench, overrides: Mapping[str, float]
) -> TrialDesign:
    """The samples of a trial. Raises OutOfRange for values that cannot be."""
    limit = water_limit(base, fix, overrides)
    usual = fix.dose.usual if fix.dose else None
    return design_trial(
        doses,
        bench.sample_ml,
        bench.stock(agent_of(fix)),
        bench.instrument(),
        water_limit_percent=limit[1] if limit else None,
        usual_high_g_per_l=usual[1] if usual else None,
    )


def limits_for(
    fix: Fix, colour: str | None, clear_rank: int | None, heat: bool, flavour: bool
) -> TrialLimits:
    """What a jar must reach: the page's figures for this colour; an unknown colour takes the strictest."""
    trial = trial_of(fix)
    rises = trial.heat_rise_ntu
    rise = rises.get(colour or "", min(rises.values(), default=None)) if rises else None
    return TrialLimits(
        clear_ntu=trial.clear_ntu,
        clear_rank=clear_rank,
        heat_asked=heat,
        heat_rise_ntu=rise,
        flavour_asked=flavour,
        finest_g_per_l=trial.finest or 0.0,
    )


def read_trial(design: TrialDesign, readings: Sequence[TrialReading], limits: TrialLimits) -> TrialChoice:
    """What the trial says."""
    return choose_dose(design, readings, limits)


def answer_of(fix: Fix, choice: TrialChoice) -> tuple[str, str] | None:
    """What the outcome answers in the diagnosis, as an observation and a word; None where it says nothing."""
    answers = trial_of(fix).answers
    outcome: str = choice.outcome
    if outcome == "none_serves":
        failed = {failure.criterion for failure in choice.failures}
        outcome = (
            "never_stable" if failed == {"heat"} else "never_clear" if failed == {"clarity"} else outcome
        )
    if "observation" not in answers or outcome not in answers:
        return None
    return answers["observation"], answers[outcome]


def for_vessel(
    base: RuleBase, fix: Fix, dose: float, vessel_l: float, bench: Bench, overrides: Mapping[str, float]
) -> ScaleUp:
    """The chosen dose for the vessel. Raises OutOfRange."""
    limit = water_limit(base, fix, overrides)
    agent = agent_of(fix)
    return scale_up(
        dose,
        vessel_l,
        bench.stock(agent),
        water_limit_percent=limit[1] if limit else None,
        lees_percent=agent.lees_percent,
    )


def kept_of(fix: Fix, dose: float, bench: Bench) -> dict[str, float]:
    """What a trial that chose a dose adds to the case: numbers that belong to this fix and to no other."""
    agent = agent_of(fix)
    kept = {agent.dose_kept_as: dose}
    if agent.strength_kept_as:
        kept[agent.strength_kept_as] = bench.stock(agent).grams_per_ml * 1000
    return kept
