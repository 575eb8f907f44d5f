"""Screens of a trial of two agents or of several jars of each dose: the sheet, what was read, and how sure it is."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace

from diagnose.calculators.trial import FactorTrial, Jar, LevelRead, Side, Sureness, pool
from diagnose.calculators.trial.factors import KITCHEN_JARS
from diagnose.calculators.trial.pooled import LIKING, Measure
from diagnose.calculators.trial.sureness import MOST_JARS
from diagnose.knowledge.models.treatments import Fix
from diagnose.knowledge.rule_base import RuleBase
from diagnose.planning.planned import Planned
from diagnose.planning.trials import agent_of, dose_words, trial_of, water_limit

from . import trial as single
from .console import Page
from .result import limit_words
from .trial import code_words, ml_words, show_choice, stock_words, warning_words


def fixes_of(base: RuleBase, planned: Planned) -> tuple[Fix, ...]:
    """The fix of each ladder."""
    return tuple(base.fixes[ladder.fix] for ladder in planned.ladders)


def show_factors(
    page: Page, base: RuleBase, planned: Planned, trial: FactorTrial, overrides: Mapping[str, float]
) -> None:
    """What goes into each jar, and what to beware of."""
    fixes = fixes_of(base, planned)
    page.title(f"Bench trial · {', beside: '.join(fix.name for fix in fixes)}")
    for fix in fixes:
        page.say(trial_of(fix).says)
    for text in stocks(base, planned, trial):
        page.blank()
        page.say(text)
    page.blank()
    _show_jars(page, fixes, trial)
    for text in needed(fixes, trial):
        page.say(text)
    for text in beware(base, fixes, trial, overrides):
        page.warn(text)
    page.head("Then")
    for text in (*then(fixes), *(f"Judge by: {text}." for text in judge_by(fixes))):
        page.item("-", text)
    for caution in dict.fromkeys(name for fix in fixes for name in agent_of(fix).cautions):
        page.warn(base.cautions[caution].says, indent=2)
    codes = codes_of(trial)
    if codes:
        page.head("To judge blind")
        for text in codes:
            page.item("-", text)


def jar_name(jar: Jar) -> str:
    """A jar as it is called on every screen and sheet: `control a`, `3b`."""
    return f"control {jar.letter}".strip() if jar.is_control else f"{jar.glass}{jar.letter}"


def jar_heads(fixes: Sequence[Fix], trial: FactorTrial) -> tuple[tuple[str, str], ...]:
    """The heads above `jar_cells`, the first that of the jar, each with its unit."""
    if len(fixes) == 1:
        return single.jar_heads(agent_of(fixes[0]), trial.designs[0])
    return (("jar", ""), ("agent", ""), ("dose", "g/L"), ("stock", ""), ("water", "mL"), ("thinned by", ""))


def jar_cells(fixes: Sequence[Fix], trial: FactorTrial, jar: Jar) -> tuple[str, ...]:
    """What goes into one jar: of two agents which, then dose, stock, water, and how far it is thinned."""
    sample, level = jar.sample, jar.level
    if len(fixes) == 1:
        return single.jar_cells(agent_of(fixes[0]), trial.designs[0], sample)[1:]
    agent = "–" if level is None else agent_of(fixes[level]).name
    stock = "0" if level is None else f"{sample.stock_amount:.4g} {trial.designs[level].unit}"
    return (
        agent,
        f"{sample.dose_given:.3g}",
        stock,
        f"{sample.water_ml:.3g}",
        f"{sample.dilution_percent:.1f} %",
    )


def stocks(base: RuleBase, planned: Planned, trial: FactorTrial) -> Iterator[str]:
    """How each stock is made."""
    for ladder, design in zip(planned.ladders, trial.designs, strict=True):
        fix = base.fixes[ladder.fix]
        page_says = trial_of(fix).stock
        yield stock_words(agent_of(fix), ladder.bench, design)
        if page_says:
            yield page_says


def needed(fixes: Sequence[Fix], trial: FactorTrial) -> tuple[str, str]:
    """Jars, wine and stocks for the whole trial, and the water that they bring."""
    agents = [agent_of(fix) for fix in fixes]
    stock = " and ".join(
        f"{trial.stock_needed(level):.4g} {trial.designs[level].unit} of {agent.poured} ({agent.name})"
        for level, agent in enumerate(agents)
    )
    added = trial.jars[0].sample
    if agents[0].is_share:
        design = trial.designs[0]
        poured = f"{ml_words(trial.stock_needed(0))} of {agents[0].poured}"
        return (
            f"{len(trial.jars)} jars. You need {ml_words(trial.wine_needed_ml)} of this wine and {poured}.",
            single.needed_words(agents[0], design)[1],
        )
    return (
        f"{len(trial.jars)} jars. You need {ml_words(trial.wine_needed_ml)} of wine and {stock}.",
        f"Every jar, the controls too, gets {ml_words(added.added_ml)} of liquid in all, "
        f"{trial.water_share_percent:.1f} % of its wine, so that only the agent differs.",
    )


def beware(
    base: RuleBase, fixes: Sequence[Fix], trial: FactorTrial, overrides: Mapping[str, float]
) -> Iterator[str]:
    """What to put right before the trial; the jars numbered through both ladders."""
    if trial.too_many:
        yield (
            f"{len(trial.jars)} jars are more than a kitchen holds in a day ({KITCHEN_JARS}). Take fewer doses, fewer "
            "equal jars, or one agent at a time."
        )
    before = 0
    for fix, design in zip(fixes, trial.designs, strict=True):
        agent = agent_of(fix)
        for warning in design.warnings:
            number = warning.sample + before if warning.sample else warning.sample
            yield f"{agent.name}: " + warning_words(agent, replace(warning, sample=number), design)
        limit = water_limit(base, fix, overrides)
        if limit and any(warning.code == "over_water_limit" for warning in design.warnings):
            yield limit_words(*limit)
        before += len(design.samples) - 1


def then(fixes: Sequence[Fix]) -> Iterator[str]:
    """Contact and settling of each agent."""
    for fix in fixes:
        trial = trial_of(fix)
        for name, text in (("contact", trial.contact), ("settling", trial.settling)):
            if text:
                said = f"{agent_of(fix).name}, {name}" if len(fixes) > 1 else name.capitalize()
                yield f"{said}: {text.rstrip('.')}."
    if len(fixes) > 1:
        yield "Read all jars on the same day, when the slower of the two has settled."


def judge_by(fixes: Sequence[Fix]) -> tuple[str, ...]:
    """What the jars are judged by; what holds for both agents once."""
    return tuple(dict.fromkeys(text for fix in fixes for text in trial_of(fix).judge_by))


def codes_of(trial: FactorTrial) -> tuple[str, ...]:
    """How to judge blind; nothing for a plan without a seed."""
    if trial.blind is None:
        return ()
    names = [jar_name(jar) if jar.is_control else f"jar {jar_name(jar)}" for jar in trial.jars]
    return code_words(names, trial.blind)


def _show_jars(page: Page, fixes: Sequence[Fix], trial: FactorTrial) -> None:
    """One line for each dose, its equal jars together; all are thinned alike, which is said below the table."""
    heads = [head for head in jar_heads(fixes, trial) if head[0] != "thinned by"]
    above = ["jars" if what == "jar" else f"{what} {unit}".rstrip() for what, unit in heads]
    left = next(at for at, (what, _) in enumerate((*heads, ("", ""))) if what not in ("jar", "agent"))
    rows = []
    for jar in trial.jars:
        if jar.replicate == 0:
            equal = [other for other in trial.jars if (other.glass, other.level) == (jar.glass, jar.level)]
            name = "control" if jar.is_control else str(jar.glass)
            letters = "".join(other.letter for other in equal)
            cells = (f"{name} {' '.join(letters)}".strip(), *jar_cells(fixes, trial, jar))
            rows.append(cells[: len(heads)])
    page.table(above, rows, left)


# ---------------------------------------------------------------- what was read


def show_level(page: Page, fix: Fix, read: LevelRead, before: int) -> None:
    """What one ladder came to: the choice, the equal jars together, and how sure the step is."""
    every = [reading for row in read.rows for reading in row]
    show_choice(page, fix, read.choice, read.design, every, title=fix.name, before=before)
    lines = tuple(spread_lines(fix, read, before))
    if lines:
        page.head("Equal jars together")
        for text in lines:
            page.item("-", text)
    if read.choice.outcome in ("chosen", "refine_below"):
        page.blank()
        page.say(step_words(read.sure, read.sure_by, len(read.rows)))


_MEASURES: tuple[tuple[Measure, str, str, str], ...] = (
    ("clarity_ntu", "clarity", " NTU", "number"),
    ("clarity_rank", "clarity", " mean rank", "rank"),
    ("flavour_rank", "taste", " mean rank", "rank"),
)


def spread_lines(fix: Fix, read: LevelRead, before: int) -> Iterator[str]:
    """Mean and spread of the equal jars of each dose; nothing where there is one of each."""
    if len(read.rows) < 2:
        return
    for sample in read.design.samples:
        told = []
        for measure, what, unit, kind in (*_of_page(fix), *_MEASURES):
            pooled = pool(read.rows, sample.number, measure)
            if pooled is None:
                continue
            if kind == "yes_no":
                told.append(f"{what}: yes in {pooled.mean * pooled.jars:.0f} of {pooled.jars}")
            else:
                spread = "" if pooled.spread is None else f", spread {pooled.spread:.2g}"
                told.append(f"{what} {pooled.mean:.3g}{unit}{spread}")
        dose = dose_words(agent_of(fix), sample.dose_given)
        name = "control" if sample.number == 0 else f"{sample.number + before} ({dose})"
        if told:
            yield f"{name}: {'; '.join(told)}"


def _of_page(fix: Fix) -> Iterator[tuple[Measure, str, str, str]]:
    """What the page says is measured."""
    for one in trial_of(fix).criteria:
        if one.kind != "rank":
            unit = f" {one.unit}" if one.unit else ""
            yield one.criterion, one.criterion.replace("_", " "), unit, one.kind


def step_words(sure: Sureness, by: str | None, jars: int) -> str:
    """How sure it is that the dose chosen differs from the one before, in what that one failed on."""
    lead = f"How sure that this dose differs from the one before, in {(by or '').replace('_', ' ')}? "
    if by == LIKING:
        lead = "How sure that it is liked better than the next best that passes? "
    lead = lead if by else ""
    return lead + sure_words(sure, jars)


def sure_words(sure: Sureness, jars: int) -> str:
    """How sure a difference is, as a plain sentence with its figure and what would settle it."""
    word = sure.word[:1].upper() + sure.word[1:]
    if sure.word == "unknown" and jars < 2:
        return (
            "One jar of each dose: nothing is known of the spread between equal jars, so nobody can say. Two jars of "
            "each would show it."
        )
    if sure.word == "unknown":
        return "What was read gives no figure for it."
    if sure.luck_percent is None:
        return f"{word}, without a figure: the equal jars read alike, so no spread was seen. A finer meter says more."
    luck = f"{sure.luck_percent:.1f}" if sure.luck_percent >= 0.1 else "less than 0.1"
    if sure.counted:
        said = f"{word}: somebody who finds no difference ranks them so, one way or the other, in {luck} % of trials."
        if not sure.more:
            return said
        more = _count(sure.more, "more pair")
        return f"{said} {more} of jars, all ranked the same way, would settle it, for this one taster."
    said = f"{word}: the spread between equal jars alone makes so wide a gap in {luck} % of trials."
    if sure.more:
        return (
            f"{said} {_count(sure.more, 'more jar')} of each dose would settle it, if gap and spread stay so."
        )
    if sure.more is None:
        return f"{said} Not even {MOST_JARS} jars of each dose would settle it: take the two as equal."
    return said


def _count(number: int | None, what: str) -> str:
    return f"{number} {what}{'' if number == 1 else 's'}"


def show_compared(
    page: Page, fixes: Sequence[Fix], levels: Sequence[LevelRead], sides: Sequence[Side], better: int | None
) -> None:
    """The two chosen doses beside each other."""
    page.title("Which agent")
    names = [agent_of(fix).name for fix in fixes]
    for side in sides:
        page.item("-", side_words(names, levels, side))
    if not sides and better is None:
        page.say("Neither ladder has a dose to choose yet.", style="bold")
    elif not sides and better is not None:
        page.say(f"Only {names[better]} has a dose to choose yet.", style="bold")
    elif better is None:
        page.say("Both serve, and nothing read here puts one before the other.", style="bold")
    else:
        page.say(f"Both serve; {names[better]} comes out ahead.", style="bold")
    if any(side.what == "flavour" for side in sides):
        page.aside("One taster ranked these jars: it says what this taster finds, not what others will.")


def side_words(names: Sequence[str], levels: Sequence[LevelRead], side: Side) -> str:
    """One thing in which the two differ."""
    if side.what == "lees":
        said = " and ".join(
            f"{name} {level.lees_percent[0]:g} to {level.lees_percent[1]:g} %"
            for name, level in zip(names, levels, strict=True)
            if level.lees_percent
        )
        end = "the two may lose as much" if side.better is None else f"{names[side.better]} loses less"
        return f"wine lost in the lees: {said}; {end}."
    if side.better is None:
        return f"{side.what}: both read alike."
    return f"{side.what}: {names[side.better]} did better. {sure_words(side.sure, len(levels[0].rows))}"
