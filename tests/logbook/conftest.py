from __future__ import annotations

import pytest
from diagnose.knowledge.read import read_rule_base
from diagnose.knowledge.rule_base import RuleBase
from diagnose.logbook.names import Names
from diagnose.shipped import shipped_folder


@pytest.fixture(scope="session")
def base() -> RuleBase:
    """The rules that come along."""
    return read_rule_base([shipped_folder("rules")])


@pytest.fixture(scope="session")
def names(base: RuleBase) -> Names:
    """What a log keeps, in a cellar that thinks in litres and °C."""
    return Names(base, "metric")
