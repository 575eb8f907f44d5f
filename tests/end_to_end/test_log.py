"""The log of a wine through the real command: read, pasted, imported, shown, and believed by the judgement."""

from __future__ import annotations

import re
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING
from xml.dom import minidom

import pytest
from terminal import Terminal

DOCS = Path(__file__).resolve().parents[2] / "docs"

if TYPE_CHECKING:
    from ready_start import Run

HEAD = 'case: "{name}"\ntitle: "A consultation"\ntopic: "stuck"\ncase_format: 2\nunits: "{units}"\nevents:\n'


@pytest.fixture
def case(home: Path) -> Path:
    """A kept case of a ferment that stands, without anything in it yet."""
    return begun(home)


def begun(home: Path, name: str = "plum", units: str = "metric") -> Path:
    """A case as the program begins it."""
    (home / "cases").mkdir(exist_ok=True)
    file = home / "cases" / f"{name}.yaml"
    file.write_text(HEAD.format(name=name, units=units), encoding="utf-8")
    return file


def table(home: Path, text: str) -> str:
    """A file of readings."""
    file = home / "log.csv"
    file.write_text(text, encoding="utf-8")
    return str(file)


def log_of(run: Run, *readings: tuple[str, float]) -> str:
    """The log as it is shown once these densities were pasted, with the wine at 22 °C."""
    lines = [f"2025-10-{day} {gravity:.3f} 22 C" for day, gravity in readings]
    assert run("log", "plum", "--paste", lines=[*lines, ""]).returncode == 0
    return " ".join(run("log", "plum").stdout.split())


def test_a_reading_is_kept_and_shown(run: Run, case: Path) -> None:
    """Two readings from one line; the file holds them in the units of the rules."""
    done = run("log", "plum", "gravity=1.020", "temp=64 F", "--on", "2025-10-12 8:30")
    assert done.returncode == 0 and "Density now: 1.020" in done.stdout
    assert (
        '{"at": "2025-10-12T08:30", "did": "read", "about": "gravity_now", "value": 1.02}' in case.read_text()
    )
    shown = run("log", "plum").stdout
    assert "12 Oct 2025 8:30" in shown and "17.8 °C" in shown


def test_a_reading_without_a_day_is_of_now(run: Run, case: Path) -> None:
    """Most readings are written down where they are taken."""
    run("log", "plum", "SG", "1.020")
    assert f'"at": "{date.today().isoformat()}T' in case.read_text()
    assert "Last read today" in run("log", "plum").stdout


def test_the_example_of_the_page_does_what_it_says(run: Run, home: Path, case: Path) -> None:
    """The table and the command of the how-to, as they stand there."""
    page = (DOCS / "log.md").read_text(encoding="utf-8")
    (text,) = re.findall(r"```csv\n(.*?)```", page, re.S)
    file = table(home, text)
    assert "Kept: 22" in run("log", "plum", "--import", file).stdout
    before = case.read_bytes()
    assert "Nothing new to keep" in run("log", "plum", "--import", file).stdout
    assert case.read_bytes() == before
    shown = " ".join(run("log", "plum").stdout.split())
    for said in re.findall(r"^> (.*)$", page, re.M):
        assert said in shown


def test_a_table_with_a_mistake_keeps_nothing(run: Run, home: Path, case: Path) -> None:
    """All mistakes are told; with --keep-good the rest is kept, and the status still says that something was wrong."""
    before = case.read_bytes()
    file = table(home, "date,gravity,temp\n2025-10-01,1.090,20\n2025-10-02,24,68\n")
    done = run("log", "plum", "--import", file)
    assert done.returncode == 1 and case.read_bytes() == before
    told = " ".join(done.stdout.split())
    assert "Line 3, column 'gravity': '24' needs its scale" in told and "24 Brix would be 1.101" in told
    assert "Line 3, column 'temp': 68 °C cannot be right" in told and "68 F would be 20 °C" in told
    good = run("log", "plum", "--import", file, "--keep-good")
    assert good.returncode == 1 and "Kept: 2" in good.stdout


def test_days_that_may_be_two_are_asked_again(run: Run, home: Path, case: Path) -> None:
    """With the way named the same file is taken."""
    file = table(home, "date;gravity\n12/10/2025;1,050\n11/11/2025;1,040\n")
    refused = run("log", "plum", "--import", file)
    assert refused.returncode == 1 and "12 Oct 2025 or 10 Dec 2025" in " ".join(refused.stdout.split())
    assert run("log", "plum", "--import", file, "--dates", "month-first").returncode == 0
    assert '"at": "2025-12-10"' in case.read_text()


def test_a_table_may_come_through_a_pipe(run: Run, case: Path) -> None:
    """`-` is standard input."""
    done = run("log", "plum", "--import", "-", lines=["date,gravity", "2025-10-01,1.090"])
    assert done.returncode == 0 and '"value": 1.09}' in case.read_text()


def test_readings_to_come_are_refused(run: Run, case: Path) -> None:
    """A wrong year, or a machine whose clock runs behind, is told with the day it takes for today."""
    before = case.read_bytes()
    done = run("log", "plum", "gravity=1.020", "--on", "2999-01-01")
    assert done.returncode == 1 and "today is" in done.stdout
    assert case.read_bytes() == before


def test_a_terminal_asks_before_it_keeps(environment: dict[str, str], home: Path, case: Path) -> None:
    """What was pasted is shown back; without a yes nothing is kept."""
    before = case.read_bytes()
    for answer, kept in (("no", False), ("yes", True)):
        terminal = Terminal(environment, "log", "plum", "--paste", subject=None)
        terminal.read_until("> ")
        for line in ("12 Oct 2025 1.050 20 C", ""):
            terminal.type(line)
            shown = terminal.read_until("> ")
        assert "Density now: 1.050" in shown and "Keep these 2?" in shown
        terminal.type(answer)
        terminal.wait()
        terminal.end()
        assert (case.read_bytes() != before) is kept


def test_no_change_for_a_day_is_stuck(run: Run, case: Path) -> None:
    """No change of density over 24 hours in an active ferment: Pambianchi, Modern Home Winemaking."""
    shown = log_of(run, ("10", 1.048), ("11", 1.036), ("12", 1.024), ("13", 1.024), ("14", 1.024))
    assert "It has not moved since 12 Oct 2025" in shown and "As a ferment it is stuck" in shown


@pytest.mark.parametrize(("fall", "verdict"), [(0.003, "sluggish"), (0.008, "normal")])
def test_a_daily_fall_below_five_points_is_sluggish(run: Run, case: Path, fall: float, verdict: str) -> None:
    """Above 1.005, at a favourable temperature, a fall of less than 5 points in a day: Pambianchi, same place."""
    shown = log_of(run, *((str(10 + day), 1.080 - fall * day) for day in range(6)))
    assert f"As a ferment it is {verdict}." in shown


def test_the_judgement_believes_the_log(run: Run, case: Path) -> None:
    """The consultation says what it took from where, does not ask it again, and a person overrules it by name."""
    log_of(run, ("10", 1.048), ("11", 1.036), ("12", 1.024), ("13", 1.024), ("14", 1.024))
    begun_again = run("continue", "plum", lines=["Density now: 1.010", "stop"])
    assert "Density now: 1.024 (from the log, 14 Oct 2025)" in begun_again.stdout
    assert "Density now: 1.010 (was 1.024)" in begun_again.stdout
    assert "Density now: 1.024" not in run("continue", "plum", lines=["stop"]).stdout
    report = run("report", "plum").stdout
    assert "| It stayed the same | 2025-10-14, from the log |" in report


def test_the_report_and_the_drawing_show_the_log(run: Run, home: Path, case: Path) -> None:
    """One section, only where something was read; the curve is a picture that loads nothing."""
    page = home / "report.html"
    run("report", "plum", "--to", str(page))
    assert "The log" not in page.read_text(encoding="utf-8")
    log_of(run, ("10", 1.048), ("11", 1.036), ("12", 1.024), ("13", 1.024), ("14", 1.024))
    run("log", "plum", "<b>stirred</b> & warmed", "--on", "2025-10-13")
    run("report", "plum", "--to", str(page))
    html = page.read_text(encoding="utf-8")
    assert (
        "The log" in html
        and "stands still" in html
        and "&lt;b&gt;stirred" in html
        and "<b>stirred" not in html
    )
    picture = home / "curve.svg"
    assert run("log", "plum", "--save", str(picture)).returncode == 0
    drawn = minidom.parse(str(picture))
    assert len(drawn.getElementsByTagName("circle")) == 10
    assert not drawn.getElementsByTagName("script") and "stands still" in picture.read_text(encoding="utf-8")


@pytest.mark.parametrize("columns", [60, 80, 120])
def test_the_log_fits_the_screen(
    environment: dict[str, str], run: Run, home: Path, case: Path, columns: int
) -> None:
    """No line is longer than the terminal is wide."""
    log_of(run, ("10", 1.048), ("11", 1.036), ("12", 1.024), ("13", 1.024))
    run("log", "plum", "free SO2 30 ppm, total SO2 80 ppm, pH 3.45, TA 6.1 g/L", "--on", "2025-10-14")
    terminal = Terminal(environment, "log", "plum", columns=columns, subject=None)
    shown = terminal.read_rest()
    terminal.end()
    assert "1.048" in shown and max(map(len, shown.splitlines())) <= columns


def test_a_case_that_would_grow_too_large_is_not_added_to(run: Run, case: Path) -> None:
    """Beyond its largest size a case could not be opened again."""
    with case.open("a", encoding="utf-8") as file:
        line = '- {"at": "2025-10-01", "did": "noted", "value": "' + "x" * 3000 + '"}\n'
        file.write(line * ((4 * 1024 * 1024 - case.stat().st_size) // len(line)))
        file.write("#" * (4 * 1024 * 1024 - file.tell() - 40) + "\n")
    before = case.read_bytes()
    done = run("log", "plum", "gravity=1.020")
    assert done.returncode == 1 and "could not be opened again" in done.stderr
    assert case.read_bytes() == before


def test_a_case_in_us_units_reads_and_shows_them(run: Run, home: Path) -> None:
    """A bare temperature is in °F there."""
    begun(home, "pear", "us")
    run("log", "pear", "temp=68", "--on", "2025-10-12")
    assert "68 °F" in run("log", "pear").stdout


@pytest.mark.parametrize(
    "arguments",
    [
        ("--import", "x.csv", "--paste"),
        ("--on", "2025-10-12"),
        ("--save", "curve.png"),
        ("gravity=1", "--paste"),
    ],
)
def test_options_that_do_not_fit_are_refused(run: Run, case: Path, arguments: tuple[str, ...]) -> None:
    """The command was misused, and says how."""
    assert run("log", "plum", *arguments).returncode == 2


def test_a_file_that_is_not_there_says_so(run: Run, case: Path) -> None:
    """No traceback for a slip in a name."""
    done = run("log", "plum", "--import", "nowhere.csv")
    assert done.returncode == 1 and "nowhere.csv" in done.stderr and "Traceback" not in done.stderr
