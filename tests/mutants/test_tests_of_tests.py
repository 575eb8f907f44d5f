"""The page about changed programs says what was measured, and what changes the program is the change that is told."""

from __future__ import annotations

import ast
import sys
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

sys.path.insert(0, str(Path(__file__).parent))

import mutants_page
from changes import ROOMS, ROOT, mutants, mutated

FILES = [file for room in ROOMS for file in sorted((ROOT / "diagnose" / room).rglob("*.py"))]


def test_the_page_is_the_one_made_from_what_was_measured() -> None:
    """docs/mutants.md says what the last runs found, with the reasons as a person keeps them."""
    assert mutants_page.PAGE.read_text("utf-8") == mutants_page.page(*mutants_page.read())


def test_no_reason_outlives_its_line() -> None:
    """A reason speaks of a change that can still be made to a line that still stands."""
    _, reasons = mutants_page.read()
    there = {
        (one.file, one.text, one.change)
        for file in {reason["file"] for reason in reasons}
        for one in mutants(ROOT / file)
    }
    stale = [one for one in reasons if (one["file"], one["text"], one["change"]) not in there]
    assert not stale
    assert all(one["reason"].strip() for one in reasons)


@pytest.mark.parametrize("file", FILES[::7], ids=lambda file: file.stem)
def test_each_change_is_one_change(file: Path) -> None:
    """Each change makes a program that can be read in, unlike the one that stands and unlike every other."""
    made = [ast.dump(mutated(mutant)) for mutant in mutants(file)]
    assert len({*made, ast.dump(ast.parse(file.read_text("utf-8")))}) == len(made) + 1
    for mutant in mutants(file)[::9]:
        compile(mutated(mutant), str(file), "exec")


@pytest.mark.parametrize(
    ("killed", "drawn", "low", "high"),
    [(81, 263, 25.5, 36.6), (15, 148, 6.2, 16.0), (0, 20, 0.0, 16.1), (1, 29, 0.6, 17.2)],
)
def test_the_interval_is_wilsons(killed: int, drawn: int, low: float, high: float) -> None:
    """The four shares Newcombe works by the score method (Statistics in Medicine 17, 857-872, 1998; from memory)."""
    assert mutants_page.interval(killed, drawn) == pytest.approx((low, high), abs=0.06)


@given(st.integers(1, 500), st.data())
def test_the_interval_holds_the_rate_that_was_seen(drawn: int, data: st.DataObject) -> None:
    """What was seen lies within the interval, and the interval within what can be."""
    killed = data.draw(st.integers(0, drawn))
    low, high = mutants_page.interval(killed, drawn)
    assert -1e-9 <= low <= 100 * killed / drawn + 1e-9
    assert 100 * killed / drawn - 1e-9 <= high <= 100 + 1e-9
