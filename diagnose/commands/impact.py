"""What a change of the rules changes for people: two rule bases over all cases."""

from __future__ import annotations

from collections.abc import Sequence
from contextlib import ExitStack
from dataclasses import dataclass
from functools import partial
from pathlib import Path

from diagnose.casebook.store import load_case
from diagnose.interview.played import questions_asked
from diagnose.judgement.judge import Cellar
from diagnose.knowledge.own import RuleFolders
from diagnose.knowledge.problems import RuleFilesWrong
from diagnose.present.impact import show_impact
from diagnose.review.impact import Impact, impact_of
from diagnose.review.outcome import Outcome
from diagnose.review.simulated import simulated
from diagnose.review.trying import Given, case_files, judge_given, many, processors
from diagnose.shipped import shipped_folder

from .rules_at import rules_at
from .setup import in_use, make_cellar, make_page
from .status import CHANGED, DONE, LESS_SAFE


@dataclass(frozen=True)
class Wanted:
    """What is compared, and how far."""

    before: str
    after: str | None
    cases: Sequence[Path]
    simulated: int
    count_questions: bool
    jobs: int | None


def impact(rules: RuleFolders, wanted: Wanted) -> int:
    """Compare two rule bases over the worked cases and cases simulated from them, and show what is otherwise."""
    used = in_use(rules)
    like = used.below[0]
    jobs = wanted.jobs or processors()
    with ExitStack() as folders:
        before = folders.enter_context(rules_at(wanted.before, like))
        after = RuleFolders((folders.enter_context(rules_at(wanted.after, like)),)) if wanted.after else used
        cellar = make_cellar(RuleFolders((before,)))
        make_cellar(after)  # Mistakes are told here, once, and not by each process that shares the work.
        given, unread = _given(
            cellar, case_files(wanted.cases or [shipped_folder("cases")]), wanted.simulated
        )
        found = _compared(cellar, given, RuleFolders((before,)), after, jobs, wanted.count_questions)
    show_impact(make_page(), cellar.base, found, unread)
    return LESS_SAFE if found.safety else CHANGED if found.touched else DONE


def _given(cellar: Cellar, files: Sequence[Path], each: int) -> tuple[list[Given], list[str]]:
    """The cases that the rules of before can read, with those simulated from them, and the names of the others."""
    given: list[Given] = []
    unread = []
    for file in files:
        try:
            case, state = load_case(file, cellar.base)
        except RuleFilesWrong:
            unread.append(file.stem)
            continue
        worked = Given(case.case, case.topics, state.facts())
        given += [worked, *simulated(cellar.base, worked, each)]
    return given, unread


def _compared(
    cellar: Cellar, given: Sequence[Given], before: RuleFolders, after: RuleFolders, jobs: int, count: bool
) -> Impact:
    was, was_asked = _judged(before, given, jobs, count)
    now, now_asked = _judged(after, given, jobs, count)
    asked = [
        (first, then) if first is not None and then is not None else None
        for first, then in zip(was_asked, now_asked, strict=True)
    ]
    return impact_of(cellar.base, [item.name for item in given], was, now, asked)


def _judged(
    folders: RuleFolders, given: Sequence[Given], jobs: int, count: bool
) -> tuple[list[Outcome], list[int | None]]:
    with many(partial(make_cellar, folders), jobs, len(given)) as over:
        outcomes = [item for item in over(judge_given, given) if isinstance(item, Outcome)]
        asked = over(_asked, given) if count else [None] * len(given)
    return outcomes, [item if isinstance(item, int) else None for item in asked]


def _asked(cellar: Cellar, given: Given) -> int | None:
    """How many questions a worked case takes. Simulated ones are not played: there are many, and they are slow."""
    if "," in given.name or any(topic not in cellar.base.topics for topic in given.topics):
        return None
    known = [fact for fact in given.facts if fact.name in cellar.base.observations]
    return questions_asked(cellar, given.topics, known)
