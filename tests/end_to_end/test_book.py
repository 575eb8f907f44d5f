"""Somebody who reviews the rules prints them, or one cause of them."""

from __future__ import annotations

from pathlib import Path

from diagnose.present.words import percent


def test_the_whole_book_is_written_into_a_file(run, tmp_path: Path) -> None:
    """One command writes one file that holds everything, and says where it is."""
    file = tmp_path / "book.html"
    done = run("book", "--without-cases", "--to", str(file))
    assert done.returncode == 0, done.stderr
    assert done.stdout == f"Written: {file}\n"
    text = file.read_text(encoding="utf-8")
    assert text.startswith("<!DOCTYPE html>")
    assert 'id="cause-pectin-haze"' in text
    assert "No worked cases were tried for this book." in text


def test_worked_cases_can_be_named(run, tmp_path: Path) -> None:
    """A mentor sees what one case of theirs says of the rules."""
    cases = Path(__file__).resolve().parents[2] / "cases" / "haze" / "demonstration.yaml"
    file = tmp_path / "book.md"
    done = run("book", "--on", str(cases), "--to", str(file))
    assert done.returncode == 0, done.stderr
    assert "of 1 worked cases" in file.read_text(encoding="utf-8")


def test_one_cause_is_printed_as_text(run) -> None:
    """Without a file the sheet of a cause goes to the screen; part of its name is enough."""
    done = run("book", "--cause", "pectin")
    assert done.returncode == 0, done.stderr
    assert done.stdout.startswith("# Pectin haze\n")
    assert percent(0.05) in done.stdout  # how common `occasional` is: the table in rules/words.yaml


def test_a_cause_that_nobody_knows_is_refused(run) -> None:
    """A name that means no cause, or several, is answered with what is near."""
    done = run("book", "--cause", "haze")
    assert done.returncode == 2
    assert "No cause is surely meant by 'haze'" in done.stderr
    assert "pectin_haze" in done.stderr


def test_a_file_of_another_kind_is_refused(run, tmp_path: Path) -> None:
    """What would be written is known from the ending, so another ending is refused."""
    done = run("book", "--to", str(tmp_path / "book.pdf"))
    assert done.returncode == 2
    assert "ends neither in .html nor in .md" in done.stderr
