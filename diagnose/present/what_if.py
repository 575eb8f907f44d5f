"""The screens of what-if: what some answers would move, and the smallest sets of answers that turn the advice."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import TypeAlias

from diagnose.explain.turns import Move, Target, Turn, Turns
from diagnose.explain.what_if import Altered, Moved, Turned, WhatIf
from diagnose.knowledge.rule_base import RuleBase
from diagnose.units import System

from .console import Page
from .told import Length
from .words import cause_name, fact_name, first_down, observable_name, percent, value_words

Names: TypeAlias = "Callable[[str], str]"
"""What a page is called."""

MOST_SETS = 8
"""So many sets of answers are listed; the rest is counted."""


# ---------------------------------------------------------------- what would move


def show_what_if(page: Page, base: RuleBase, found: WhatIf, units: System, length: Length) -> None:
    """What moves with the answers supposed."""
    if length == "sentence":
        page.say(what_if_sentence(base, found, units))
        return
    if length == "paragraph":
        page.say(what_if_paragraph(base, found, units))
        return
    page.title(f"What if {supposed(base, found.altered, units)}")
    page.aside("Only supposed: the case stays as it is.")
    if found.moves_nothing:
        page.say("Nothing moves.")
        return
    for head, lines in _parts(base, found):
        if lines:
            page.head(head)
            for line in lines:
                page.item("-", line)


def _parts(base: RuleBase, found: WhatIf) -> list[tuple[str, list[str]]]:
    return [
        (
            "First cause",
            [_turned(_topic(base, item.name), item, _cause(base)) for item in found.first_causes],
        ),
        ("Chances", [_moved(base, item) for item in found.causes[:10]]),
        ("First step", [_turned("", found.first_fix, _fix(base))] if found.first_fix else []),
        ("Fixes", [_turned(base.fixes[item.name].name, item) for item in found.fixes]),
        ("Tests", [_came(base.tests[item.name].name, item) for item in found.tests]),
        ("Cautions", [_came(base.cautions[item.name].says, item) for item in _new_first(found.cautions)]),
        ("Gates", [_turned(fact_name(base, item.name), item) for item in found.gates]),
        ("Answers that do not fit", [_came(base.clashes[item.name].says, item) for item in found.clashes]),
        (
            "Most telling question",
            [_turned("", found.next_question, lambda name: observable_name(base, name))]
            if found.next_question
            else [],
        ),
    ]


def _new_first(cautions: Iterable[Turned]) -> list[Turned]:
    """What would be dangerous then goes before what would no longer be: a paragraph tells only the first of them."""
    return sorted(cautions, key=lambda item: item.before is not None)


def supposed(base: RuleBase, altered: Iterable[Altered], units: System) -> str:
    """What is supposed, as the end of `what if`."""
    told = []
    for item in altered:
        if item.after is None:
            told.append(f"nothing were known of {first_down(observable_name(base, item.name))}")
        else:
            said = first_down(value_words(base, item.name, item.after, units))
            told.append(f"{first_down(observable_name(base, item.name))}: {said}")
    return ", and ".join(told) or "all stays as it is"


def what_if_sentence(base: RuleBase, found: WhatIf, units: System) -> str:
    """What would be first then."""
    return f"{_if(base, found, units)} {_firsts(base, found)}"


def what_if_paragraph(base: RuleBase, found: WhatIf, units: System) -> str:
    """What would be first then, and what else moves."""
    told = [what_if_sentence(base, found, units)]
    for head, lines in _parts(base, found):
        if lines and head not in ("First cause", "First step"):
            listed = [line.rstrip(".") for line in lines[:3]]
            told.append(f"{head}: {'; '.join([*listed, *_more(lines)])}.")
    return " ".join(told)


def _more(lines: list[str]) -> list[str]:
    return [f"and {len(lines) - 3} more"] if len(lines) > 3 else []


def _if(base: RuleBase, found: WhatIf, units: System) -> str:
    return f"If {supposed(base, found.altered, units)}:"


def _firsts(base: RuleBase, found: WhatIf) -> str:
    told = [
        f"{_cause(base)(item.after)} would be first, and not {first_down(_cause(base)(item.before))}"
        for item in found.first_causes
        if item.before and item.after
    ]
    told += [
        f"{_topic(base, item.name)} would be looked into too"
        for item in found.first_causes
        if not item.before
    ]
    told += [
        f"{_topic(base, item.name)} would not be looked into" for item in found.first_causes if not item.after
    ]
    if found.first_fix and found.first_fix.after:
        told.append(f"the first step would be: {first_down(base.fixes[found.first_fix.after].name)}")
    elif found.first_fix:
        told.append("nothing would be advised yet")
    return f"{'; '.join(told)}." if told else "the first cause and the first step stay as they are."


def _cause(base: RuleBase) -> Names:
    return lambda name: cause_name(base, name)


def _fix(base: RuleBase) -> Names:
    return lambda name: base.fixes[name].name


def _topic(base: RuleBase, topic: str) -> str:
    return base.topics[topic].name


def _turned(name: str, item: Turned, named: Names | None = None) -> str:
    before, after = (
        "nothing" if value is None else (named(value) if named else value.replace("_", " "))
        for value in (item.before, item.after)
    )
    return f"{name + ': ' if name else ''}{before} → {after}"


def _came(name: str, item: Turned) -> str:
    return f"{'comes' if item.before is None else 'goes'}: {name}"


def _moved(base: RuleBase, item: Moved) -> str:
    chances = [
        percent(chance) if chance is not None else "not weighed" for chance in (item.before, item.after)
    ]
    words = (
        ""
        if item.word_before == item.word_after
        else f" ({item.word_before or '-'} → {item.word_after or '-'})"
    )
    return f"{cause_name(base, item.cause)}: {chances[0]} → {chances[1]}{words}"


# ---------------------------------------------------------------- what would turn it


def show_turns(page: Page, base: RuleBase, turns: Turns, units: System, length: Length) -> None:
    """The smallest sets of answers that turn what is first, and how far was searched."""
    if length == "sentence":
        page.say(turns_sentence(base, turns))
        return
    page.head(HEADS[turns.among, turns.target])
    page.say(turns_sentence(base, turns), indent=2)
    shown = MOST_SETS if length == "full" else 3
    for turn in turns.found[:shown]:
        page.item("-", turn_told(base, turns.target, turn, units))
    if len(turns.found) > shown:
        page.aside(f"and {len(turns.found) - shown} more", indent=2)
    page.aside(searched(turns), indent=2)


HEADS = {
    ("open", "cause"): "Still to come: what would put another cause first",
    ("open", "fix"): "Still to come: what would put another step first",
    ("given", "cause"): "If an answer was wrong: what would put another cause first",
    ("given", "fix"): "If an answer was wrong: what would put another step first",
}
NUMBERS = {1: "one answer", 2: "two answers together", 3: "three answers together"}


def turns_sentence(base: RuleBase, turns: Turns) -> str:
    """How firm the first cause, or the first step, stands."""
    what = "first cause" if turns.target == "cause" else "first step"
    called = f", {first_down(_named(base, turns.target, turns.first))}," if turns.first else ""
    kind = "answer still to come" if turns.among == "open" else "answer given"
    if turns.size is None:
        most = turns.tried[-1].size
        left_out = turns.a_few_values or any(not tried.whole for tried in turns.tried)
        found = "no set was found" if left_out else "there is no set"
        answers = kind.replace("answer", "answers")
        if most == 1:
            return f"The {what}{called} stands firm: no single {kind} turns it."
        answers = kind.replace("answer", "answers")
        return f"The {what}{called} stands firm: {found} of up to {most} {answers} that turns it."
    if turns.among == "given":
        many = "one wrong answer" if turns.size == 1 else f"{NUMBERS[turns.size].split()[0]} wrong answers"
        sets = len(turns.found)
        questions = len({move.name for turn in turns.found for move in turn.moves})
        return (
            f"The {what}{called} would turn with {many}, in {sets} way{'s' if sets != 1 else ''} "
            f"over {questions} question{'s' if questions != 1 else ''}."
        )
    return f"The {what}{called} would turn with {NUMBERS[turns.size]} still to come."


def turn_told(base: RuleBase, target: Target, turn: Turn, units: System) -> str:
    """A set of answers, and what would then be first."""
    moves = "; and ".join(move_told(base, move, units) for move in turn.moves)
    return f"{moves} → {_named(base, target, turn.becomes)}"


def move_told(base: RuleBase, move: Move, units: System) -> str:
    """A supposed answer; for a number, the stretch it stands for, or that it is one example."""
    name = observable_name(base, move.name)
    if move.value is None:
        return f"{name}: not known after all"
    if not isinstance(move.value, float):
        return f"{name}: {first_down(value_words(base, move.name, move.value, units))}"
    if move.alone:
        return f"{name}: for example {value_words(base, move.name, move.value, units)}"
    low, high = (
        None if end is None else value_words(base, move.name, end, units) for end in (move.low, move.high)
    )
    if low and high:
        return f"{name}: {low} to {high}"
    if low or high:
        return f"{name}: {low} or more" if low else f"{name}: below {high}"
    return f"{name}: {value_words(base, move.name, move.value, units)}"


def searched(turns: Turns) -> str:
    """How far was searched, for each size of set."""
    told = [
        f"all {tried.sets:,} {_size(tried.size)}"
        if tried.whole
        else f"{tried.settled:,} of {tried.sets:,} {_size(tried.size)}, most promising first"
        for tried in turns.tried
    ]
    few = " Of numbers that go into a sum with another open one, a few values." if turns.a_few_values else ""
    return f"Searched: {'; '.join(told)}.{few}"


def _size(size: int) -> str:
    return {1: "single answers", 2: "pairs", 3: "threes"}[size]


def _named(base: RuleBase, target: Target, name: str | None) -> str:
    if name is None:
        return "nothing advised"
    return cause_name(base, name) if target == "cause" else base.fixes[name].name
