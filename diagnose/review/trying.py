"""Worked cases tried on a rule base, several at once: what each comes to, and which rules spoke in it."""

from __future__ import annotations

import os
import time
from collections.abc import Callable, Iterable, Iterator, Sequence
from concurrent.futures import ProcessPoolExecutor
from contextlib import contextmanager
from dataclasses import dataclass
from functools import partial
from pathlib import Path

from diagnose.casebook.store import load_case
from diagnose.engine.facts import Fact
from diagnose.judgement.expectations import Miss, misses
from diagnose.judgement.judge import Cellar, judge
from diagnose.knowledge.problems import RuleFilesWrong
from diagnose.review.outcome import Outcome, outcome_of

FEW = 60
"""Fewer cases than this are judged sooner than other processes have made their rules ready."""

MakeCellar = Callable[[], Cellar]
"""Makes the rules ready; called once in each process, so it must be known by name there."""


@dataclass(frozen=True)
class Tried:
    """A case that was tried. `wrong` says why the file could not be read; `outcome` is then missing."""

    file: Path
    case: str
    topic: str
    missed: tuple[Miss, ...]
    wrong: tuple[str, ...]
    outcome: Outcome | None
    spoke: frozenset[str]
    """Rules that fired."""
    seconds: float

    @property
    def as_expected(self) -> bool:
        """Whether it came out as its page expects."""
        return not self.missed and not self.wrong


def case_files(named: Iterable[Path]) -> tuple[Path, ...]:
    """The case files among these files and under these folders, each once."""
    found = [case for file in named for case in (sorted(file.rglob("*.yaml")) if file.is_dir() else [file])]
    return tuple(dict.fromkeys(found))


def try_case(cellar: Cellar, file: Path) -> Tried:
    """Judge one case file and hold it against what it expects."""
    began = time.perf_counter()
    try:
        case, state = load_case(file, cellar.base)
    except RuleFilesWrong as wrong:
        said = tuple(str(problem) for problem in wrong.problems)
        return Tried(file, file.stem, "", (), said, None, frozenset(), time.perf_counter() - began)
    judged = judge(cellar, case.topics, state.facts(), machine="chain")
    missed = tuple(misses(cellar.base, judged, case.expect)) if case.expect else (EXPECTS_NOTHING,)
    spoke = frozenset(firing.rule for firing in judged.trace.firings)
    spent = time.perf_counter() - began
    return Tried(file, case.case, case.topic, missed, (), outcome_of(cellar, judged), spoke, spent)


EXPECTS_NOTHING = Miss("it has no `expect`, so nothing can be checked", "", "")


@dataclass(frozen=True)
class Given:
    """A case as the facts of it: what is judged when rules are compared."""

    name: str
    topics: tuple[str, ...]
    facts: tuple[Fact, ...]


def judge_given(cellar: Cellar, given: Given) -> Outcome:
    """What these facts come to. Topics and facts that the rules do not know are left out."""
    topics = tuple(topic for topic in given.topics if topic in cellar.base.topics)
    facts = [fact for fact in given.facts if fact.name in cellar.base.observations]
    return outcome_of(cellar, judge(cellar, topics, facts, machine="chain"))


@contextmanager
def many(make: MakeCellar, jobs: int, pieces: int) -> Iterator[Callable[..., list[object]]]:
    """Something that maps a function of the cellar and one piece over all pieces, in order.

    With one job, or few pieces, all is done here; otherwise in `jobs` processes, each with rules of its own.
    """
    if jobs == 1 or pieces < FEW:
        cellar = make()
        yield lambda work, items: [work(cellar, item) for item in items]
        return
    with ProcessPoolExecutor(jobs, initializer=_begin, initargs=(make,)) as pool:
        yield lambda work, items: list(pool.map(partial(_work, work), items, chunksize=8))


_HERE: list[Cellar] = []
"""The rules of this process."""


def _begin(make: MakeCellar) -> None:
    _HERE[:] = [make()]


def _work(work: Callable[[Cellar, object], object], item: object) -> object:
    return work(_HERE[0], item)


def processors() -> int:
    """Processors that this process may use."""
    return len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count() or 1


def try_cases(make: MakeCellar, files: Sequence[Path], jobs: int) -> tuple[Tried, ...]:
    """Every case file tried, in the order given. `make` makes the rules ready, in each process once."""
    with many(make, jobs, len(files)) as over:
        return tuple(item for item in over(try_case, files) if isinstance(item, Tried))
