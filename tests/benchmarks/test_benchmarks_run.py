"""The benchmarks themselves: that they run from end to end, and that their people answer as they should."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest
from many import many
from people import NONE, Noise, answer_chances, draw_people
from play import Rules, shipped

RUN = Path(__file__).with_name("run.py")


def test_a_person_says_the_same_to_the_same_question_whatever_was_asked_between() -> None:
    """Asked twice, a person answers alike; with true answers, what is said is the truth of the wine."""
    rules = shipped()
    person = draw_people(rules, "cold", 1, 5)[0].with_noise(NONE)
    names = rules.questions("cold")[:8]
    first = {name: person.says(name) for name in names}
    assert {name: person.says(name) for name in reversed(names)} == first == person.world


def test_a_person_who_does_not_know_says_so_and_one_who_errs_says_something_else() -> None:
    """Missing answers are *don't know*; a wrong one is never the true one."""
    rules = shipped()
    person = draw_people(rules, "cold", 1, 5)[0]
    choices = [
        name for name in rules.questions("cold") if rules.observation(name).kind in ("choice", "yes_no")
    ][:8]
    silent, wrong = person.with_noise(Noise(missing=0.95)), person.with_noise(Noise(wrong=1.0))
    assert sum(silent.says(name) is None for name in choices) >= 6
    assert all(wrong.says(name) != wrong.world[name] for name in choices)


@pytest.mark.parametrize("topic", shipped().topics)
def test_people_give_an_answer_as_much_more_often_as_the_program_takes_it_to_be(topic: str) -> None:
    """How often people with one cause give an answer, over how often all others do, is what the program weighs.

    Compared are rows that stand alone for their question, of questions whose answers speak through no state; three in
    a hundred the program takes for slips.
    """
    rules = shipped()
    nothing, compared = rules.known(topic, {}), 0
    for name in rules.questions(topic):
        if rules.observation(name).kind not in ("choice", "yes_no"):
            continue
        weights = rules.normally(name)
        by_answer = {answer: rules.known(topic, {name: answer}) for answer in weights}
        if any(item.observe != name for known in by_answer.values() for item in known.evidence):
            continue
        for answer, known in by_answer.items():
            weight = weights[answer]
            theirs = rules.ratios_alone(topic, known)
            for cause in {item.cause for item in known.evidence}:
                if (
                    len(
                        {
                            item.row
                            for one in by_answer.values()
                            for item in one.evidence
                            if item.cause == cause
                        }
                    )
                    > 1
                ):
                    continue
                met = answer_chances(rules, topic, nothing, (cause,), name, dict(weights))[answer]
                ratio = met / (weight / sum(weights.values()))
                assert theirs[cause] == pytest.approx(0.97 * ratio + 0.03), (name, answer, cause)
                compared += 1
    assert compared > 10


def test_many_times_the_rules_judge_as_the_shipped_ones() -> None:
    """Copies of the rules with topics of their own change no chance in the topics that were there."""
    rules = shipped()
    twice = Rules(many(rules.base, 2, "topics"))
    person = draw_people(rules, "cold", 1, 3)[0]
    answers = {
        name: value for name in rules.questions("cold")[:12] if (value := person.says(name)) is not None
    }
    assert len(twice.cellar.rules) > 1.9 * len(rules.cellar.rules)
    assert twice.standings("cold", twice.known("cold", answers)) == rules.standings(
        "cold", rules.known("cold", answers)
    )


@pytest.mark.skipif("BENCHMARKS" not in os.environ, reason="takes a minute; set BENCHMARKS to try it")
def test_the_command_writes_its_page(tmp_path: Path) -> None:
    """A little of everything is measured and becomes a page with every part."""
    page = tmp_path / "page.md"
    command = [sys.executable, str(RUN), "--quick", "--jobs", "1", "--to", str(page)]
    subprocess.run(command, check=True, timeout=600)
    text = page.read_text(encoding="utf-8")
    for head in ("## Goals", "## How soon", "## How often", "## Whether the chances", "## How long it takes"):
        assert head in text
