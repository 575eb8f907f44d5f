"""The bench trial as a conversation: plan it, come back with readings, choose, scale up."""

from __future__ import annotations

import secrets
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Any

from diagnose.calculators import OutOfRange
from diagnose.calculators.tasting import guessing_chance_percent, right_needed
from diagnose.calculators.trial import TrialChoice, TrialDesign, TrialReading
from diagnose.calculators.trial.factors import MOST_REPLICATES
from diagnose.casebook.answers import NotAnAnswer
from diagnose.knowledge.models.treatments import Agent, Fix
from diagnose.knowledge.rule_base import RuleBase
from diagnose.planning.planned import ONE_JAR_ONLY, Beside, Planned, design_planned
from diagnose.planning.trials import (
    WHOLE_WINE_PERCENT,
    Bench,
    agent_of,
    answer_of,
    blend_for_vessel,
    for_vessel,
    kept_of,
    limits_for,
    per_gram,
    plan_trial,
    read_trial,
    trial_of,
    usual_bench,
    usual_stock,
    water_limit,
)
from diagnose.present.console import Page
from diagnose.present.factors import show_factors
from diagnose.present.question import show_test
from diagnose.present.trial import show_blend, show_blind, show_choice, show_design, show_scale_up
from diagnose.units import System

from . import typed
from .bench_criteria import ask_criteria
from .form import Field, fill_in
from .lines import Lines

# ---------------------------------------------------------------- planning


def plan(
    page: Page,
    lines: Lines,
    base: RuleBase,
    fix: Fix,
    overrides: Mapping[str, float],
    before: Planned | None = None,
    second: Fix | None = None,
) -> Planned:
    """Ask for the bench and the ladder, show the sheet, and ask again until the person keeps it. Raises Stopped.

    With a `second` fix the two stand side by side, in jars of the same size and with one control.
    """
    while True:
        planned = before = _ask_plan(page, lines, base, fix, second, before)
        try:
            _show(page, base, planned, overrides)
        except OutOfRange as error:
            page.warn(str(error))
            continue
        keep = fill_in(
            page, lines, [typed.yes_no("keep", "Keep this plan?", "yes: set it up so. no: change it.", "yes")]
        )
        if keep["keep"]:
            return planned


def _show(page: Page, base: RuleBase, planned: Planned, overrides: Mapping[str, float]) -> None:
    if not planned.is_plain:
        show_factors(page, base, planned, design_planned(base, planned, overrides), overrides)
        return
    fix = base.fixes[planned.fix]
    design = plan_trial(base, fix, planned.doses, planned.bench, overrides)
    show_design(page, base, fix, planned.bench, design, water_limit(base, fix, overrides))
    show_blind(page, design, planned.seed)


def _ask_plan(
    page: Page, lines: Lines, base: RuleBase, fix: Fix, second: Fix | None, before: Planned | None
) -> Planned:
    if second:
        page.head(f"First: {fix.name}")
    first = _ask_ladder(page, lines, base, fix, before)
    beside = None
    if second:
        page.head(f"Beside it: {second.name}")
        kept = before.second if before else None
        beside = _ask_ladder(page, lines, base, second, kept, first.bench.sample_ml)
    asked = fill_in(
        page,
        lines,
        [
            Field(
                "replicates",
                "How many jars of each dose?",
                f"1 is quick. 2 or 3 show how far equal jars lie apart; at most {MOST_REPLICATES}. The control comes "
                "as often.",
                "With one jar of each nobody can tell a difference from chance.",
                _equal_jars(fix),
                str(before.replicates if before else 1),
            )
        ],
    )
    seed = secrets.randbelow(1_000_000)
    return Planned(first.fix, first.doses, first.bench, seed, asked["replicates"], beside)


def _equal_jars(fix: Fix) -> Callable[[str], int]:
    """How many jars of each dose; one where the page says what is read."""
    read_whole = typed.whole(1, MOST_REPLICATES)

    def read_jars(text: str) -> int:
        jars = read_whole(text)
        if jars > 1 and trial_of(fix).criteria:
            raise NotAnAnswer(ONE_JAR_ONLY.format(fix.name))
        return jars

    return read_jars


def _ask_ladder(
    page: Page,
    lines: Lines,
    base: RuleBase,
    fix: Fix,
    before: Beside | None,
    sample_ml: float | None = None,
) -> Beside:
    """Ask for one ladder and its bench; the size of the jars too, unless another ladder has set it."""
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


# ---------------------------------------------------------------- reading


@dataclass(frozen=True)
class Read:
    """The readings of all jars, what they mean, and what the person let pass."""

    readings: tuple[TrialReading, ...]
    choice: TrialChoice
    clear_rank: int | None = None
    """The last rank by eye that was called bright."""
    own: Mapping[str, tuple[float, float]] = field(default_factory=dict)
    """The numbers that pass, by criterion, where the person set them."""

    def data(self, fix: str) -> dict[str, Any]:
        """As plain values for the case file."""
        choice = self.choice
        plain = {"fix": fix, "outcome": choice.outcome, "dose": choice.dose}
        own = {"passes": {name: list(between) for name, between in self.own.items()}} if self.own else {}
        rows = [vars(reading) for reading in self.readings]
        return {**plain, "clear_rank": self.clear_rank, **own, "readings": rows}


def read(page: Page, lines: Lines, base: RuleBase, fix: Fix, design: TrialDesign, colour: str | None) -> Read:
    """Ask for the readings of all jars and say what they mean. Raises Stopped."""
    jars = len(design.samples)
    page.title("Read the jars")
    page.say(
        f"Type one value for each of the {jars} jars, the control first, with spaces between. A dash is not read."
    )
    if trial_of(fix).criteria:
        marks, own = ask_criteria(page, lines, fix, jars)
        tasted = any(reading.flavour_rank is not None for reading in marks)
        choice = read_trial(design, marks, limits_for(fix, colour, None, False, tasted, own))
        show_choice(page, fix, choice, design)
        if tasted:
            page.aside(how_sure())
        elif trial_of(fix).taste:
            page.warn("Nobody tasted: the dose is chosen by what was measured alone.")
        return Read(marks, choice, own=own)
    how = fill_in(
        page,
        lines,
        [
            Field(
                "clarity",
                "Clarity: how did you read it? 1 ranked by eye, 2 turbidity in NTU",
                "By eye: set the jars in a row before a narrow beam in the dark; 1 is the clearest, equal jars share "
                "a rank.",
                "Clear is the first thing a jar must be.",
                typed.one_of({"1": "rank", "2": "ntu", "eye": "rank", "by eye": "rank", "ntu": "ntu"}),
                "1",
            )
        ],
    )
    by_eye = how["clarity"] == "rank"
    fields = [
        Field(
            "clear",
            "Rank of each jar, 1 the clearest:" if by_eye else "NTU of each jar:",
            "For example 4 3 2 1 1 1 for a control and five doses.",
            "The haze must go before anything else counts.",
            typed.row(jars, typed.rank if by_eye else typed.not_negative),
        )
    ]
    if by_eye:
        fields.append(
            Field(
                "clear_rank",
                "Up to which rank would you call it bright? 0 if not even the clearest",
                "Hold the jar before small print with a lamp behind. Bright means no veil in the beam.",
                "A rank only says which is clearer, not whether it is clear enough.",
                typed.whole(0, jars),
            )
        )
    elif trial_of(fix).clear_ntu is None:
        fields.append(bright_ntu())
    heat_test = trial_of(fix).heat_test
    if heat_test:
        fields.append(
            Field(
                "heat",
                "Heat test of each jar: s stable, u unstable, or the rise in NTU:",
                "Only jars that are clear need it; a dash for the others. Each stands beside its own unheated twin.",
                "A jar that is clear today can still cloud in a warm room.",
                typed.row(jars, typed.heat),
                may_skip=True,
                show=lambda: show_test(page, base, heat_test),
            )
        )
    fields.append(
        Field(
            "flavour",
            "Taste, blind, ranked, 1 the best; equal jars share a rank:",
            "Somebody else pours; you do not know which is which. Only jars that serve so far need it, and "
            "the control.",
            f"{agent_of(fix).too_much} The least that serves is the best.",
            typed.row(jars, typed.rank),
            may_skip=True,
        )
    )
    found = {"heat": None, **fill_in(page, lines, fields)}
    readings = _readings(jars, found, by_eye)
    heat_read, taste_read = found["heat"] is not None, found["flavour"] is not None
    limits = limits_for(fix, colour, found.get("clear_rank"), heat_read, taste_read)
    limits = replace(limits, clear_ntu=found.get("clear_ntu", limits.clear_ntu))
    choice = read_trial(design, readings, limits)
    show_choice(page, fix, choice, design)
    if heat_test and not heat_read:
        page.warn("Without the heat test this says only that the jar is clear now, not that it will stay so.")
    if not taste_read:
        page.warn("Nobody tasted: the dose is chosen by the eye alone.")
    else:
        page.aside(how_sure())
    return Read(readings, choice, limits.clear_rank)


def bright_ntu() -> Field:
    """Asked where the page of the fix has no figure of its own for bright."""
    return Field(
        "clear_ntu",
        "Up to how many NTU would you call it bright?",
        "Read a bottle that you call bright with the same meter.",
        "The page of this agent has no figure for it.",
        typed.not_negative,
        "1",
    )


def how_sure() -> str:
    """What one ranking by one nose is worth, and what would be worth more."""
    rounds = 3
    luck = guessing_chance_percent(rounds, rounds)
    return (
        "One ranking by one nose is a hint, not proof. To know whether you taste a difference at all, let somebody "
        "pour three glasses, two of one jar and one of another, and find the odd one: "
        f"{right_needed(rounds):g} right of {rounds} rounds is luck in only {luck:.1f} % of such tastings; "
        f"two right of two, in {guessing_chance_percent(2, 2):.0f} %."
    )


def _readings(jars: int, found: Mapping[str, Any], by_eye: bool) -> tuple[TrialReading, ...]:
    nothing = [None] * jars
    clear, heat = found["clear"], found["heat"] or nothing
    taste = found["flavour"] or nothing
    return tuple(
        TrialReading(
            sample=number,
            clarity_rank=clear[number] if by_eye else None,
            clarity_ntu=None if by_eye else clear[number],
            heat=heat[number],
            flavour_rank=taste[number],
        )
        for number in range(jars)
    )


def scale(
    page: Page,
    base: RuleBase,
    fix: Fix,
    dose: float,
    vessel_l: float,
    bench: Bench,
    overrides: Mapping[str, float],
    units: System,
) -> None:
    """Show the amounts for the vessel."""
    try:
        if agent_of(fix).is_share:
            show_blend(page, fix, blend_for_vessel(dose, vessel_l), units)
            return
        scaled = for_vessel(base, fix, dose, vessel_l, bench, overrides)
    except OutOfRange as error:
        page.warn(str(error))
        return
    show_scale_up(page, fix, scaled, bench, units)


def finer(planned: Planned, choice: TrialChoice) -> Planned:
    """The plan again with the ladder the trial asks for next."""
    return replace(planned, doses=choice.next_doses)


__all__ = [
    "Planned",
    "TrialChoice",
    "answer_of",
    "finer",
    "how_sure",
    "kept_of",
    "plan",
    "plan_trial",
    "read",
    "scale",
]
