"""Every weakness of a rule base, with those that a mentor has accepted marked as such."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace

from diagnose.knowledge.models.review import Accepted
from diagnose.knowledge.rule_base import RuleBase

from .rows import rows_against_each_other, rows_never_met, weak_causes
from .rules import never_holding, weak_figures, weak_rules
from .survey import Met, Survey
from .use import not_read, weak_fixes, weak_sources, weak_tests
from .weakness import KINDS, Weakness
from .wording import weak_wording

NEED_CASES = ("row_never_met", "fix_in_no_case")
"""Kinds that only worked cases can show."""


def weaknesses(base: RuleBase, met: Met | None) -> tuple[Weakness, ...]:
    """All weaknesses in the order of the files. `base` is under a law; without cases, what needs them is left out."""
    survey = Survey(base)
    found = [
        *weak_causes(survey),
        *rows_against_each_other(survey),
        *weak_rules(survey),
        *never_holding(survey),
        *weak_figures(survey),
        *not_read(survey),
        *weak_fixes(survey, met),
        *weak_tests(survey),
        *weak_sources(survey),
        *weak_wording(survey),
        *(rows_never_met(survey, met) if met else ()),
    ]
    judged = [*_accepted(found, base.accepted.values()), *_in_vain(found, survey, met)]
    return tuple(
        sorted(dict.fromkeys(judged), key=lambda weak: (weak.place, weak.kind, weak.part, weak.what))
    )


def _accepted(found: Iterable[Weakness], pages: Iterable[Accepted]) -> Iterator[Weakness]:
    pages = list(pages)
    for weak in found:
        page = next((page for page in pages if _is_about(page, weak)), None)
        yield replace(weak, accepted=page.because) if page else weak


def _is_about(page: Accepted, weak: Weakness) -> bool:
    here = not page.pages or weak.page in page.pages
    return here and page.weakness == weak.kind and page.part in (None, weak.part)


def _in_vain(found: Sequence[Weakness], survey: Survey, met: Met | None) -> Iterator[Weakness]:
    """What is accepted and is not there: the rules were mended, or the words do not fit."""
    for name, page in survey.base.accepted.items():
        if page.weakness in NEED_CASES and met is None:
            continue
        about = {weak.page for weak in found if _is_about(page, weak)}
        for of in page.pages or ("",):
            if not about or (page.pages and of not in about):
                known = page.weakness in KINDS
                where = f"'{of}' has" if page.pages else "these rules have"
                reason = (
                    f"{where} no such weakness" if known else f"'{page.weakness}' is not a kind of weakness"
                )
                yield Weakness(
                    "accepted_in_vain",
                    f"accepted.{name}",
                    survey.place("accepted", name),
                    f"{reason}, so there is nothing to accept.",
                    "Take it out." if known else f"Known: {', '.join(KINDS)}.",
                    of.partition(".")[2],
                )
