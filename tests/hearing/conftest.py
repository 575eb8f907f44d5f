from __future__ import annotations

import pytest
from diagnose.hearing.hear import Ear
from diagnose.knowledge.rule_base import RuleBase
from rates import ear, shipped


@pytest.fixture(scope="session")
def base() -> RuleBase:
    """The rules that come along."""
    return shipped()


@pytest.fixture(scope="session")
def listening() -> Ear:
    """The ear of the shipped rules."""
    return ear()
