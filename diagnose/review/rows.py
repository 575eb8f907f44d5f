"""Weaknesses of causes and their evidence."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations

from diagnose.engine.truth import Branch

from .algebra import implies
from .survey import Met, Spoken, Survey, row_name
from .weakness import Weakness


def weak_causes(survey: Survey) -> Iterator[Weakness]:
    """Causes that no finding can speak for, and pairs that no finding tells apart."""
    profiles: dict[str, frozenset[tuple[frozenset[Branch], float]]] = {}
    for name in survey.base.causes:
        heard = [spoken for spoken in survey.spoken(name) if survey.reachable(spoken.ways)]
        profiles[name] = frozenset((frozenset(spoken.ways), spoken.weight) for spoken in heard)
        if not any(spoken.weight > 0 for spoken in heard):
            yield Weakness(
                "cause_out_of_reach",
                f"cause.{name}",
                survey.place("cause", name),
                f"no row that can ever hold speaks for '{name}'.",
                "Add a row that speaks for it, or mend the conditions of those it has.",
            )
    for one, other in combinations(profiles, 2):
        same_topic = survey.base.causes[one].topic == survey.base.causes[other].topic
        if same_topic and profiles[one] and profiles[one] == profiles[other]:
            yield Weakness(
                "causes_alike",
                f"cause.{one}",
                survey.place("cause", one),
                f"every answer weighs the same for '{one}' and for '{other}', so they cannot be told apart.",
                "Add a row, to one of them, on what tells them apart; or make them one cause.",
                other,
            )


def rows_never_met(survey: Survey, met: Met) -> Iterator[Weakness]:
    """Rows that no worked case has tried."""
    for name, cause in survey.base.causes.items():
        for number, row in enumerate(cause.evidence):
            if (name, number) not in met.rows:
                yield Weakness(
                    "row_never_met",
                    f"cause.{name}",
                    survey.place("cause", name, number),
                    f"none of {met.cases} cases meets the row on {row_name(row, number)} of '{name}'.",
                    "Write a case in which it speaks, or take the row out.",
                    row_name(row, number),
                )


def rows_against_each_other(survey: Survey) -> Iterator[Weakness]:
    """Rows of one cause that contradict a wider row, or add nothing to it."""
    for name in survey.base.causes:
        spoken = [*survey.spoken(name)]
        names = [frozenset(fact for way in one.ways for fact in (*way.names, *way.unknown)) for one in spoken]
        for at, one in enumerate(spoken):
            for beside, other in enumerate(spoken):
                # What is implied is told by facts of the narrower row, so they share one.
                if one.row == other.row or not names[at] & names[beside]:
                    continue
                yield from _compared(survey, one, other)


def _compared(survey: Survey, one: Spoken, other: Spoken) -> Iterator[Weakness]:
    """What is weak in `one`, if it holds only where `other` does."""
    opposite = one.weight * other.weight < 0
    covered = (
        one.about == other.about and one.weight * other.weight > 0 and abs(one.weight) <= abs(other.weight)
    )
    if not (opposite or covered) or not survey.reachable(one.ways):
        return
    if not implies(one.ways, other.ways, survey.domains):
        return
    same = implies(other.ways, one.ways, survey.domains)
    if same and one.row > other.row and (opposite or one.weight == other.weight):
        return  # told once, of the row that is written first
    yield _weak_row(survey, one, other, opposite)


def _weak_row(survey: Survey, one: Spoken, other: Spoken, opposite: bool) -> Weakness:
    rows = survey.base.causes[one.cause].evidence
    this, that = (row_name(rows[row.row], row.row) for row in (one, other))
    answer = f" ({one.answer})" if one.answer else ""
    line = survey.place("cause", one.cause, other.row).line
    if opposite:
        way = "for" if one.weight > 0 else "against"
        what = (
            f"the row on {this}{answer} speaks {way} '{one.cause}', and wherever it holds, the row on {that} "
        )
        what += f"(line {line}) says the opposite."
        mend = "Give the wider row a condition that leaves this out, or take one of them out."
        return _row(survey, "rows_contradict", one, this, what, mend)
    what = (
        f"the row on {this}{answer} of '{one.cause}' holds only where the row on {that} (line {line}) does, "
    )
    what += "counts in the same group, and says no more."
    return _row(
        survey, "row_adds_nothing", one, this, what, "Take it out, make it stronger, or give it a group."
    )


def _row(survey: Survey, kind: str, one: Spoken, part: str, what: str, mend: str) -> Weakness:
    return Weakness(kind, f"cause.{one.cause}", survey.place("cause", one.cause, one.row), what, mend, part)
