from __future__ import annotations

import getpass
import json
import os
import socket
from datetime import datetime, timedelta
from pathlib import Path

import pytest
from diagnose.casebook.head import with_head
from diagnose.casebook.store import CannotKeep, load_case, open_case
from diagnose.knowledge.problems import RuleFilesWrong
from diagnose.knowledge.yaml_reader import read_text
from hypothesis import given
from hypothesis import strategies as st
from kept_cases import BASE, HEAD, WINE, begun, keep, kept, replayed

ANSWER = ("answered", "heat_test", "hazier")

# ---------------------------------------------------------------- who has it


def refusal(path: Path) -> str:
    """What somebody is told who opens a case that is held."""
    with pytest.raises(CannotKeep) as refused, open_case(path, BASE):
        pytest.fail("two would write one case")
    return str(refused.value)


def test_who_holds_a_case_is_told(tmp_path: Path) -> None:
    """User, machine, process and since when; and nothing is left behind when it is let go."""
    path = begun(tmp_path)
    with open_case(path, BASE):
        said = refusal(path)
        for part in (
            getpass.getuser(),
            socket.gethostname(),
            f"process {os.getpid()}",
            f"{datetime.now():%Y-%m-%d}",
        ):
            assert part in said
    assert [file.name for file in tmp_path.iterdir()] == [path.name]


@pytest.mark.parametrize(
    "note",
    [
        b"",
        b"\xff",
        b"[1]",
        b'{"process": "x"}',
        b'{"user": "x", "host": "h", "process": 1e999, "since": "y"}',
        None,
    ],
)
def test_a_damaged_note_names_nobody(tmp_path: Path, note: bytes | None) -> None:
    """A note of a process that is gone, or one that cannot be read, is left out; the case is refused all the same."""
    path = begun(tmp_path)
    gone = {"user": "ghost", "host": socket.gethostname(), "process": 2**22 + 5, "since": "2026"}
    with open_case(path, BASE):
        (beside,) = (file for file in tmp_path.iterdir() if file != path)
        beside.write_bytes(json.dumps(gone).encode() if note is None else note)
        said = refusal(path)
        assert "open in another terminal. Finish" in said and "ghost" not in said


def test_a_stale_note_keeps_nobody_out(tmp_path: Path) -> None:
    """Who was killed leaves a note; the lock is gone with them, and the case opens."""
    path = begun(tmp_path)
    (tmp_path / f".{path.name}.held").write_text("anything")
    with open_case(path, BASE) as record:
        keep(record, *WINE)
    assert len(list(tmp_path.iterdir())) == 1


# ---------------------------------------------------------------- other programs at the same file


def test_a_file_deleted_while_open_is_put_back(tmp_path: Path) -> None:
    """Everything acknowledged stands in the file again; the entry that was not kept is said so."""
    path = kept(tmp_path, *WINE)
    whole = path.read_bytes()
    with open_case(path, BASE) as record:
        path.unlink()
        with pytest.raises(CannotKeep, match="deleted by another program") as refused:
            keep(record, ANSWER)
    assert path.read_bytes() == whole and str(path) in str(refused.value)


@pytest.mark.parametrize("in_place", [True, False], ids=["changed", "replaced"])
@pytest.mark.parametrize("longer", [True, False], ids=["added to", "other text"])
def test_a_file_changed_while_open_is_not_written_into(tmp_path: Path, in_place: bool, longer: bool) -> None:
    """What the other program wrote stays to the byte; if it lacks what was answered here, that stands beside it."""
    path = kept(tmp_path, *WINE)
    with open_case(path, BASE) as record:
        keep(record, ANSWER)
        ours = path.read_bytes()
        theirs = ours + b"# a remark\n" if longer else HEAD
        if in_place:
            path.write_bytes(theirs)
        else:
            new = tmp_path / "editor.tmp"
            new.write_bytes(theirs)
            new.replace(path)
        with pytest.raises(CannotKeep, match="by another program"):
            keep(record, ("skipped", "colour", None))
    assert path.read_bytes() == theirs
    beside = [file for file in tmp_path.iterdir() if file != path]
    assert [file.read_bytes() for file in beside] == ([] if longer else [ours])


def test_a_case_replaced_between_opening_and_locking_is_taken_as_it_is_now(tmp_path: Path) -> None:
    """Its head is changed while held, and who comes next finds the new file, not the old one."""
    path = kept(tmp_path, *WINE)
    with open_case(path, BASE) as record:
        record.change_head(title="Another", wine="Plum")
        assert "open in another terminal" in refusal(path), "held without a gap"
        keep(record, ANSWER)
    case, state = load_case(path, BASE)
    assert (case.title, case.wine, len(case.events)) == ("Another", "Plum", len(WINE) + 1)
    assert state.answers["heat_test"] == "hazier"


# ---------------------------------------------------------------- the head

NAMES = st.text(
    st.characters(exclude_categories=("Cs", "Cc", "Cn", "Co", "Zl", "Zp")), min_size=1, max_size=30
)


@given(NAMES, NAMES, st.sampled_from([b"\n", b"\r\n"]), st.booleans())
def test_any_title_and_wine_can_be_set_and_nothing_else_changes(
    title: str, wine: str, end: bytes, marked: bool
) -> None:
    """Line ends, byte order mark, remarks and events stay letter for letter."""
    events = b'# a remark\nevents:\n- {"at": "2026-03-14", "did": "skipped", "about": "colour"}\n'
    raw = (b"\xef\xbb\xbf" if marked else b"") + HEAD.replace(b"events:\n", events).replace(b"\n", end)
    try:
        new = with_head(raw, {"title": title, "wine": wine}, Path("mine.yaml"))
    except CannotKeep:
        # A letter that the reader of our files refuses.
        return
    value = read_text(new.decode("utf-8-sig"), "mine.yaml").value
    assert (value["title"], value["wine"], value["case"]) == (title, wine, "mine")
    assert new.endswith(events.replace(b"\n", end).split(b"events:")[1]) and new.startswith(raw[:8])


def test_a_plain_title_is_set(tmp_path: Path) -> None:
    """The property above is not empty: ordinary names go through."""
    new = with_head(HEAD, {"title": "Näbel: 'im' \"Weißen\" #2", "wine": "Plum"}, Path("mine.yaml"))
    assert read_text(new.decode(), "x").value["title"] == "Näbel: 'im' \"Weißen\" #2"


def test_a_title_over_several_lines_is_replaced_whole(tmp_path: Path) -> None:
    """Nothing of the old one is left."""
    raw = HEAD.replace(b'"Mine"', b">\n  Mine\n  and yours")
    assert read_text(with_head(raw, {"title": "New"}, Path("x")).decode(), "x").value["title"] == "New"


def test_a_head_that_cannot_be_changed_safely_is_left(tmp_path: Path) -> None:
    """A file in another style of writing is refused, with the mend."""
    raw = b'{"case": "mine", "title": "Mine", "events": []}\n'
    with pytest.raises(CannotKeep, match="by hand"):
        with_head(raw, {"title": "New"}, Path("x"))


# ---------------------------------------------------------------- older formats


def test_a_case_of_format_1_is_backed_up_before_it_is_added_to(tmp_path: Path) -> None:
    """The old file stands beside it to the byte, its head says 2, and it is told once."""
    path = tmp_path / "mine.yaml"
    old = HEAD + b'- {"at": "2026-03-14", "did": "answered", "about": "colour", "value": "white"}\n'
    path.write_bytes(old)
    load_case(path, BASE)
    assert path.read_bytes() == old, "reading changes nothing"
    with open_case(path, BASE) as record:
        assert "mine.yaml.format1" in record.mended and record.notices == ()
        keep(record, ANSWER)
    assert (tmp_path / "mine.yaml.format1").read_bytes() == old
    assert path.read_bytes().startswith(old.replace(b"case_format: 1", b"case_format: 2"))
    with open_case(path, BASE) as record:
        assert record.mended == "" and record.case.case_format == 2
    assert replayed(path)["answers"] == {"colour": "white", "heat_test": "hazier"}


def test_a_backup_is_never_written_over(tmp_path: Path) -> None:
    """Another file of its name stays, and the backup takes the next name."""
    path, taken = tmp_path / "mine.yaml", tmp_path / "mine.yaml.format1"
    path.write_bytes(HEAD)
    taken.write_bytes(b"something else")
    with open_case(path, BASE) as record:
        assert "mine.yaml.format1_2" in record.mended
    assert taken.read_bytes() == b"something else"
    assert (tmp_path / "mine.yaml.format1_2").read_bytes() == HEAD


# ---------------------------------------------------------------- moments


def line(at: str, about: str = "colour") -> bytes:
    """A skipped question at some moment."""
    return f'- {{"at": "{at}", "did": "skipped", "about": "{about}"}}\n'.encode()


def noticed(tmp_path: Path, *events: bytes) -> tuple[str, ...]:
    """What is told at opening of a case with these events; all of them are kept."""
    path = tmp_path / "mine.yaml"
    raw = HEAD.replace(b"format: 1", b"format: 2") + b"".join(events)
    path.write_bytes(raw)
    with open_case(path, BASE) as record:
        assert len(record.case.events) == len(events)
        notices = record.notices
    assert path.read_bytes() == raw
    return notices


def test_a_clock_that_went_back_is_told(tmp_path: Path) -> None:
    """An entry dated before the one above it is kept, and said so; so is one of tomorrow."""
    (said,) = noticed(
        tmp_path, line("2026-03-14T18:00:00+01:00"), line("2026-03-14T15:00:00+01:00", "bubbles")
    )
    assert "once" in said and "order in the file" in said
    tomorrow = (datetime.now().astimezone() + timedelta(days=1)).isoformat(timespec="seconds")
    (said,) = noticed(tmp_path, line(tomorrow))
    assert "see whether the clock is right" in said
    assert noticed(tmp_path, line("2026-03-14T18:00:00+01:00"), line("2026-03-14T18:00:00Z", "bubbles")) == ()


def test_readings_of_an_earlier_day_are_no_oddity(tmp_path: Path) -> None:
    """A reading may be written down days after it was taken."""
    read = b'- {"at": "2026-03-01", "did": "read", "about": "heated", "value": 12}\n'
    assert noticed(tmp_path, line("2026-03-14T18:00:00+01:00"), read) == ()


def test_an_entry_that_stands_twice_is_told(tmp_path: Path) -> None:
    """It counts once for an answer, and a person may see to the rest."""
    (said,) = noticed(tmp_path, line("2026-03-14"), line("2026-03-14"))
    assert "same entry stands twice" in said


def test_a_moment_that_never_was_is_named_with_its_line(tmp_path: Path) -> None:
    """A day that is in no calendar is shown with its place, and the file stays as it was."""
    with pytest.raises(
        RuleFilesWrong, match=r"mine\.yaml:6:10: '2026-02-31T99:00' is no day of the calendar"
    ):
        noticed(tmp_path, line("2026-02-31T99:00"), line("2026-03-14T10:00:00"))


def test_a_time_in_words_is_no_oddity(tmp_path: Path) -> None:
    """Somebody who writes `evening` by hand is not told of a clock; the entries around it are still compared."""
    assert noticed(tmp_path, line("2026-03-14 evening"), line("2026-03-13 at night", "bubbles")) == ()
    (said,) = noticed(tmp_path, line("2026-03-14T18:00"), line("2026-03-14 night"), line("2026-03-14T15:00"))
    assert "once" in said
