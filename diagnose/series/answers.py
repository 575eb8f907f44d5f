"""What a log answers: the pages say which question takes what from whose readings."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date

from diagnose.knowledge.models.facts import FromLog, Observation
from diagnose.knowledge.rule_base import RuleBase

from .log import Log, Reading, Series
from .pace import Pace, pace_of


@dataclass(frozen=True)
class LogAnswer:
    """An answer taken from readings, and the days of the first and the last of them."""

    value: float | str
    since: date
    day: date


def spread_of(base: RuleBase, name: str, around: float) -> float:
    """How well the usual instrument knows what a question asks, near a value; 0 where no page says."""
    quantity = base.observations[name].quantity
    known = [one for one in base.instruments.values() if one.measures == quantity]
    return max((max(one.plus_minus or 0, abs(around) * (one.percent or 0) / 100) for one in known), default=0)


def run_of(base: RuleBase, log: Log, name: str) -> Series:
    """The readings of one thing since the wine was last changed in a way that begins them anew."""
    page = base.observations[name].from_log
    return log.run(name, page.run_ends_with if page else None)


def pace_in(base: RuleBase, log: Log, name: str) -> Pace | None:
    """The pace of the present run of one thing; None while there are too few readings to tell."""
    run = run_of(base, log, name)
    spread = spread_of(base, name, run[-1].value) if run else 0.0
    return pace_of(run, spread) if spread else None


def answers_from(base: RuleBase, log: Log) -> Mapping[str, LogAnswer]:
    """Every question that the log answers."""
    found: dict[str, LogAnswer] = {}
    for name, page in base.observations.items() if log.series else ():
        answer = _answer(base, page, page.from_log, log) if page.from_log else None
        if answer is not None:
            found[name] = answer
    return found


def _answer(base: RuleBase, page: Observation, takes: FromLog, log: Log) -> LogAnswer | None:
    of = takes.of or (page.observe,)
    if takes.take == "latest":
        # With several instruments the later reading counts, and of one moment that of the one named first.
        latest = [log.series[name][-1] for name in of if log.series.get(name)]
        latest = [reading for reading in latest if _plausible(page, reading.value)]
        return _latest(max(latest, key=lambda one: one.moment.at)) if latest else None
    pace = pace_in(base, log, of[0])
    if pace is None:
        return None
    value = _trend(takes, pace) if takes.take == "trend" else _loss(takes, pace)
    if value is None or (isinstance(value, float) and not _plausible(page, value)):
        return None
    return LogAnswer(value, pace.first.moment.day, pace.last.moment.day)


def _latest(reading: Reading) -> LogAnswer:
    return LogAnswer(reading.value, reading.moment.day, reading.moment.day)


def _plausible(page: Observation, value: float) -> bool:
    assert page.plausible is not None
    return page.plausible[0] <= value <= page.plausible[1]


def _trend(takes: FromLog, pace: Pace) -> str | None:
    if pace.moves == "falls":
        return takes.falls
    return takes.stands if pace.moves == "stands" and pace.lasts(takes.least_days) else None


def _loss(takes: FromLog, pace: Pace) -> float | None:
    if not pace.lasts(takes.least_days) or pace.moves not in ("falls", "stands"):
        return None
    return pace.loss_per_day * takes.per_days * takes.times if pace.moves == "falls" else 0.0
