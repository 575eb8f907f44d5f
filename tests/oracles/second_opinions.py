"""What is compared with the work of others, and with how many cases: for the tests and for the page of validation."""

from __future__ import annotations

from dataclasses import dataclass

from diagnose.casebook.store import load_case
from diagnose.engine.facts import Fact
from diagnose.knowledge.rule_base import RuleBase
from diagnose.shipped import shipped_folder

TOPICS = ("cold", "haze", "heat", "outside", "runaway", "so2", "stuck")
RANDOM_SETS = 30
"""Random sets of answers for each topic."""
MOST_ANSWERS = 4
"""The most answers in a random set."""
RANDOM_RULES = 60
"""Random small rule bases."""
RANDOM_WEIGHINGS = 200
RANDOM_TOPICS = 100
RANDOM_QUESTIONS = 150
MADE_STATES = 4
RANDOM_IN_PGMPY = 100
CASES_IN_PGMPY = 3
CAUSES_IN_PGMPY = 8
MOST_CAUSES = 13
"""Causes of a worked case that are weighed exactly, the unknown one among them."""


def worked_cases(base: RuleBase) -> dict[str, dict[str, tuple[Fact, ...]]]:
    """For each topic the facts of each worked case that comes with the program."""
    found: dict[str, dict[str, tuple[Fact, ...]]] = {topic: {} for topic in TOPICS}
    for file in sorted(shipped_folder("cases").rglob("*.yaml")):
        case, state = load_case(file, base)
        found[case.topic][case.case] = state.facts()
    return found


@dataclass(frozen=True)
class Opinion:
    """One thing the program works out, who else works it out, and how often the two are compared."""

    what: str
    other: str
    cases: str
    agreement: str


def opinions() -> list[Opinion]:
    """Every comparison of this folder, in plain words."""
    cases = len([*shipped_folder("cases").rglob("*.yaml")])
    topics = len(TOPICS)
    return [
        Opinion(
            "what follows from the answers: facts, evidence, and after the weighing tests, fixes and cautions",
            "CLIPS, an expert system shell, given every rule in its own language; only the sums of derived numbers "
            "are those of our calculators",
            f"{cases} worked cases; {topics * RANDOM_SETS} random sets of answers to the shipped rules; "
            f"{RANDOM_RULES} random small rule bases",
            "the same, each fact and each piece of evidence",
        ),
        Opinion(
            "the chance of each cause",
            "pyAgrum, a library of Bayesian networks: its own noisy-OR, worked out without approximation",
            f"{cases} worked cases, each with its {MOST_CAUSES} leading causes; {RANDOM_WEIGHINGS} random weighings; "
            f"{RANDOM_TOPICS} random pairs of topics that share a finding",
            "within 0.000000001",
        ),
        Opinion(
            "the chance of each cause, once more",
            "pgmpy, another such library, by plain tables; only run where it is installed",
            f"{topics * CASES_IN_PGMPY} worked cases, each with its {CAUSES_IN_PGMPY} leading causes; "
            f"{RANDOM_IN_PGMPY} random weighings",
            "within 0.000000001",
        ),
        Opinion(
            "which question comes next, and what it tells",
            "counting every joint state of causes and answers; what follows from an answer is asked of CLIPS",
            f"{RANDOM_QUESTIONS} random small rule bases; {MADE_STATES} states of a made one",
            "the same questions in the same order, within 0.000000001 bits",
        ),
    ]
