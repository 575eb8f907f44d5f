"""Why a cause stands where it stands, and why another lost.

Three wordings are kept apart everywhere: known to be so, known not to be so, and never looked at.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from math import log10

from diagnose.engine.compile import fact_read
from diagnose.engine.facts import Evidence, Fact, Facts, shown
from diagnose.engine.trace import Firing, Trace
from diagnose.judgement.judge import Cellar, Judged
from diagnose.knowledge.models.causes import EvidenceRow
from diagnose.reasoning.weigh import UNKNOWN, Cell, Weighing, decibans_of

from .conditions import RuleStands, stands


@dataclass(frozen=True)
class Spoke:
    """A finding that spoke about a cause.

    `decibans` is the mentor's strength; `here` is what the finding does to the odds in this case, which is
    less where another cause explains it: `shared_with` names those. `repeats` names the finding that already said
    the same, and `about` the group of findings of which only the strongest counts.
    """

    observe: str
    answer: str
    strength: str
    decibans: float
    here: float
    because: str
    source: tuple[str, ...]
    rule: str
    repeats: str | None
    about: str
    shared_with: tuple[str, ...]
    elsewhere: bool
    """Whether causes of another kind of trouble bring this finding too."""
    chain: tuple[Step, ...]


@dataclass(frozen=True)
class Silent:
    """A row that could speak but has not: nobody has looked, or the answer was another one.

    `stands` tells how each condition of its rule stands.
    """

    observe: str
    looked: bool
    answer: str
    """What was found instead; empty if nobody has looked."""
    most: float
    """The strongest it could say, in decibans."""
    because: str
    source: tuple[str, ...]
    would_say: Mapping[str, str]
    """The answers that would speak, each with its strength; empty for a combination of findings."""
    stands: RuleStands


@dataclass(frozen=True)
class Step:
    """A fact and the rule that concluded it from other facts; an answer has no rule."""

    fact: Fact
    rule: str | None
    because: str
    source: tuple[str, ...]
    behind: tuple[Step, ...]


@dataclass(frozen=True)
class WhyCause:
    """Everything behind the chance of one cause."""

    cause: str
    chance: float
    word: str
    prior: float
    """The chance before anything was asked."""
    how_common: str
    spoke: tuple[Spoke, ...]
    silent: tuple[Silent, ...]
    confirmed_by: tuple[Fact, ...]
    could_confirm: tuple[tuple[str, tuple[str, ...]], ...]


def why_cause(cellar: Cellar, judged: Judged, cause: str) -> WhyCause:
    """Why a cause stands where it stands. `UNKNOWN` may be asked about too."""
    base = cellar.base
    standing = next(item for item in judged.standings if item.cause == cause)
    page = base.causes.get(cause)
    weighing = judged.weighing_of(standing)
    spoke = tuple(
        sorted(_spoke(cellar, judged, weighing, cause), key=lambda item: (-abs(item.decibans), item.observe))
    )
    silent = tuple(sorted(_silent(cellar, judged, cause), key=lambda item: (item.looked, -abs(item.most))))
    return WhyCause(
        cause=cause,
        chance=standing.chance,
        word=standing.word,
        prior=weighing.priors[cause],
        how_common=page.how_common if page else base.topics[standing.topic].how_common_unknown,
        spoke=spoke,
        silent=silent,
        confirmed_by=standing.confirmed_by,
        could_confirm=tuple((finding.observe, finding.answers) for finding in page.confirmed_by)
        if page
        else (),
    )


def _spoke(cellar: Cellar, judged: Judged, weighing: Weighing, cause: str) -> Iterator[Spoke]:
    evidence = {
        (item.observe, item.answer, item.row): item for item in judged.trace.evidence if item.cause == cause
    }
    cells = {(cell.key, cell.answer): cell for cell in weighing.cells}
    for entry in weighing.counted:
        if entry.row.cause != cause:
            continue
        item = evidence[entry.finding, entry.answer, entry.row.row]
        row = cellar.base.causes[cause].evidence[item.row]
        cell = None if entry.repeats else cells.get((entry.finding, entry.answer))
        here = decibans_of(weighing, cause, cell) if cell else 0.0
        yield Spoke(
            item.observe,
            item.answer,
            item.strength,
            entry.row.decibans,
            here,
            row.because,
            row.source,
            item.rule,
            entry.repeats,
            entry.row.about,
            _sharing(cellar, weighing, cause, cell) if cell and entry.row.decibans > 0 else (),
            cell is not None and cell.beside > cell.normal,
            _chain_of(cellar, judged.trace, item),
        )


def _sharing(cellar: Cellar, weighing: Weighing, cause: str, cell: Cell) -> tuple[str, ...]:
    """The other causes in play that bring a finding too, likeliest first: they explain a part of it away."""
    least = cellar.base.word("standing", "possible")
    return tuple(
        other
        for other, chance in weighing.chances.items()
        if other != cause and chance >= least and cell.ratios.get(other, 1.0) > 1
    )


def _chain_of(cellar: Cellar, trace: Trace, item: Evidence) -> tuple[Step, ...]:
    """The facts behind a piece of evidence, back to the answers given."""
    firing = next(one for one in trace.firings if one.rule == item.rule and item in one.concluded)
    return tuple(step_for(cellar, trace, fact) for fact in firing.matched)


def step_for(cellar: Cellar, trace: Trace, fact: Fact) -> Step:
    """A fact and how it was concluded first, back to what was given.

    What a rule matched was known before it fired, so going back to the first firing never goes in a circle.
    """
    firing = None if fact in trace.given else next(iter(_concluding(trace, fact)), None)
    if firing is None:
        return Step(fact, None, "", (), ())
    rule = cellar.rules[firing.rule]
    behind = tuple(step_for(cellar, trace, inner) for inner in firing.matched)
    return Step(fact, rule.id, rule.because, rule.source, behind)


def _concluding(trace: Trace, fact: Fact) -> Iterator[Firing]:
    return (firing for firing in trace.behind(fact.name) if fact in firing.concluded)


def _silent(cellar: Cellar, judged: Judged, cause: str) -> Iterator[Silent]:
    if cause == UNKNOWN:
        return
    spoken = {item.row for item in judged.trace.evidence if item.cause == cause}
    for number, row in enumerate(cellar.base.causes[cause].evidence):
        if number not in spoken:
            found = found_instead(cellar, judged.facts, row)
            most = _strongest(cellar, row)
            rule = f"evidence/{cause}/{number + 1}_{row.observe or 'when'}"
            yield Silent(
                _name(row),
                found is not None,
                found or "",
                most,
                row.because,
                row.source,
                {answer: str(word) for answer, word in row.says.items()},
                stands(cellar, judged, rule),
            )


def found_instead(cellar: Cellar, facts: Facts, row: EvidenceRow) -> str | None:
    """What was found where a row did not speak; None if nobody has looked."""
    if row.observe is not None:
        values = facts.get(fact_read(cellar.base.observables[row.observe]))
        return " / ".join(map(shown, values)) if values else None
    assert row.when is not None
    values = tuple(shown(value) for name in row.when.facts for value in facts.get(name, ()))
    return " / ".join(values) if values else None


def _strongest(cellar: Cellar, row: EvidenceRow) -> float:
    words = [row.weight] if row.weight else list(row.says.values())
    return max((cellar.base.word("strength", str(word)) for word in words), key=abs)


def _name(row: EvidenceRow) -> str:
    if row.observe is not None:
        return row.observe
    assert row.when is not None
    return " and ".join(row.when.facts) or "a combination of findings"


# ---------------------------------------------------------------- the runner-up


@dataclass(frozen=True)
class Difference:
    """A finding that parted the winner from another cause, in decibans for each."""

    observe: str
    answer: str
    winner: float
    other: float
    because: str


@dataclass(frozen=True)
class WhyNot:
    """Why another cause lost to the first: what was found, and what was never looked at."""

    winner: str
    other: str
    differences: tuple[Difference, ...]
    never_looked: tuple[Silent, ...]
    not_so: tuple[Silent, ...]
    """What would speak for the other one and was looked at: the answer was another."""
    prior_gap: float
    """How much more common the winner is beforehand, in decibans."""


def why_not(cellar: Cellar, judged: Judged, other: str) -> WhyNot:
    """Why a cause is not the first of its topic. The first cause is held against the second, which lost to it."""
    topic = next(item.topic for item in judged.standings if item.cause == other)
    winner, second = (standing.cause for standing in judged.of(topic)[:2])
    other = second if other == winner else other
    ours, theirs = why_cause(cellar, judged, winner), why_cause(cellar, judged, other)
    table: dict[tuple[str, str], list[float]] = {}
    words: dict[tuple[str, str], str] = {}
    for side, why in enumerate((ours, theirs)):
        for spoke in why.spoke:
            if spoke.repeats is None:
                pair = table.setdefault((spoke.observe, spoke.answer), [0.0, 0.0])
                pair[side] += spoke.decibans
                words[spoke.observe, spoke.answer] = spoke.because
    differences = tuple(
        sorted(
            (
                Difference(*key, pair[0], pair[1], words[key])
                for key, pair in table.items()
                if pair[0] != pair[1]
            ),
            key=lambda item: (item.other - item.winner, item.observe),
        )
    )
    return WhyNot(
        winner=winner,
        other=other,
        differences=differences,
        never_looked=tuple(item for item in theirs.silent if not item.looked),
        not_so=tuple(item for item in theirs.silent if item.looked and item.most > 0),
        prior_gap=_gap(judged.weighings[topic].priors, winner, other),
    )


def _gap(priors: Mapping[str, float], winner: str, other: str) -> float:
    return 10 * (log10(priors[winner] / (1 - priors[winner])) - log10(priors[other] / (1 - priors[other])))
