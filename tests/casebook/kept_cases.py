"""One small invented cellar, and cases of it kept in a folder."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from diagnose.casebook.case import CaseState
from diagnose.casebook.store import OpenCase, load_case, new_case, open_case
from diagnose.engine.facts import Value
from hypothesis import strategies as st
from made_bases import base_of, cellar_pages

BASE = base_of(*cellar_pages())
HEAD = b'case: "mine"\ntitle: "Mine"\ntopic: "haze"\ncase_format: 1\nevents:\n'
Said = tuple[str, str, Any]
"""What happened, the question, and the answer if there is one."""

WINE: list[Said] = [
    ("answered", "bubbles", "yes"),
    ("answered", "colour", "white"),
    ("answered", "smells", frozenset({"vinegar", "yeast"})),
    ("answered", "heated", 12.5),
    ("skipped", "recently_fined", None),
    ("put_off", "heat_test", None),
]
"""One of everything that can be said to a question."""


def begun(folder: Path) -> Path:
    """A new case."""
    return new_case(folder, "Invented", ("haze",), "metric", BASE)


def keep(record: OpenCase, *said: Said) -> None:
    """Write what was said."""
    for did, about, value in said:
        record.record(did, about, value)


def kept(folder: Path, *said: Said) -> Path:
    """A case of which all this is on disk."""
    path = begun(folder)
    with open_case(path, BASE) as record:
        keep(record, *said)
    return path


def replayed(path: Path) -> dict[str, Any]:
    """Where the case stands, read from its file."""
    return state_of(load_case(path, BASE)[1])


def state_of(state: CaseState) -> dict[str, Any]:
    """What events have brought about in a case, without what the rules say."""
    of_the_rules = ("steps_of", "base", "set_aside", "_answered_by_log")
    return {name: value for name, value in vars(state).items() if name not in of_the_rules}


def values_of(name: str) -> st.SearchStrategy[Value]:
    """Every answer that a question of the small cellar takes."""
    observation = BASE.observations[name]
    if observation.kind == "number":
        assert observation.plausible is not None
        return st.floats(*observation.plausible)
    if observation.kind == "several":
        together = [word for word in observation.choices if word not in observation.standing_alone]
        alone = [frozenset({word}) for word in observation.standing_alone]
        return st.frozensets(st.sampled_from(together), min_size=1) | st.sampled_from(alone)
    return st.sampled_from(observation.answers)
