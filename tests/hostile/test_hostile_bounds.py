"""Every bound is where it says it is, and what lies beyond is refused soon, with the bound, the number and the mend."""

from __future__ import annotations

import re
import time
from collections.abc import Callable
from datetime import date
from pathlib import Path

import pytest
import seed_inputs
from diagnose import bounds
from diagnose.bounds import (
    CASE_FILE,
    LONGEST_CELL,
    LONGEST_TEXT,
    MOST_COLUMNS,
    MOST_EVENTS,
    MOST_FACTS,
    MOST_TOLD,
    RULE_FILE,
)
from diagnose.casebook.case import read_case
from diagnose.casebook.store import CannotKeep, Happened, open_case
from diagnose.knowledge.problems import RuleFilesWrong
from diagnose.knowledge.read import read_rule_base
from diagnose.knowledge.rule_base import RuleBase
from diagnose.knowledge.yaml_reader import read_text
from diagnose.logbook.names import Names
from diagnose.logbook.table import NotATable, read_table

HEAD = 'case: "mine"\ntitle: "Mine"\ntopic: "stuck"\ncase_format: 2\n'
EVENT = '- {"at": "2026-03-19", "did": "noted", "value": "x"}\n'
STATE = """- state: s{at}
  name: S
  values: {{yes: a}}
  rules: [{{is: yes, when: {{{name}: yes}}, because: x, source: {source}}}]
"""
NUMBER = """- derive: d{at}
  name: D
  quantity: turbidity
  compute: {{calculator: turbidity_rise, with: {{heated_ntu: d{before}, unheated_ntu: 0.5}}}}
  because: x
  source: invented
"""
SECONDS = 6.0
"""Processor time within which a file at its bounds is read or refused; two on an idle machine."""


@pytest.fixture(scope="module")
def base() -> RuleBase:
    """The rules that ship."""
    return read_rule_base([seed_inputs.ROOT / "rules"])


def refused(read: Callable[[], object]) -> str:
    """What is said of a file that is refused, soon enough and shortly."""
    began = time.process_time()
    with pytest.raises((RuleFilesWrong, NotATable)) as caught:
        read()
    told = str(caught.value)
    assert time.process_time() - began < SECONDS
    assert len(told) < 100_000
    return told


def folder(at: Path, page: str) -> Callable[[], object]:
    """Reading the small sound rules with one more page."""
    for name, written in seed_inputs.sound_pages():
        (at / name).write_bytes(written)
    (at / "more.yaml").write_text(page)
    return lambda: read_rule_base([at])


# ---------------------------------------------------------------- values, texts, entries


@pytest.mark.parametrize(("most", "limit"), [(RULE_FILE, "60,000"), (CASE_FILE, "120,000")])
def test_a_file_of_too_many_values_is_refused(most: bounds.FileBounds, limit: str) -> None:
    """Half a megabyte of commas took three seconds, four took seventeen: now it ends at the bound."""
    told = refused(lambda: read_text("a: [" + "b," * most.values + "]", "page.yaml", most))
    assert "page.yaml:1:" in told and f"more than {limit} values" in told and "Split it" in told
    # The document's mapping, its key and its list are values too.
    assert read_text("a: [" + "b," * (most.values - 3) + "]", "page.yaml", most).value


def test_a_text_too_long_is_refused() -> None:
    """One value is a sentence or a story, not a book."""
    told = refused(lambda: read_text(f"a: {'x' * (LONGEST_TEXT + 1)}", "page.yaml"))
    assert "20,001 letters; 20,000 are the most" in told
    assert read_text(f"a: {'x' * LONGEST_TEXT}", "page.yaml").value


@pytest.mark.parametrize("key", ["facts", "also", "skipped"])
def test_a_case_of_too_many_entries_is_refused(base: RuleBase, key: str) -> None:
    """Sixty thousand topics gave a complaint of twenty megabytes."""
    names = [f"n{at}" for at in range(MOST_FACTS + 1)]
    written = (
        "{" + ", ".join(f"{name}: x" for name in names) + "}" if key == "facts" else f"[{', '.join(names)}]"
    )
    told = refused(lambda: read_case(read_text(f"{HEAD}{key}: {written}\n", "f", CASE_FILE), base))
    assert "1,001 entries here; 1,000 are the most" in told


# ---------------------------------------------------------------- events


def test_a_case_of_too_many_events_is_refused(base: RuleBase) -> None:
    """The bound is told with what was found, and a case just below it is read."""
    text = f"{HEAD}events:\n{EVENT * (MOST_EVENTS + 1)}"
    told = refused(lambda: read_case(read_text(text, "f", CASE_FILE), base))
    assert "10,001 events; 10,000 are the most" in told and "Begin a new case" in told


def test_no_more_events_are_added_than_can_be_read_again(base: RuleBase, tmp_path: Path) -> None:
    """The bound holds where events are added too, so that no case is ever shut by what was put into it."""
    path = tmp_path / "mine.yaml"
    path.write_text(f"{HEAD}events:\n{EVENT * 20}")
    with open_case(path, base) as record:
        record.record_all([Happened("noted", value="x")] * 10)
        with pytest.raises(CannotKeep, match="would hold 10,001 events; 10,000 are the most"):
            record.record_all([Happened("noted", value="x")] * (MOST_EVENTS - 29))
    assert path.read_text().count('"did"') == 30


@pytest.mark.parametrize(
    "event",
    [
        '- {"at": "2026-03-14", "did": "answered", "about": "gravvity%d", "value": 1.0}\n',
        '- {"att": "2026-03-14", "didd": "answered", "x%d": "wine_colour", "value": {}}\n',
        '- {"at": "2026-03-14", "did": "answered", "about": "wine_colour", "value": "x%d"}\n',
    ],
    ids=["unknown names", "misspelt keys", "wrong answers"],
)
def test_a_case_full_of_mistakes_tells_the_first_of_them(base: RuleBase, event: str) -> None:
    """Five thousand misfit lines took half a minute and filled eight megabytes of screen."""
    text = f"{HEAD}events:\n" + "".join(event % at for at in range(5_000))
    told = refused(lambda: read_case(read_text(text, "f", CASE_FILE), base))
    assert 0 < told.count("\nf:") < MOST_TOLD


# ---------------------------------------------------------------- rules


def test_many_pages_in_one_file_are_checked_in_time(tmp_path: Path) -> None:
    """Each page once looked at every line of its file for sources: two thousand pages took ten seconds."""
    chain = "".join(
        STATE.format(at=at, name=f"s{at - 1}" if at else "gas_seen", source="nobody") for at in range(2_000)
    )
    assert "not a known source" in refused(folder(tmp_path, chain))


def test_a_circle_of_thousands_is_told_shortly(tmp_path: Path) -> None:
    """A number that needs itself by way of two thousand others: the circle is told by its ends and its length."""
    told = refused(
        folder(tmp_path, "".join(NUMBER.format(at=at, before=(at - 1) % 2_000) for at in range(2_000)))
    )
    assert "needs itself" in told and "2,000 in all" in told and len(told) < 2_000


# ---------------------------------------------------------------- tables


@pytest.mark.parametrize(
    ("table", "says"),
    [
        ("date,sg," + "a" * 140_000 + "\n2026-10-12,1.050,\n", "field limit"),
        (
            "date,sg," + "a" * (LONGEST_CELL + 1) + "\n2026-10-12,1.050,\n",
            "10,001 letters; 10,000 are the most",
        ),
        ("date," * MOST_COLUMNS + "sg\n2026-10-12,1.050\n", "101 cells; 100 are the most"),
        ("date," + "," * 900_000 + "sg\n2026-10-12,1.050\n", "100 are the most"),
    ],
    ids=["head beyond the reader", "long cell", "wide", "very wide"],
)
def test_a_table_out_of_bounds_is_refused(base: RuleBase, table: str, says: str) -> None:
    """A head of one endless cell ended in a traceback; a wide table was gone through name by name for minutes."""
    assert says in refused(lambda: read_table(table, Names(base, "metric"), date(2026, 11, 20)))


def test_a_table_full_of_faults_tells_the_first_of_them(base: RuleBase) -> None:
    """Five thousand wrong lines: the first faults are told, nothing is taken, and it is said so."""
    text = "date,sg,temp\n2026-10-12,1.050,20\n" + "2026-10-12,x1,x2\n" * 4_900
    began = time.process_time()
    found = read_table(text, Names(base, "metric"), date(2026, 11, 20))
    assert time.process_time() - began < SECONDS
    assert MOST_TOLD <= len(found.faults) <= MOST_TOLD + 2
    assert not found.readings and "nothing is taken" in found.faults[-1]


# ---------------------------------------------------------------- the page


@pytest.mark.parametrize(
    ("size", "said"),
    [
        (700, "700 bytes"),
        (1024, "1 kB"),
        (512 * 1024, "512 kB"),
        (4 * 1024 * 1024, "4 MB"),
        (9_961_472, "9.5 MB"),
        (5_000 * 1024 * 1024, "5,000 MB"),
    ],
)
def test_sizes_are_said_as_a_person_says_them(size: int, said: str) -> None:
    """A file too large is told in bytes, kB or MB of 1024 each, whichever gives a short figure (worked by hand)."""
    assert bounds.in_words(size) == said


def test_every_bound_is_on_the_page() -> None:
    """The page of bounds names each with its figure, and none that is not there."""
    page = (seed_inputs.ROOT / "docs" / "hostile-input.md").read_text(encoding="utf-8")
    rows = dict(re.findall(r"^\| `(\w+)`[^|]*\|[^|]*\| ([^|]*) \|", page, re.M))
    said = {}
    for name, value in vars(bounds).items():
        if isinstance(value, bounds.FileBounds):
            said[name] = f"{bounds.in_words(value.size)}, {value.values:,} values"
        elif isinstance(value, int) and name not in ("KB", "MB"):
            said[name] = bounds.in_words(value) if name.startswith("LARGEST") else f"{value:,}"
    assert rows == said
