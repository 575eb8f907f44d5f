"""Reading a trial of two agents, or of several equal jars of each dose, and choosing between the agents."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import partial
from typing import Any

from diagnose.calculators.trial import FactorTrial, LevelRead, TrialReading, compare, read_level
from diagnose.knowledge.models.treatments import Fix
from diagnose.knowledge.rule_base import RuleBase
from diagnose.planning.planned import Planned
from diagnose.planning.trials import agent_of, limits_for, trial_of
from diagnose.present.console import Page
from diagnose.present.factors import fixes_of, show_compared, show_level
from diagnose.present.question import show_test
from diagnose.present.words import first_down

from . import typed
from .bench import NOT_TASTED, bright_ntu, how_sure
from .bench_criteria import Own, ask_criteria
from .form import Field, fill_in
from .lines import Lines


@dataclass(frozen=True)
class Read:
    """What the trial came to: each ladder, and the one ahead, None where neither is."""

    planned: Planned
    fixes: tuple[Fix, ...]
    levels: tuple[LevelRead, ...]
    better: int | None
    clear_rank: int | None
    own: Own = field(default_factory=dict)
    """The numbers that pass, by criterion, where the person set them."""

    def data(self) -> dict[str, Any]:
        """As plain values for the case file; the controls stand with the first ladder."""
        first, *others = (
            {
                "fix": fix.fix,
                "outcome": level.choice.outcome,
                "dose": level.choice.dose,
                "sure": {**vars(level.sure), "by": level.sure_by},
                "readings": [
                    {**vars(reading), "replicate": number}
                    for number, row in enumerate(level.rows, 1)
                    for reading in row
                    if reading.sample or fix is self.fixes[0]
                ],
            }
            for fix, level in zip(self.fixes, self.levels, strict=True)
        )
        own = {"passes": {name: list(between) for name, between in self.own.items()}} if self.own else {}
        whole = {**first, "clear_rank": self.clear_rank, **own}
        return {**whole, "second": others[0]} if others else whole


def read(
    page: Page, lines: Lines, base: RuleBase, planned: Planned, trial: FactorTrial, colour: str | None
) -> Read:
    """Ask for the readings of all jars and say what they mean. Raises Stopped."""
    fixes = fixes_of(base, planned)
    equal = planned.replicates
    page.title("Read the jars")
    slash = f"the {equal} equal jars of a dose with / between, such as {'/'.join('342156'[:equal])}, and "
    first = ", the controls first" if trial_of(fixes[0]).criteria else ""
    what = slash if equal > 1 else "the jars in the order shown, "
    page.say(f"Type {what}a space between doses{first}. A dash is not read.")
    if trial_of(fixes[0]).criteria:
        return _read_criteria(page, lines, planned, fixes[0], trial, colour)
    how = fill_in(page, lines, [_how()])
    by_eye = how["clarity"] == "rank"
    found = fill_in(page, lines, tuple(_fields(page, base, fixes, trial, by_eye)))
    levels = tuple(_level(fixes, n, trial, found, by_eye, colour) for n in range(len(fixes)))
    before = 0
    for fix, level in zip(fixes, levels, strict=True):
        show_level(page, fix, level, before)
        before += len(level.design.samples) - 1
    better: int | None = 0
    if len(levels) > 1:
        sides, better = compare(*levels)
        show_compared(page, fixes, levels, sides, better)
    _warn_unread(page, fixes, found)
    return Read(planned, fixes, levels, better, found.get("clear_rank"))


def _read_criteria(
    page: Page, lines: Lines, planned: Planned, fix: Fix, trial: FactorTrial, colour: str | None
) -> Read:
    """The equal jars of one ladder whose page says what is read."""
    design = trial.designs[0]
    rows, own = ask_criteria(page, lines, fix, len(design.samples), trial.replicates)
    tasted = any(reading.flavour_rank is not None for row in rows for reading in row)
    limits = limits_for(fix, colour, None, False, tasted, own)
    level = read_level(design, rows, limits, agent_of(fix).lees_percent)
    show_level(page, fix, level, 0)
    if tasted:
        page.aside(how_sure())
    elif trial_of(fix).taste:
        page.warn(NOT_TASTED)
    return Read(planned, (fix,), (level,), 0, None, own)


def take(page: Page, lines: Lines, read: Read) -> int | None:
    """Which ladder the person goes on with: the only one that has a dose, or the one chosen of two. Raises Stopped."""
    with_dose = [number for number, level in enumerate(read.levels) if level.choice.outcome == "chosen"]
    if len(with_dose) < 2:
        return with_dose[0] if with_dose else None
    offered = [
        f"{number + 1} {agent_of(read.fixes[number]).name} at {read.levels[number].choice.dose:.3g} g/L"
        for number in with_dose
    ]
    asked = fill_in(
        page,
        lines,
        [
            Field(
                "take",
                f"Which will you use? {', '.join(offered)}, 0 neither yet",
                "Only one of them goes into the wine. Where the trial puts neither ahead, take the one you know.",
                "Its dose is kept; the dose of the other is not.",
                typed.whole(0, len(read.levels)),
                None if read.better is None else str(read.better + 1),
            )
        ],
    )
    return asked["take"] - 1 if asked["take"] else None


def _how() -> Field:
    return Field(
        "clarity",
        "Clarity: how did you read it? 1 ranked by eye, 2 turbidity in NTU",
        "By eye: set all jars in a row before a narrow beam in the dark; 1 is the clearest, equal jars share a rank.",
        "Clear is the first thing a jar must be.",
        typed.one_of({"1": "rank", "2": "ntu", "eye": "rank", "by eye": "rank", "ntu": "ntu"}),
        "1",
    )


def _fields(
    page: Page, base: RuleBase, fixes: Sequence[Fix], trial: FactorTrial, by_eye: bool
) -> Iterator[Field]:
    """Clarity of each ladder, then heat, then taste; the control stands in the first row of each."""
    every = range(len(fixes))
    clear = "Rank of each jar among all of them, 1 the clearest" if by_eye else "NTU of each jar"
    for level in every:
        yield _row(
            fixes,
            trial,
            ("clear", level, level == 0),
            clear,
            "Read all jars at one sitting.",
            "The haze must go before anything else counts.",
            typed.rank if by_eye else typed.not_negative,
        )
    if by_eye:
        yield Field(
            "clear_rank",
            "Up to which rank would you call it bright? 0 if not even the clearest",
            "Hold the jar before small print with a lamp behind. Bright means no veil in the beam.",
            "A rank only says which is clearer, not whether it is clear enough.",
            typed.whole(0, min(50, len(trial.jars))),
        )
    elif _clear_ntu(fixes) is None:
        yield bright_ntu()
    heated = [level for level in every if trial_of(fixes[level]).heat_test]
    for level in heated:
        asked = _row(
            fixes,
            trial,
            ("heat", level, level == heated[0]),
            "Heat test of each jar, s stable, u unstable, or the rise in NTU",
            "Only jars that are clear need it; a dash for the others. Each stands beside its own unheated twin.",
            "A jar that is clear today can still cloud in a warm room.",
            typed.heat,
        )
        show = partial(show_test, page, base, trial_of(fixes[level]).heat_test or "")
        yield replace(asked, may_skip=True, show=show)
    for level in every:
        asked = _row(
            fixes,
            trial,
            ("taste", level, level == 0),
            "Taste, blind, ranked among all jars, 1 the best, equal jars share a rank",
            "Somebody else pours; you do not know which is which. Only jars that serve so far need it, and the "
            "controls.",
            agent_of(fixes[level]).too_much,
            typed.rank,
        )
        yield replace(asked, may_skip=True)


def _row(
    fixes: Sequence[Fix],
    trial: FactorTrial,
    place: tuple[str, int, bool],
    ask: str,
    how: str,
    why: str,
    read_one: Callable[[str], Any],
) -> Field:
    """A question for all jars of one ladder; `place` is what is read, the ladder, and whether the control is in it."""
    key, level, with_control = place
    doses = [f"{sample.dose_given:.3g}" for sample in trial.designs[level].samples[1:]]
    equal = f", {trial.replicates} jars each" if trial.replicates > 1 else ""
    control = "the control, then " if with_control else ""
    listed = f"{control}{agent_of(fixes[level]).name} {', '.join(doses)} g/L{equal}"
    order = "the control first" if with_control else "without the control"
    reads = typed.row(len(doses) + with_control, typed.equal_jars(trial.replicates, read_one), order)
    return Field(f"{key} {level}", f"{ask}: {listed}", f"{how} In this order: {listed}.", why, reads)


def _clear_ntu(fixes: Sequence[Fix]) -> float | None:
    """The strictest figure for bright among the pages: both ladders stand in the same wine."""
    return min((limit for fix in fixes if (limit := trial_of(fix).clear_ntu) is not None), default=None)


def _level(
    fixes: Sequence[Fix],
    level: int,
    trial: FactorTrial,
    found: Mapping[str, Any],
    by_eye: bool,
    colour: str | None,
) -> LevelRead:
    fix, clear_ntu = fixes[level], _clear_ntu(fixes)
    design, equal = trial.designs[level], trial.replicates
    jars = len(design.samples)
    clear, heat, taste = (_cells(found, key, level, jars, equal) for key in ("clear", "heat", "taste"))
    rows = tuple(
        tuple(
            TrialReading(
                sample=sample,
                clarity_rank=clear[sample][number] if by_eye else None,
                clarity_ntu=None if by_eye else clear[sample][number],
                heat=heat[sample][number],
                flavour_rank=taste[sample][number],
            )
            for sample in range(jars)
        )
        for number in range(equal)
    )
    heat_read, taste_read = (found.get(f"{key} {level}") is not None for key in ("heat", "taste"))
    limits = limits_for(fix, colour, found.get("clear_rank"), heat_read, taste_read)
    limits = replace(limits, clear_ntu=found.get("clear_ntu", clear_ntu))
    return read_level(design, rows, limits, agent_of(fix).lees_percent)


def _cells(found: Mapping[str, Any], key: str, level: int, jars: int, equal: int) -> Sequence[Sequence[Any]]:
    """What was read in the jars of a ladder, the control first, which stands in the first row that was asked for."""
    nothing = [None] * equal
    own = found.get(f"{key} {level}") or [None] * jars
    if len(own) < jars:
        shared = next(
            (found[f"{key} {other}"] for other in range(level) if found.get(f"{key} {other}")), None
        )
        own = [shared[0] if shared else None, *own]
    return [nothing if cell is None else cell for cell in own]


def _warn_unread(page: Page, fixes: Sequence[Fix], found: Mapping[str, Any]) -> None:
    for level, fix in enumerate(fixes):
        name = agent_of(fix).name
        if trial_of(fix).heat_test and found.get(f"heat {level}") is None:
            page.warn(
                f"{name}: without the heat test this says only that the jar is clear now, not that it stays so."
            )
        if found.get(f"taste {level}") is None:
            page.warn(f"{name}: {first_down(NOT_TASTED)}")
    if found.get("taste 0") is not None:
        page.aside(how_sure())
