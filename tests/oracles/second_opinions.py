"""What is compared with the work of others, and with how many cases: for the tests and for the page of validation."""

from __future__ import annotations

from diagnose.casebook.store import load_case
from diagnose.engine.facts import Fact
from diagnose.knowledge.rule_base import RuleBase
from diagnose.shipped import shipped_folder

TOPICS = ("cold", "haze", "heat", "outside", "runaway", "so2", "stuck")
RANDOM_SETS = 30
"""Random sets of answers for each topic."""
MOST_ANSWERS = 5
"""The most answers in a random set."""
RANDOM_WEIGHINGS = 200
RANDOM_QUESTIONS = 150
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
