"""How the work grows with the rules, counted in pages looked at and in rules that speak, never in seconds."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from functools import cache

import pytest
from diagnose.engine import chain as chain_module
from diagnose.engine.facts import Fact
from diagnose.engine.network import GoingInCircles
from diagnose.judgement.judge import Cellar, judge
from diagnose.knowledge.links.check import check_links
from diagnose.knowledge.load import Located
from diagnose.knowledge.models.kinds import KINDS
from diagnose.knowledge.own import RuleFolders
from diagnose.knowledge.rule_base import gather
from diagnose.knowledge.yaml_reader import Document
from many import as_written, copies, many
from play import shipped, worked_cases

RULES = RuleFolders(())


@cache
def answers() -> tuple[Fact, ...]:
    """What is known in the worked case of a haze with the most answers."""
    hazes = (case for case in worked_cases(shipped()) if case.topic == "haze")
    most = max(hazes, key=lambda case: len(case.answers))
    return tuple(Fact(name, value) for name, value in most.answers.items())


class Counted(Mapping[str, Located]):
    """Pages by name that count each page that is handed out; to ask whether a name is there costs nothing."""

    def __init__(self, pages: Mapping[str, Located]) -> None:
        self.pages, self.looked_at = pages, 0

    def __getitem__(self, name: str) -> Located:
        self.looked_at += 1
        return self.pages[name]

    def __contains__(self, name: object) -> bool:
        return name in self.pages

    def __iter__(self) -> Iterator[str]:
        for name in self.pages:
            self.looked_at += 1
            yield name

    def __len__(self) -> int:
        return len(self.pages)


def looked_at(times: int) -> tuple[int, int]:
    """Pages there are, and pages that the check of all links looks at, with so many times the rules."""
    written = [(kind, page) for _, kind, page in as_written()]
    written += [(kind, page) for _, _, kind, page in copies(times, "topics")]
    items = [
        Located(kind, page[kind], KINDS[kind].model_validate(page), Document("made", [], page), ())
        for kind, page in written
    ]
    counted = {kind: Counted(pages) for kind, pages in gather(items).items()}
    assert [str(problem) for problem in check_links(items, counted, RULES)] == []
    return len(items), sum(pages.looked_at for pages in counted.values())


def test_the_check_of_links_looks_at_three_times_the_pages_for_three_times_the_rules() -> None:
    """Each page is checked against tables made once, so the work grows with the rules and not with their square."""
    (pages, work), (more_pages, more_work) = looked_at(1), looked_at(3)
    assert more_pages > 2 * pages
    assert more_work / work < 3.3


def test_copied_causes_are_weighed_in_one_consultation_and_their_rules_speak_as_often() -> None:
    """One set of answers speaks of all copies at once: three times the rules speak, each as often as before."""
    rules, facts = shipped(), answers()
    alone = judge(rules.cellar, "haze", facts, machine="chain")
    grown = judge(Cellar(many(rules.base, 3, "rows")), "haze", facts, machine="chain")
    # Each topic has one cause that these rules do not know, however many it has otherwise.
    assert len(grown.of("haze")) - 1 == 3 * (len(alone.of("haze")) - 1)
    assert 2 < len(grown.trace.firings) / len(alone.trace.firings) < 3.1
    assert len(grown.trace.evidence) == 3 * len(alone.trace.evidence)


def test_many_rules_may_take_many_steps(monkeypatch: pytest.MonkeyPatch) -> None:
    """The bound on the steps of a run grows with the rules, so a large rule base is not taken for a circle."""
    rules, facts = shipped(), answers()
    monkeypatch.setattr("diagnose.engine.network.MOST_STEPS", 1)
    assert rules.cellar.chain.start(facts).firings
    monkeypatch.setattr(chain_module, "most_steps", lambda rules: 1)
    with pytest.raises(GoingInCircles):
        rules.cellar.chain.start(facts)
