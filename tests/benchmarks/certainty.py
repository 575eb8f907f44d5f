"""Whether the stated chances come true, and how far they lean on the exact strength of each word."""

from __future__ import annotations

import dataclasses
import math
import random
import statistics
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from functools import cache

from asking import CASES, NOISES, OURS, TRUE, Results, of
from consultations import Played
from play import Rules, shipped, worked_cases
from tables import share, table

SURE = 0.90


# ---------------------------------------------------------------- calibration


def reliability(results: Results) -> list[str]:
    """Stated chance of the first cause against how often it was right, in ten bins."""
    noises = (TRUE, "10 % wrong", "30 % missing")
    columns = {noise: of(results, OURS, noise) for noise in noises}
    lines = []
    for low in range(10):
        cells: list[object] = [f"{low / 10:.1f} to {(low + 1) / 10:.1f}"]
        for plays in columns.values():
            here = [play for play in plays if min(9, int(play.steps[-1].chance * 10)) == low]
            stated = statistics.fmean(play.steps[-1].chance for play in here) if here else 0.0
            right = share(sum(play.right for play in here), len(here))
            cells += [f"{100 * stated:.0f} % of {len(here)}" if here else "-", right if here else "-"]
        lines.append(cells)
    head = ["first cause's chance", *(part for noise in noises for part in (f"stated, {noise}", "right"))]
    return table(head, lines)


def every_cause(results: Results) -> list[str]:
    """Stated chance of every cause at the end against how often it was at work, in ten bins; true answers."""
    pairs = list(_pairs(of(results, OURS, TRUE)))
    lines = []
    for low in range(10):
        here = [(chance, at_work) for chance, at_work in pairs if min(9, int(chance * 10)) == low]
        if here:
            stated = statistics.fmean(chance for chance, _ in here)
            lines.append(
                [
                    f"{low / 10:.1f} to {(low + 1) / 10:.1f}",
                    len(here),
                    f"{100 * stated:.1f} %",
                    share(sum(at_work for _, at_work in here), len(here)),
                ]
            )
    return table(["chance of a cause", "causes", "stated, mean", "at work"], lines)


def _pairs(plays: Sequence[Played]) -> Iterator[tuple[float, bool]]:
    for play in plays:
        for cause, chance in play.standings:
            yield chance, cause in play.truth


def scores(results: Results) -> list[str]:
    """Brier score, log loss, and how often the first cause is wrong when it is put above 90 %."""
    lines = []
    for noise in (*NOISES, CASES):
        plays = of(results, OURS, noise)
        if plays:
            sure = [play for play in plays if play.steps[-1].chance > SURE]
            lines.append(
                [
                    noise,
                    f"{_mean(_brier(play.steps[-1].chance, play.right) for play in plays):.3f}",
                    f"{_mean(_log_loss(play.steps[-1].chance, play.right) for play in plays):.2f}",
                    f"{_mean(sum(_brier(*pair) for pair in _pairs([play])) for play in plays):.3f}",
                    len(sure),
                    share(sum(not play.right for play in sure), len(sure)),
                ]
            )
    head = ["answers", "Brier score, first cause", "log loss, bits", "Brier score, all causes summed"]
    return table([*head, "above 90 %", "of these wrong"], lines)


def wrong_when_sure(results: Results, noise: str) -> float | None:
    """The share of first causes above 90 % that are wrong."""
    sure = [play for play in of(results, OURS, noise) if play.steps[-1].chance > SURE]
    return sum(not play.right for play in sure) / len(sure) if sure else None


def _mean(values: Iterator[float]) -> float:
    return statistics.fmean(values)


def _brier(chance: float, right: bool) -> float:
    return (chance - right) ** 2


def _log_loss(chance: float, right: bool) -> float:
    held = min(max(chance, 1e-6), 1 - 1e-6)
    return -math.log2(held if right else 1 - held)


# ---------------------------------------------------------------- other strengths


@dataclass(frozen=True)
class Shake:
    """One drawing of other strengths, tried on some of the worked cases."""

    what: str
    """`word`: each strength word gets one new number; `row`: each row of evidence gets its own."""
    decibans: float
    draw: int
    every: int


@dataclass(frozen=True)
class Shaken:
    """Of how many cases the first cause and the advised first fix changed."""

    shake: Shake
    cases: int
    causes: int
    fixes: int


def shakes(draws: int, every: int) -> list[Shake]:
    """Noise of 3 and of 6 decibans, on words and on rows."""
    return [
        Shake(what, decibans, draw, every)
        for draw in range(draws)
        for what in ("word", "row")
        for decibans in (3.0, 6.0)
    ]


@cache
def _row_by_row() -> Rules:
    """The shipped rules, but each strength of each row is a word of its own, so that it can be changed alone."""
    base = shipped().base
    values = dict(base.words["strength"].values)
    causes = {}
    for name, cause in base.causes.items():
        rows = []
        for number, row in enumerate(cause.evidence):

            def own(word: str, answer: str, at: str = f"{name}/{number}") -> str:
                values[f"{word}/{at}/{answer}"] = values[word]
                return f"{word}/{at}/{answer}"

            says = {answer: own(word, answer) for answer, word in row.says.items()}
            weight = own(row.weight, "when") if row.weight else None
            rows.append(row.model_copy(update={"says": says, "weight": weight}))
        causes[name] = cause.model_copy(update={"evidence": tuple(rows)})
    words = {**base.words, "strength": base.words["strength"].model_copy(update={"values": values})}
    return Rules(dataclasses.replace(base, causes=causes, words=words))


@cache
def _as_shipped(every: int) -> dict[str, tuple[str, str | None]]:
    return dict(_first_of_each(_row_by_row(), every))


def _first_of_each(rules: Rules, every: int) -> Iterator[tuple[str, tuple[str, str | None]]]:
    for case in worked_cases(shipped())[::every]:
        standings, fix = rules.judged(case.topic, case.answers)
        yield case.name, (standings[0][0], fix)


def shake_and_judge(shake: Shake) -> Shaken:
    """Judge the cases with other strengths, and count what comes out otherwise."""
    rules = _row_by_row()
    before = _as_shipped(shake.every)
    base = rules.base
    strength = base.words["strength"]
    chance = random.Random(f"{shake.what}/{shake.decibans}/{shake.draw}")
    by_word = {word: chance.gauss(0, shake.decibans) for word in shipped().base.words["strength"].values}
    one: Callable[[str], float] = lambda word: (  # noqa: E731
        by_word[word.partition("/")[0]] if shake.what == "word" else chance.gauss(0, shake.decibans)
    )
    values = {word: number + one(word) for word, number in strength.values.items()}
    # The compiled rules name words and not numbers, so only the table need change.
    rules.cellar.base = dataclasses.replace(
        base, words={**base.words, "strength": strength.model_copy(update={"values": values})}
    )
    try:
        after = dict(_first_of_each(rules, shake.every))
    finally:
        rules.cellar.base = base
    return Shaken(
        shake,
        len(after),
        sum(after[case][0] != before[case][0] for case in after),
        sum(after[case][1] != before[case][1] for case in after),
    )


def shaken_lines(found: Sequence[Shaken]) -> list[str]:
    """How often something changes, by what was shaken and how much."""
    lines = []
    for what, says in (("word", "each word of the table"), ("row", "each row by itself")):
        for decibans in (3.0, 6.0):
            here = [item for item in found if (item.shake.what, item.shake.decibans) == (what, decibans)]
            total = sum(item.cases for item in here)
            lines.append(
                [
                    f"{says}, {decibans:g} decibans",
                    len(here),
                    total,
                    share(sum(item.causes for item in here), total),
                    share(sum(item.fixes for item in here), total),
                ]
            )
    return table(["noise on", "drawings", "judgements", "another first cause", "another first fix"], lines)
