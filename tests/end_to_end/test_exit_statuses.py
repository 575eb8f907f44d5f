"""Each exit status is what the page says: held to a real run, so that a script can rely on it."""

from __future__ import annotations

import shutil
import signal
from pathlib import Path

from diagnose.commands import status
from diagnose.shipped import shipped_folder
from terminal import Terminal

RULES = shipped_folder("rules")
CASE = shipped_folder("cases") / "haze" / "copper_in_the_window.yaml"
PAGE = Path(__file__).resolve().parents[2] / "docs" / "commands.md"


def without_a_prohibition(at: Path) -> Path:
    """The rules with clay no longer forbidden where copper is likely."""
    shutil.copytree(RULES, at)
    file = at / "haze" / "fixes" / "bentonite.yaml"
    page = file.read_text(encoding="utf-8")
    begins = page.index("  - when:\n      cause.copper_haze: {one_of: [likely")
    ends = page.index("\n", page.index("    source:", begins)) + 1
    file.write_text(page[:begins] + page[ends:], encoding="utf-8")
    return at


def test_every_status_is_met_in_a_real_run_and_told_on_the_page(
    run, environment: dict[str, str], home: Path
) -> None:
    """Done, wrong, mistyped, incomplete, changed, less safe and interrupted: each by the command itself."""
    less = str(without_a_prohibition(home / "rules"))
    held = ["--on", str(CASE), "--simulated", "0", "--jobs", "1"]
    interrupted = Terminal(environment)
    interrupted.read_until("> ")
    interrupted.interrupt()
    met = {
        "DONE": run("--version").returncode,
        "WRONG": run("plan", "no_such_case").returncode,
        "MISUSED": run("contine").returncode,
        "INCOMPLETE": run(lines=["white", "stop"]).returncode,
        "CHANGED": run("impact", less, str(RULES), *held).returncode,
        "LESS_SAFE": run("impact", str(RULES), less, *held).returncode,
        "INTERRUPTED": interrupted.wait(),
    }
    interrupted.end()
    assert met == {name: value for name, value in vars(status).items() if name.isupper()}
    assert met["INTERRUPTED"] == 128 + signal.SIGINT, "as a shell counts it"
    table = PAGE.read_text(encoding="utf-8").partition("## Exit status")[2].partition("\n## ")[0]
    assert all(f"\n| {value} | " in table for value in met.values())
    line = " ".join(run("--help").stdout.split()).partition("It ends with ")[2]
    assert all(str(value) in line.partition("Ctrl-C")[0] for value in met.values())
