"""Pieces of a page that several kinds of page have: its source, a row of evidence, a cure, lines of a procedure."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from typing import Any

from diagnose.casebook.answers import NotAnAnswer
from diagnose.interview.form import Field
from diagnose.knowledge.rule_base import RuleBase
from diagnose.present.cards import source_words, strength_choices

from .asking import answers_of, choice, name_of, new_name, questions, several, words

Found = Mapping[str, Any]
NEW = "new"
SEEN = {
    "read": "I have read it there myself",
    "quoted": "I have it from somebody who quotes it",
    "from_memory": "From memory; I have not looked it up",
    "judgement": "It is somebody's judgement",
}
COMMON = "common_practice"
MOST = 30
"""Entries of one list that are asked for; nobody reads more."""


# ---------------------------------------------------------------- sources


def source_fields(base: RuleBase, found: Found, key: str) -> Iterator[Field]:
    """Where it is from: a source that is known, the practice of the trade, or a new one that is asked for."""
    known = {name: source_words(base, name) for name in base.sources}
    known |= {name: page["title"] for name, page in new_sources(base, found).items()}
    usual = COMMON if COMMON in known else None
    yield choice(
        key,
        "Where do you have it from? A word of a source these rules name, or new.",
        known | {NEW: "a new source"},
        "Name the text it stands in. If it stands in none that you know of, it is common practice.",
        "Whoever doubts it wants to look it up.",
        usual=usual,
    )
    if found[key] != NEW:
        return
    taken = {*base.sources, NEW}
    yield words(
        f"{key}.title",
        "What is it called?",
        "Its title, as it stands on it.",
        check=lambda said: _titled(said, taken),
    )
    yield words(f"{key}.author", "Who wrote it? (skip, if not said)", "A person or a house.", may_skip=True)
    yield Field(
        f"{key}.year",
        "Of which year? (skip, if not said)",
        "The year of the text.",
        "Texts grow old.",
        _year,
        None,
        True,
    )
    yield words(
        f"{key}.url",
        "Its address on the web? (skip, if none)",
        "It begins with http.",
        may_skip=True,
        check=_url,
    )
    yield words(
        f"{key}.place", "Where in it? (skip, if not known)", "A page, a chapter, a table.", may_skip=True
    )
    yield choice(
        f"{key}.seen", "How do you know what it says?", SEEN, "The truth; a text not read is not `read`."
    )


def _titled(said: str, taken: set[str]) -> str:
    new_name(said, taken)
    return said


def _year(typed: str) -> float:
    if not (typed.strip().isdecimal() and 1500 <= int(typed) <= 2100):
        raise NotAnAnswer(f"'{typed[:20]}' is not a year; expected is one from 1500 to 2100, or skip.")
    return float(typed)


def _url(said: str) -> str:
    if not said.startswith(("http://", "https://")) or " " in said:
        raise NotAnAnswer(
            f"'{said[:40]}' is not an address; it begins with https:// and has no spaces. Or skip."
        )
    return said


def new_sources(base: RuleBase, found: Found) -> dict[str, dict[str, Any]]:
    """The sources that were told of in this conversation, each as its page."""
    pages: dict[str, dict[str, Any]] = {}
    for key, value in found.items():
        if key.endswith(".seen") and (title := found.get(f"{key[:-5]}.title")):
            more = {part: found.get(f"{key[:-5]}.{part}") for part in ("author", "year", "place", "url")}
            name = new_name(title, ())
            pages[name] = {
                "source": name,
                "title": title,
                **{k: v for k, v in more.items() if v},
                "seen": value,
            }
    return pages


def source_of(found: Found, key: str) -> str:
    """The id of the source that was named."""
    return new_name(found[f"{key}.title"], ()) if found[key] == NEW else str(found[key])


# ---------------------------------------------------------------- evidence


def row_fields(
    base: RuleBase, found: Found, at: str, groups: Mapping[str, str], spoken: Collection[str]
) -> Iterator[Field]:
    """A row of evidence: a question, how strongly each of its answers speaks, why, and from where.

    Questions that other rows of the cause have `spoken` of are not offered: they have their strengths already.
    """
    yield choice(
        f"{at}.observe",
        "Which question, state or number speaks? Type a word of it.",
        {name: says for name, says in questions(base.observables).items() if name not in spoken},
        "What a person sees, measures or remembers. One that the cause has a row on already is not offered; its "
        "strengths are changed with `diagnose review`. A question that is not there yet is written by hand first.",
        "Evidence hangs on a question.",
    )
    about = base.observables[found[f"{at}.observe"]]
    answers = answers_of(about)
    # The question stands there once more: a word of it was enough, and may have found another than was meant.
    yield several(
        f"{at}.speak",
        f"{name_of(about)}: which of its answers speak about this cause, for or against it?",
        answers,
        "Leave out those that are met equally often with and without it.",
    )
    for answer in found[f"{at}.speak"]:
        yield choice(
            f"{at}.says.{answer}",
            f"The answer “{answers[answer].rstrip('.')}”: how does it speak about this cause?",
            strength_choices(base),
            "Think of a hundred wines with this cause, and of a hundred with none that is known. How many times "
            "more often is this answer met?",
            "Strengths are what moves the chances.",
        )
    yield words(f"{at}.because", "Why? One sentence that a winemaker can read.", "What happens in the wine.")
    yield from source_fields(base, found, f"{at}.source")
    if groups:
        none = {"none": "No, it is a finding of its own"}
        yield choice(
            f"{at}.about",
            "Does it measure the same thing as another row of this cause? Then they count once.",
            none | dict(groups),
            "Density and sweetness both tell the sugar. In doubt, put them in one group.",
            "Counted twice, one finding would make the program surer than it has a right to be.",
            usual="none",
        )


def row_of(found: Found, at: str) -> dict[str, Any]:
    """The row as it is written."""
    says = {answer: found[f"{at}.says.{answer}"] for answer in found[f"{at}.speak"]}
    row: dict[str, Any] = {"observe": found[f"{at}.observe"], "says": says}
    row |= {"because": found[f"{at}.because"], "source": source_of(found, f"{at}.source")}
    about = found.get(f"{at}.about")
    return row if about in (None, "none") else row | {"about": about}


def groups_of(base: RuleBase, cause: str) -> dict[str, str]:
    """The groups that rows of a cause are in, with what they read."""
    found: dict[str, list[str]] = {}
    for row in base.causes[cause].evidence:
        page = base.observables.get(row.observe or "")
        about = row.about or getattr(page, "about", None)
        if about:
            found.setdefault(about, []).append(
                questions(base.observables).get(row.observe or "", "a combination")
            )
    return {about: f"Yes, as {', '.join(names)}" for about, names in found.items()}


# ---------------------------------------------------------------- cures, words of tables, lines


def word_field(base: RuleBase, key: str, ask: str, table: str, how: str) -> Field:
    """A word of one of the tables."""
    ranked = sorted(base.words[table].values.items(), key=lambda entry: entry[1])
    return choice(key, ask, {word: word.replace("_", " ") for word, _ in ranked}, how)


def lines_fields(found: Found, key: str, ask: str, how: str, least: int = 1) -> Iterator[Field]:
    """Lines until an empty one; `least` of them are needed."""
    for number in range(MOST):
        needed = number < least
        usual = None if needed else "no more"
        more = ask if not number else "And then?"
        yield words(f"{key}{number}", more, how, usual=usual, may_skip=not needed)
        if found[f"{key}{number}"] in (None, "no more"):
            return


def lines_of(found: Found, key: str) -> list[str]:
    """The lines that were given."""
    given = (found.get(f"{key}{number}") for number in range(MOST))
    return [line for line in given if line not in (None, "no more")]


def cure_fields(base: RuleBase, found: Found, at: str) -> Iterator[Field]:
    """How well a fix helps a cause, and why."""
    yield word_field(
        base, f"{at}.how_well", "How well does it help?", "how_well", "In most wines with this cause."
    )
    yield words(f"{at}.because", "Why does it help with this cause?", "One sentence.")


def cautions_field(base: RuleBase, key: str) -> Field:
    """The cautions of a page, out of those that are known."""
    return several(
        key,
        "What can hurt somebody or the wine? Type words of the cautions that belong here.",
        {name: f"{page.says}" for name, page in base.cautions.items()},
        "Powders, acids, gas, glass, heat, what cannot be undone, labels and law. A caution that is not there yet is "
        "written by hand first.",
        may_skip=True,
    )
