"""What is asked of a new fix: what it does and costs, when it does harm, its steps, and how to see if it worked."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from typing import Any

from diagnose.casebook.answers import NotAnAnswer
from diagnose.interview.form import Field
from diagnose.knowledge.called import pages_meant
from diagnose.knowledge.models.facts import Observation
from diagnose.knowledge.rule_base import RuleBase
from diagnose.present.words import observable_name

from .asking import answers_of, choice, words, yes_no
from .case_of import plain
from .pieces import MOST, Found, cautions_field, lines_fields, lines_of, source_fields, source_of, word_field

BURDENS = {
    "effort": "How much work is it?",
    "cost": "What does it cost?",
    "wine_loss": "How much wine is lost?",
    "flavour_harm": "How much does the flavour suffer?",
}
_COMPARED = re.compile(r"(above|below|at least|at most)\s+(.+)")


def fix_fields(base: RuleBase, found: Found) -> Iterator[Field]:
    """The page of a fix, without its name."""
    yield words("does", "What does it do, and what does it not do?", "One or two sentences.")
    yield yes_no(
        "treats", "Is anything put into the wine, or done to it?", "No for waiting, measuring, an airlock."
    )
    yield yes_no(
        "undone", "Can it be undone?", "If not, it stays locked until a test has confirmed the cause."
    )
    for key, ask in BURDENS.items():
        yield word_field(base, key, ask, "burden", "Used only to put fixes in order.")
    yield words(
        "dose",
        "How much of it, and how is the amount found? (skip, if nothing is dosed)",
        "In words, such as: as much as the bench trial found.",
        may_skip=True,
    )
    if found["dose"]:
        yield from source_fields(base, found, "dose.source")
    for at in range(MOST):
        yield _never_field(base, f"never{at}")
        if found[f"never{at}"] is None:
            break
        yield words(f"never{at}.because", "Why would it do harm then?", "The reason the person is given.")
        yield from source_fields(base, found, f"never{at}.source")
    yield from lines_fields(found, "step", "What is the first step?", "One step on a line, in order.")
    yield cautions_field(base, "cautions")
    yield words("check.after", "After how long does one look whether it worked?", "Such as: two weeks.")
    yield words("check.do", "What is looked at?", "What to see or to measure.")
    yield words("check.good", "What is a good sign?", "What is seen when it worked.")
    yield words("check.if_not", "What then, if it is not good?", "What to think of next.")
    yield words("fails", "And if it fails altogether?", "What to think and do then.")
    yield from source_fields(base, found, "source")


def fix_page(base: RuleBase, found: Found, name: str) -> dict[str, Any]:
    """The page as it is written."""
    page: dict[str, Any] = {"fix": name, "name": found["name"], "does": found["does"]}
    page |= {"treats": "no"} if found["treats"] == "no" else {}
    page |= {"can_be_undone": found["undone"], **{key: found[key] for key in BURDENS}}
    never = [
        {
            "when": found[f"never{at}"],
            "because": found[f"never{at}.because"],
            "source": source_of(found, f"never{at}.source"),
        }
        for at in range(MOST)
        if found.get(f"never{at}")
    ]
    page |= {"never_when": never} if never else {}
    if found["dose"]:
        page["dose"] = {"quantity": "dose", "says": found["dose"], "source": source_of(found, "dose.source")}
    check = {key: found[f"check.{key}"] for key in ("after", "do", "good", "if_not")}
    page |= {"steps": lines_of(found, "step"), "cautions": found["cautions"] or [], "check": check}
    return page | {
        "if_it_fails": found["fails"],
        "source": source_of(found, "source"),
        "review": {"status": "draft"},
    }


def _never_field(base: RuleBase, key: str) -> Field:
    def read(typed: str) -> Mapping[str, Any] | None:
        if typed.strip().lower() in ("", "no", "no more"):
            return None
        tests: dict[str, Any] = {}
        for piece in filter(str.strip, typed.split(",")):
            name, test = _tested(base, piece)
            tests[name] = _both(tests[name], test, observable_name(base, name)) if name in tests else test
        return tests

    how = "Such as `gas: lively`, or `pH: above 3.8`. With commas between, all of it must hold. A word of it will do."
    ask = "In which wine would it do harm? As question: answer."
    return Field(key, ask, how, "It is then forbidden, whatever the cause.", read, "no more", True)


def _both(one: Any, other: Any, called: str) -> Mapping[str, Any]:
    """Two bounds of one number. Raises NotAnAnswer for what cannot hold at once."""
    if isinstance(one, Mapping) and isinstance(other, Mapping) and not one.keys() & other.keys():
        return {**one, **other}
    raise NotAnAnswer(f"'{called}' is named twice. Where either will do, give each a line of its own.")


def _tested(base: RuleBase, typed: str) -> tuple[str, Any]:
    """A fact and the test of its value. Raises NotAnAnswer."""
    named, colon, wanted = (part.strip() for part in typed.partition(":"))
    if not colon:
        raise NotAnAnswer(
            f"'{typed.strip()[:40]}' has no colon. Write the question, a colon and the answer: gas: lively."
        )
    meant = pages_meant(named, {name: observable_name(base, name) for name in base.observables})
    if len(meant) != 1:
        near = f" It may be: {', '.join(meant[:8])}." if meant else ""
        raise NotAnAnswer(f"No question or state is surely meant by '{named[:40]}'.{near}")
    page = base.observables[meant[0]]
    if isinstance(page, Observation) and page.kind == "number":
        compared = _COMPARED.fullmatch(wanted)
        if not compared:
            raise NotAnAnswer(
                f"'{wanted[:40]}' has no bound. Write above, below, at least or at most before the number."
            )
        return meant[0], {compared[1].replace(" ", "_"): plain(page, compared[2])}
    if isinstance(page, Observation):
        value = plain(page, wanted)
        return meant[0], {"includes_any": value} if page.kind == "several" else value
    return meant[0], choice("", "", answers_of(page), "").read(wanted)
