"""For each kind of thing that can be added: what is asked, and what is written from the answers."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from diagnose.interview.form import Field
from diagnose.knowledge.rule_base import RuleBase

from .asking import answers_of, choice, new_name, questions, several, words, yes_no
from .pieces import (
    MOST,
    Found,
    cautions_field,
    cure_fields,
    groups_of,
    lines_fields,
    lines_of,
    row_fields,
    row_of,
    source_fields,
    source_of,
    word_field,
)
from .sheets import Sheets
from .treatments import fix_fields, fix_page

TELLING = 6
"""Questions of a cause that are asked of a wine in which something about it must show."""


@dataclass(frozen=True)
class Shown:
    """What the worked case is asked for, and what must come out in it beside the first cause."""

    topic: str
    cause: str
    speak: Sequence[str]
    expect: Mapping[str, Any]


def fields(kind: str, base: RuleBase, found: Found) -> Iterator[Field]:
    """What is asked to add something of this kind, up to its worked case."""
    yield from {
        "cause": cause_fields,
        "evidence": evidence_fields,
        "test": test_fields,
        "fix": about_fix_fields,
    }[kind](base, found)


def write(kind: str, base: RuleBase, found: Found, sheets: Sheets) -> None:
    """Put what was answered into the texts. Raises CannotEdit."""
    {"cause": _write_cause, "evidence": _write_evidence, "test": _write_test, "fix": _write_fix}[kind](
        base, found, sheets
    )


def shown(kind: str, base: RuleBase, found: Found) -> Shown:
    """What the worked case must show."""
    if kind == "cause":
        rows = [found[f"row{at}.observe"] for at in range(MOST) if f"row{at}.observe" in found]
        return Shown(found["topic"], new_name(found["name"], ()), rows, {})
    cause = found["of"]
    topic = base.causes[cause].topic
    if kind == "evidence":
        return Shown(topic, cause, [found["row0.observe"], *telling(base, cause)], {})
    name = new_name(found["name"], ())
    if kind == "test":
        speak = [one for one in telling(base, cause) if one != found["yields"]]
        return Shown(topic, cause, speak, {"tests": [name]})
    return Shown(topic, cause, telling(base, cause), {"fixes": [name]})


def telling(base: RuleBase, cause: str) -> list[str]:
    """The questions that say most about a cause, most first."""
    rows = [row for row in base.causes[cause].evidence if row.observe]
    strongest = sorted(rows, key=lambda row: -max(base.word("strength", word) for word in row.says.values()))
    return [str(row.observe) for row in strongest[:TELLING]]


def causes_named(base: RuleBase, topic: str | None = None) -> dict[str, str]:
    """Causes by their name, of one subject or of all."""
    return {name: page.name for name, page in base.causes.items() if topic in (None, page.topic)}


def _of_field(base: RuleBase, ask: str) -> Field:
    return choice("of", ask, causes_named(base), "A cause of these rules; a word of its name will do.")


def _name_field(taken: Mapping[str, Any], ask: str) -> Field:
    def free(said: str) -> str:
        new_name(said, taken)
        return said

    return words(
        "name", ask, "A short name in the words of the trade. No other page may be called so.", check=free
    )


# ---------------------------------------------------------------- causes and evidence


def cause_fields(base: RuleBase, found: Found) -> Iterator[Field]:
    """A whole cause."""
    topics = {name: page.name for name, page in base.topics.items()}
    yield choice(
        "topic",
        "Which subject does the cause belong to?",
        topics,
        "The trouble with which a person comes who has it.",
    )
    yield _name_field(base.causes, "What is the cause called?")
    yield words(
        "summary", "What is it, when does it come, and when is it NOT this?", "Tell it to an apprentice."
    )
    ask, how = (
        "Is something wrong with the wine when this is at work?",
        "No for what is sound, such as a finished ferment.",
    )
    yield yes_no("fault", ask, how, usual="yes")
    yield word_field(
        base,
        "how_common",
        "How common is it, among those who come?",
        "how_common",
        "Of all who come with this trouble, before anything is asked of them.",
    )
    yield words(
        "common_because", "Why that word?", "What you have met, or what a text says of how often it comes."
    )
    yield from source_fields(base, found, "common_source")
    for at in range(MOST):
        earlier = {found[f"row{before}.observe"] for before in range(at)}
        yield from row_fields(base, found, f"row{at}", {}, earlier)
        yield yes_no(f"row{at}.more", "Is there another row of evidence?", "Two to ten rows make a cause.")
        if found[f"row{at}.more"] == "no":
            break
    yield choice(
        "mimic",
        "Which cause looks most like it?",
        causes_named(base, found["topic"]),
        "The one you would most easily take it for.",
        may_skip=True,
    )
    if found["mimic"]:
        told = questions(base.observables)
        yield several(
            "mimic.by", "Which questions tell the two apart? Type words of them.", told, "One is enough."
        )
        yield words("mimic.how", "How do they tell them apart?", "One sentence.")
    spoken = {row_of(found, f"row{at}")["observe"]: at for at in range(MOST) if f"row{at}.observe" in found}
    proofs = {name: says for name, says in questions(base.observables).items() if name in spoken}
    yield choice(
        "proof", "Which finding confirms it?", proofs, "What leaves no doubt once it is seen.", may_skip=True
    )
    if found["proof"]:
        answers = answers_of(base.observables[found["proof"]])
        yield several("proof.answers", "Which answers confirm it?", answers, "Those that leave no doubt.")
    fixes = {name: page.name for name, page in base.fixes.items()}
    yield choice(
        "cure",
        "Which fix helps? Type a word of it.",
        fixes,
        "One that is there; add others later.",
        may_skip=True,
    )
    if found["cure"]:
        yield from cure_fields(base, found, "cure")
    yield from lines_fields(found, "prevention", "How is it kept from coming again?", "One line.", 0)


def _write_cause(base: RuleBase, found: Found, sheets: Sheets) -> None:
    rows = [row_of(found, f"row{at}") for at in range(MOST) if f"row{at}.observe" in found]
    page: dict[str, Any] = {
        "cause": new_name(found["name"], ()),
        "name": found["name"],
        "topic": found["topic"],
        "summary": found["summary"],
        **({"fault": "no"} if found["fault"] == "no" else {}),
        "how_common": found["how_common"],
        "common_because": found["common_because"],
        "common_source": source_of(found, "common_source"),
        "evidence": rows,
    }
    if found["mimic"]:
        mimic = {"cause": found["mimic"], "told_apart_by": found["mimic.by"], "how": found["mimic.how"]}
        page["mimics"] = [mimic]
    if found["proof"]:
        page["confirmed_by"] = [{"observe": found["proof"], "answers": found["proof.answers"]}]
    page["cured_by"] = [cure_of(found, found["cure"], "cure")] if found["cure"] else []
    if lines_of(found, "prevention"):
        page["prevention"] = lines_of(found, "prevention")
    sheets.new_page("cause", found["topic"], page | {"review": {"status": "draft"}})


def cure_of(found: Found, fix: str, at: str) -> dict[str, Any]:
    """An entry of `cured_by`."""
    return {"fix": fix, "how_well": found[f"{at}.how_well"], "because": found[f"{at}.because"]}


def evidence_fields(base: RuleBase, found: Found) -> Iterator[Field]:
    """A row of evidence for a cause that is there."""
    yield _of_field(base, "About which cause does it speak? Type a word of its name.")
    spoken = {row.observe for row in base.causes[found["of"]].evidence if row.observe}
    yield from row_fields(base, found, "row0", groups_of(base, found["of"]), spoken)


def _write_evidence(base: RuleBase, found: Found, sheets: Sheets) -> None:
    sheets.entry(found["of"], "evidence", row_of(found, "row0") | {"review": {"status": "draft"}})


# ---------------------------------------------------------------- tests and fixes


def test_fields(base: RuleBase, found: Found) -> Iterator[Field]:
    """A test, and the cause that it can confirm."""
    yield _of_field(base, "Which cause does the test help to confirm? Type a word of its name.")
    yield _name_field(base.tests, "What is the test called?")
    yield words("purpose", "What does it tell?", "One or two sentences.")
    asked = {name: page.short for name, page in base.observations.items() if page.kind != "number"}
    yield choice(
        "yields",
        "Which question does it answer? Type a word of it.",
        asked,
        "The question its reading answers.",
    )
    if not _confirms(base, found):
        answers = answers_of(base.observables[found["yields"]])
        ask = f"Which answers confirm that it is {base.causes[found['of']].name}?"
        yield several("proof.answers", ask, answers, "It is written on the page of the cause.")
    places = {
        "cellar": "In the cellar",
        "laboratory": "In a laboratory; it is poisonous, or beyond a kitchen",
    }
    yield choice("where", "Where is it done?", places, "Poisons and strong acids go to a laboratory.")
    yield word_field(base, "hands_on", "How much work is it?", "effort", "Hands-on time.")
    yield word_field(base, "waiting", "How long must one wait?", "waiting", "Until it can be read.")
    yield from lines_fields(
        found, "equipment", "What is needed? One thing on a line.", "What must stand ready."
    )
    yield from lines_fields(found, "step", "What is the first step?", "One step on a line, in order.")
    yield from lines_fields(
        found, "reading", "How is it read, and which answer follows?", "One outcome on a line."
    )
    yield from lines_fields(found, "pitfall", "What makes it lie?", "One pitfall on a line.", 0)
    yield cautions_field(base, "cautions")
    yield from source_fields(base, found, "source")


def _confirms(base: RuleBase, found: Found) -> bool:
    return any(finding.observe == found["yields"] for finding in base.causes[found["of"]].confirmed_by)


def _write_test(base: RuleBase, found: Found, sheets: Sheets) -> None:
    page: dict[str, Any] = {
        "test": new_name(found["name"], ()),
        "name": found["name"],
        "purpose": found["purpose"],
        "yields": found["yields"],
        "where": found["where"],
        "hands_on": found["hands_on"],
        "waiting": found["waiting"],
        "equipment": lines_of(found, "equipment"),
        "steps": lines_of(found, "step"),
        "reading": lines_of(found, "reading"),
        **({"pitfalls": pitfalls} if (pitfalls := lines_of(found, "pitfall")) else {}),
        **({"cautions": found["cautions"]} if found["cautions"] else {}),
        "source": source_of(found, "source"),
        "review": {"status": "draft"},
    }
    sheets.new_page("test", base.causes[found["of"]].topic, page)
    if "proof.answers" in found:
        proof = {"observe": found["yields"], "answers": found["proof.answers"]}
        sheets.entry(found["of"], "confirmed_by", proof)


def about_fix_fields(base: RuleBase, found: Found) -> Iterator[Field]:
    """A fix, and the cause that it helps with."""
    yield _of_field(base, "Which cause does the fix help with? Type a word of its name.")
    yield _name_field(base.fixes, "What is the fix called? Say what is done.")
    yield from fix_fields(base, found)
    yield from cure_fields(base, found, "cure")


def _write_fix(base: RuleBase, found: Found, sheets: Sheets) -> None:
    name = new_name(found["name"], ())
    sheets.new_page("fix", base.causes[found["of"]].topic, fix_page(base, found, name))
    sheets.entry(found["of"], "cured_by", cure_of(found, name, "cure"))
