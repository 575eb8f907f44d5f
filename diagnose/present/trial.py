"""Bench trial screens: the sheet to work from, what the readings say, and the amounts for the vessel."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Protocol

from diagnose.calculators.trial import (
    BlindOrder,
    Outcome,
    ScaleUp,
    TrialChoice,
    TrialDesign,
    TrialReading,
    TrialSample,
    TrialWarning,
    blind_order,
)
from diagnose.knowledge.models.treatments import Fix
from diagnose.knowledge.models.trials import Agent, Trial
from diagnose.knowledge.models.vocabulary import Limit
from diagnose.knowledge.rule_base import RuleBase
from diagnose.planning.trials import Bench, Blend, agent_of, dose_words, per_gram, trial_of
from diagnose.units import System, show_quantity

from .console import Page
from .result import limit_words


def show_design(
    page: Page,
    base: RuleBase,
    fix: Fix,
    bench: Bench,
    design: TrialDesign,
    limit: tuple[Limit, float] | None,
) -> None:
    """What goes into each jar, and what to beware of; the limit on water comes with the figure in force here."""
    trial, agent = trial_of(fix), agent_of(fix)
    page.title(f"Bench trial · {fix.name}")
    page.say(trial.says)
    page.blank()
    page.say(stock_words(agent, bench, design))
    if trial.stock:
        page.say(trial.stock)
    page.blank()
    _show_jars(page, agent, design, to_read(trial))
    needs, alike = needed_words(agent, design)
    page.aside(alike)
    page.say(needs)
    for warning in design.warnings:
        page.warn(warning_words(agent, warning, design))
    if limit and any(warning.code == "over_water_limit" for warning in design.warnings):
        page.aside(limit_words(*limit), indent=2)
    page.head("Then")
    for name, text in (("Contact", trial.contact), ("Settling", trial.settling)):
        if text:
            page.item("-", f"{name}: {text.rstrip('.')}.")
    page.item("-", "Judge by: " + "; ".join(trial.judge_by) + ".")
    for caution in agent.cautions:
        page.warn(base.cautions[caution].says, indent=2)


def show_blind(page: Page, design: TrialDesign, seed: int | None) -> None:
    """The codes of the glasses and the order to take them in; nothing for a plan without a seed."""
    words = blind_words(design, seed)
    if words:
        page.head("To judge blind")
        for text in words:
            page.item("-", text)


def blind_words(design: TrialDesign, seed: int | None) -> tuple[str, ...]:
    """How to judge blind, with the code of each jar; empty for a plan without a seed."""
    if seed is None:
        return ()
    jars = ("control", *(f"jar {sample.number}" for sample in design.samples[1:]))
    return code_words(jars, blind_order(len(jars), seed))


def code_words(jars: Sequence[str], blind: BlindOrder) -> tuple[str, str]:
    """How to judge these jars blind, with the code of each."""
    pairs = ", ".join(f"{jar} {code}" for jar, code in zip(jars, blind.codes, strict=True))
    return (
        f"Codes: {pairs}. Somebody else pours and keeps this line. Alone, write each code under its glass, shuffle "
        "the glasses, and look underneath only when every rank is written down.",
        f"Take them in this order: {', '.join(map(str, blind.order))}.",
    )


def stock_words(agent: Agent, bench: Bench, design: TrialDesign) -> str:
    """How the stock is made, and what weighing it instead of measuring it changes; of a blend, how a jar is filled."""
    stock, called = design.stock, agent.poured[:1].upper() + agent.poured[1:]
    if stock is None:
        return (
            f"{called} is measured into each jar as it is, and this wine fills it up to {ml_words(design.sample_ml)}. "
            "No water."
        )
    if bench.weighed:
        return (
            f"{called} by weight: {bench.strength:g} g of {agent.name} with {100 - bench.strength:g} g of water. One "
            f"gram of it holds {stock.grams_per_unit * 1000:.3g} mg of {agent.name}. Weigh each portion: a "
            f"millilitre of it holds {stock.grams_per_ml * 1000:.3g} mg."
        )
    return (
        f"{called} by volume: {bench.strength:g} g of {agent.name} made up to one litre with water. One millilitre "
        f"holds {stock.grams_per_ml * 1000:.3g} mg of it. Weighed into water instead of made up to a volume, it "
        "need not be just as strong; say so when asked how it was made."
    )


def to_read(trial: Trial) -> tuple[str, ...]:
    """The heads of what is read in each jar."""
    if trial.criteria:
        return tuple(one.criterion.replace("_", " ") for one in trial.criteria)
    return ("clear?", "heat?", "taste") if trial.heat_test else ("clear?", "taste")


def needed_words(agent: Agent, design: TrialDesign) -> tuple[str, str]:
    """What the whole trial takes, and what all its jars have in common."""
    unit = "mL" if design.unit == "mL" else "g"
    poured = f"{design.stock_needed:.4g} {unit} of {agent.poured}"
    if design.stock is None:
        return (
            f"You need {ml_words(design.wine_needed_ml)} of this wine and {poured}.",
            f"Every jar holds {ml_words(design.sample_ml)} in all; the control is this wine alone. A share is a part "
            "of the finished blend.",
        )
    added = design.samples[-1]
    return (
        f"You need {ml_words(design.wine_needed_ml)} of wine and {poured}.",
        f"Every jar, the control too, gets {ml_words(added.added_ml)} of liquid in all, so each is thinned by the same "
        f"{added.dilution_percent:.1f} % and only the {agent.name} differs.",
    )


def jar_heads(agent: Agent, design: TrialDesign) -> tuple[tuple[str, str], ...]:
    """The heads above `jar_cells`, each with its unit."""
    if design.stock is None:
        return (("jar", ""), ("share", "%"), (agent.poured, design.unit), ("this wine", "mL"))
    dose, poured = ("dose", agent.unit), (agent.poured, design.unit)
    return (("jar", ""), dose, poured, ("water", "mL"), ("thinned by", ""))


def jar_cells(agent: Agent, design: TrialDesign, sample: TrialSample) -> tuple[str, ...]:
    """What goes into one jar."""
    label = "control" if sample.number == 0 else str(sample.number)
    dose = f"{sample.dose_given * per_gram(agent):.3g}"
    poured = f"{sample.stock_amount:.4g}"
    if design.stock is None:
        return (label, dose, poured, f"{sample.final_ml - sample.added_ml:.4g}")
    return (label, dose, poured, f"{sample.water_ml:.3g}", f"{sample.dilution_percent:.1f} %")


def _show_jars(page: Page, agent: Agent, design: TrialDesign, to_fill: tuple[str, ...]) -> None:
    heads = [f"{what} {unit}".rstrip() for what, unit in jar_heads(agent, design)]
    blanks = ["____"] * len(to_fill)
    rows = [(*jar_cells(agent, design, sample), *blanks) for sample in design.samples]
    page.table((*heads, *to_fill), rows)


def ml_words(value: float) -> str:
    """A volume in mL, or in L when it is large."""
    return show_quantity(value / 1000, "volume", "metric")


def warning_words(agent: Agent, warning: TrialWarning, design: TrialDesign) -> str:
    """A warning of a trial design as a sentence with its mend."""
    values, unit = warning.values, design.unit
    jar = f"Jar {warning.sample}: " if warning.sample else ""
    if warning.code == "below_smallest":
        mend = (
            f"take {values['sample_ml']:.0f} mL of wine in each jar"
            if warning.mend == "larger_sample"
            else f"make a {agent.poured} of {values['stock_g_per_l']:.3g} g/L"
        )
        return (
            f"{jar}{values['amount']:.3g} {unit} is less than you can measure surely "
            f"({values['smallest']:.3g} {unit}); {mend}."
        )
    if warning.code == "rounding":
        given, wanted = (dose_words(agent, values[key]) for key in ("given", "wanted"))
        return (
            f"{jar}the marks allow only {given} instead of {wanted}, off by {abs(values['percent']):.0f} %; "
            "a finer mark or a larger jar mends it."
        )
    if warning.code == "over_water_limit":
        return (
            f"{jar}in the vessel this dose would bring {values['percent']:.2g} % of water, more than the "
            f"{values['limit']:g} % allowed where that law applies; a {agent.poured} of at least "
            f"{values['stock_g_per_l']:.3g} g/L keeps within it."
        )
    if warning.code == "diluted":
        return (
            f"The jars are thinned by {values['percent']:.1f} %, more than {values['sensible']:g} %: what is tasted "
            f"is no longer the wine. Make the {agent.poured} stronger."
        )
    if warning.code == "above_usual":
        return (
            f"Your lowest dose, {dose_words(agent, values['dose'])}, is above the usual range, which ends at "
            f"{dose_words(agent, values['usual_high'])}. You may be many times too high; begin lower."
        )
    if warning.code == "duplicate_dose":
        return f"{jar}{dose_words(agent, values['dose'])} stands twice; drop one."
    return f"{jar}gets the same amount as the jar before it; a finer mark or a larger jar tells them apart."


def outcome_words(fix: Fix, outcome: Outcome, dose: float | None, readings: Sequence[Cell]) -> str:
    """What a trial came to, in one sentence; `dose` is the one chosen, in g/L. What no jar was read for is not said."""
    trial, agent = trial_of(fix), agent_of(fix)
    heated = any(reading.heat is not None for reading in readings)
    tasted = any(reading.flavour_rank is not None for reading in readings)
    stable, chosen = heated and trial.heat_test is not None, dose_words(agent, dose or 0)
    what, bare = (
        ("share", "leave it unblended") if agent.is_share else ("dose", f"leave it without {agent.name}")
    )
    *reached, last = ["is clear", *(["stable"] if stable else []), *(["keeps the flavour"] if tasted else [])]
    least = f"{chosen} is the least dose that {' and '.join(filter(None, [', '.join(reached), last]))}."
    control = f"The control is {'clear and stable' if stable else 'clear'} without any {agent.name}: nothing to treat."
    if trial.criteria:
        passes = [one.passes_as for one in trial.criteria if one.kind != "rank"]
        where = " and ".join(one.passes_as for one in trial.criteria if tasted or one.kind != "rank")
        least = f"{chosen} is the least {what} where {where}."
        control = f"In the control {' and '.join(passes)} without any {agent.name}: nothing to treat."
    if trial.choose == "best_liked":
        least = f"{chosen} is the best liked" + (
            f" of those where {' and '.join(passes)}." if passes else "."
        )
        control = f"The control is the best liked: {bare}."
    sentences: dict[Outcome, str] = {
        "chosen": least,
        "refine_below": f"The lowest {what} already serves, so a lower one may too.",
        "control_serves": control,
        "contradictory": f"A higher {what} came out worse than a lower one: a slip at the bench, or too much already.",
        "incomplete": "Some readings are still missing.",
        "none_serves": f"No {what} of this ladder serves.",
    }
    return sentences[outcome]


def show_choice(
    page: Page,
    fix: Fix,
    choice: TrialChoice,
    design: TrialDesign,
    readings: Sequence[TrialReading],
    title: str = "What the trial says",
    before: int = 0,
) -> None:
    """What the readings say. `before` is how many doses of another ladder the jars are numbered after."""
    agent = agent_of(fix)
    page.title(title)
    doses = {sample.number: sample.dose_given for sample in design.samples}
    ladder = dose_words(agent, *choice.next_doses)
    said = outcome_words(fix, choice.outcome, choice.dose, readings)
    if choice.outcome == "chosen":
        page.say(f"Jar {(choice.sample or 0) + before}: {said}", style="bold")
        if choice.alike:
            tied = dose_words(agent, *(doses[sample] for sample in choice.alike))
            page.say(
                f"Ranked alike: {tied}. Nothing here puts one before the other; the least of them is taken."
            )
        if choice.next_doses:
            what = "share" if agent.is_share else "dose"
            page.aside(f"A finer ladder ({ladder}) would find the {what} more closely, if you have the time.")
    elif choice.outcome == "refine_below":
        page.say(said, style="bold")
        page.say(f"Before treating, try a finer and lower ladder: {ladder}. {agent.too_much}")
    elif choice.outcome == "control_serves":
        page.say(said, style="bold")
        if choice.alike:
            tied = dose_words(agent, *(doses[sample] for sample in choice.alike))
            page.say(f"Ranked alike with it: {tied}. What is no better than the wine as it is gains nothing.")
        if not trial_of(fix).criteria:
            page.say("If the wine in the vessel is hazy and the control is not, it has settled: rack it off.")
    elif choice.outcome == "contradictory":
        jars = ", ".join(_jar(agent, number, doses, before) for number in choice.repeat)
        page.say(said, style="bold")
        mix = "Stir each jar" if agent.is_share else f"Shake the {agent.poured}"
        page.say(f"Set these again before you choose: {jars}. {mix} before each draw.")
    elif choice.outcome == "incomplete":
        page.say(said, style="bold")
        for missing in choice.missing:
            where = (
                "the whole trial" if missing.sample is None else _jar(agent, missing.sample, doses, before)
            )
            page.item("-", f"{missing.what.replace('_', ' ')} of {where}")
    else:
        page.say(said, style="bold")
        for failure in choice.failures:
            page.item(
                "-",
                f"{dose_words(agent, failure.dose)} failed on {failure.criterion.replace('_', ' ')}",
            )
        _show_meaning(page, fix, {failure.criterion for failure in choice.failures})


class Cell(Protocol):
    """What was read in one jar."""

    @property
    def heat(self) -> str | float | None:
        """The verdict or the rise of a heat test."""

    @property
    def flavour_rank(self) -> float | None:
        """Its place in the taste."""


def _jar(agent: Agent, number: int, doses: dict[int, float], before: int) -> str:
    return "the control" if number == 0 else f"jar {number + before} ({dose_words(agent, doses[number])})"


def _show_meaning(page: Page, fix: Fix, failed: set[str]) -> None:
    trial, agent = trial_of(fix), agent_of(fix)
    for one in trial.criteria:
        named = {"flavour"} if one.kind == "rank" else {one.criterion}
        if one.if_none and failed == named:
            page.say(one.if_none)
    if trial.criteria:
        return
    if failed == {"clarity"}:
        page.say(
            "No jar came clear: this haze is not what the agent takes out. More of it will not help; test on."
        )
    elif failed == {"heat"}:
        page.say(
            f"All clear, none stable: more is needed, or the {agent.poured} was badly made. Try a higher ladder once."
        )
    elif "flavour" in failed:
        page.say(
            "What is stable has lost flavour: ask whether the haze is worth that, or look for a milder way."
        )


def show_blend(page: Page, fix: Fix, blend: Blend, units: System) -> None:
    """The other wine for the vessel, and the room that the blend needs."""
    agent = agent_of(fix)
    vessel, other, together, out = (
        show_quantity(volume, "volume", units)
        for volume in (blend.vessel_l, blend.other_l, blend.together_l, blend.out_l)
    )
    page.title(f"For your {vessel}")
    page.item(
        "·", f"{agent.name}: {other} to all of it ({dose_words(agent, blend.share_percent)} of the blend)"
    )
    page.item("·", f"together: {together}")
    if agent.into_vessel:
        page.item("·", agent.into_vessel)
    page.warn(
        f"Room first: the vessel must hold {together}, and little more, for wine with air above it spoils. Is it full "
        f"with {vessel}, take {out} of this wine out into a full vessel of its own, and put {out} of the other in."
    )


def show_scale_up(page: Page, fix: Fix, scaled: ScaleUp, bench: Bench, units: System) -> None:
    """The amounts for the vessel."""
    system, agent = units, agent_of(fix)
    page.title(f"For your {show_quantity(scaled.vessel_l, 'volume', system)}")
    page.item(
        "·",
        f"{agent.name}: {show_quantity(scaled.agent_g, 'mass', 'metric')} ({dose_words(agent, scaled.dose_g_per_l)})",
    )
    if agent.into_vessel:
        page.item("·", agent.into_vessel)
        return
    volume = show_quantity(scaled.stock_ml / 1000, "volume", "metric")
    weight = show_quantity(scaled.stock_g, "mass", "metric")
    page.item(
        "·", f"{agent.poured} of the same strength as in the trial: {volume}, or {weight} if you weigh it"
    )
    share = f"water brought in: {scaled.water_share_percent:.2g} % of the wine"
    if scaled.over_water_limit:
        share += (
            f", over the {scaled.water_limit_percent:g} % allowed where that law applies: make it stronger"
        )
    page.item("·", share)
    for what, low, high in (
        ("wine held in the lees: expect", scaled.lees_low_l, scaled.lees_high_l),
        ("wine left after racking:", scaled.wine_left_low_l, scaled.wine_left_high_l),
    ):
        if low is not None and high is not None:
            least, most = (show_quantity(value, "volume", system) for value in (low, high))
            page.item("·", f"{what} {least} to {most}")
