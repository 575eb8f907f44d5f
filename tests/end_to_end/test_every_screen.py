"""The main screens at any terminal: narrow and wide, dumb and piped, with and without colour, and plain."""

from __future__ import annotations

import json
import re
import subprocess
import sys
import tempfile
from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path
from typing import Any, NamedTuple

import pytest
from click.testing import CliRunner
from diagnose.cli.main import main
from every_screen import BETWEEN
from rich.cells import cell_len
from terminal import Terminal

HERE = Path(__file__).parent
SOUND = HERE.parent / "knowledge" / "sound"
WIDTHS = (60, 80, 120, 160)
"""The narrowest that is promised, the usual one, and a wide one."""

HEAD = """case: "{name}"
title: "Invented"
topic: "{topic}"
case_format: 2
wine: "Garden white 2026"
units: "metric"
events:
"""
ANSWERS: Mapping[str, Any] = {
    "wine_colour": "white",
    "made_from": "grapes",
    "wine_is_in": "vessel",
    "looks": ["even_veil"],
    "haze_began": "after_clear",
    "came_after": ["warming"],
    "gas": "none",
    "vessel_volume": 50,
    "heat_test_eye": "much_hazier",
    "bentonite_dose": 0.4,
    "bentonite_slurry": 50,
}
READ = ((10, 1.05, 18), (11, 1.03, 21), (12, 1.012, 20), (13, 1.003, 20), (14, 0.997, 19), (15, 0.996, 19))
BAD = """case: expects_too_much
title: Invented
topic: haze
facts: {gas_seen: no, heated_ntu: 9}
expect: {first_cause: overfining, first_fix: leave_alone, because: Invented.}
"""
TYPED = {
    "consultation": [
        "?",
        "why",
        "what is pectin",
        "5000",
        "1",
        "so far",
        "1",
        "3,4",
        "skip",
        "enough",
        "why",
        "test heat",
    ],
    "review": ["?", "why", "stop"],
}
"""What a person types at the screens that wait for it; `stop` after that."""

DRAWN = ("log", "table", "plan")
"""Screens with columns or a drawing, which are not the same words at each width."""


DUMB = ("result", "log", "table", "try")
"""Screens that are looked at on a dumb terminal, where the page is the same plain one."""


class Screen(NamedTuple):
    """One screen as it came out of the terminal, with the codes for colour."""

    name: str
    width: int
    raw: str

    @property
    def lines(self) -> list[str]:
        """Its lines without codes."""
        return _plain(self.raw).split("\n")


_PROMPT = re.compile(r"(?:^|\n)((next)?> )+$")
"""Once more where the terminal became wider while it waited."""
_CODES = re.compile(r"\x1b\[[0-9;?]*[a-zA-Z]|\x1b[=>]|\r")


def _plain(raw: str) -> str:
    return _CODES.sub("", raw)


def _case(name: str, topic: str, events: Sequence[Mapping[str, Any]]) -> str:
    return HEAD.format(name=name, topic=topic) + "".join(f"- {json.dumps(event)}\n" for event in events)


@pytest.fixture(scope="module")
def home() -> Iterator[Path]:
    """A cellar with two invented cases, and a small rule base that was changed and tried."""
    # In a place as short as a person's own: the folders of the tests have names that fill lines.
    place = tempfile.TemporaryDirectory()
    home = Path(place.name)
    (home / "settings.yaml").write_text(
        "units: metric\n", encoding="utf-8"
    )  # what is asked only once was asked
    (home / "cases").mkdir()
    said = [
        {"at": "2026-03-14T18:02:11+01:00", "did": "answered", "about": name, "value": value}
        for name, value in ANSWERS.items()
    ]
    (home / "cases" / "white.yaml").write_text(_case("white", "haze", said), encoding="utf-8")
    work = {
        "at": "2026-03-15",
        "did": "done",
        "about": "bentonite",
        "data": {"amounts": {}},
    }
    (home / "cases" / "treated.yaml").write_text(_case("treated", "haze", [*said, work]), encoding="utf-8")
    read = [
        {"at": f"2026-03-{day}T08:30", "did": "read", "about": name, "value": value}
        for day, gravity, warmth in READ
        for name, value in (("gravity_now", gravity), ("cellar_temperature", warmth))
    ]
    (home / "cases" / "plum.yaml").write_text(_case("plum", "stuck", read), encoding="utf-8")
    for folder, weight in (("small", "for"), ("changed", "against")):
        (home / folder).mkdir()
        for page in SOUND.glob("*.yaml"):
            text = page.read_text(encoding="utf-8").replace("weight: for", f"weight: {weight}", 1)
            (home / folder / page.name).write_text(text, encoding="utf-8")
    (home / "tried").mkdir()
    (home / "tried" / "bad.yaml").write_text(BAD, encoding="utf-8")
    yield home
    place.cleanup()


@pytest.fixture(scope="module")
def environment(home: Path) -> dict[str, str]:
    """A person with a terminal in colour."""
    names = {"DIAGNOSE_CASES": "cases", "DIAGNOSE_SETTINGS": "settings.yaml", "DIAGNOSE_CACHE": "cache"}
    places = {variable: str(home / name) for variable, name in names.items()}
    return {"PATH": "/usr/bin:/bin", "HOME": str(home), **places, "LANG": "C.UTF-8", "TERM": "xterm-256color"}


def commands(home: Path) -> dict[str, list[str]]:
    """The words of a command for each screen."""
    small, tried = ["--rules", str(home / "small")], str(home / "tried")
    impact = ["impact", str(home / "changed"), "--on", tried, "--simulated", "0", "--jobs", "1"]
    return {
        "why": ["why", "white"],
        "result": ["judge", str(home / "cases" / "white.yaml")],
        "plan": ["plan", "white", "--from", "2026-03-16"],
        "log": ["log", "plum"],
        "due": ["due", "--all"],
        "cases": ["cases"],
        "table": ["calculate", "molecular_so2", "free=30", "ph=3.2 to 4.0", "alcohol=12", "--plot"],
        "weaknesses": [*small, "check", "--weaknesses", tried],
        "impact": [*small, *impact],
        "try": [*small, "try", "--jobs", "1", tried],
        "glossary": ["glossary"],
        "review": [*small, "review", "--by", "ab", "--worked", tried],
        "consultation": ["--about", "haze"],
    }


def shown(
    home: Path, environment: Mapping[str, str], runs: Sequence[tuple[int, Mapping[str, str]]]
) -> list[Screen]:
    """Every screen, once for each width and change of the environment."""
    wanted = [
        (name, width, more, words)
        for width, more in runs
        for name, words in commands(home).items()
        if more.get("TERM") != "dumb" or name in DUMB
    ]
    program = (str(HERE / "every_screen.py"), json.dumps(wanted))
    root = {"PYTHONPATH": str(HERE.parents[1])}
    terminal = Terminal({**environment, **root}, columns=80, subject=None, program=program)
    try:
        left: list[str] = []
        at, seen = -1, 0
        while not _plain(terminal.raw).endswith(f"{BETWEEN}the end\n"):
            before = len(terminal.raw)
            terminal.read_until("> ", seconds=60)
            assert len(terminal.raw) > before, f"nothing came after:\n{_plain(terminal.raw)[-1500:]}"
            while (seen := terminal.raw.count(BETWEEN) - 1) > at:
                at += 1
                left = [*TYPED.get(wanted[at][0], ())] if at < len(wanted) else []
            if _PROMPT.search(_plain(terminal.raw)):
                terminal.type(left.pop(0) if left else "stop")
        assert seen == len(wanted)
    finally:
        terminal.end()
    pieces = terminal.raw.split(BETWEEN)[1:-1]
    return [
        Screen(name, width, piece.partition("\n")[2])
        for piece, (name, width, *_) in zip(pieces, wanted, strict=True)
    ]


@pytest.fixture(scope="module")
def screens(home: Path, environment: Mapping[str, str]) -> list[Screen]:
    """Every screen at every width."""
    return shown(home, environment, [(width, {}) for width in WIDTHS])


@pytest.fixture(scope="module")
def plain_screens(home: Path, environment: Mapping[str, str]) -> list[Screen]:
    """Every screen as a screen reader gets it, and at a dumb terminal."""
    return shown(
        home, environment, [(60, {"DIAGNOSE_PLAIN": "yes"}), (80, {"DIAGNOSE_PLAIN": "", "TERM": "dumb"})]
    )


def test_no_line_is_wider_than_the_terminal(screens: list[Screen]) -> None:
    """Nothing is wrapped by the terminal in the middle of a word."""
    wide = [(s.name, s.width, line) for s in screens for line in s.lines if cell_len(line) > s.width]
    assert not wide


def test_no_line_ends_in_spaces(screens: list[Screen]) -> None:
    """What is copied from the screen brings nothing along. The prompt itself ends in one."""
    junk = [
        (s.name, s.width, line)
        for s in screens
        for line in s.lines
        if line != line.rstrip() and not _PROMPT.search(line)
    ]
    assert not junk


def test_each_screen_has_something_to_show(screens: list[Screen]) -> None:
    """No screen of this list is an error or empty, so that the other tests look at what they say."""
    for screen in screens:
        text = "\n".join(screen.lines)
        assert len(text) > 60 and "Usage:" not in text and "Error" not in text, (screen.name, text)
    said = " ".join(line for screen in screens for line in screen.lines)
    for words in (
        "How to find out",
        "Why this question",
        "pectin: The gelling",
        "│",
        "#--",
        "→",
    ):
        assert words in said


def test_nothing_is_cut_off(screens: list[Screen]) -> None:
    """A screen of sentences says the same words at every width, only wrapped elsewhere."""
    by_name: dict[str, set[str]] = {}
    for screen in screens:
        if screen.name not in DRAWN:
            words = re.sub(r"─+|(?:> )+", "", " ".join(screen.lines))
            # Whoever comes first waits for the rules, and is told so where it takes long.
            wait = r"Reading\s+the\s+rules\s+anew;\s+this\s+takes\s+some\s+seconds\."
            words = re.sub(wait, "", words)
            # A kept case has another name each time.
            words = re.sub(r"haze_\d{4}_\d\d_\d\d(_\d+)?", "CASE", " ".join(words.split()))
            by_name.setdefault(screen.name, set()).add(words)
    by_name.pop("cases")
    assert {name: len(said) for name, said in by_name.items()} == dict.fromkeys(by_name, 1)
    assert not [line for s in screens if s.name not in DRAWN for line in s.lines if "…" in line]


def test_a_drawing_holds_every_value_at_every_width(screens: list[Screen]) -> None:
    """The log shows each reading and the table each line, also where the columns became sentences."""
    for screen in screens:
        text = " ".join(screen.lines)
        if screen.name == "log":
            assert all(f"{gravity:.3f}" in text for _, gravity, _ in READ)
        if screen.name == "table":
            assert all(value in text for value in ("1.615", "1.039", "0.2681"))


def _coloured(raw: str) -> Iterator[tuple[str, str]]:
    """Each line with the colour that it has, or none."""
    colour = ""
    for line in raw.replace("\r", "").split("\n"):
        here = colour
        for code in re.findall(r"\x1b\[([0-9;]*)m", line):
            parts = code.split(";")
            colours = [part for part in parts if part in {*map(str, range(30, 38)), *map(str, range(90, 98))}]
            colour = colours[-1] if colours else ("" if parts[-1] in ("", "0", "39") else colour)
            here = here or colour
        yield _plain(line), here


def test_colour_is_never_the_only_signal(screens: list[Screen]) -> None:
    """Each coloured paragraph begins with a sign: `!` before a caution, `+` what was expected, `-` what was found."""
    met = set()
    for screen in screens:
        before = ""
        for line, colour in _coloured(screen.raw):
            if colour and colour != before:
                sign = line.split()[0] if line.split() else ""
                met.add((colour, sign))
            before = colour
    assert met == {("33", "!"), ("32", "+"), ("31", "-")}


def test_no_color_is_respected(home: Path, environment: Mapping[str, str]) -> None:
    """With NO_COLOR no code for a colour comes; where it is empty, as if it were not there."""
    words = ["--rules", str(home / "small"), "try", "--jobs", "1", str(home / "tried")]
    for value, wanted in (("1", False), ("", True)):
        terminal = Terminal({**environment, "NO_COLOR": value}, *words, subject=None)
        try:
            terminal.read_rest()
        finally:
            terminal.end()
        assert any(colour for _, colour in _coloured(terminal.raw)) is wanted


def test_a_plain_screen_draws_nothing(plain_screens: list[Screen]) -> None:
    """Only letters, figures and the marks of a sentence; no code, and no line wider than the terminal."""
    for screen in plain_screens:
        for line in screen.lines:
            assert not [sign for sign in line if not (sign.isascii() or sign.isalpha())], (screen.name, line)
            assert cell_len(line) <= screen.width, (screen.name, line)
            drawn = re.search(r"[|#_=*~^]{3}|-{3}|[<>]\s|\+\+", re.sub(r"^((next)?> )+", "", line))
            assert not drawn, (screen.name, line)
    assert "\x1b[" not in "".join(s.raw for s in plain_screens if s.width == 80 and s.name not in TYPED)


def test_a_plain_screen_says_what_is_drawn(plain_screens: list[Screen]) -> None:
    """A curve by its first, last and steepest value, a table by its lines, the days of a plan by name."""
    said = {screen.name: " ".join(" ".join(screen.lines).split()) for screen in plain_screens}
    assert "first 1.050 at 0, last 0.996 at 5" in said["log"]
    assert "Steepest from 1.050 at 0 to 1.030 at 1" in said["log"]
    assert "pH 3.4; molecular sulfur dioxide mg/L 1.039" in said["table"]
    assert "begin Mon 16 Mar, look whether it worked Mon 23 Mar" in said["plan"]
    assert "Mind: '5000'" in said["consultation"]
    assert "expected: " in said["try"] and "found: " in said["try"]
    assert "mend: " in said["weaknesses"] and "from you said: " in said["why"]


def test_a_pipe_gets_the_same_words(
    home: Path, environment: Mapping[str, str], screens: list[Screen]
) -> None:
    """Piped, the sentences are those of a terminal, no code is in them, and no line is wider than is told."""
    wanted = [
        (name, 0, {}, words)
        for name, words in commands(home).items()
        if name in ("result", "log", "try", "due")
    ]
    done = subprocess.run(
        [sys.executable, str(HERE / "every_screen.py"), json.dumps(wanted)],
        capture_output=True,
        text=True,
        timeout=120,
        env={**environment, "PYTHONPATH": str(HERE.parents[1])},
        check=True,
    )
    assert "\x1b[" not in done.stdout and max(map(cell_len, done.stdout.split("\n"))) <= 88
    pieces = {piece.partition("\n")[0]: piece.partition("\n")[2] for piece in done.stdout.split(BETWEEN)[1:]}
    for screen in screens:
        if screen.name in ("result", "due"):
            words = [
                re.sub(r"─+", "", text).split() for text in (pieces[screen.name], "\n".join(screen.lines))
            ]
            assert words[0] == words[1]


@pytest.mark.parametrize(
    ("option", "variable", "setting", "term", "plain"),
    [
        ([], None, None, "xterm", False),
        (["--plain"], None, None, "xterm", True),
        (["--plain"], "no", "no", "xterm", True),
        ([], "yes", None, "xterm", True),
        ([], "no", "yes", "dumb", False),
        ([], None, "yes", "xterm", True),
        ([], None, "no", "dumb", True),
        ([], "", None, "dumb", True),
    ],
)
def test_what_is_said_last_counts(
    home: Path,
    environment: Mapping[str, str],
    option: list[str],
    variable: str | None,
    setting: str | None,
    term: str,
    plain: bool,
) -> None:
    """The option goes before the variable, that before the settings, and a dumb terminal is plain of itself."""
    runner = CliRunner(env={**environment, "TERM": term, "DIAGNOSE_PLAIN": variable})
    (home / "settings.yaml").unlink(missing_ok=True)
    if setting is not None:
        runner.invoke(main, ["settings", "--plain", setting], catch_exceptions=False)
    done = runner.invoke(main, [*option, "calculate", "molecular_so2"], catch_exceptions=False)
    (home / "settings.yaml").unlink(missing_ok=True)
    assert done.exit_code == 0 and ("─" not in done.output) is plain
