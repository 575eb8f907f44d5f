from __future__ import annotations

import os
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest
from diagnose.bounds import MOST_TOLD
from diagnose.casebook.store import CannotKeep, list_cases, load_case, open_case
from diagnose.knowledge.problems import Problem, RuleFilesWrong
from hypothesis import example, given
from hypothesis import strategies as st
from kept_cases import BASE, HEAD, WINE, begun, kept, replayed

NOBODY = 65534


@contextmanager
def folder_of_an_ordinary_person() -> Iterator[Path]:
    """A folder of somebody whom permissions bind; root would write through them."""
    was = os.geteuid()
    if was == 0:
        os.seteuid(NOBODY)
    try:
        # Not under tmp_path, which only its owner may enter.
        with tempfile.TemporaryDirectory() as folder:
            yield Path(folder)
    finally:
        os.seteuid(was)


def problems_of(path: Path) -> tuple[Problem, ...]:
    """What is wrong with a file, the same to one who goes on with it and one who reads it; it stays as it was."""
    raw = path.read_bytes()
    with pytest.raises(RuleFilesWrong) as going_on, open_case(path, BASE):
        pytest.fail("it should be refused")
    with pytest.raises(RuleFilesWrong) as reading:
        load_case(path, BASE)
    assert going_on.value.problems == reading.value.problems
    assert path.read_bytes() == raw, "a refused file is left as it was"
    return going_on.value.problems


def refused(tmp_path: Path, raw: bytes) -> Problem:
    """The one thing wrong with a file of these bytes."""
    path = tmp_path / "mine.yaml"
    path.write_bytes(raw)
    (problem,) = problems_of(path)
    return problem


# ---------------------------------------------------------------- no case at all


@pytest.mark.parametrize("end", [b"\n", b""], ids=["whole", "open"])
@pytest.mark.parametrize(
    ("raw", "line", "says"),
    [
        (HEAD.replace(b"Mine", b"Ros\xe9"), 2, "is not UTF-8 text"),
        (HEAD.decode().encode("utf-16"), 1, "is not UTF-8 text"),
        (HEAD + b"- {[", 6, "bracket"),
        (b"case: mine\n  title: [unfinished", 2, ""),
        (b"Notes on the plum wine:\nit smells of [", 2, ""),
        (b"- a\n- list", 1, "not a case file"),
        (b"just words", 1, "not a case file"),
        (b"", 1, "not a case file"),
        (HEAD + b"\x00\x00\n- {}", 6, "invisible character"),
    ],
    ids=["latin-1", "utf-16", "bracket", "not yaml", "notes", "list", "words", "empty", "noughts"],
)
def test_a_file_that_is_no_case_is_refused_with_its_place(
    tmp_path: Path, raw: bytes, line: int, says: str, end: bytes
) -> None:
    """Whatever lies there under the name of a case is told with file and line, and not a byte of it is touched."""
    problem = refused(tmp_path, raw + end)
    assert problem.place.file == str(tmp_path / "mine.yaml") and problem.place.line == line
    assert says in problem.what and problem.mend


@pytest.mark.parametrize("end", [b"\n", b""], ids=["whole", "open"])
@pytest.mark.parametrize(
    "junk", [b"x", b"\n", b"\0", b"\xff", HEAD], ids=["x", "lines", "0", "bytes", "case"]
)
def test_ten_megabytes_of_junk_are_refused_and_left(tmp_path: Path, junk: bytes, end: bytes) -> None:
    """A file far too large is told so, and is not cut, whatever it holds."""
    raw = (junk * (10_000_000 // len(junk) + 1))[:10_000_000] + end
    assert "larger than 4 MB" in refused(tmp_path, raw).what


@given(st.binary(max_size=300))
@example(b'- {"at": ')
@example(b'\nevents:\n- {"at": ')
def test_no_bytes_are_lost_or_end_in_anything_but_a_sentence(raw: bytes) -> None:
    """Random bytes are no case; none of them are changed, but for an event of ours that was half written."""
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "mine.yaml"
        path.write_bytes(raw)
        with pytest.raises((RuleFilesWrong, CannotKeep)), open_case(path, BASE):
            pytest.fail("it should be refused")
        left = path.read_bytes()
        assert left == raw or (raw.startswith(left) and b"\nevents:" in left and left.endswith(b"\n"))


# ---------------------------------------------------------------- a case, and wrong


def test_a_case_of_a_newer_version_says_so_and_nothing_else(tmp_path: Path) -> None:
    """What this version does not know of the newer format is no mistake; only the version is told."""
    raw = HEAD.replace(b"case_format: 1", b"case_format: 3\ncellar: north")
    problem = refused(tmp_path, raw + b'- {"at": "2030-01-01", "did": "smelled"}\n')
    assert problem.place.line == 4 and "newer version" in problem.what and "this one reads 2" in problem.what


@pytest.mark.parametrize("written", [b"0", b"one", b"1.5", b"[1]"])
def test_a_case_format_that_never_was_is_refused(tmp_path: Path, written: bytes) -> None:
    """No version is guessed."""
    problem = refused(tmp_path, HEAD.replace(b"case_format: 1", b"case_format: " + written))
    assert problem.place.line == 4 and "newer" not in problem.what


@pytest.mark.parametrize(
    ("event", "says", "mend"),
    [
        ('"did": "drunk"', "'drunk'", "put_off"),
        ('"did": "answered", "about": "colour"', "needs a `value`", ""),
        ('"did": "put_off"', "needs `about`", ""),
        ('"did": "noted", "by": "me"', "'by'", ""),
        ('"did": "answered", "about": "colour", "value": "purple"', "'purple'", "white, red"),
        ('"did": "answered", "about": "heated", "value": 3500', "cannot be right", ""),
        ('"did": "answered", "about": "moon", "value": "full"', "'moon' is not something", "bubbles"),
        ('"did": "skipped", "about": "moon"', "'moon' is not something", "bubbles"),
        ('"did": "put_off", "about": "moon"', "'moon' is not something", "bubbles"),
        ('"did": "took_back", "about": "moon"', "'moon' is not something", "bubbles"),
        ('"did": "read", "about": "heated"', "needs `about`, what was measured, and its `value`", ""),
        ('"did": "read", "value": 3', "needs `about`, what was measured, and its `value`", ""),
        (
            '"did": "read", "about": "colour", "value": "red"',
            "'colour' is not measured as a number",
            "heated",
        ),
        ('"did": "done"', "needs `about`, the name of the fix", ""),
        ('"did": "done", "about": "bentonit"', "'bentonit' is not a fix", "bentonite"),
        (
            '"did": "done", "about": "wait", "data": {"step": 2}',
            "has 1 steps, and no step 2",
            "a step it has",
        ),
        ('"did": "done", "about": "wait", "data": {"step": 0}', "'0' cannot be right", "at least 1"),
        ('"did": "done", "about": "wait", "data": {"amounts": {"clay": 2}}', "'clay' is not an amount", ""),
        ('"did": "checked", "about": "wait", "value": "fine"', "needs a `value`: good", ""),
        ('"did": "checked", "about": "wait", "value": "good", "data": {"step": 1}', "step", ""),
        ('"did": "closed", "value": "drunk"', "needs a `value`: solved", ""),
    ],
)
def test_an_event_this_version_cannot_take_is_told_by_its_line(
    tmp_path: Path, event: str, says: str, mend: str
) -> None:
    """Line, what is wrong and what would be right; the events around it are left in the file."""
    good = b'- {"at": "2026-03-14", "did": "answered", "about": "colour", "value": "white"}\n'
    bad = f'- {{"at": "2026-03-14", {event}}}\n'.encode()
    problem = refused(tmp_path, HEAD + good + bad + good)
    assert problem.place.line == 7 and says in problem.what and mend in problem.mend


def test_of_very_many_mistakes_the_first_are_told(tmp_path: Path) -> None:
    """A file of another program is refused in a few lines, and not in thousands."""
    facts = "".join(f"  strange_{number}: yes\n" for number in range(3 * MOST_TOLD))
    path = tmp_path / "mine.yaml"
    path.write_bytes(HEAD.replace(b"events:", f"facts:\n{facts}events:".encode()))
    problems = problems_of(path)
    assert [problem.place.line for problem in problems] == [*range(6, 6 + MOST_TOLD)]


def test_an_event_of_a_day_that_never_was_is_told_by_its_line(tmp_path: Path) -> None:
    """A log is drawn over days, so each must be one of the calendar."""
    problem = refused(tmp_path, HEAD + b'- {"at": "2026-02-30", "did": "noted"}\n')
    assert (
        problem.place.line == 6 and "'2026-02-30' is no day" in problem.what and "2026-10-12" in problem.mend
    )


def test_what_a_case_skips_must_be_a_question(tmp_path: Path) -> None:
    """A slip in `skipped` would otherwise skip nothing in silence."""
    problem = refused(tmp_path, HEAD.replace(b"events:", b"skipped: [bubbles, buubles]\nevents:"))
    assert problem.place.line == 5 and "'buubles'" in problem.what and "bubbles" in problem.mend


def test_all_mistakes_are_told_at_once(tmp_path: Path) -> None:
    """A file edited by hand is mended in one go."""
    path = tmp_path / "mine.yaml"
    path.write_bytes(
        HEAD.replace(b"haze", b"hazy") + b"- {at: 2026-03-14, did: answered, about: colour, value: purple}\n"
        b"- {at: 2026-03-14, did: skipped, about: moon}\n"
    )
    assert [problem.place.line for problem in problems_of(path)] == [3, 6, 7]


# ---------------------------------------------------------------- sound, but answers cannot be added


@pytest.mark.parametrize(
    "raw",
    [
        HEAD.replace(b"events:\n", b""),
        HEAD.replace(b"events:", b"events: []"),
        HEAD + b"facts:\n  colour: white\n",
        HEAD + b"facts:\n  colour: white",
        HEAD + b'  - {"at": "2026-03-14", "did": "noted"}\n',
        HEAD + b"expect:\n  because: A list follows.\n  fixes:\n  - wait\n",
        HEAD + b"skipped:\n- bubbles\n",
    ],
    ids=["no events", "brackets", "facts below", "open line", "indented", "list deeper", "list beside"],
)
def test_a_case_whose_end_takes_no_events_is_not_gone_on_with(tmp_path: Path, raw: bytes) -> None:
    """An answer added there could not be read again, so it is told before the first question; reading goes on."""
    path = tmp_path / "mine.yaml"
    path.write_bytes(raw)
    load_case(path, BASE)
    with pytest.raises(CannotKeep, match="make `events:` its last key"), open_case(path, BASE):
        pytest.fail("answers would be lost")
    assert path.read_bytes() == raw


# ---------------------------------------------------------------- files and folders that say no


def test_a_case_that_may_only_be_read_is_not_gone_on_with() -> None:
    """It is said before the first question, and the case can still be read."""
    with folder_of_an_ordinary_person() as folder:
        path = kept(folder, *WINE)
        path.chmod(0o444)
        says = "cannot be opened for writing: permission denied"
        with pytest.raises(CannotKeep, match=says) as no, open_case(path, BASE):
            pytest.fail("no answer could be kept")
        assert str(path) in str(no.value)
        assert len(replayed(path)["answers"]) == 4


def test_a_case_that_may_not_even_be_read_is_said_so() -> None:
    """A file of somebody else is told with its name."""
    with folder_of_an_ordinary_person() as folder:
        path = kept(folder, *WINE)
        path.chmod(0o000)
        with pytest.raises(RuleFilesWrong, match="cannot be opened: permission denied"):
            load_case(path, BASE)


def test_no_case_is_begun_in_a_folder_that_cannot_be_written() -> None:
    """It is said before the first question, and what lies there stays."""
    with folder_of_an_ordinary_person() as folder:
        path = kept(folder, *WINE)
        folder.chmod(0o555)
        try:
            with pytest.raises(CannotKeep, match=r"permission denied\. Nothing was lost\.") as no:
                begun(folder)
            with pytest.raises(CannotKeep):
                begun(folder / "deeper")
        finally:
            folder.chmod(0o755)
        assert str(folder) in str(no.value) and list_cases(folder) == [path.stem]


def test_no_case_is_begun_where_a_file_stands_in_the_way(tmp_path: Path) -> None:
    """A file of the folder's name is not written over."""
    blocked = tmp_path / "cases"
    blocked.write_text("my notes")
    for folder in (blocked, blocked / "deeper"):
        with pytest.raises(CannotKeep, match="cannot be kept in"):
            begun(folder)
    assert blocked.read_text() == "my notes"


def test_a_case_that_is_not_there_or_is_a_folder_is_said_so(tmp_path: Path) -> None:
    """Nothing is created in its place."""
    for path, says in ((tmp_path / "none.yaml", "no such file"), (tmp_path, "is a directory")):
        with pytest.raises(CannotKeep, match=says), open_case(path, BASE):
            pytest.fail("it should be refused")
        with pytest.raises(RuleFilesWrong, match=says):
            load_case(path, BASE)
    assert list(tmp_path.iterdir()) == []
