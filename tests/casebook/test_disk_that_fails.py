"""Disks that are full, slow or poor, and two people at once: what a person is told, and what is still there."""

from __future__ import annotations

import getpass
import os
import sys
from pathlib import Path

import pytest
from diagnose.casebook import held, store
from diagnose.casebook.held import put_new
from diagnose.casebook.store import ARCHIVED, CannotKeep, list_cases, load_case, open_case
from kept_cases import BASE, HEAD, WINE, begun, keep, kept, replayed

ANSWER = ("answered", "heat_test", "hazier")


def every_name_is_taken(path: Path, raw: bytes) -> None:
    """A folder in which somebody was always a moment quicker."""
    raise FileExistsError(17, "File exists")


def no_room(path: Path, raw: bytes) -> None:
    """A disk with no room for another file."""
    raise OSError(28, "No space left on device")


# ---------------------------------------------------------------- no free name, no room


def test_where_every_name_is_taken_no_case_is_begun(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """After a thousand names it is said, and nothing of another case is written over."""
    monkeypatch.setattr(store, "put_new", every_name_is_taken)
    with pytest.raises(CannotKeep, match="holds a thousand cases of today already"):
        begun(tmp_path)
    assert list_cases(tmp_path) == []


def test_where_no_backup_can_be_put_an_old_case_stays_old(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A case of format 1 is not changed where its copy finds no name."""
    path = tmp_path / "mine.yaml"
    path.write_bytes(HEAD)
    monkeypatch.setattr(store, "put_new", every_name_is_taken)
    with pytest.raises(CannotKeep, match=r"a thousand copies of mine\.yaml already"), open_case(path, BASE):
        pytest.fail("it was changed without a copy")
    assert path.read_bytes() == HEAD


@pytest.mark.parametrize(
    ("disk", "says"),
    [
        (
            no_room,
            "could not be put beside it: no space left on device. Write down what this screen still shows",
        ),
        (every_name_is_taken, "holds a thousand copies of"),
    ],
    ids=["full", "no free name"],
)
def test_what_cannot_even_be_put_beside_a_changed_file_is_said(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, disk: object, says: str
) -> None:
    """Another program wrote into the open case and the disk takes no copy: the person must save it by hand."""
    path = kept(tmp_path, *WINE)
    with open_case(path, BASE) as record:
        path.write_bytes(b"theirs")
        monkeypatch.setattr(store, "put_new", disk)
        with pytest.raises(CannotKeep) as refused:
            keep(record, ANSWER)
    assert says in str(refused.value)
    assert path.read_bytes() == b"theirs"


# ---------------------------------------------------------------- two at once


@pytest.mark.parametrize("taken", [True, False], ids=["the name is taken", "the folder was emptied"])
def test_a_half_written_case_swept_away_is_begun_anew_or_refused(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, taken: bool
) -> None:
    """Who began a case of this name a moment earlier swept the half one away: the next name is taken, or it is said."""
    give_name = held.rename_to_free
    swept: list[Path] = []

    def sweep_first(path: Path, to: Path) -> None:
        if not swept:
            swept.append(to)
            path.unlink()
            if taken:
                to.write_bytes(HEAD)
        give_name(path, to)

    monkeypatch.setattr(held, "rename_to_free", sweep_first)
    if taken:
        mine = begun(tmp_path)
        assert mine.stem == f"{swept[0].stem}_2" and swept[0].read_bytes() == HEAD
        assert load_case(mine, BASE)[0].title == "Invented"
    else:
        with pytest.raises(CannotKeep, match=r"no such file or directory\. Nothing was lost"):
            begun(tmp_path)
        assert list_cases(tmp_path) == []


def test_a_case_replaced_before_it_is_locked_is_opened_as_it_is_now(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Between opening and locking, another terminal changed the head: its file is the one gone on with."""
    path = kept(tmp_path, *WINE)
    raw, lock = path.read_bytes(), held._lock
    replaced: list[Path] = []

    def replace_first(file: object, at: Path) -> None:
        if not replaced:
            replaced.append(at)
            new = at.with_name("new")
            new.write_bytes(raw.replace(b"Invented", b"Renamed"))
            new.replace(at)
        lock(file, at)  # type: ignore[arg-type]

    monkeypatch.setattr(held, "_lock", replace_first)
    with open_case(path, BASE) as record:
        assert record.case.title == "Renamed"
        keep(record, ANSWER)
    assert replayed(path)["answers"]["heat_test"] == "hazier" and b"Renamed" in path.read_bytes()


def test_another_case_of_the_same_name_in_the_archive_is_left(tmp_path: Path) -> None:
    """Only the very same file under two names was cut off on its way; another wine's case is not taken away."""
    path = kept(tmp_path, *WINE)
    other = tmp_path / ARCHIVED / path.name
    other.parent.mkdir()
    other.write_bytes(HEAD)
    with open_case(path, BASE) as record:
        assert record.mended == ""
    assert other.read_bytes() == HEAD


# ---------------------------------------------------------------- poor machines


def test_on_a_stick_without_second_names_nothing_is_written_over(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A disk of an old format keeps a new file as well as any, and refuses one whose name is taken."""

    def unknown_here(*names: object, **more: object) -> None:
        raise OSError(95, "Operation not supported")

    monkeypatch.setattr(os, "link", unknown_here)
    path = begun(tmp_path)
    whole = path.read_bytes()
    with pytest.raises(FileExistsError):
        put_new(path, b"another")
    assert path.read_bytes() == whole and len(list(tmp_path.iterdir())) == 1


def test_a_machine_without_locks_keeps_answers_all_the_same(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """There nobody is kept out, and every answer is on the disk."""
    path = begun(tmp_path)
    monkeypatch.setitem(sys.modules, "fcntl", None)
    with open_case(path, BASE), open_case(path, BASE) as record:
        keep(record, *WINE)
    assert replayed(path)["answers"]["colour"] == "white"


def test_somebody_without_a_name_still_keeps_a_second_terminal_out(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A user without a name, and a process of somebody else: the refusal still says where the case is open."""

    def nameless() -> str:
        raise KeyError("no entry for this user")

    def of_another(process: int, signal: int) -> None:
        raise PermissionError(1, "Operation not permitted")

    monkeypatch.setattr(getpass, "getuser", nameless)
    monkeypatch.setattr(os, "kill", of_another)
    path = begun(tmp_path)
    with open_case(path, BASE), pytest.raises(CannotKeep) as refused, open_case(path, BASE):
        pytest.fail("two would write one case")
    assert "(somebody on " in str(refused.value) and f"process {os.getpid()}" in str(refused.value)


def test_a_link_that_leads_nowhere_hides_no_case(tmp_path: Path) -> None:
    """It counts as the oldest, so that the case worked on last is still the one gone on with."""
    path = begun(tmp_path)
    (tmp_path / "a_link.yaml").symlink_to(tmp_path / "gone.yaml")
    assert list_cases(tmp_path) == ["a_link", path.stem]
