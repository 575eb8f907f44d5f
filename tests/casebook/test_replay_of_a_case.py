from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

import pytest
from diagnose.casebook.store import load_case, new_case, open_case
from diagnose.engine.facts import Fact, Value
from diagnose.knowledge.models.facts import Observation
from diagnose.knowledge.read import read_rule_base
from hypothesis import given, settings
from hypothesis import strategies as st
from kept_cases import BASE, WINE, Said, begun, keep, kept, replayed, state_of, values_of

RULES = Path(__file__).resolve().parents[2] / "rules"


def model(said: list[Said]) -> dict[str, Any]:
    """Where a case must stand, worked out on one plain dictionary in the order of the last meeting."""
    met: dict[str, tuple[str, Value | None]] = {}
    for did, about, value in said:
        met.pop(about, None)
        if did != "took_back":
            met[about] = (did, value)
    return {
        "answers": {name: value for name, (did, value) in met.items() if did == "answered"},
        "skipped": {name for name, (did, _) in met.items() if did == "skipped"},
        "put_off": {name for name, (did, _) in met.items() if did == "put_off"},
        "order": list(met),
        **{kept: [] for kept in ("trials", "readings", "work", "notes")},
        "shown": {},
        "closed": None,
    }


def without_days(state: Mapping[str, Any]) -> dict[str, Any]:
    """Where a case stands, without the days of its answers."""
    assert set(state["answered_on"]) == set(state["answers"])
    return {name: part for name, part in state.items() if name != "answered_on"}


def something_said(name: str) -> st.SearchStrategy[Said]:
    """One thing that may happen to a question."""
    other = st.sampled_from(["skipped", "put_off", "took_back"])
    return st.one_of(
        st.tuples(st.just("answered"), st.just(name), values_of(name)),
        st.tuples(other, st.just(name), st.none()),
    )


SAID = st.sampled_from(sorted(BASE.observations)).flatmap(something_said)


@settings(max_examples=60)
@given(st.lists(SAID, max_size=12), st.integers(0, 12))
def test_any_way_through_a_case_replays_to_the_same_place(said: list[Said], night: int) -> None:
    """Answered, corrected, undone, skipped, put off, on one evening or two: memory, file and plain model agree."""
    with TemporaryDirectory() as folder:
        path = begun(Path(folder))
        for evening in (said[:night], said[night:]):
            with open_case(path, BASE) as record:
                keep(record, *evening)
                in_memory = state_of(record.state)
        assert in_memory == replayed(path) and without_days(in_memory) == model(said)


def shipped_answers(observation: Observation) -> list[Value]:
    """Each answer a shipped question takes; for a number both ends and a third of the way."""
    if observation.kind == "number":
        assert observation.plausible is not None
        low, high = observation.plausible
        return [low, high, low + (high - low) / 3]
    if observation.kind == "several":
        return [frozenset({word}) for word in observation.choices]
    return list(observation.answers)


@pytest.mark.parametrize("units", ["metric", "us"])
def test_every_answer_of_every_shipped_question_can_be_kept(tmp_path: Path, units: str) -> None:
    """What the shipped rules ask, the file holds: to the last digit, in either system of units."""
    base = read_rule_base([RULES])
    every = {name: shipped_answers(observation) for name, observation in base.observations.items()}
    for turn in range(max(map(len, every.values()))):
        given_now = {name: answers[turn] for name, answers in every.items() if turn < len(answers)}
        path = new_case(tmp_path, "Invented", ("haze",), units, base)
        with open_case(path, base) as record:
            for name, value in given_now.items():
                record.record("answered", name, value)
        case, state = load_case(path, base)
        assert state.answers == given_now and case.units == units


def test_a_correction_takes_the_place_of_the_answer(tmp_path: Path) -> None:
    """The later answer counts, and both stay in the file."""
    path = kept(tmp_path, ("answered", "colour", "white"), ("answered", "colour", "red"))
    case, state = load_case(path, BASE)
    assert state.facts() == (Fact("colour", "red"),)
    assert [event.value for event in case.events] == ["white", "red"]


def test_an_answer_taken_back_leaves_the_question_as_if_never_met(tmp_path: Path) -> None:
    """Going back past a correction does not bring the first answer back: it is asked again."""
    first, second = ("answered", "colour", "white"), ("answered", "colour", "red")
    path = kept(tmp_path, WINE[0], first, second, ("took_back", "colour", None))
    assert without_days(replayed(path)) == model([WINE[0]])


def test_a_question_put_off_and_then_answered_waits_no_longer(tmp_path: Path) -> None:
    """The result of the heat test is there, so it is not asked for again."""
    path = kept(tmp_path, *WINE, ("answered", "heat_test", "hazier"))
    state = replayed(path)
    assert state["put_off"] == set() and state["answers"]["heat_test"] == "hazier"


def test_what_was_given_at_once_and_what_came_later_add_up(tmp_path: Path) -> None:
    """A case begun by hand with `facts` and `skipped` goes on with events; the event has the last word."""
    path = tmp_path / "mine.yaml"
    path.write_text(
        "case: mine\ntitle: Mine\nfacts: {colour: white, heated: 20 NTU}\nskipped: [bubbles]\nevents:\n"
    )
    with open_case(path, BASE) as record:
        keep(record, ("answered", "bubbles", "no"), ("answered", "colour", "red"))
    assert replayed(path)["answers"] == {"heated": 20, "bubbles": "no", "colour": "red"}
    assert replayed(path)["skipped"] == set()


def test_what_was_read_at_the_bench_is_kept_whole_and_is_no_answer(tmp_path: Path) -> None:
    """Two trials of one fix come back number for number, in the order of the bench."""
    first = {"fix": "bentonite", "outcome": "none_enough", "readings": [[0.1, 8.5], [0.25, None]]}
    second = {"fix": "bentonite", "outcome": "chosen", "dose": 0.4, "readings": [[0.4, 1e-5]]}
    path = begun(tmp_path)
    with open_case(path, BASE) as record:
        for data in (first, second):
            record.record("trial_read", data=data)
    state = load_case(path, BASE)[1]
    assert [(trial.did, trial.data) for trial in state.trials] == [
        ("trial_read", first),
        ("trial_read", second),
    ]
    assert state.answers == {} and state.order == []
