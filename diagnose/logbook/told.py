"""The log as plain values: its table, what each series does, and what was done beside it."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date

from diagnose.calculators import OutOfRange
from diagnose.calculators.ferment_log.verdict import ferment_verdict
from diagnose.casebook.answers import Units, show_answer
from diagnose.casebook.case import CaseState
from diagnose.knowledge.rule_base import RuleBase
from diagnose.series.answers import pace_in, run_of
from diagnose.series.log import Deed, Log, Series, begins_anew
from diagnose.series.pace import Pace
from diagnose.units import canonical_unit, from_canonical, show_quantity, usual_unit
from diagnose.units.table import find

from .days import told as day_told


@dataclass(frozen=True)
class Row:
    """One moment: what was read, by the question, and what was done."""

    when: str
    readings: Mapping[str, str]
    done: tuple[str, ...]


@dataclass(frozen=True)
class Curve:
    """One thing over the days since the log began, in the unit that is shown."""

    name: str
    title: str
    unit: str
    points: tuple[tuple[float, float], ...]
    shown: tuple[str, ...]
    """Each reading with its unit."""
    says: tuple[str, ...]
    still_from: float | None
    """The day from which it stands still; None where it moves, or nobody can tell."""


@dataclass(frozen=True)
class Done:
    """Something that was done, and the day of the log."""

    at: float
    when: str
    words: str


@dataclass(frozen=True)
class LogTold:
    """A whole log."""

    begun: str
    heads: Mapping[str, str]
    """The name of each column, by its question."""
    rows: tuple[Row, ...]
    curves: tuple[Curve, ...]
    done: tuple[Done, ...]
    answers: tuple[tuple[str, str, str], ...]
    """What the log answers: the question in short, the answer, and the day of the latest reading for it."""


def tell_log(base: RuleBase, state: CaseState, units: Units, today: date) -> LogTold | None:
    """The log of a case; None where nothing was read and nothing done."""
    log = state.log
    moments = [one.moment for series in log.series.values() for one in series]
    moments += [deed.moment for deed in log.deeds]
    if not moments:
        return None
    begins = min(moments, key=lambda moment: moment.at)
    order = [name for name in base.observations if log.series.get(name)]
    done = tuple(
        Done(deed.moment.at - begins.at, day_told(deed.moment.day), _deed_words(base, deed))
        for deed in log.deeds
    )
    return LogTold(
        begun=day_told(begins.day),
        heads={name: base.observations[name].short for name in order},
        rows=tuple(_rows(base, log, order, units)),
        curves=tuple(_curve(base, log, name, units, begins.at, today) for name in order),
        done=done,
        answers=answers_told(base, state, units),
    )


def answers_told(base: RuleBase, state: CaseState, units: Units) -> tuple[tuple[str, str, str], ...]:
    """What counts because the log says so: the question in short, the answer, and the day."""
    return tuple(
        (
            base.observations[name].short,
            show_answer(base.observations[name], one.value, units),
            day_told(one.day),
        )
        for name, one in state.from_log.items()
    )


def _deed_words(base: RuleBase, deed: Deed) -> str:
    return f"Done: {base.fixes[deed.fix].name}" if deed.fix else deed.words


def _rows(base: RuleBase, log: Log, order: list[str], units: Units) -> Iterator[Row]:
    read: dict[float, dict[str, str]] = {}
    done: dict[float, list[str]] = {}
    when = {}
    for name in order:
        for one in log.series[name]:
            when[one.moment.at] = one.moment
            read.setdefault(one.moment.at, {})[name] = _shown(base, name, one.value, units)
    for deed in log.deeds:
        when.setdefault(deed.moment.at, deed.moment)
        done.setdefault(deed.moment.at, []).append(_deed_words(base, deed))
    for at in sorted(when):
        moment = when[at]
        clock = f" {moment.minute // 60}:{moment.minute % 60:02d}" if moment.minute is not None else ""
        yield Row(day_told(moment.day) + clock, read.get(at, {}), tuple(done.get(at, ())))


def _shown(base: RuleBase, name: str, value: float, units: Units) -> str:
    return show_answer(base.observations[name], value, units)


def _curve(base: RuleBase, log: Log, name: str, units: Units, begins: float, today: date) -> Curve:
    page, series = base.observations[name], log.series[name]
    assert page.quantity is not None
    unit = usual_unit(page.quantity, units)
    pace = pace_in(base, log, name)
    still = pace.first.moment.at - begins if pace and pace.moves == "stands" and pace.days >= 1 else None
    return Curve(
        name=name,
        title=page.short,
        unit=find(page.quantity).unit(unit).shown or unit,
        points=tuple(
            (one.moment.at - begins, from_canonical(one.value, unit, page.quantity)) for one in series
        ),
        shown=tuple(_shown(base, name, one.value, units) for one in series),
        says=tuple(_says(base, log, name, units, today)),
        still_from=still,
    )


def _says(base: RuleBase, log: Log, name: str, units: Units, today: date) -> Iterator[str]:
    """What a series does, in sentences."""
    series, run, pace = log.series[name], run_of(base, log, name), pace_in(base, log, name)
    latest = series[-1]
    ago = (today - latest.moment.day).days
    read = "today" if ago <= 0 else "yesterday" if ago == 1 else f"{ago} days ago"
    yield f"Last read {read}: {_shown(base, name, latest.value, units)}."
    page = base.observations[name].from_log
    if page and page.run_ends_with and len(run) < len(series):
        deed = [one for one in log.deeds if begins_anew(one, page.run_ends_with)][-1]
        yield f"Counted anew from {day_told(deed.moment.day)}, for what was done then: {_deed_words(base, deed)}."
    if pace:
        yield _pace_words(base, name, pace, units)
    verdict = _verdict(base, log, name, run)
    if verdict:
        yield verdict


def _pace_words(base: RuleBase, name: str, pace: Pace, units: Units) -> str:
    first, last = day_told(pace.first.moment.day), day_told(pace.last.moment.day)
    by = f"by {len(pace.stretch)} readings from {first} to {last}"
    if pace.moves == "unclear":
        return f"Whether it moves cannot be told yet {by}."
    if pace.moves == "stands":
        days = (pace.last.moment.day - pace.first.moment.day).days
        length = "one day" if days == 1 else f"{days} days"
        return f"It has not moved since {first}: {len(pace.stretch)} readings in {length}."
    loss, spread = abs(pace.loss_per_day), pace.spread_per_day
    few = " Two readings are few; take another." if len(pace.stretch) == 2 else ""
    return f"It {pace.moves} by {_rate(base, name, loss, spread, units)}, {by}.{few}"


def _rate(base: RuleBase, name: str, loss: float, spread: float, units: Units) -> str:
    """A gravity in thousandths a day, as fermenters speak; anything slower by the week."""
    quantity = base.observations[name].quantity
    if quantity == "gravity":
        return f"{1000 * loss:.1f} ± {1000 * spread:.1f} points (0.001) a day"
    if quantity == "temperature":
        # A difference of temperatures is no temperature: only the size of the degree counts.
        size = 1.8 if units == "us" else 1.0
        return f"{size * loss:.2g} ± {size * spread:.2g} degrees a day"
    assert quantity is not None
    if quantity != "ph" and canonical_unit(quantity):
        return f"{show_quantity(7 * loss, quantity, units, 2)} ± {show_quantity(7 * spread, quantity, units, 2)} a week"
    return f"{7 * loss:.2g} ± {7 * spread:.2g} a week"


def _verdict(base: RuleBase, log: Log, name: str, run: Series) -> str:
    """How the ferment stands, where gravities and the temperature of the wine are known."""
    if base.observations[name].quantity != "gravity" or len(run) < 2:
        return ""
    warmth = [
        one
        for other, series in log.series.items()
        for one in series
        if base.observations[other].quantity == "temperature"
    ]
    if not warmth:
        return ""
    begins = run[0].moment.at
    try:
        found = ferment_verdict(
            [(one.moment.at - begins, one.value) for one in run],
            max(warmth, key=lambda one: one.moment.at).value,
        )
    except OutOfRange:
        return ""
    named = found.verdict not in ("rising", "cannot say yet")
    return f"As a ferment it is {found.verdict}. {found.says}" if named else found.says
