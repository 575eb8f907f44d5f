"""Lends these tests the invented rule folder of the loader's tests, and the book of the rules that came along."""

from __future__ import annotations

import sys
from collections.abc import Sequence
from datetime import date
from functools import partial
from pathlib import Path

import pytest
from diagnose.book.made import make_book
from diagnose.book.told import Book
from diagnose.judgement.judge import Cellar
from diagnose.knowledge.read import read_rule_base
from diagnose.knowledge.rule_base import RuleBase
from diagnose.review.trying import Tried, try_case
from diagnose.shipped import shipped_folder

TESTS = Path(__file__).resolve().parents[1]
sys.path[:0] = [str(TESTS / "knowledge")]

DAY = date(2026, 3, 14)
CASES = ("haze/demonstration", "runaway/sweet_cider_bursts_on_the_shelf", "stuck/nothing_fits")


@pytest.fixture(scope="session")
def cellar() -> Cellar:
    """The rules that came along, made ready."""
    return Cellar(read_rule_base([shipped_folder("rules")]))


@pytest.fixture(scope="session")
def base(cellar: Cellar) -> RuleBase:
    """The rules that came along."""
    return cellar.base


@pytest.fixture(scope="session")
def tried(cellar: Cellar) -> Sequence[Tried]:
    """Three worked cases, tried."""
    return tuple(map(partial(try_case, cellar), (shipped_folder("cases") / f"{case}.yaml" for case in CASES)))


@pytest.fixture(scope="session")
def book(cellar: Cellar, tried: Sequence[Tried]) -> Book:
    """The book of the rules that came along, with what three cases say."""
    return make_book(cellar, tried, "metric", DAY)
