"""The bench trial as a conversation: plan it, come back with readings, choose, scale up."""

from __future__ import annotations

import secrets
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from typing import Any

from diagnose.calculators import OutOfRange
from diagnose.calculators.tasting import guessing_chance_percent, right_needed
from diagnose.calculators.trial import TrialChoice, TrialDesign, TrialReading
from diagnose.calculators.trial.factors import MOST_REPLICATES
from diagnose.knowledge.models.treatments import Fix
from diagnose.knowledge.rule_base import RuleBase
from diagnose.planning.planned import Planned, design_planned
from diagnose.planning.trials import (
    Bench,
    agent_of,
    answer_of,
    blend_for_vessel,
    for_vessel,
    kept_of,
    limits_for,
    plan_trial,
    read_trial,
    trial_of,
    water_limit,
)
from diagnose.present.console import Page
from diagnose.present.factors import show_factors
from diagnose.present.question import show_test
from diagnose.present.trial import show_blend, show_blind, show_choice, show_design, show_scale_up
from diagnose.units import System

from . import typed
from .bench_criteria import ask_criteria
from .bench_ladder import ask_ladder
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
    first = ask_ladder(page, lines, base, fix, before)
    beside = None
    if second:
        page.head(f"Beside it: {second.name}")
        kept = before.second if before else None
        beside = ask_ladder(page, lines, base, second, kept, first.bench.sample_ml)
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
                typed.whole(1, MOST_REPLICATES),
                str(before.replicates if before else 1),
            )
        ],
    )
    seed = secrets.randbelow(1_000_000)
    return Planned(first.fix, first.doses, first.bench, seed, asked["replicates"], beside)


# ---------------------------------------------------------------- reading

NOT_TASTED = "Nobody tasted, so this says nothing of the flavour."


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
        (marks,), own = ask_criteria(page, lines, fix, jars)
        tasted = any(reading.flavour_rank is not None for reading in marks)
        choice = read_trial(design, marks, limits_for(fix, colour, None, False, tasted, own))
        show_choice(page, fix, choice, design, marks)
        if tasted:
            page.aside(how_sure())
        elif trial_of(fix).taste:
            page.warn(NOT_TASTED)
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
    show_choice(page, fix, choice, design, readings)
    if heat_test and not heat_read:
        page.warn("Without the heat test this says only that the jar is clear now, not that it will stay so.")
    if not taste_read:
        page.warn(NOT_TASTED)
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
