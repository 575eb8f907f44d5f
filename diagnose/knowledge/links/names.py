"""Every name of a rule base, and whether one name that a page uses is known and fits."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property

from diagnose.plain_text import spoken

from ..load import Located
from ..models.facts import Derived, Observable, Observation, State
from ..models.treatments import Fix
from ..models.trials import Agent
from ..models.vocabulary import GlossaryWord, WordTable
from ..problems import Problem, nearest, quoted
from ..yaml_reader import Path_


@dataclass(frozen=True)
class Names:
    """All items by kind and id.

    What many pages look up is put in order once. Gathered anew for each page, it would take four times as long for
    twice the pages.
    """

    by_kind: Mapping[str, Mapping[str, Located]]

    def known(self, kind: str) -> Mapping[str, Located]:
        """Items of a kind."""
        return self.by_kind[kind]

    def words(self, table: str) -> tuple[str, ...]:
        """The words of a table; none if the table is missing."""
        located = self.by_kind["words"].get(table)
        return tuple(located.item.values) if located and isinstance(located.item, WordTable) else ()

    def observable(self, name: str) -> Observable | None:
        """The observation, state or derived number of that name."""
        for kind in ("observe", "state", "derive"):
            if located := self.by_kind[kind].get(name):
                assert isinstance(located.item, Observation | State | Derived)
                return located.item
        return None

    @cached_property
    def observables(self) -> Collection[str]:
        """Names that conditions and evidence may read."""
        return {name: None for kind in ("observe", "state", "derive") for name in self.by_kind[kind]}.keys()

    @cached_property
    def questions(self) -> Mapping[str, Observation]:
        """Every question by its name."""
        pages = {name: located.item for name, located in self.by_kind["observe"].items()}
        return {name: page for name, page in pages.items() if isinstance(page, Observation)}

    @cached_property
    def logged(self) -> Collection[str]:
        """Numbers that are read again and again."""
        return {name for name, page in self.questions.items() if page.is_logged}

    @cached_property
    def one_word(self) -> Mapping[str, Observation]:
        """The questions that are answered with one word."""
        return {name: page for name, page in self.questions.items() if page.kind in ("yes_no", "choice")}

    @cached_property
    def spellings(self) -> Mapping[str, Located]:
        """For each spelling of the glossary, as it is spoken, the first page it stands on."""
        first: dict[str, Located] = {}
        for located in self.by_kind["word"].values():
            assert isinstance(located.item, GlossaryWord)
            for says in located.item.called:
                first.setdefault(spoken(says), located)
        return first

    @cached_property
    def found_by_trials(self) -> Mapping[str, Collection[str]]:
        """For each question that keeps what a trial found, the fixes whose trials keep it there."""
        found: dict[str, list[str]] = {}
        for located in self.by_kind["fix"].values():
            assert isinstance(located.item, Fix)
            if located.item.trial and located.item.trial.agent:
                for name in kept_by(located.item.trial.agent).values():
                    found.setdefault(name, []).append(located.id)
        return found


def kept_by(agent: Agent) -> Mapping[str, str]:
    """The questions in which the trial of an agent keeps what it found, by the key that names them."""
    kept = {"dose_kept_as": agent.dose_kept_as}
    return kept | ({"strength_kept_as": agent.strength_kept_as} if agent.strength_kept_as else {})


def check_word(
    located: Located, path: Path_, word: str, known: Collection[str], what: str, key: bool = False
) -> Iterator[Problem]:
    """One word of a page is among those known; `what` says what it should be."""
    if word not in known:
        yield located.problem(path, f"{quoted(word)} is not {what}.", nearest(word, known), key=key)


def check_answer(
    located: Located, path: Path_, word: str, observable: Observable, key: bool = False
) -> Iterator[Problem]:
    """A word is one of the answers that a question, a state or a number with bands can have."""
    if is_number(observable) and not observable.answers:
        mend = "Give it `bands`, or use `when` with `at_least` or `below`."
        what = f"'{observable.id}' is a number without bands, so '{word}' cannot be its answer."
        yield located.problem(path, what, mend, key=key)
    else:
        yield from check_word(located, path, word, observable.answers, f"an answer of '{observable.id}'", key)


def check_words(
    located: Located, path: Path_, words: Collection[str], known: Collection[str], what: str
) -> Iterator[Problem]:
    """Each word of a list is among those known."""
    for index, word in enumerate(words):
        yield from check_word(located, (*path, index), word, known, what)


def is_number(observable: Observable | None) -> bool:
    """Whether it is a number, measured or derived."""
    return isinstance(observable, Derived) or (
        isinstance(observable, Observation) and observable.kind == "number"
    )


def is_several(observable: Observable | None) -> bool:
    """Whether it is a question with several answers."""
    return isinstance(observable, Observation) and observable.kind == "several"
