"""What the pages lean on: one name for each folder, the word tables with their words, and the topics."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from difflib import get_close_matches
from itertools import pairwise
from pathlib import Path

from diagnose.plain_text import spoken
from diagnose.units import quantities

from ..load import Located
from ..models.vocabulary import Clash, Gates, GlossaryWord, Instrument, Limit, Topic, WordTable
from ..own import RuleFolders
from ..problems import Place, Problem
from .conditions import check_condition
from .names import Names, check_word

WORD_TABLES: Mapping[str, tuple[str, ...]] = {
    "strength": (),
    "how_common": (),
    "normally": ("usual", "sometimes"),
    "effort": (),
    "waiting": (),
    "how_well": (),
    "burden": ("much",),
    "slips": ("an_answer",),
    "standing": ("unlikely", "possible", "likely"),
    "asking": (
        "a_question",
        "least_gain",
        "least_worth",
        "start_early",
        "a_long_wait",
        "stay_with",
        "a_cheap_sign",
    ),
}
"""The tables every rule base has, each with the words that the program itself looks up in it."""

CLOSED = ("slips", "standing", "asking")
"""Tables that no page reads: a word the program does not look up there would never be used."""


def check_name(items: Sequence[Located], folders: RuleFolders) -> Iterator[Problem]:
    """Each folder has at most one name, those below together at least one, and each own folder one of its own."""
    named: dict[Path, Located] = {}
    names: dict[str, Located] = {}
    for located in items:
        if located.kind != "rule_base":
            continue
        first = named.setdefault(_folder_of(located, folders.all), located)
        same = names.setdefault(located.id, located)
        if first is not located:
            what = f"these rules have a name already: '{first.id}', at {first.place.file}:{first.place.line}."
            mend = "Keep one of the two; a folder of rules has one `rule_base`."
            yield located.problem((located.kind,), what, mend)
        elif same.layer < located.layer:
            what = f"'{located.id}' is the name of rules below, at {same.place.file}:{same.place.line}."
            yield located.problem((located.kind,), what, "Give your own rules another name.")
    unnamed = [folder for folder in folders.own if folder not in named]
    if not any(located.layer == 0 for located in named.values()):
        unnamed.insert(0, Path(_named_first(folders.below)))
    for folder in unnamed:
        what = "the rule base has no name and version."
        mend = "Add an item `rule_base:` with `version:` and `about:`."
        yield Problem(Place(str(folder)), what, mend)


def _folder_of(located: Located, folders: Sequence[Path]) -> Path:
    """The folder, of those that were asked for, that an item was read from."""
    file = Path(located.document.file)
    return next((folder for folder in folders if file.is_relative_to(folder)), file.parent)


def _named_first(folders: Sequence[Path]) -> str:
    return str(folders[0]) if folders else "rules"


def check_tables(names: Names, folders: Sequence[Path]) -> Iterator[Problem]:
    """Every word table is there, with the words that the program looks up in it."""
    for table, used in WORD_TABLES.items():
        located = names.known("words").get(table)
        values = located.item.values if located and isinstance(located.item, WordTable) else {}
        if not located or not values:
            place = Place(_named_first(folders))
            yield Problem(place, f"the word table '{table}' is missing.", f"Add `words: {table}`.")
            continue
        wrong = [*_words(located, values, used)]
        yield from wrong or _numbers(located, values)


def _words(located: Located, values: Mapping[str, float], used: Sequence[str]) -> Iterator[Problem]:
    strange = [word for word in values if word not in used] if located.id in CLOSED else []
    for word in strange:
        yield from check_word(
            located, ("values", word), word, used, f"a word of the table '{located.id}'", key=True
        )
    for word in used:
        # A word much like it was just told of: one slip of the pen, told once.
        if word not in values and not get_close_matches(word, strange):
            what = f"the table '{located.id}' lacks the word '{word}', which the program looks up."
            yield located.problem(("values",), what, f"Add `{word}:` with its number.", key=True)


def _numbers(located: Located, values: Mapping[str, float]) -> Iterator[Problem]:
    if located.id == "standing":
        yield from _chances(located, values)
    if located.id == "slips" and not 0 <= values["an_answer"] < 1:
        what = f"'an_answer' is {values['an_answer']:g}; a chance lies from 0 up to 1, and not every answer is a slip."
        yield located.problem(
            ("values", "an_answer"), what, "Write how often an answer is a slip, such as 0.03."
        )
    if located.id == "asking":
        for word, number in values.items():
            # What a question costs is divided by, and looking can cost nothing: so never by nought.
            if number < 0 or (word == "a_question" and number == 0):
                least = "above 0" if word == "a_question" else "0 or more"
                what = f"'{word}' is {number:g}; it must be {least}."
                yield located.problem(("values", word), what, f"Write a number {least}.")


def _chances(located: Located, values: Mapping[str, float]) -> Iterator[Problem]:
    """The words for a chance share out all chances from 0 to 1, in their order."""
    rising = WORD_TABLES["standing"]
    mend = "Let unlikely begin at 0, possible higher, and likely higher still, up to 1."
    if values[rising[0]] != 0:
        what = f"a chance below {values[rising[0]]:g} would have no word; '{rising[0]}' begins at 0."
        yield located.problem(("values", rising[0]), what, mend)
    for low, high in pairwise(rising):
        if values[high] <= values[low]:
            what = f"'{high}' begins at {values[high]:g}, which is not above '{low}' at {values[low]:g}."
            yield located.problem(("values", high), what, mend)
    if values[rising[-1]] > 1:
        what = f"'{rising[-1]}' begins at {values[rising[-1]]:g}, and no chance is above 1."
        yield located.problem(("values", rising[-1]), what, mend)


def check_limit(located: Located, names: Names) -> Iterator[Problem]:
    """The wines that a limit is for are told by facts that exist."""
    assert isinstance(located.item, Limit)
    yield from check_condition(located, ("when",), located.item.when, names)


def check_clash(located: Located, names: Names) -> Iterator[Problem]:
    """A clash is between facts that exist, and names questions that can be asked again."""
    item = located.item
    assert isinstance(item, Clash)
    yield from check_condition(located, ("when",), item.when, names)
    for index, name in enumerate(item.measure_again):
        yield from check_word(
            located, ("measure_again", index), name, names.known("observe"), "an observation"
        )


def check_gates(located: Located, names: Names) -> Iterator[Problem]:
    """Gates are states, and the tests that show them exist."""
    item = located.item
    assert isinstance(item, Gates)
    yield from check_word(located, ("verdict",), item.verdict, names.known("state"), "a state")
    for index, gate in enumerate(item.each):
        here = ("each", index)
        yield from check_word(located, (*here, "state"), gate.state, names.known("state"), "a state")
        for at, test in enumerate(gate.find_out):
            yield from check_word(located, (*here, "find_out", at), test, names.known("test"), "a test")


def check_instrument(located: Located, names: Names) -> Iterator[Problem]:
    """An instrument measures a quantity that exists, and is the only one that does."""
    item = located.item
    assert isinstance(item, Instrument)
    yield from check_word(located, ("measures",), item.measures, quantities(), "a quantity")
    first = next(
        other
        for other in names.known("instrument").values()
        if isinstance(other.item, Instrument) and other.item.measures == item.measures
    )
    if first is not located:
        what = f"'{first.id}' measures {item.measures} already, at {first.place.file}:{first.place.line}."
        yield located.problem(("measures",), what, "Keep one usual instrument for each quantity.")


def check_glossary_word(located: Located, names: Names) -> Iterator[Problem]:
    """A spelling stands on one page of the glossary only."""
    item = located.item
    assert isinstance(item, GlossaryWord)
    for index, says in enumerate(item.called):
        first = names.spellings[spoken(says)]
        if first is not located:
            what = f"'{says}' is explained on '{first.id}' already, at {first.place.file}:{first.place.line}."
            yield located.problem(("called", index), what, "Leave it on one of the two.")


def check_topic(located: Located, names: Names) -> Iterator[Problem]:
    """Every name on the page of a topic is known, and fits there."""
    item = located.item
    assert isinstance(item, Topic)
    for index, step in enumerate(item.opening):
        here = ("opening", index)
        yield from check_word(
            located, (*here, "observe"), step.observe, names.known("observe"), "an observation"
        )
        yield from check_condition(located, (*here, "when"), step.when, names)
    words = names.words("how_common")
    yield from check_word(
        located, ("how_common_unknown",), item.how_common_unknown, words, "a word for how common"
    )
