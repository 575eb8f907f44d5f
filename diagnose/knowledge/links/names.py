"""Every name of a rule base, and whether one name that a page uses is known and fits."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

from ..load import Located
from ..models.facts import Derived, Observable, Observation, State
from ..models.vocabulary import WordTable
from ..problems import Problem, nearest, quoted
from ..yaml_reader import Path_


@dataclass(frozen=True)
class Names:
    """All items by kind and id."""

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

    def observables(self) -> list[str]:
        """Names that conditions and evidence may read."""
        return [name for kind in ("observe", "state", "derive") for name in self.by_kind[kind]]


def check_word(
    located: Located, path: Path_, word: str, known: Iterable[str], what: str, key: bool = False
) -> Iterator[Problem]:
    """One word of a page is among those known; `what` says what it should be."""
    known = list(known)
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
    located: Located, path: Path_, words: Iterable[str], known: Iterable[str], what: str
) -> Iterator[Problem]:
    """Each word of a list is among those known."""
    known = list(known)
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
