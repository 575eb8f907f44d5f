"""The bench trial of a fix: the page's ladder and limits joined with the wine and the tools at hand."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from diagnose.calculators.dilution import (
    blend_total_for_share_l,
    blend_volume_for_share_l,
    share_of_volume_l,
)
from diagnose.calculators.trial import (
    Balance,
    Measure,
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
from diagnose.knowledge.models.treatments import Fix
from diagnose.knowledge.models.trials import Agent, Criterion, Trial
from diagnose.knowledge.models.vocabulary import Limit
from diagnose.knowledge.rule_base import RuleBase


@dataclass(frozen=True)
class Bench:
    """What a person has on the bench. `strength` is g/L for a stock by volume, % by weight for a weighed one.

    For a blend `sample_ml` is the finished blend of a jar, and `strength` 100 %: the other wine, not thinned.
    """

    sample_ml: float
    weighed: bool
    strength: float
    smallest: float
    step: float

    def stock(self, agent: Agent) -> Stock | None:
        """The stock as the calculators know it; None where another wine is poured in as it is."""
        if agent.is_share:
            return None
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
    """What the ladder of a fix doses. Raises ValueError when it has no ladder."""
    agent = trial_of(fix).agent
    assert agent is not None, "no ladder is read without its agent"
    return agent


WHOLE_WINE_PERCENT = 100.0
"""The strength that a bench keeps for another wine, which is poured in as it is."""


def usual_stock(agent: Agent) -> tuple[float, tuple[float, float]]:
    """The usual strength of its stock and the strengths that can be right, in %. Raises ValueError without a stock."""
    if agent.stock_percent is None or agent.stock_between is None:
        raise ValueError(f"{agent.name} has no stock.")
    return agent.stock_percent, agent.stock_between


def usual_bench(agent: Agent, weighed: bool = False) -> Bench:
    """A jar of 100 mL; a syringe or scale and the usual stock, or a cylinder for another wine."""
    if agent.is_share:
        return Bench(100, False, WHOLE_WINE_PERCENT, 1, 1)
    percent, _ = usual_stock(agent)
    return Bench(100, weighed, percent if weighed else 10 * percent, 0.1, 0.01)


def per_gram(agent: Agent) -> float:
    """How many of the unit that doses are shown in make one of that they are kept in: g/L, or % of a blend."""
    return 1000.0 if agent.dose_in == "mg/L" else 1.0


def dose_words(agent: Agent, *doses: float) -> str:
    """Doses as they are shown for this agent: `0.1, 0.2 g/L`."""
    shown = (f"{float(f'{dose * per_gram(agent):.3g}'):g}" for dose in doses)
    return f"{', '.join(shown)} {agent.unit}"


def water_limit(base: RuleBase, fix: Fix, overrides: Mapping[str, float]) -> tuple[Limit, float] | None:
    """The legal limit on added water that a fix names, with the figure in force here; another wine is no water."""
    if fix.trial and fix.trial.agent and fix.trial.agent.is_share:
        return None
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
        usual_high=usual[1] / per_gram(agent_of(fix)) if usual else None,
    )


def limits_for(
    fix: Fix,
    colour: str | None,
    clear_rank: int | None,
    heat: bool,
    flavour: bool,
    own: Mapping[str, tuple[float, float]] | None = None,
) -> TrialLimits:
    """What a jar must reach: the page's figures for this colour; an unknown colour takes the strictest.

    `own` are the numbers that the person lets pass, by criterion, where the page leaves that to them.
    """
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
        measures=tuple(
            _measure(one, (own or {}).get(one.criterion)) for one in trial.criteria if one.kind != "rank"
        ),
        best_liked=trial.choose == "best_liked",
    )


def _measure(criterion: Criterion, own: tuple[float, float] | None) -> Measure:
    between = own or criterion.between
    return Measure(
        criterion.criterion, between, criterion.passes != "no", criterion.more, criterion.give_or_take
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
        if len(failed) == 1 and failed != {"flavour"}:
            only = failed.pop()
            outcome = {"heat": "never_stable", "clarity": "never_clear"}.get(only, f"never_{only}")
    if "observation" not in answers or outcome not in answers:
        return None
    return answers["observation"], answers[outcome]


def for_vessel(
    base: RuleBase, fix: Fix, dose: float, vessel_l: float, bench: Bench, overrides: Mapping[str, float]
) -> ScaleUp:
    """The chosen dose for the vessel. Raises OutOfRange, and ValueError for a share of another wine."""
    limit = water_limit(base, fix, overrides)
    agent = agent_of(fix)
    stock = bench.stock(agent)
    if stock is None:
        raise ValueError(f"{agent.name} is blended in and has no stock.")
    return scale_up(
        dose,
        vessel_l,
        stock,
        water_limit_percent=limit[1] if limit else None,
        lees_percent=agent.lees_percent,
    )


@dataclass(frozen=True)
class Blend:
    """A share of another wine in the vessel, volumes in L.

    `other_l` goes to all of this wine and makes `together_l`. A vessel that is full to the same mark as before gives
    up `out_l` of this wine and takes as much of the other.
    """

    share_percent: float
    vessel_l: float
    other_l: float
    together_l: float
    out_l: float


def blend_for_vessel(share_percent: float, vessel_l: float) -> Blend:
    """The chosen share for the vessel. Raises OutOfRange."""
    return Blend(
        share_percent,
        vessel_l,
        blend_volume_for_share_l(vessel_l, share_percent),
        blend_total_for_share_l(vessel_l, share_percent),
        share_of_volume_l(vessel_l, share_percent),
    )


def kept_of(fix: Fix, dose: float, bench: Bench) -> dict[str, float]:
    """What a trial that chose a dose adds to the case: numbers that belong to this fix and to no other."""
    agent = agent_of(fix)
    kept = {agent.dose_kept_as: dose * per_gram(agent)}
    stock = bench.stock(agent)
    if agent.strength_kept_as and stock is not None:
        kept[agent.strength_kept_as] = stock.grams_per_ml * 1000
    return kept
