"""What a mentor types that is no answer is told with the mend, and the question stands there still."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from diagnose.interview.form import Field, Stopped, follow
from diagnose.knowledge.read import read_rule_base
from diagnose.knowledge.rule_base import RuleBase
from diagnose.mentoring.asking import choice, initials, new_name, several, words
from diagnose.mentoring.case_of import case_fields
from diagnose.mentoring.pieces import Found, lines_fields, lines_of, source_fields
from diagnose.mentoring.recipes import fields
from diagnose.mentoring.treatments import fix_fields
from rule_folders import SOUND
from table import Table

FEW = {"rack_once": "Rack", "rack_twice": "Rack it twice", "wait": "Wait for a month"}
MANY = {f"fix_{letter}": f"Fining with {letter}" for letter in "abcdefghijklmnopqrstuvwxyz"}
OF_FEW = choice("it", "Which?", FEW, "Look.")
OF_MANY = choice("it", "Which?", MANY, "Look.")
SOME = several("it", "Which?", FEW, "Look.")
SAID = words("it", "Why?", "Say it.")
NAMED = words("it", "What is it called?", "Say it.", check=lambda said: new_name(said, {"iron_haze"}))

MISTYPED: tuple[tuple[Field, str, str], ...] = (
    (OF_FEW, "4", "There is no 4 here; choose a number from 1 to 3."),
    (OF_FEW, "0", "There is no 0 here"),
    (OF_FEW, "", "Nothing was typed. Choose a number from 1 to 3."),
    (
        OF_FEW,
        "boil",
        "Nothing is surely meant by 'boil'. Type a word of it, or the name in brackets. Some of them:",
    ),
    (OF_FEW, "twice or once", "Some of them: Rack [rack_once]; Rack it twice [rack_twice]; Wait"),
    (OF_FEW, "rac", "Near: Rack [rack_once]; Rack it twice [rack_twice]."),
    (OF_FEW, "ck ra", "Near: Rack [rack_once]; Rack it twice [rack_twice]."),
    (OF_MANY, "", "Nothing was typed. Type a word of it, or the name in brackets. Some of them:"),
    (OF_MANY, "fining", "Fining with j [fix_j] and more."),
    (OF_MANY, "7", "Nothing is surely meant by '7'."),
    (SOME, " , ,", "Name one or more, with commas between."),
    (SOME, "wait, 9", "There is no 9 here"),
    (SAID, "  ", "Nothing was written. Write a sentence, or stop."),
    (SAID, "wine " * 801, "This has 4004 letters; at most 4000 are kept. Say it shorter."),
    (SAID, "skip", "This one is needed here"),
    (NAMED, "2019", "No short name can be made of '2019'. Begin it with a letter from a to z."),
    (NAMED, "Iron haze", "There is already a page called 'iron_haze'. Say in the name how this one differs."),
    (initials("it"), "A2", "'A2' are not initials; expected are one to eight letters, such as AB."),
)


@pytest.fixture
def table(tmp_path: Path) -> Table:
    """Small invented rules."""
    return Table(tmp_path)


@pytest.mark.parametrize(("field", "typed", "told"), MISTYPED)
def test_what_is_no_answer_is_told_with_the_mend(table: Table, field: Field, typed: str, told: str) -> None:
    """Nothing is taken for an answer that may have been meant otherwise; the question is still open."""
    with pytest.raises(Stopped):
        table.ask(typed, "stop", fields=[field])
    assert told in table.said


@pytest.mark.parametrize(
    ("field", "typed", "meant"),
    [
        (OF_FEW, "2", "rack_twice"),
        (OF_FEW, "rack", "rack_once"),
        (OF_FEW, "Rack it", "rack_twice"),
        (OF_FEW, "month wait", "wait"),
        (OF_MANY, "with q", "fix_q"),
        (SOME, "wait, 1, wait", ["wait", "rack_once"]),
        (SAID, "  too   much ", "too much"),
        (initials("it"), " A.B. ", "A.B."),
    ],
)
def test_a_number_a_word_or_the_wording_is_enough(
    table: Table, field: Field, typed: str, meant: str | list[str]
) -> None:
    """Where one thing is surely meant, it is taken without asking again."""
    assert table.ask(typed, fields=[field]) == {"it": meant}


# ---------------------------------------------------------------- answers that are read against the rules


class Filled(defaultdict[str, Any]):
    """Every answer so far, each the same word but those named."""

    def __init__(self, **answers: Any) -> None:
        super().__init__(lambda: "invented", {key.replace("__", "."): says for key, says in answers.items()})


@pytest.fixture(scope="module")
def base() -> RuleBase:
    """The small invented rules, read."""
    return read_rule_base([SOUND])


def field_of(asked: Iterator[Field], key: str) -> Field:
    """The field of that key."""
    return next(field for field in asked if field.key == key)


def never(base: RuleBase) -> Field:
    """In which wine a fix would do harm."""
    return field_of(fix_fields(base, Filled()), "never0")


def known(base: RuleBase) -> Field:
    """What else is known of a wine."""
    return field_of(case_fields(base, Filled(), [], {}, None, ()), "case.more0")


def of_source(part: str) -> Callable[[RuleBase], Field]:
    """A field of a new source."""
    return lambda base: field_of(source_fields(base, Filled(source="new"), "source"), f"source.{part}")


@pytest.mark.parametrize(
    ("field", "typed", "told"),
    [
        (never, "lively", "'lively' has no colon. Write the question, a colon and the answer: gas: lively."),
        (never, "colour: red", "No question or state is surely meant by 'colour'."),
        (never, "e: yes", "No question or state is surely meant by 'e'. It may be: "),
        (
            never,
            "heated sample: 3",
            "'3' has no bound. Write above, below, at least or at most before the number.",
        ),
        (never, "heated sample: above cloudy", "'cloudy'"),
        (never, "bubbles rise: lively", "'lively' is not one of the answers"),
        (never, "still working: maybe", "Nothing is surely meant by 'maybe'"),
        (
            never,
            "bubbles rise: yes, bubbles rise: no",
            "'bubbles rise' is named twice. Where either will do, give",
        ),
        (never, "heated sample: above 3, heated sample: above 5", "'heated sample' is named twice."),
        (known, "clear", "'clear' has no colon. Write the question, a colon and the answer: gas: none."),
        (known, "colour: red", "No question is surely meant by 'colour'."),
        (known, "e: yes", "No question is surely meant by 'e'. It may be: gas_seen, "),
        (known, "bubbles rise: lively", "'lively' is not one of the answers"),
        (
            known,
            "heated sample: 2000",
            "2000 NTU cannot be right for heated sample; expected 0 NTU to 1000 NTU.",
        ),
        (
            of_source("year"),
            "last year",
            "'last year' is not a year; expected is one from 1500 to 2100, or skip.",
        ),
        (of_source("year"), "98", "'98' is not a year"),
        (of_source("url"), "www.a.example", "'www.a.example' is not an address; it begins with https://"),
        (of_source("url"), "https://a b", "'https://a b' is not an address"),
        (of_source("title"), "42", "No short name can be made of '42'."),
        (of_source("title"), "Invented", "There is already a page called 'invented'."),
    ],
)
def test_what_does_not_fit_the_rules_is_told_with_what_would(
    table: Table, base: RuleBase, field: Callable[[RuleBase], Field], typed: str, told: str
) -> None:
    """A mentor who misses the name of a question learns which there are, and nothing is kept of the slip."""
    with pytest.raises(Stopped):
        table.ask(typed, "stop", fields=[field(base)])
    assert told in table.said


@pytest.mark.parametrize(
    ("field", "typed", "meant"),
    [
        (never, "no", None),
        (never, "bubbles: yes", {"gas_seen": "yes"}),
        (never, "still working: 2", {"still_working": "no"}),
        (never, "added: clay", {"added_lately": {"includes_any": ["clay"]}}),
        (never, "heated: at least 5, bubbles rise: no", {"heated_ntu": {"at_least": 5.0}, "gas_seen": "no"}),
        (never, "heated: above 2, heated: below 5", {"heated_ntu": {"above": 2.0, "below": 5.0}}),
        (known, "no more", None),
        (known, "added: gelatin; clay", ("added_lately", ["clay", "gelatin"])),
        (of_source("year"), "1998", 1998.0),
        (of_source("url"), "https://a.example/b", "https://a.example/b"),
    ],
)
def test_a_word_of_a_question_and_its_answer_are_enough(
    table: Table, base: RuleBase, field: Callable[[RuleBase], Field], typed: str, meant: object
) -> None:
    """All conditions on one line hold together, also two bounds of one number."""
    asked = field(base)
    assert table.ask(typed, fields=[asked])[asked.key] == meant


# ---------------------------------------------------------------- lists that nobody ends


def keys(asked: Iterator[Field]) -> list[str]:
    """The keys of what is asked, in order."""
    return [field.key for field in asked]


def test_a_list_of_steps_ends_after_thirty(table: Table) -> None:
    """The thirty-first line answers the next question, and every step before it is kept in order."""
    desk = table.desk(*(f"Step {number}." for number in range(1, 32)))

    def following(found: Found) -> Field | None:
        return next((field for field in lines_fields(found, "step", "?", "") if field.key not in found), None)

    found = follow(desk.page, desk.lines, following)
    assert lines_of(found, "step") == [f"Step {number}." for number in range(1, 31)]
    assert desk.lines.read("") == "Step 31."


def test_no_more_than_thirty_harms_and_facts_are_asked_for(base: RuleBase) -> None:
    """After the thirtieth the conversation goes on by itself."""
    asked = keys(fix_fields(base, Filled()))
    assert asked[asked.index("never29.source") + 1] == "step0"
    asked = keys(case_fields(base, Filled(), [], {}, None, ()))
    assert asked[asked.index("case.more29") + 1] == "case.first"


def test_no_more_than_thirty_rows_are_asked_of_a_cause(base: RuleBase) -> None:
    """Each row is about another question; after the thirtieth its look-alike is asked for."""
    question = base.observations["gas_seen"]
    many = replace(base, observations={f"seen_{number}": question for number in range(40)})
    rows = {f"row{at}__observe": f"seen_{at}" for at in range(30)}
    speak = {f"row{at}__speak": ["yes"] for at in range(30)}
    asked = fields("cause", many, Filled(topic="haze", mimic=None, proof=None, cure=None, **rows, **speak))
    found = keys(asked)
    assert found[found.index("row29.more") + 1] == "mimic"
