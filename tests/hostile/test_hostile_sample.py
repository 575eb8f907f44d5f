"""A short sample of the long run, the same inputs each time: see `run.py` for the hundred thousands."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from random import Random

import pytest
from doors import WAYS, Cellars, cellars, knock, made
from real_command import COMMANDS, run_command, wrong_with

INPUTS = {
    "rule folder": 15,
    "case file to its report": 8,
    "own words": 40,
    "quantity": 400,
    "typed answer": 400,
}


@pytest.fixture(scope="module")
def room() -> Iterator[Cellars]:
    """The rules that ship, read once, and a folder."""
    with cellars() as ready:
        yield ready


@pytest.mark.parametrize("name", WAYS)
def test_every_door_lets_in_or_refuses_in_our_own_words(room: Cellars, name: str, monkeypatch) -> None:
    """Whatever somebody hands over: no traceback, no hang, nothing run, no file touched, no sign a terminal obeys."""
    monkeypatch.setenv("DIAGNOSE_SETTINGS", "")
    way, rng = WAYS[name], Random(f"{name} sample")
    let_in = [knock(room, way, made(way, rng), seconds=10)[0] for _ in range(INPUTS.get(name, 120))]
    assert not all(let_in), "a sample that refuses nothing tests nothing"


@pytest.mark.parametrize("name", WAYS)
def test_what_is_whole_is_let_in(room: Cellars, name: str, monkeypatch) -> None:
    """The doors are not shut: an unharmed file of each kind goes through."""
    monkeypatch.setenv("DIAGNOSE_SETTINGS", "")
    assert any(knock(room, WAYS[name], seed, seconds=10)[0] for seed in WAYS[name].seeds()[-30:])


@pytest.mark.parametrize("name", COMMANDS)
def test_the_real_command_stays_calm(tmp_path: Path, name: str) -> None:
    """The same through the command itself, in a process of its own."""
    raw = made(WAYS[name], Random(f"{name} command"))
    assert wrong_with(run_command(tmp_path, name, raw)) == ""
