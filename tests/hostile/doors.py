"""The doors through which others hand us something, and what must hold whatever comes through them.

A door takes bytes and either lets them in (True) or refuses them in our own words (False). Anything else is a fault:
another exception, too much time, a sign that a terminal would obey, a file touched that it has no business with, a
page with something in it that acts.
"""

from __future__ import annotations

import contextlib
import io
import math
import os
import signal
import sys
import tempfile
import time
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from random import Random
from typing import Any

import html5lib
import seed_inputs as seeds
from diagnose.calculators import OutOfRange
from diagnose.casebook.answers import NotAnAnswer, read_answer
from diagnose.casebook.moments import oddities
from diagnose.casebook.shelf import cards
from diagnose.casebook.store import load_case
from diagnose.days.due import due_in
from diagnose.hearing.hear import Ear
from diagnose.judgement.judge import Cellar, judge
from diagnose.knowledge.load import read_items
from diagnose.knowledge.problems import RuleFilesWrong
from diagnose.knowledge.read import read_rule_base
from diagnose.logbook.gathered import news
from diagnose.logbook.lines import read_lines
from diagnose.logbook.names import Names
from diagnose.logbook.table import NotATable, decode, read_table
from diagnose.logbook.told import tell_log
from diagnose.plain_text import without_controls
from diagnose.present.cases import show_cards
from diagnose.present.console import Page, make_console
from diagnose.present.log import show_faults, show_log, show_news
from diagnose.report.case import CaseJudged
from diagnose.report.made import make_report
from diagnose.report.written import write
from diagnose.settings import read_settings
from diagnose.units import NotAQuantity, read_quantity
from diagnose.units.table import TABLE
from markdown_it import MarkdownIt

TODAY = date(2026, 11, 20)
SECONDS = 2.0
"""The most processor time of one input."""
_HANGS = 30.0
"""Seconds on the clock after which an input waits for something that will not come."""


class Fault(AssertionError):
    """What must never happen, happened."""


class TooSlow(Fault):
    """An input took more than its time."""


@dataclass
class Cellars:
    """What every door needs: the rules that ship, and a folder of its own."""

    folder: Path
    cellar: Cellar

    def __post_init__(self) -> None:
        self.base = self.cellar.base
        self.ear = Ear(self.base)
        self.names = {units: Names(self.base, units) for units in ("metric", "us")}


Door = Callable[[Cellars, bytes], bool]


# ---------------------------------------------------------------- what is looked at


def plain(text: str) -> None:
    """Fails where a sign that moves the cursor, turns the reading round or cannot be seen reaches a screen."""
    odd = [sign for sign in text if not (sign.isprintable() or sign in "\n\u00a0")]
    if odd:
        raise Fault(f"U+{ord(odd[0]):04X} reaches the screen: {text[:200]!r}")


@contextlib.contextmanager
def screen() -> Iterator[Page]:
    """A page in colours, as at a terminal, of which every sign is looked at."""
    out = io.StringIO()
    page = Page(make_console(out, 80))
    yield page
    plain(out.getvalue())


def harmless(html: str) -> None:
    """Fails where a page holds anything that acts, or leads away, or was not closed."""
    tree = html5lib.HTMLParser(namespaceHTMLElements=False).parse(html)
    for one in tree.iter():
        if not isinstance(one.tag, str):
            raise Fault(f"a comment in a page: {one.text!r}")
        if one.tag in {
            "script",
            "iframe",
            "object",
            "embed",
            "link",
            "base",
            "form",
            "img",
            "audio",
            "video",
        }:
            raise Fault(f"<{one.tag}> in a page")
        for name, value in one.attrib.items():
            if str(name).lower().startswith("on"):
                raise Fault(f"{name}= in a page")
            leads = str(name).lower() in {"href", "src", "xlink:href", "action"}
            if leads and not value.strip().lower().startswith(("#", "https://", "http://")):
                raise Fault(f"{name}={value[:60]!r} in a page")
    plain(html)


_MARKDOWN = MarkdownIt("commonmark").enable("table")


def told(wrong: RuleFilesWrong) -> bool:
    """A refusal: in our words, with a place, of a length that a person can read. Returns False."""
    if not wrong.problems:
        raise Fault("a refusal that says nothing")
    text = str(wrong)
    plain(text)
    if len(text) > 100_000:
        raise Fault(f"a refusal of {len(text)} letters")
    for problem in wrong.problems:
        if not problem.what.strip() or problem.place.line < 1:
            raise Fault(f"a refusal without a place or a sentence: {problem!r}")
    return False


# ---------------------------------------------------------------- the doors


def _file(room: Cellars, name: str, raw: bytes) -> Path:
    path = room.folder / name
    path.write_bytes(raw)
    return path


def rule_page(room: Cellars, raw: bytes) -> bool:
    """One rule file, read and checked by itself."""
    items, problems = read_items([_file(room, "page.yaml", raw)])
    return told(RuleFilesWrong(problems)) if problems else bool(items)


def rule_folder(room: Cellars, raw: bytes) -> bool:
    """A small sound folder in which one file was changed: read, linked, compiled."""
    folder = room.folder / "rules"
    folder.mkdir(exist_ok=True)
    name, _, page = raw.partition(b"\n")
    known = [file for file, _ in seeds.sound_pages()]
    changed = name.decode("ascii", "replace") if name.decode("ascii", "replace") in known else known[0]
    for file, written in seeds.sound_pages():
        (folder / file).write_bytes(page if file == changed else written)
    try:
        Cellar(read_rule_base([folder]))
    except RuleFilesWrong as wrong:
        return told(wrong)
    return True


def case(room: Cellars, raw: bytes) -> bool:
    """A case file: its card on the shelf, and its reading."""
    folder = room.folder / "cases"
    folder.mkdir(exist_ok=True)
    path = folder / "mine.yaml"
    path.write_bytes(raw)
    with screen() as page:
        shelf = cards(folder)
        show_cards(page, folder, shelf, False)
    try:
        file, state = load_case(path, room.base)
    except RuleFilesWrong as wrong:
        return told(wrong)
    with screen() as page:
        for sentence in oddities(file):
            page.warn(sentence)
        log = tell_log(room.base, state, file.units, TODAY)
        if log is not None:
            show_log(page, log)
    due_in(room.base, file, state, [])
    return True


def report(room: Cellars, raw: bytes) -> bool:
    """A case file all the way to its report, as a page and as Markdown."""
    path = _file(room, "case.yaml", raw)
    try:
        file, state = load_case(path, room.base)
    except RuleFilesWrong as wrong:
        return told(wrong)
    judged = judge(room.cellar, file.topics, state.facts(), machine="chain")
    made = make_report(CaseJudged(room.cellar, file, state, judged, {}), TODAY)
    harmless(write(made, "html"))
    markdown = write(made, "md")
    plain(markdown)
    harmless(_MARKDOWN.render(markdown))
    return True


def table(room: Cellars, raw: bytes) -> bool:
    """A table of readings."""
    try:
        gathered = read_table(decode(raw), room.names["metric"], TODAY)
    except NotATable as error:
        with screen() as page:
            show_faults(page, (str(error),))
        return False
    return _shown(room, gathered)


def lines(room: Cellars, raw: bytes) -> bool:
    """Pasted lines of a log."""
    text = raw.decode("utf-8", "replace")
    return _shown(room, read_lines(text.splitlines()[:50], room.names["us"], TODAY))


def _shown(room: Cellars, gathered: Any) -> bool:
    from diagnose.casebook.case import CaseState

    with screen() as page:
        show_faults(page, gathered.faults)
        new = news(CaseState(), gathered)
        show_news(page, room.base, new, "metric")
        tuple(new.events())
    return not gathered.faults


def words(room: Cellars, raw: bytes) -> bool:
    """A complaint in a person's own words."""
    heard = room.ear.hear(raw.decode("utf-8", "replace"), "metric")
    with screen() as page:
        page.say(str(heard))
    return bool(heard.findings)


def settings(room: Cellars, raw: bytes) -> bool:
    """A settings file."""
    os.environ["DIAGNOSE_SETTINGS"] = str(_file(room, "settings.yaml", raw))
    try:
        mine = read_settings()
        Cellar(room.base, mine.law, mine.limits)
    except RuleFilesWrong as wrong:
        return told(wrong)
    return True


def quantity(room: Cellars, raw: bytes) -> bool:
    """A number with a unit, for one kind of quantity or another."""
    text = raw.decode("utf-8", "replace")
    try:
        value = read_quantity(text, _QUANTITIES[sum(raw) % len(_QUANTITIES)], "us")
    except NotAQuantity as error:
        plain(str(error))
        return False
    if not math.isfinite(value):
        raise Fault(f"{text!r} is read as {value}")
    return True


_QUANTITIES = tuple(TABLE)


def answer(room: Cellars, raw: bytes) -> bool:
    """What is typed at a question, at some of the questions that ship; whether one of them takes it."""
    pages = list(room.base.observations.values())
    taken = False
    for page in (pages[(sum(raw) + step) % len(pages)] for step in range(0, len(pages), 29)):
        try:
            read_answer(page, raw.decode("utf-8", "replace"), "metric")
            taken = True
        except NotAnAnswer as error:
            plain(without_controls(str(error)))
    return taken


@dataclass(frozen=True)
class Way:
    """A door with what is thrown at it: seeds, their shape, and its share of all inputs."""

    door: Door
    seeds: Callable[[], tuple[bytes, ...]]
    shape: str
    share: float


WAYS: Mapping[str, Way] = {
    "rule file": Way(rule_page, seeds.rule_pages, "yaml", 0.1),
    "rule folder": Way(
        rule_folder,
        lambda: tuple(name.encode() + b"\n" + page for name, page in seeds.sound_pages()),
        "named",
        0.0015,
    ),
    "case file": Way(case, seeds.cases, "yaml", 0.1),
    "case file to its report": Way(report, seeds.cases, "yaml", 0.0015),
    "table of readings": Way(table, lambda: seeds.TABLES, "table", 0.06),
    "pasted lines": Way(lines, lambda: seeds.LINES, "text", 0.005),
    "own words": Way(words, lambda: seeds.WORDS, "text", 0.002),
    "settings file": Way(settings, lambda: seeds.SETTINGS, "yaml", 0.03),
    "quantity": Way(quantity, lambda: seeds.QUANTITIES, "text", 0.5),
    "typed answer": Way(answer, lambda: seeds.QUANTITIES + seeds.WORDS, "text", 0.2),
}


def made(way: Way, rng: Random) -> bytes:
    """One input for a door."""
    from mutations import mutated

    seed = rng.choice(way.seeds())
    if way.shape == "named":
        name, _, page = seed.partition(b"\n")
        return name + b"\n" + mutated(page, rng, "yaml")
    return mutated(seed, rng, way.shape)


# ---------------------------------------------------------------- knocking


_WATCHED = (
    "os.system",
    "os.exec",
    "os.posix_spawn",
    "os.fork",
    "subprocess.Popen",
    "socket.connect",
    "pickle.find_class",
)
_allowed: list[str] = []
_seen: list[str] = []


def _watch(event: str, arguments: tuple[Any, ...]) -> None:
    if not _allowed:
        return
    if event in _WATCHED:
        _seen.append(f"{event} {arguments!r}"[:200])
    elif event == "open" and isinstance(arguments[0], str | bytes):
        path = os.fsdecode(arguments[0])
        flags = arguments[2] if isinstance(arguments[2], int) else 0
        writes = bool(flags & (os.O_WRONLY | os.O_RDWR | os.O_CREAT))
        allowed = _allowed[:1] if writes else _allowed
        if ".." in Path(path).parts or not str(Path.cwd() / path).startswith(tuple(allowed)):
            _seen.append(f"{'writes' if writes else 'reads'} {path}")


sys.addaudithook(_watch)


def _alarm(kind: int, frame: Any) -> None:
    raise TooSlow(f"more than {SECONDS if kind == signal.SIGPROF else _HANGS} s")


def knock(room: Cellars, way: Way, raw: bytes, seconds: float = SECONDS) -> tuple[bool, float]:
    """Throw one input at a door. Returns whether it was let in, and its processor time.

    Raises Fault, or whatever the door let through.
    """
    _seen.clear()
    _allowed[:] = [
        str(room.folder),
        str(seeds.ROOT),
        sys.prefix,
        sys.base_prefix,
        "/usr",
        "/etc/localtime",
        "/dev/null",
    ]
    signal.signal(signal.SIGPROF, _alarm)
    signal.signal(signal.SIGALRM, _alarm)
    signal.setitimer(signal.ITIMER_PROF, seconds)
    signal.setitimer(signal.ITIMER_REAL, _HANGS)
    began = time.process_time()
    try:
        let_in = way.door(room, raw)
    except OutOfRange as error:
        raise Fault(f"a calculator's refusal reaches nobody: {error}") from error
    finally:
        signal.setitimer(signal.ITIMER_PROF, 0)
        signal.setitimer(signal.ITIMER_REAL, 0)
        _allowed.clear()
    if _seen:
        raise Fault("; ".join(_seen))
    return let_in, time.process_time() - began


@contextlib.contextmanager
def cellars(cellar: Cellar | None = None) -> Iterator[Cellars]:
    """The rules, and a folder in memory where there is one."""
    fast = Path("/dev/shm")
    with tempfile.TemporaryDirectory(dir=fast if fast.is_dir() else None) as folder:
        yield Cellars(Path(folder), cellar or Cellar(read_rule_base([seeds.ROOT / "rules"])))
