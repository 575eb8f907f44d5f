"""The ladder of a trial and what measures it out, asked for: one question for each thing on the bench."""

from __future__ import annotations

from collections.abc import Sequence

from diagnose.knowledge.models.treatments import Fix
from diagnose.knowledge.models.trials import Agent
from diagnose.knowledge.rule_base import RuleBase
from diagnose.planning.planned import Beside
from diagnose.planning.trials import (
    WHOLE_WINE_PERCENT,
    Bench,
    agent_of,
    per_gram,
    trial_of,
    usual_bench,
    usual_stock,
)
from diagnose.present.console import Page

from . import typed
from .form import Field, fill_in
from .lines import Lines


def ask_ladder(
    page: Page,
    lines: Lines,
    base: RuleBase,
    fix: Fix,
    before: Beside | None,
    sample_ml: float | None = None,
) -> Beside:
    """Ask for one ladder and its bench; the size of the jars too, unless another ladder has set it. Raises Stopped."""
    trial, agent = trial_of(fix), agent_of(fix)
    ladder = before.doses if before else trial.ladder
    bench = before.bench if before else usual_bench(agent)
    weighed = not agent.is_share and _ask_weighed(page, lines, fix, bench)
    bench = bench if weighed == bench.weighed else usual_bench(agent, weighed)
    fields = [
        *(() if agent.is_share else (_strength(fix, bench),)),
        *(() if sample_ml is not None else (_jar_size(agent, bench),)),
        *_instrument(agent, bench),
        _ladder(base, fix, ladder),
    ]
    asked = {"strength": WHOLE_WINE_PERCENT, "sample_ml": sample_ml, **fill_in(page, lines, fields)}
    kept = Bench(asked["sample_ml"], weighed, asked["strength"], asked["smallest"], asked["step"])
    return Beside(fix.fix, asked["doses"], kept)


def _by_weight_and_volume(agent: Agent) -> tuple[str, str]:
    """How the usual stock is made, by weight and by volume."""
    percent, _ = usual_stock(agent)
    return (
        f"{percent:g} g of {agent.name} with {100 - percent:g} g of water",
        f"{10 * percent:g} g made up to one litre",
    )


def _ask_weighed(page: Page, lines: Lines, fix: Fix, bench: Bench) -> bool:
    agent = agent_of(fix)
    by_weight, by_volume = _by_weight_and_volume(agent)
    ways = {"1": False, "2": True, "volume": False, "by volume": False, "weight": True, "by weight": True}
    field = Field(
        "weighed",
        f"How do you make and measure the {agent.poured}? 1 by volume (grams made up to a litre), 2 by weight",
        f"By weight: weigh {agent.name} and water on the scale, and weigh each portion out. A kitchen scale "
        "that shows 0.01 g does well. By volume: a syringe or pipette.",
        f"{by_weight} need not be just as strong as {by_volume}.",
        typed.one_of(ways),
        "2" if bench.weighed else "1",
    )
    return bool(fill_in(page, lines, [field])["weighed"])


def _strength(fix: Fix, bench: Bench) -> Field:
    trial, agent = trial_of(fix), agent_of(fix)
    percent, (low, high) = usual_stock(agent)
    by_weight, by_volume = _by_weight_and_volume(agent)
    return Field(
        "strength",
        f"Strength of the {agent.poured}, in % by weight?"
        if bench.weighed
        else f"Grams of {agent.name} in a litre of {agent.poured}?",
        f"{percent:g} % is usual: {by_weight}, or {by_volume}. {trial.stock or ''}".rstrip(),
        "Everything that goes into a jar is counted from it.",
        typed.number_between(low, high, "%") if bench.weighed else typed.strength_of(agent),
        f"{bench.strength:g}",
    )


def _jar_size(agent: Agent, bench: Bench) -> Field:
    if agent.is_share:
        ask, why = (
            "How much finished blend in each jar?",
            "The larger the jar, the closer a small share is measured.",
        )
    else:
        ask, why = "How much wine in each jar?", "The smaller the jar, the harder a low dose is to measure."
    how = "100 mL is handy; more makes small doses easier to measure."
    return Field("sample_ml", ask, how, why, typed.volume_ml, f"{bench.sample_ml:g} mL")


def _instrument(agent: Agent, bench: Bench) -> tuple[Field, Field]:
    unit = "g" if bench.weighed else "mL"
    tool = "syringe, pipette or scale"
    sure = "A 1 mL syringe is sure from about 0.1 mL; a scale from about ten of its smallest steps."
    if agent.is_share:
        tool, sure = "cylinder or syringe", "A cylinder is sure from about a tenth of what it holds."
    return (
        Field(
            "smallest",
            f"The smallest amount you can measure surely, in {unit}?",
            sure,
            "A dose below it would be a guess.",
            typed.number_between(0.001, 100, unit),
            f"{bench.smallest:g}",
        ),
        Field(
            "step",
            f"The finest mark of your {tool}, in {unit}?",
            "Read it off the instrument.",
            "The dose is rounded to it, and the sheet shows the dose that really gives.",
            typed.number_between(0.0001, 10, unit),
            f"{bench.step:g}",
        ),
    )


def _ladder(base: RuleBase, fix: Fix, ladder: Sequence[float]) -> Field:
    trial, agent = trial_of(fix), agent_of(fix)
    ask = f"Which doses, in {agent.unit}?"
    if agent.is_share:
        ask = f"Which shares of {agent.name}, in % of the finished blend?"
    usual = f"Usual for {fix.name[:1].lower() + fix.name[1:]}: {_doses(agent, trial.ladder)}."
    return Field(
        "doses",
        f"{ask} The control comes by itself.",
        f"{usual} Begin low: a first dose already too high teaches nothing.",
        "What serves is looked for from below.",
        typed.doses_between(base.observations[agent.dose_kept_as].plausible or (0, 10), agent),
        _doses(agent, ladder),
    )


def _doses(agent: Agent, doses: Sequence[float]) -> str:
    return " ".join(f"{dose * per_gram(agent):g}" for dose in doses)
