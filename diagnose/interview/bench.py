"""The bench trial as a conversation: plan it, come back with readings, choose, scale up."""

from __future__ import annotations

import re
import secrets
from collections.abc import Callable, Mapping, Sequence
from dataclasses import asdict, dataclass, replace
from typing import Any, Literal

from diagnose.calculators import OutOfRange
from diagnose.calculators.tasting import guessing_chance_percent, right_needed
from diagnose.calculators.trial import TrialChoice, TrialDesign, TrialReading
from diagnose.casebook.answers import NotAnAnswer
from diagnose.casebook.models import PlannedTrial
from diagnose.knowledge.models.treatments import Agent, Fix
from diagnose.knowledge.rule_base import RuleBase
from diagnose.planning.trials import (
    Bench,
    agent_of,
    answer_of,
    for_vessel,
    kept_of,
    limits_for,
    plan_trial,
    read_trial,
    trial_of,
    water_limit,
)
from diagnose.present.console import Page
from diagnose.present.question import show_test
from diagnose.present.trial import show_blind, show_choice, show_design, show_scale_up
from diagnose.units import NotAQuantity, System, read_quantity

from .form import Field, fill_in
from .lines import Lines


@dataclass(frozen=True)
class Planned:
    """A trial as planned: enough to set it up again on another day."""

    fix: str
    doses: tuple[float, ...]
    bench: Bench
    seed: int | None = None
    """What the codes of the blind glasses are drawn with; a plan from before there were codes has none."""

    def data(self) -> dict[str, Any]:
        """As plain values for the case file."""
        plain = {"fix": self.fix, "doses": list(self.doses), "bench": asdict(self.bench)}
        return plain if self.seed is None else {**plain, "seed": self.seed}

    @classmethod
    def from_data(cls, data: Mapping[str, Any]) -> Planned:
        """From a case file, where it was checked at opening. Raises ValueError when it is not a plan."""
        kept = PlannedTrial.model_validate(data)
        return cls(kept.fix, kept.doses, Bench(**kept.bench.model_dump()), kept.seed)


# ---------------------------------------------------------------- planning


def plan(
    page: Page,
    lines: Lines,
    base: RuleBase,
    fix: Fix,
    overrides: Mapping[str, float],
    before: Planned | None = None,
) -> tuple[Planned, TrialDesign]:
    """Ask for the bench and the ladder, show the sheet, and ask again until the person keeps it. Raises Stopped."""
    while True:
        planned = _ask_plan(page, lines, base, fix, before)
        try:
            design = plan_trial(base, fix, planned.doses, planned.bench, overrides)
        except OutOfRange as error:
            page.warn(str(error))
            before = planned
            continue
        show_design(page, base, fix, planned.bench, design, water_limit(base, fix, overrides))
        show_blind(page, design, planned.seed)
        keep = fill_in(
            page, lines, [_yes_no("keep", "Keep this plan?", "yes: set it up so. no: change it.", "yes")]
        )
        if keep["keep"]:
            return planned, design
        before = planned


def _ask_plan(page: Page, lines: Lines, base: RuleBase, fix: Fix, before: Planned | None) -> Planned:
    trial, agent = trial_of(fix), agent_of(fix)
    percent, (low, high) = agent.stock_percent, agent.stock_between
    by_weight = f"{percent:g} g of {agent.name} with {100 - percent:g} g of water"
    by_volume = f"{10 * percent:g} g made up to one litre"
    ladder = before.doses if before else trial.ladder
    bench = before.bench if before else Bench(100, False, 10 * percent, 0.1, 0.01)
    usual = f"Usual for {fix.name[:1].lower() + fix.name[1:]}: "
    asked = fill_in(
        page,
        lines,
        [
            Field(
                "weighed",
                f"How do you make and measure the {agent.stock_is}? 1 by volume (grams made up to a litre), "
                "2 by weight",
                f"By weight: weigh {agent.name} and water on the scale, and weigh each portion out. A kitchen scale "
                "that shows 0.01 g does well. By volume: a syringe or pipette.",
                f"{by_weight} need not be just as strong as {by_volume}.",
                _one_of(
                    {
                        "1": False,
                        "2": True,
                        "volume": False,
                        "by volume": False,
                        "weight": True,
                        "by weight": True,
                    }
                ),
                "2" if bench.weighed else "1",
            ),
        ],
    )
    weighed = bool(asked["weighed"])
    same = before is not None and weighed == bench.weighed
    strength = f"{bench.strength:g}" if same else f"{percent if weighed else 10 * percent:g}"
    smallest, step = (f"{bench.smallest:g}", f"{bench.step:g}") if same else ("0.1", "0.01")
    unit = "g" if weighed else "mL"
    asked |= fill_in(
        page,
        lines,
        [
            Field(
                "strength",
                f"Strength of the {agent.stock_is}, in % by weight?"
                if weighed
                else f"Grams of {agent.name} in a litre of {agent.stock_is}?",
                f"{percent:g} % is usual: {by_weight}, or {by_volume}. {trial.stock or ''}".rstrip(),
                "Everything that goes into a jar is counted from it.",
                _number_between(low, high, "%") if weighed else _strength(agent),
                strength,
            ),
            Field(
                "sample_ml",
                "How much wine in each jar?",
                "100 mL is handy; more makes small doses easier to measure.",
                "The smaller the jar, the harder a low dose is to measure.",
                _volume_ml,
                f"{bench.sample_ml:g} mL",
            ),
            Field(
                "smallest",
                f"The smallest amount you can measure surely, in {unit}?",
                "A 1 mL syringe is sure from about 0.1 mL; a scale from about ten of its smallest steps.",
                "A dose below it would be a guess.",
                _number_between(0.001, 100, unit),
                smallest,
            ),
            Field(
                "step",
                f"The finest mark of your syringe, pipette or scale, in {unit}?",
                "Read it off the instrument.",
                "The dose is rounded to it, and the sheet shows the dose that really gives.",
                _number_between(0.0001, 10, unit),
                step,
            ),
            Field(
                "doses",
                "Which doses, in g/L? The control comes by itself.",
                f"{usual}{_doses(trial.ladder)}. Begin low: a first dose already too high teaches nothing.",
                "The least dose that serves is looked for from below.",
                _ladder(base.observations[agent.dose_kept_as].plausible or (0, 10)),
                _doses(ladder),
            ),
        ],
    )
    return Planned(
        fix.fix,
        asked["doses"],
        Bench(asked["sample_ml"], weighed, asked["strength"], asked["smallest"], asked["step"]),
        secrets.randbelow(1_000_000),
    )


def _doses(doses: Sequence[float]) -> str:
    return " ".join(f"{dose:g}" for dose in doses)


# ---------------------------------------------------------------- reading


def read(
    page: Page, lines: Lines, base: RuleBase, fix: Fix, design: TrialDesign, colour: str | None
) -> tuple[tuple[TrialReading, ...], TrialChoice, int | None]:
    """Ask for the readings of all jars and say what they mean; the last is the rank called bright. Raises Stopped."""
    jars = len(design.samples)
    page.title("Read the jars")
    page.say(
        f"Type one value for each of the {jars} jars, the control first, with spaces between. A dash is not read."
    )
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
                _one_of({"1": "rank", "2": "ntu", "eye": "rank", "by eye": "rank", "ntu": "ntu"}),
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
            _row(jars, _rank if by_eye else _not_negative),
        )
    ]
    if by_eye:
        fields.append(
            Field(
                "clear_rank",
                "Up to which rank would you call it bright? 0 if not even the clearest",
                "Hold the jar before small print with a lamp behind. Bright means no veil in the beam.",
                "A rank only says which is clearer, not whether it is clear enough.",
                _whole(0, jars),
            )
        )
    heat_test = trial_of(fix).heat_test
    if heat_test:
        fields.append(
            Field(
                "heat",
                "Heat test of each jar: s stable, u unstable, or the rise in NTU:",
                "Only jars that are clear need it; a dash for the others. Each stands beside its own unheated twin.",
                "A jar that is clear today can still cloud in a warm room.",
                _row(jars, _heat),
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
            _row(jars, _rank),
            may_skip=True,
        )
    )
    found = {"heat": None, **fill_in(page, lines, fields)}
    readings = _readings(jars, found, by_eye)
    heat_read, taste_read = found["heat"] is not None, found["flavour"] is not None
    limits = limits_for(fix, colour, found.get("clear_rank"), heat_read, taste_read)
    choice = read_trial(design, readings, limits)
    show_choice(page, fix, choice, design)
    if heat_test and not heat_read:
        page.warn("Without the heat test this says only that the jar is clear now, not that it will stay so.")
    if not taste_read:
        page.warn("Nobody tasted: the dose is chosen by the eye alone.")
    else:
        page.aside(_how_sure())
    return readings, choice, limits.clear_rank


def _how_sure() -> str:
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
        scaled = for_vessel(base, fix, dose, vessel_l, bench, overrides)
    except OutOfRange as error:
        page.warn(str(error))
        return
    show_scale_up(page, fix, scaled, bench, units)


def finer(planned: Planned, choice: TrialChoice) -> Planned:
    """The plan again with the ladder the trial asks for next."""
    return replace(planned, doses=choice.next_doses_g_per_l)


__all__ = [
    "Planned",
    "TrialChoice",
    "answer_of",
    "finer",
    "kept_of",
    "plan",
    "plan_trial",
    "read",
    "scale",
]


# ---------------------------------------------------------------- what may be typed


def _one_of(choices: Mapping[str, Any]) -> Callable[[str], Any]:
    def read_choice(typed: str) -> Any:
        word = " ".join(typed.lower().split())
        if word not in choices:
            raise NotAnAnswer(
                f"'{typed[:40]}' is not one of the answers; type {', '.join(list(choices)[:2])}."
            )
        return choices[word]

    return read_choice


def _yes_no(key: str, ask: str, how: str, usual: str | None = None) -> Field:
    answers = {"yes": True, "y": True, "no": False, "n": False}
    return Field(key, ask, how, "It is your wine.", _one_of(answers), usual)


def _plain_number(typed: str) -> float:
    try:
        return float(typed.strip().replace(",", ".").rstrip("%").strip())
    except ValueError:
        raise NotAnAnswer(f"'{typed[:40]}' is not a number; type one such as 0.1.") from None


def _number_between(low: float, high: float, unit: str) -> Callable[[str], float]:
    def read_number(typed: str) -> float:
        value = _plain_number(re.sub(rf"\s*{re.escape(unit)}$", "", typed.strip(), flags=re.I))
        if not low <= value <= high:
            raise NotAnAnswer(f"{value:g} {unit} cannot be right here; expected {low:g} to {high:g} {unit}.")
        return value

    return read_number


def _strength(agent: Agent) -> Callable[[str], float]:
    """Grams per litre; a percentage of a stock made up to volume is ten times that."""
    low, high = (10 * percent for percent in agent.stock_between)

    def read_strength(typed: str) -> float:
        if typed.strip().endswith("%"):
            value = 10 * _plain_number(typed)
        else:
            try:
                value = read_quantity(typed, "dose", "metric")
            except NotAQuantity as error:
                raise NotAnAnswer(str(error)) from error
        if not low <= value <= high:
            raise NotAnAnswer(
                f"{value:g} g/L cannot be right for a {agent.stock_is}; expected {low:g} to {high:g} g/L "
                f"({agent.stock_percent:g} % is {10 * agent.stock_percent:g} g/L)."
            )
        return value

    return read_strength


def _volume_ml(typed: str) -> float:
    text = typed if re.search(r"[a-zA-Z]", typed) else f"{typed} mL"
    try:
        value = read_quantity(text, "volume", "metric") * 1000
    except NotAQuantity as error:
        raise NotAnAnswer(str(error)) from error
    if not 10 <= value <= 5000:
        raise NotAnAnswer(f"{value:g} mL is no jar for a trial; expected 10 to 5000 mL. 100 mL is handy.")
    return value


def _ladder(between: tuple[float, float]) -> Callable[[str], tuple[float, ...]]:
    """Doses that a case can keep; nought stands for the control, which is there anyway."""
    low, high = between

    def read_ladder(typed: str) -> tuple[float, ...]:
        pieces = [piece for piece in re.split(r"[\s;]+", typed.replace("g/L", " ").strip()) if piece]
        if len(pieces) == 1 and pieces[0].count(",") > 1:
            pieces = [piece for piece in pieces[0].split(",") if piece]
        doses = tuple(_plain_number(piece.rstrip(",")) for piece in pieces)
        if not doses:
            raise NotAnAnswer("Type doses in g/L with spaces between, such as 0.1 0.2 0.4.")
        wrong = [dose for dose in doses if dose != 0 and not low <= dose <= high]
        if wrong:
            what = f"{wrong[0]:g} g/L cannot be right; expected {low:g} to {high:g} g/L."
            raise NotAnAnswer(f"{what} 50 g/hL is 0.5 g/L.")
        return doses

    return read_ladder


def _row(jars: int, read_cell: Callable[[str], Any]) -> Callable[[str], list[Any]]:
    def read_row(typed: str) -> list[Any]:
        cells = typed.split()
        if len(cells) != jars:
            raise NotAnAnswer(
                f"{len(cells)} values for {jars} jars; type {jars}, the control first, a dash if not read."
            )
        return [None if cell in ("-", "–") else read_cell(cell) for cell in cells]

    return read_row


def _rank(cell: str) -> int:
    if not (cell.isdecimal() and 1 <= int(cell) <= 50):
        raise NotAnAnswer(f"'{cell[:20]}' is not a rank; ranks are 1, 2, 3 and so on.")
    return int(cell)


def _whole(low: int, high: int) -> Callable[[str], int]:
    def read_whole(typed: str) -> int:
        if not (typed.strip().isdecimal() and low <= int(typed) <= high):
            raise NotAnAnswer(f"'{typed[:20]}' is not a whole number from {low} to {high}.")
        return int(typed)

    return read_whole


def _not_negative(cell: str) -> float:
    value = _plain_number(cell)
    if not 0 <= value <= 4000:
        raise NotAnAnswer(f"{value:g} NTU cannot be right; expected 0 to 4000.")
    return value


def _heat(cell: str) -> Literal["stable", "unstable"] | float:
    words: dict[str, Literal["stable", "unstable"]] = {
        "s": "stable",
        "stable": "stable",
        "u": "unstable",
        "unstable": "unstable",
    }
    return words.get(cell.lower()) or _plain_number(cell)
