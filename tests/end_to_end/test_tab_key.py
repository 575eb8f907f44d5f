"""The Tab key in real shells, and that what it offers is what the commands take."""

from __future__ import annotations

import os
import pty
import re
import select
import shutil
import subprocess
import sys
import time
from collections.abc import Mapping
from pathlib import Path

import click
import pytest
from diagnose.calculators import calculators, worksheets
from diagnose.cli import completing
from diagnose.cli.main import main
from diagnose.commands.setup import make_cellar
from diagnose.knowledge.own import RuleFolders

ROOT = Path(__file__).resolve().parents[2]

SHELLS = {
    "bash": (["bash", "--norc", "-i"], 'eval "$(diagnose completion bash)"'),
    "zsh": (
        ["zsh", "-f", "-i"],
        'autoload -U compinit; compinit -u -D; eval "$(diagnose completion zsh)"',
    ),
}


@pytest.fixture
def shell_environment(environment: dict[str, str], home: Path) -> dict[str, str]:
    """A shell in which `diagnose` can be typed, and one case is kept, and one put away."""
    launcher = home / "bin" / "diagnose"
    launcher.parent.mkdir()
    launcher.write_text(f'#!/bin/sh\nPYTHONPATH="{ROOT}" exec "{sys.executable}" -m diagnose "$@"\n')
    launcher.chmod(0o755)
    for name in ("haze_2026_03_14", "archived/stuck_2025_10_20"):
        file = home / "cases" / f"{name}.yaml"
        file.parent.mkdir(parents=True, exist_ok=True)
        file.write_text(f"case: {file.stem}\ntitle: Invented\ntopic: haze\nevents:\n")
    place = {"PATH": f"{launcher.parent}:{environment['PATH']}", "HOME": str(home), "PS1": "$ "}
    return {**environment, **place, "TERM": "dumb"}


def typed_with_tab(shell: str, typed: str, environment: Mapping[str, str]) -> str:
    """What stands on the line of an interactive shell after typing this and pressing Tab."""
    command, set_up = SHELLS[shell]
    leader, follower = pty.openpty()
    process = subprocess.Popen(
        command, stdin=follower, stdout=follower, stderr=follower, env=environment, start_new_session=True
    )
    os.close(follower)
    try:
        os.write(leader, f"{set_up}; echo re''ady\n".encode())
        _read_until(leader, r"(?m)^\s*ready")
        os.write(leader, f"{typed}\t".encode())
        return _read_until(leader, r"diagnose [\w -]+ $")
    finally:
        process.kill()
        process.wait()
        os.close(leader)


def _read_until(leader: int, pattern: str, seconds: float = 60) -> str:
    seen, end = "", time.monotonic() + seconds
    while time.monotonic() < end:
        if select.select([leader], [], [], 0.2)[0]:
            seen += os.read(leader, 65536).decode("utf-8", "replace").replace("\r", "")
        elif re.search(pattern, seen):
            return seen
    raise AssertionError(f"waited in vain for {pattern}: {seen[-500:]!r}")


@pytest.mark.parametrize("shell", sorted(SHELLS))
def test_tab_finishes_the_name_of_a_case_in_a_real_shell(
    shell: str, shell_environment: dict[str, str]
) -> None:
    """Somebody types `diagnose plan ha` and Tab; the name of the case stands there in full."""
    if shutil.which(shell) is None:
        pytest.skip(f"{shell} is not installed here")
    line = typed_with_tab(shell, "diagnose plan ha", shell_environment)
    assert "diagnose plan haze_2026_03_14 " in line.replace("\x08", "") or "ze_2026_03_14 " in line


@pytest.mark.parametrize(
    ("typed", "offered"),
    [
        ("diagnose unarch", "unarchive"),
        ("diagnose plan haz", "haze_2026_03_14"),
        ("diagnose due --cal", "--calendar"),
    ],
)
def test_tab_in_fish(typed: str, offered: str, shell_environment: dict[str, str]) -> None:
    """fish, asked what it would offer, names the command, the case and the option."""
    if shutil.which("fish") is None:
        pytest.skip("fish is not installed here")
    ask = f"diagnose completion fish | source; complete -C '{typed}'"
    done = subprocess.run(
        ["fish", "--no-config", "-c", ask], env=shell_environment, capture_output=True, text=True, timeout=60
    )
    assert [line.split("\t")[0] for line in done.stdout.splitlines()] == [offered], done.stderr


def offered_by_bash(words: str, environment: Mapping[str, str]) -> list[str]:
    """What the script hands to bash for these words, the last one begun."""
    asked = {"_DIAGNOSE_COMPLETE": "bash_complete", "COMP_WORDS": words, "COMP_CWORD": str(words.count(" "))}
    done = subprocess.run(
        ["diagnose"], env={**environment, **asked}, capture_output=True, text=True, timeout=60, check=True
    )
    return [line.partition(",")[2] for line in done.stdout.splitlines()]


@pytest.mark.parametrize(
    ("words", "offered"),
    [
        ("diagnose unarchive s", "stuck_2025_10_20"),
        ("diagnose sheet haze trial bento", "bentonite"),
        ("diagnose done haze bento", "bentonite"),
        ("diagnose why haze protein_h", "protein_haze"),
        ("diagnose what-if haze --without gas_c", "gas_comes_back"),
        ("diagnose book --cause pectin_h", "pectin_haze"),
        ("diagnose calculate molecular_", "molecular_so2"),
        ("diagnose settings --law o", "oiv"),
        ("diagnose --about haz", "haze"),
        ("diagnose plan --fr", "--from"),
        ("diagnose --pl", "--plain"),
        ("diagnose settings --plain y", "yes"),
        ("diagnose glossary RACKI", "racking"),
        ("diagnose glossary titratable", "titratable_acidity"),
    ],
)
def test_each_place_offers_its_names(words: str, offered: str, shell_environment: dict[str, str]) -> None:
    """A fix where a fix is named, a cause where a cause is, and so on."""
    assert offered in offered_by_bash(words, shell_environment)


def test_cases_of_another_folder_are_offered_where_it_is_named(
    shell_environment: dict[str, str], tmp_path: Path
) -> None:
    """`--cases` before the command counts for Tab too."""
    (tmp_path / "shed").mkdir()
    (tmp_path / "shed" / "plum.yaml").write_text("case: plum\n")
    words = f"diagnose --cases {tmp_path / 'shed'} plan "
    assert offered_by_bash(words, shell_environment) == ["plum"]


def test_pages_found_by_their_first_line_are_the_pages_of_the_rules() -> None:
    """Looking through the files for names finds what reading them finds, no more and no less."""
    base = make_cellar(RuleFolders(())).base
    context = click.Context(main)
    for kind, known in (
        ("cause", base.causes),
        ("fix", base.fixes),
        ("test", base.tests),
        ("caution", base.cautions),
        ("observe", base.observations),
        ("topic", base.topics),
        ("word", base.glossary),
    ):
        assert {*completing.pages(context, [kind])} == {*known}, kind
    asked = {item.value for item in completing.questions(context, main.params[0], "")}
    assert asked == set(base.observations)
    laws = {item.value for item in completing.laws(context, main.params[0], "")}
    assert laws == {limit.jurisdiction for limit in base.limits.values()}
    sums = {item.value for item in completing.sums(context, main.params[0], "")}
    assert sums == {*calculators(), *worksheets()}


def test_tab_waits_for_no_pipe_and_offers_no_name_that_cannot_be_shown(
    shell_environment: dict[str, str], tmp_path: Path
) -> None:
    """A pipe among the rules is passed over, and a file whose name holds a control sign too."""
    (tmp_path / "kept").mkdir()
    (tmp_path / "kept" / "plum.yaml").write_text("case: plum\n")
    (tmp_path / "kept" / "red\x1b[31m.yaml").write_text("case: red\n")
    os.mkfifo(tmp_path / "pipe.yaml")
    (tmp_path / "page.yaml").write_text("- cause: dusty\n")
    assert offered_by_bash(f"diagnose --cases {tmp_path / 'kept'} plan ", shell_environment) == ["plum"]
    assert offered_by_bash(f"diagnose --rules {tmp_path} book --cause d", shell_environment) == ["dusty"]


def test_tab_does_not_read_the_rules() -> None:
    """A case or a page is offered without loading what reads and checks rules: nobody waits for a name."""
    begun = {"_DIAGNOSE_COMPLETE": "bash_complete", "COMP_WORDS": "diagnose why x prot", "COMP_CWORD": "3"}
    asked = {**os.environ, **begun}
    ask = (
        "import sys; from diagnose.cli.main import main\n"
        "try: main(prog_name='diagnose')\n"
        "except SystemExit: pass\n"
        "print({'pydantic', 'numpy', 'experta'} & {*sys.modules})"
    )
    done = subprocess.run(
        [sys.executable, "-c", ask], capture_output=True, text=True, timeout=60, cwd=ROOT, env=asked
    )
    assert "plain,protein_haze" in done.stdout and done.stdout.endswith("set()\n"), done.stderr


def test_without_a_shell_it_is_said_how_to_set_it_up(run) -> None:
    """Each shell has its line; an unknown shell is refused by name."""
    said = run("completion")
    assert said.returncode == 0
    assert all(f"diagnose completion {shell}" in said.stdout for shell in ("bash", "zsh", "fish"))
    page = (ROOT / "docs" / "how-to" / "completion.md").read_text(encoding="utf-8")
    lines = [line.strip() for line in said.stdout.splitlines() if "diagnose completion" in line]
    assert len(lines) == 3 and all(line in page for line in lines)
    assert run("completion", "csh").returncode == 2
