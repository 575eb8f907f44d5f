from __future__ import annotations

import errno
import gc
import os
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from crash_points import Place, entries, rules
from crash_stories import OLDER
from diagnose.casebook import held
from diagnose.casebook.models import CASE_FORMAT
from diagnose.casebook.shelf import bring_back, cards, put_away
from diagnose.casebook.store import CannotKeep, open_case

OLD = OLDER.read_bytes()
FILES_LEFT_OPEN = pytest.mark.filterwarnings("ignore::pytest.PytestUnraisableExceptionWarning")
"""A power cut closes no files."""


class PowerCut(BaseException):
    """The machine stops: nothing after this runs, not even tidying up."""


def test_the_sample_is_of_format_1() -> None:
    """Kept as the program of that format wrote it: a consultation with an answer of every kind, cut short."""
    assert b"\ncase_format: 1\n" in OLD and CASE_FORMAT == 2
    assert {did for did in ("answered", "skipped", "put_off", "took_back") if f'"{did}"'.encode() in OLD} == {
        "answered",
        "skipped",
        "put_off",
        "took_back",
    }


def test_an_older_case_goes_on_with_all_its_answers(tmp_path: Path, cache: Path) -> None:
    """Opened, it is brought to the format of today, with every entry as it was and the old file beside it."""
    case = tmp_path / "mine.yaml"
    case.write_bytes(OLD)
    before = entries(case, cache)
    with open_case(case, rules(cache)) as record:
        assert "mine.yaml.format1" in record.mended
        record.record("noted", value="Gone on.")
    assert entries(case, cache) == [*before, ("noted", None, "Gone on.")] and len(before) == OLD.count(
        b"\n- {"
    )
    assert (tmp_path / "mine.yaml.format1").read_bytes() == OLD


def _stop_at(monkeypatch: pytest.MonkeyPatch, number: int) -> list[str]:
    """Cut the power at the operation of this number; what was written of a file by then stays."""
    met: list[str] = []

    def counted(name: str, real: Callable[..., Any]) -> Callable[..., Any]:
        def act(*words: Any, **more: Any) -> Any:
            if len(met) >= number:
                raise PowerCut
            met.append(name)
            return real(*words, **more)

        return act

    for name in ("fsync", "link", "replace", "unlink"):
        monkeypatch.setattr(os, name, counted(name, getattr(os, name)))
    monkeypatch.setattr(held, "write_all", counted("write", held.write_all))
    return met


@FILES_LEFT_OPEN
@pytest.mark.parametrize("number", range(14))
def test_a_power_cut_while_the_format_is_raised_loses_nothing(
    tmp_path: Path, cache: Path, monkeypatch: pytest.MonkeyPatch, number: int
) -> None:
    """Wherever it comes, the case is whole in one format or the other, the old file stands, and it opens again."""
    case, backup = tmp_path / "mine.yaml", tmp_path / "mine.yaml.format1"
    case.write_bytes(OLD)
    new = OLD.replace(b"case_format: 1", b"case_format: 2")
    with monkeypatch.context() as cut:
        met = _stop_at(cut, number)
        try:
            with open_case(case, rules(cache)):
                pass
            assert len(met) <= number, "nothing more was to be done"
        except PowerCut:
            assert len(met) == number
    gc.collect()
    assert case.read_bytes() in (OLD, new)
    assert case.read_bytes() == OLD or backup.read_bytes() == OLD
    assert not backup.exists() or backup.read_bytes() == OLD
    with open_case(case, rules(cache)) as record:
        assert record.case.case_format == CASE_FORMAT
    assert sorted(path.name for path in tmp_path.iterdir()) == [case.name, backup.name]
    assert case.read_bytes() == new and backup.read_bytes() == OLD


def test_no_room_for_the_old_file_leaves_no_stump(
    tmp_path: Path, cache: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Where the old file cannot be kept beside it, the case is refused with a sentence, and stays as it was."""
    case = tmp_path / "mine.yaml"
    case.write_bytes(OLD)

    def full(file: Any, line: bytes) -> None:
        file.write(line[: len(line) // 2])
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    with monkeypatch.context() as bad:
        bad.setattr(held, "write_all", full)
        for _ in range(2):
            with pytest.raises(CannotKeep, match="no space left"), open_case(case, rules(cache)):
                pytest.fail("it was changed without the old file being kept")
    assert [path.name for path in tmp_path.iterdir()] == [case.name] and case.read_bytes() == OLD


def test_a_case_of_a_later_version_is_refused_in_words(tmp_path: Path, cache: Path) -> None:
    """The command says that a newer version wrote it and what to do, and the file stays as it was."""
    place = Place(tmp_path, cache)
    place.cases.mkdir(parents=True)
    case = place.cases / "mine.yaml"
    later = OLD.replace(b"case_format: 1", b"case_format: 3") + b'- {"at": "2027-01-01", "did": "sung"}\n'
    case.write_bytes(later)
    done = subprocess.run(
        [sys.executable, "-m", "diagnose", "note", "mine", "A remark."],
        env=place.environment(),
        capture_output=True,
        text=True,
    )
    said = " ".join(done.stderr.split())
    assert done.returncode == 1 and "Traceback" not in said
    assert "written by a newer version (format 3; this one reads 2)" in said
    assert "Open it with the newer version. Nothing in it was changed." in said
    assert case.read_bytes() == later and [path.name for path in place.cases.iterdir()] == [case.name]


@FILES_LEFT_OPEN
@pytest.mark.parametrize("way", ["away", "back", "open"])
def test_a_case_cut_off_on_its_way_to_the_archive_is_there_once(
    tmp_path: Path, cache: Path, monkeypatch: pytest.MonkeyPatch, way: str
) -> None:
    """With both names after a power cut, whatever comes next leaves one of them, and nothing of the case is gone."""
    here, away = tmp_path / "mine.yaml", tmp_path / "archived" / "mine.yaml"
    raw = OLD.replace(b"case_format: 1", b"case_format: 2")
    here.write_bytes(raw)

    unlink = os.unlink

    def cut(path: Any, **more: Any) -> None:
        if Path(path).name == here.name:
            raise PowerCut
        unlink(path, **more)

    with monkeypatch.context() as power:
        power.setattr(os, "unlink", cut)
        with pytest.raises(PowerCut):
            put_away(tmp_path, "mine")
    gc.collect()
    assert here.samefile(away) and not [card for card in cards(tmp_path) if card.problem]
    if way == "open":
        with open_case(here, rules(cache)) as record:
            assert "on its way into the archive" in record.mended
    else:
        {"away": put_away, "back": bring_back}[way](tmp_path, "mine")
    there = [path for path in (here, away) if path.exists()]
    assert there == [away if way == "away" else here] and there[0].read_bytes() == raw
