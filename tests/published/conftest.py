"""The shipped rules, made ready once."""

import pytest
from diagnose.judgement.judge import Cellar
from diagnose.knowledge.read import read_rule_base
from diagnose.shipped import shipped_folder


@pytest.fixture(scope="session")
def cellar() -> Cellar:
    """The shipped rule base. These tests judge by the plain chain, which concludes what the network does."""
    return Cellar(read_rule_base([shipped_folder("rules")]))
