"""The real command in a process of its own, with a file from somebody else."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import doors

COMMANDS = {
    "rule folder": ("--rules", "{rules}", "check"),
    "case file": ("judge", "{file}.yaml"),
    "case file to its report": ("report", "{file}.yaml"),
    "table of readings": ("log", "mine", "--import", "{file}.csv"),
    "settings file": ("settings",),
}
_PLACES = {"DIAGNOSE_CASES": "cases", "DIAGNOSE_SETTINGS": "settings.yaml", "DIAGNOSE_CACHE": "cache"}


def run_command(home: Path, name: str, raw: bytes) -> subprocess.CompletedProcess[bytes]:
    """One input through the command that takes it."""
    (home / "rules").mkdir()
    (home / "cases").mkdir()
    (home / "cases" / "mine.yaml").write_text('case: "mine"\ntitle: "Mine"\ntopic: "stuck"\nevents:\n')
    if name == "rule folder":
        changed, _, page = raw.partition(b"\n")
        for file, written in doors.seeds.sound_pages():
            (home / "rules" / file).write_bytes(page if file.encode() == changed else written)
    for ending in ("yaml", "csv"):
        (home / f"given.{ending}").write_bytes(raw)
    if name == "settings file":
        (home / "settings.yaml").write_bytes(raw)
    words = [word.format(rules=home / "rules", file=home / "given") for word in COMMANDS[name]]
    places = {name: str(home / place) for name, place in _PLACES.items()}
    keep = {name: os.environ[name] for name in ("PATH", "HOME", "PYTHONPATH") if name in os.environ}
    return subprocess.run(
        [sys.executable, "-m", "diagnose", *words],
        capture_output=True,
        stdin=subprocess.DEVNULL,
        timeout=120,
        cwd=doors.seeds.ROOT,
        env={**keep, **places, "LANG": "C.UTF-8", "COLUMNS": "80", "TERM": "xterm-256color"},
    )


def wrong_with(done: subprocess.CompletedProcess[bytes]) -> str:
    """What a run of the command must not do; empty when all is well."""
    said = (done.stdout + done.stderr).decode("utf-8", "replace")
    if "Traceback" in said or done.returncode not in (0, 1, 2, 3):
        return f"status {done.returncode}: {said[-300:]}"
    if done.returncode in (1, 2) and not said.strip():
        return "a failure that says nothing"
    try:
        doors.plain(said)
    except doors.Fault as fault:
        return str(fault)
    return ""
