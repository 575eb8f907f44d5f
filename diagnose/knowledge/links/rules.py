"""Free rules: the tests, fixes and cautions they speak of must be known."""

from __future__ import annotations

from collections.abc import Iterator

from ..load import Located
from ..models.rules import Rule
from ..problems import Problem
from .conditions import check_condition
from .names import Names, check_words


def check_rule(located: Located, names: Names) -> Iterator[Problem]:
    """Every name on the page of a rule is known, and fits there."""
    item = located.item
    assert isinstance(item, Rule)
    yield from check_condition(located, ("when",), item.when, names, concluded=True)
    yield from check_words(located, ("request",), item.request, names.known("test"), "a known test")
    yield from check_words(located, ("withhold",), item.withhold, names.known("test"), "a known test")
    yield from check_words(located, ("offer",), item.offer, names.known("fix"), "a known fix")
    yield from check_words(located, ("warn",), item.warn, names.known("caution"), "a known caution")
    for index, forbid in enumerate(item.forbid):
        yield from check_words(
            located, ("forbid", index, "fix"), forbid.fix, names.known("fix"), "a known fix"
        )
