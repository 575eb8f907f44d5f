from __future__ import annotations

import os
import resource
import signal
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

import pytest
from diagnose.casebook.store import CannotKeep, Happened, list_cases, load_case, open_case
from hypothesis import given, settings
from hypothesis import strategies as st
from kept_cases import BASE, HEAD, WINE, begun, keep, kept, replayed, state_of
from pydantic import ValidationError

# A second terminal: it answers, says so, and stands there with the case in hand until it is killed.
OTHER_TERMINAL = """
import sys
from pathlib import Path
sys.path[:0] = {paths!r}
from diagnose.casebook.store import open_case
from kept_cases import BASE, WINE, keep
with open_case(Path({case!r}), BASE) as record:
    keep(record, *WINE)
    print("kept", flush=True)
    sys.stdin.read()
"""


@contextmanager
def other_terminal(case: Path) -> Iterator[subprocess.Popen[str]]:
    """Another process that has answered all of WINE and holds the case."""
    here = Path(__file__).resolve()
    script = OTHER_TERMINAL.format(paths=[str(here.parent), str(here.parents[1] / "engine")], case=str(case))
    pipes = {"stdin": subprocess.PIPE, "stdout": subprocess.PIPE, "text": True}
    with subprocess.Popen([sys.executable, "-c", script], **pipes) as process:  # type: ignore[call-overload]
        try:
            assert process.stdout.readline() == "kept\n"
            yield process
        finally:
            process.kill()


@contextmanager
def disk_with_room_for(size: int) -> Iterator[None]:
    """A disk on which no file can grow past this size; the system itself refuses the write."""
    soft, hard = resource.getrlimit(resource.RLIMIT_FSIZE)
    resource.setrlimit(resource.RLIMIT_FSIZE, (size, hard))
    try:
        yield
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, (soft, hard))


# ---------------------------------------------------------------- each answer at once


def test_every_answer_is_forced_to_the_disk_before_the_next(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """When an answer returns, its whole line was in the file and the disk was told to keep it."""
    path = begun(tmp_path)
    on_disk: list[bytes] = []
    force = os.fsync

    def watched(file: int) -> None:
        force(file)
        on_disk.append(path.read_bytes())

    monkeypatch.setattr(os, "fsync", watched)
    with open_case(path, BASE) as record:
        for count, said in enumerate(WINE, start=1):
            keep(record, said)
            assert len(on_disk) == count, "once for each answer"
            assert on_disk[-1] == path.read_bytes() and on_disk[-1].endswith(b"}\n")
            assert on_disk[-1].count(b'"did"') == count


def test_a_new_case_is_forced_to_the_disk(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The head is safe before the file has its name, and the name before the first question."""
    forced: list[list[str]] = []
    monkeypatch.setattr(os, "fsync", lambda _: forced.append(sorted(os.listdir(tmp_path))))  # noqa: PTH208
    path = begun(tmp_path)
    half = next(names for names in forced if names)
    assert len(half) == 1 and half[0].startswith(f".{path.name}.")
    assert forced[-1] == [path.name]


def test_a_program_that_is_killed_has_kept_every_answer(tmp_path: Path) -> None:
    """Killed without a chance to tidy up, it leaves all that was answered, and lets go of the case."""
    path = begun(tmp_path)
    with other_terminal(path) as process:
        process.kill()
        assert process.wait() == -signal.SIGKILL
    with open_case(path, BASE) as record:
        assert "cut off" in record.mended and len(record.case.events) == len(WINE)
        assert record.state.answers == {about: value for did, about, value in WINE if did == "answered"}


# ---------------------------------------------------------------- the power goes


def test_several_entries_at_once_are_kept_all_or_none(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Readings of one table go in together: a disk that fails in between leaves none of them, and no stray file."""
    path = kept(tmp_path, *WINE)
    whole = path.read_bytes()
    several = [Happened("noted", value="one"), Happened("noted", value="two")]

    def failing(_: int) -> None:
        raise OSError(5, "Input/output error")

    with open_case(path, BASE) as record:
        with monkeypatch.context() as bad, pytest.raises(CannotKeep, match="as it was"):
            bad.setattr(os, "fsync", failing)
            record.record_all(several)
        assert path.read_bytes() == whole and record.state.notes == []
        record.record_all(several)
        keep(record, ("answered", "heat_test", "hazier"))
    assert [event.value for event in load_case(path, BASE)[1].notes] == ["one", "two"]
    assert list_cases(tmp_path) == [path.stem] and len(list(tmp_path.iterdir())) == 1


def test_a_line_cut_at_any_byte_is_dropped_and_told(tmp_path: Path) -> None:
    """Wherever the power went in the last line, all before it stands, the drop is told, and the case goes on."""
    path = kept(tmp_path, *WINE)
    before, whole = replayed(path), path.read_bytes()
    with open_case(path, BASE) as record:
        record.record("trial_read", data={"fix": "bentonite", "glass": "große Flasche"})
    line = path.read_bytes()[len(whole) :]
    for cut in range(1, len(line)):
        path.write_bytes(whole + line[:cut])
        assert replayed(path) == before and path.read_bytes() == whole + line[:cut], "reading leaves it alone"
        with open_case(path, BASE) as record:
            assert record.mended.count(".") == 1 and "half written" in record.mended
            assert state_of(record.state) == before and path.read_bytes() == whole
    with open_case(path, BASE) as record:
        assert record.mended == "", "told once"
        keep(record, ("answered", "heat_test", "hazier"))
    assert replayed(path)["answers"] == {**before["answers"], "heat_test": "hazier"}


@pytest.mark.parametrize("written", [0, 1, 20])
def test_noughts_left_by_the_disk_are_dropped_with_the_half_line(tmp_path: Path, written: int) -> None:
    """Some disks hold the length of the line and not its letters."""
    path = kept(tmp_path, *WINE)
    whole = path.read_bytes()
    path.write_bytes(whole + whole.splitlines()[-1][:written] + bytes(60))
    with open_case(path, BASE) as record:
        assert "half written" in record.mended
    assert path.read_bytes() == whole


@settings(max_examples=40)
@given(st.floats(0, 1))
def test_a_file_cut_anywhere_loses_nothing_whole(share: float) -> None:
    """Cut at any byte after its head, a case opens with exactly the events whose lines are whole."""
    with TemporaryDirectory() as folder:
        path = kept(Path(folder), *WINE)
        raw = path.read_bytes()
        head = raw.index(b"\n- ") + 1
        cut = raw[: head + round(share * (len(raw) - head))]
        path.write_bytes(cut)
        with open_case(path, BASE) as record:
            assert bool(record.mended) is not cut.endswith(b"\n")
            assert len(record.case.events) == cut[head:].count(b"\n")
        assert path.read_bytes() == cut[: cut.rindex(b"\n") + 1]


def test_a_last_line_left_open_by_a_person_is_kept(tmp_path: Path) -> None:
    """An editor that ends no last line did not cut it: the answer counts, and the next goes under it."""
    path = tmp_path / "mine.yaml"
    path.write_bytes(HEAD + b"- at: 2026-03-14\n  did: answered\n  about: colour\n  value: white")
    with open_case(path, BASE) as record:
        assert "half written" not in record.mended and record.state.answers == {"colour": "white"}
        keep(record, ("answered", "bubbles", "no"))
    assert replayed(path)["answers"] == {"colour": "white", "bubbles": "no"}


# ---------------------------------------------------------------- the disk is full


def test_an_answer_that_does_not_fit_leaves_the_case_as_it_was(tmp_path: Path) -> None:
    """However much of the line still fits, it is taken away again and said; with room again the case goes on."""
    path = kept(tmp_path, *WINE)
    whole, before = path.read_bytes(), replayed(path)
    with open_case(path, BASE) as record:
        for room in (0, 1, 40):
            with disk_with_room_for(len(whole) + room), pytest.raises(CannotKeep) as refused:
                record.record("answered", "heat_test", "hazier")
            assert str(path) in str(refused.value) and "Everything before it is safe." in str(refused.value)
            assert path.read_bytes() == whole and state_of(record.state) == before
        record.record("answered", "heat_test", "hazier")
    assert replayed(path)["answers"]["heat_test"] == "hazier"


def test_a_disk_that_fails_when_forced_keeps_no_half_answer(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """An answer the disk took and then could not promise is not acknowledged, in the file or in memory."""
    path = kept(tmp_path, *WINE)
    whole, before = path.read_bytes(), replayed(path)

    def failing(_: int) -> None:
        raise OSError(5, "Input/output error")

    with open_case(path, BASE) as record:
        monkeypatch.setattr(os, "fsync", failing)
        with pytest.raises(CannotKeep, match="input/output error"):
            record.record("answered", "heat_test", "hazier")
        assert state_of(record.state) == before
    assert path.read_bytes() == whole


@pytest.mark.parametrize("room", [0, 30])
def test_a_case_that_cannot_be_begun_leaves_no_stump(tmp_path: Path, room: int) -> None:
    """A half head would be the newest case, and the one gone on with tomorrow."""
    older = kept(tmp_path, *WINE)
    with disk_with_room_for(room), pytest.raises(CannotKeep, match="Nothing was lost"):
        begun(tmp_path)
    assert list_cases(tmp_path) == [older.stem] and len(list(tmp_path.iterdir())) == 1


# ---------------------------------------------------------------- one terminal at a time


def test_a_second_terminal_is_kept_out(tmp_path: Path) -> None:
    """While another process holds a case it cannot be opened to answer, only read; once let go it opens."""
    path = begun(tmp_path)
    with other_terminal(path):
        held = path.read_bytes()
        with pytest.raises(CannotKeep, match="open in another terminal") as refused, open_case(path, BASE):
            pytest.fail("two consultations would write one case")
        assert path.stem in str(refused.value)
        assert path.read_bytes() == held
        assert len(load_case(path, BASE)[0].events) == len(WINE)
    with open_case(path, BASE) as record:
        assert len(record.case.events) == len(WINE)


def test_a_half_line_of_another_terminal_is_left_to_it(tmp_path: Path) -> None:
    """A line that is just being written is not taken for one the power cut."""
    path = kept(tmp_path, *WINE)
    with open_case(path, BASE):
        with path.open("ab") as file:
            file.write(b'- {"at": "2026-03-14", "did"')
        written = path.read_bytes()
        with pytest.raises(CannotKeep, match="open in another terminal"), open_case(path, BASE):
            pytest.fail("two consultations would write one case")
        assert path.read_bytes() == written


def test_two_cases_can_be_open_at_once(tmp_path: Path) -> None:
    """Two vessels in trouble are two cases; neither name is used twice."""
    one, two = begun(tmp_path), begun(tmp_path)
    with open_case(one, BASE) as first, open_case(two, BASE) as second:
        keep(first, ("answered", "colour", "white"))
        keep(second, ("answered", "colour", "red"))
    assert [replayed(path)["answers"]["colour"] for path in (one, two)] == ["white", "red"]


def test_a_consultation_that_breaks_lets_go_of_its_case(tmp_path: Path) -> None:
    """Whatever ends a consultation, the case opens again at once."""
    path = begun(tmp_path)
    with pytest.raises(KeyboardInterrupt), open_case(path, BASE) as record:
        keep(record, *WINE)
        raise KeyboardInterrupt
    with open_case(path, BASE) as record:
        assert len(record.case.events) == len(WINE)


# ---------------------------------------------------------------- what is never written


@pytest.mark.parametrize(
    "event",
    [
        {"did": "drunk"},
        {"did": "answered", "about": "colour"},
        {"did": "skipped"},
        {"did": "skipped", "about": "Not A Name"},
    ],
    ids=["no such event", "no value", "no question", "no name"],
)
def test_an_event_that_could_not_be_read_again_is_not_written(tmp_path: Path, event: dict[str, Any]) -> None:
    """One bad line would shut the whole case, so it is refused before it is on the disk."""
    path = kept(tmp_path, *WINE)
    whole = path.read_bytes()
    with open_case(path, BASE) as record, pytest.raises(ValidationError):
        record.record(**event)
    assert path.read_bytes() == whole
