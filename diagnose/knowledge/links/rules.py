"""Free rules: the tests, fixes and cautions they speak of must be known."""

from __future__ import annotations

from collections.abc import Iterator

from ..chains import reads
from ..load import Located
from ..models.rules import NeverDone, Rule
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
    questions = names.known("observe")
    yield from check_words(located, ("do_not_ask",), item.do_not_ask, questions, "a known question")
    yield from check_words(located, ("offer",), item.offer, names.known("fix"), "a known fix")
    yield from check_words(located, ("warn",), item.warn, names.known("caution"), "a known caution")
    yield from check_words(located, ("look_into",), item.look_into, names.known("topic"), "a known topic")
    if item.look_into:
        yield from _found_beforehand(located, item)
    for index, forbid in enumerate(item.forbid):
        yield from check_words(
            located, ("forbid", index, "fix"), forbid.fix, names.known("fix"), "a known fix"
        )


def _found_beforehand(located: Located, item: Rule) -> Iterator[Problem]:
    """A topic is opened by findings, since its causes are weighed only once it is open."""
    read = reads(item.when)
    for name in sorted(read.known | read.unknown):
        if "." in name:
            what = f"a rule that opens a topic cannot read '{name}', which is known only once causes have been weighed."
            yield located.problem(("when",), what, "Read answers and states only.")


def check_never_done(located: Located, names: Names) -> Iterator[Problem]:
    """What is named instead of a wrong way, and its cautions, must be known."""
    item = located.item
    assert isinstance(item, NeverDone)
    yield from check_words(located, ("instead",), item.instead, names.known("fix"), "a known fix")
    yield from check_words(located, ("caution",), item.caution, names.known("caution"), "a known caution")
