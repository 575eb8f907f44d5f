"""The smallest sets of answers that would put another cause, or another fix, first.

Two questions are kept apart: which answers still to come would turn it, and which answers given would, were they
wrong. Single answers are tried first, then pairs, then threes; the search ends with the size at which something
turned. Each answer tried stands for all that the rules tell apart: each choice, and each stretch of a number between
the figures at which a rule changes its mind, itself or by a sum. Only of a number that goes into a sum with another
one, which is open too, a few values stand for all; that is told.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Literal

from diagnose.engine.facts import Value, number_of
from diagnose.judgement.judge import Cellar, Judged, judge, withheld
from diagnose.knowledge.models.facts import Observation
from diagnose.reasoning.foretell import sample_answers
from diagnose.reasoning.questions import may_be_asked

from .leading import leading_to_any
from .screen import Screen
from .sums import passed_by_sums
from .what_if import as_answers, changed_answers, first_fix

Target = Literal["cause", "fix"]
"""What is to turn: the first cause of the trouble that brought the person, or the first step of the plan."""

Among = Literal["open", "given"]
"""Whether answers still to come are supposed, or answers given are supposed to be wrong."""

MOST_IN_A_SET = 3
MOST_JUDGED = 400
"""So many pairs are judged at most."""
MOST_THREES = 100
"""So many sets of three are judged at most."""


@dataclass(frozen=True)
class Move:
    """One answer supposed: to an open question, or instead of the one given. None: it is not known after all."""

    name: str
    value: Value | None
    low: float | None = None
    high: float | None = None
    """For a number, the stretch that `value` stands for; None where it has no end but the plausible one."""
    alone: bool = False
    """Whether a number stands for itself only: it goes into a sum with another that is open."""


@dataclass(frozen=True)
class Turn:
    """A set of answers that turns it, and what would then be first; None for nothing."""

    moves: tuple[Move, ...]
    becomes: str | None


@dataclass(frozen=True)
class Tried:
    """How many sets of one size there are, and how many were judged or shown to turn nothing."""

    size: int
    sets: int
    settled: int

    @property
    def whole(self) -> bool:
        """Whether no set of this size was left out."""
        return self.sets == self.settled


@dataclass(frozen=True)
class Turns:
    """The smallest sets that turn what is first, and how far was searched."""

    target: Target
    among: Among
    first: str | None
    found: tuple[Turn, ...]
    tried: tuple[Tried, ...]
    a_few_values: bool = False
    """Whether of some numbers, that go into a sum with another open one, only a few values were tried."""

    @property
    def size(self) -> int | None:
        """How many answers it takes; None where no set was found."""
        return len(self.found[0].moves) if self.found else None


def open_moves(
    cellar: Cellar, judged: Judged, target: Target, left_out: Collection[str] = ()
) -> tuple[Move, ...]:
    """Every answer to every open question that makes sense now and bears on the trouble."""
    shut = {*left_out, *withheld(cellar.base, judged.facts)}
    read = bearing(cellar, judged.topics, target)
    known = {name: number for name in judged.facts if (number := number_of(judged.facts, name)) is not None}
    return tuple(
        move
        for name, page in cellar.base.observations.items()
        if name not in shut and name in read and may_be_asked(page, judged.facts)
        for move in moves_of(cellar, page, known)
    )


def bearing(cellar: Cellar, topics: Collection[str], target: Target) -> frozenset[str]:
    """The facts from which rules lead to evidence in these topics; for a fix, also to what is said of their cures."""
    causes = [cause for cause in cellar.base.causes.values() if cause.topic in topics]
    waiting = [f"evidence.{cause.cause}" for cause in causes]
    if target == "fix":
        waiting += [f"fix.{cure.fix}" for cause in causes for cure in cause.cured_by]
        waiting += [finding.observe for cause in causes for finding in cause.confirmed_by]
    return leading_to_any(cellar, waiting).facts


def given_moves(cellar: Cellar, answers: Mapping[str, Value]) -> tuple[Move, ...]:
    """Every other answer to each question answered, and that it was not known after all."""
    read = figures(cellar)
    known = {name: value for name, value in answers.items() if isinstance(value, float)}
    return tuple(
        move
        for name, value in sorted(answers.items())
        if name in read
        for move in (
            Move(name, None),
            *(
                other
                for other in moves_of(cellar, cellar.base.observations[name], known)
                if not _same(other, value)
            ),
        )
    )


def _same(move: Move, value: Value) -> bool:
    """Whether a move says what was said: the same answer, or a number in the same stretch."""
    if not isinstance(value, float):
        return move.value == value
    return (move.low is None or value >= move.low) and (move.high is None or value < move.high)


def moves_of(cellar: Cellar, page: Observation, known: Mapping[str, float]) -> Iterator[Move]:
    """Answers that the rules tell apart, beside the numbers that are known; ticked answers one at a time."""
    if page.kind != "number":
        for value in sample_answers(cellar.base, page):
            yield Move(page.observe, value)
        return
    assert page.plausible is not None
    least, most = page.plausible
    starts = {band.starts for band in page.bands.values() if band.starts is not None}
    passed, waits = passed_by_sums(cellar.base, figures(cellar), page, known)
    parts = {least + (most - least) * part / 4 for part in (1, 2, 3)} if waits else set()
    cuts = sorted(
        cut for cut in starts | figures(cellar)[page.observe] | passed | parts if least < cut < most
    )
    for low, high in zip((None, *cuts), (*cuts, None), strict=True):
        middle = ((least if low is None else low) + (most if high is None else high)) / 2
        yield Move(page.observe, middle, low, high, waits)


def figures(cellar: Cellar) -> Mapping[str, frozenset[float]]:
    """Each fact that a rule reads, or a confirmation, with the figures it is compared with."""
    memo = cellar.base.memo
    if "figures" not in memo:
        memo["figures"] = _figures(cellar)
    found: Mapping[str, frozenset[float]] = memo["figures"]
    return found


def _figures(cellar: Cellar) -> Mapping[str, frozenset[float]]:
    base = cellar.base
    found: dict[str, set[float]] = {
        finding.observe: set() for cause in base.causes.values() for finding in cause.confirmed_by
    }
    for rule in cellar.rules.values():
        for branch in rule.branches:
            for name in (*branch.names, *branch.unknown):
                found.setdefault(name, set())
            for leaf in branch.tests:
                found[leaf.name] |= {wanted for _, wanted in leaf.parts if isinstance(wanted, float)}
    return {name: frozenset(figures) for name, figures in found.items()}


@dataclass
class Supposing:
    """Judges supposed answers, each set once."""

    cellar: Cellar
    topics: Sequence[str]
    answers: Mapping[str, Value]
    _known: dict[frozenset[tuple[str, Value | None]], tuple[str, str | None]] = field(default_factory=dict)

    def first(self, target: Target, chosen: Sequence[Move]) -> str | None:
        """What would be first with these answers."""
        key = frozenset((move.name, move.value) for move in chosen)
        if key not in self._known:
            supposed = changed_answers(self.answers, {move.name: move.value for move in chosen})
            judged = judge(self.cellar, self.topics, as_answers(supposed), machine="chain")
            self._known[key] = judged.firsts[self.topics[0]].cause, first_fix(judged)
        return self._known[key][target == "fix"]


def smallest_turns(
    supposing: Supposing,
    target: Target,
    among: Among,
    left_out: Collection[str] = (),
    most: int = MOST_IN_A_SET,
) -> Turns:
    """The smallest sets of answers that turn what is first.

    Every single answer is judged. A pair that cannot turn the first cause is told by its weighing alone where neither
    answer changes what the other means; the others are judged, most promising first, up to `MOST_JUDGED` of them. Of
    threes, and of pairs for a fix, only so many are judged too. `tried` tells whether any were left out.
    """
    cellar, answers = supposing.cellar, supposing.answers
    now = judge(cellar, supposing.topics, as_answers(answers), machine="chain")
    moves = open_moves(cellar, now, target, left_out) if among == "open" else given_moves(cellar, answers)
    few = any(move.alone for move in moves)
    first = supposing.first(target, ())
    chosen: list[tuple[Move, ...]] = [(move,) for move in moves]
    tried = [Tried(1, len(moves), len(moves))]
    screen: Screen | None = None
    for size in range(1, most + 1):
        if size > 1:
            screen = screen or Screen(cellar, now, supposing.topics[0], answers, moves)
            waiting, sets, settled = screen.promising(size, surely=target == "cause")
            chosen = [
                tuple(moves[at] for at in places)
                for places in waiting[: MOST_JUDGED if size == 2 else MOST_THREES]
            ]
            tried.append(Tried(size, sets, settled + len(chosen)))
        thens = [(one, supposing.first(target, one)) for one in chosen]
        found = tuple(Turn(one, then) for one, then in thens if then != first)
        if found or not moves:
            return Turns(target, among, first, found, tuple(tried), few)
    return Turns(target, among, first, (), tuple(tried), few)
