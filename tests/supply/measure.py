"""Installs the wheel with the lowest and with the newest run-time packages, and runs the demonstration and tests.

`python tests/supply/measure.py` goes through every Python that the project names and that is here, one after the
other; `--python 3.12 --edge lowest` does a part of it. What passed is kept in `measured.yaml`, and
`python tests/supply/supply_page.py` makes the page and the tested ranges from that. It needs `uv` on PATH.

*Lowest* is what the lower bounds in pyproject.toml allow, or the first release with a wheel for that Python where it
is later. *Newest* is what the lock file holds, installed with its hashes.
"""

from __future__ import annotations

import argparse
import os
import re
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Iterator, Mapping, Sequence
from datetime import date
from pathlib import Path

import yaml

HERE = Path(__file__).resolve().parent
ROOT = HERE.parents[1]
MEASURED = HERE / "measured.yaml"
LOCK = HERE / "test.lock"
PYTHONS = ("3.10", "3.11", "3.12", "3.13")
EDGES = ("lowest", "newest")
TOOLS = ("pytest", "pytest-xdist", "hypothesis", "chempy", "scipy", "pint")
"""What the tests below need; the lowest packages leave no room for all the rest."""
PARTS = {
    "all": ("tests/calculators", "tests/engine", "tests/knowledge"),
    "short": (
        "tests/calculators/test_registry.py",
        "tests/calculators/test_so2.py",
        "tests/engine/test_experta_shim.py",
        "tests/engine/test_one_way.py",
        "tests/knowledge/test_broken_rule_files.py",
        "tests/knowledge/test_loading_at_once.py",
    ),
}
"""`all` takes some two minutes of a processor that has nothing else to do, `short` a quarter of that."""
OF_SPEED = "test_a_file_full_of_mistakes_gives_a_short_list"
"""Left out: it holds a time, and what is asked here is whether the packages do, on whatever machine. For the same
reason hypothesis runs in its profile `ci`, which sets no deadline."""
UNCOMPILED = "ignore:invalid escape sequence"
"""Python says this of an oracle's own text the first time it reads it; the tests would take it for a fault of ours."""
BUILT = ("numpy", "pydantic", "pydantic-core", "pyyaml", "rapidfuzz", "markupsafe")
"""Packages with compiled parts: nobody at a tank has a compiler, so only their wheels count."""


def run(*command: str | Path, cwd: Path = ROOT, env: Mapping[str, str] | None = None) -> str:
    """What a command prints. Raises CalledProcessError after showing it."""
    done = subprocess.run([*map(str, command)], cwd=cwd, env=env, capture_output=True, text=True)
    if done.returncode:
        print(done.stdout[-6000:], done.stderr[-3000:], sep="\n", file=sys.stderr)
        done.check_returncode()
    return done.stdout


def uv(*arguments: str | Path) -> str:
    """What uv prints. It never fetches a Python of its own."""
    return run("uv", *arguments, env={**os.environ, "UV_PYTHON_DOWNLOADS": "never"})


def interpreters(wanted: Sequence[str]) -> Iterator[Path]:
    """The Pythons wanted that are here: on PATH, or beside each other where pyenv keeps them."""
    pyenv = Path(os.environ.get("PYENV_ROOT", Path.home() / ".pyenv")) / "versions"
    for version in wanted:
        kept = sorted(pyenv.glob(f"{version}.*/bin/python"))
        found = kept[-1] if kept else shutil.which(f"python{version}")
        if found:
            yield Path(found)
        else:
            print(f"Python {version} is not here: left out.")


def lowest(python: Path) -> str:
    """Pins of the lowest run-time packages that this Python can have."""
    wheels = [word for name in BUILT for word in ("--only-binary", name)]
    return uv(
        *("pip", "compile", ROOT / "pyproject.toml", "--resolution", "lowest-direct", "--python", python),
        *("--no-header", "--no-annotate", "--quiet", *wheels),
    )


def without_the_package(work: Path) -> Path:
    """A copy of the tests and what they read, without `diagnose`: only the installed wheel can answer them."""
    copy = work / "tests_alone"
    for name in ("tests", "rules", "cases", "docs"):
        shutil.copytree(ROOT / name, copy / name, ignore=shutil.ignore_patterns("__pycache__", ".*"))
    shutil.copy(ROOT / "pyproject.toml", copy)
    return copy


def measure(python: Path, edge: str, wheel: Path, work: Path, tests: Path, parts: str) -> dict[str, object]:
    """Install, play the demonstration and run the tests on one Python at one edge."""
    place = work / "venv"
    shutil.rmtree(place, ignore_errors=True)
    uv("venv", "--quiet", "--python", python, place)
    own = place / "bin" / "python"
    if edge == "lowest":
        pins = work / "lowest.txt"
        pins.write_text(lowest(python), encoding="utf-8")
        uv("pip", "install", "--quiet", "--python", own, "-r", pins, *TOOLS)
    else:
        uv("pip", "install", "--quiet", "--python", own, "--require-hashes", "-r", LOCK)
    uv("pip", "install", "--quiet", "--python", own, "--no-deps", wheel)
    home = {name: str(work / "home" / name) for name in ("DIAGNOSE_CASES", "DIAGNOSE_CACHE")}
    env = {**os.environ, **home, "DIAGNOSE_SETTINGS": str(work / "home" / "settings.yaml")}
    env.pop("PYTHONPATH", None)
    # Away from the checkout, so that the installed wheel is what plays.
    program = place / "bin" / "diagnose"
    if "What to do, in this order" not in run(program, "demo", cwd=work, env=env):
        raise SystemExit("The demonstration did not come to a plan.")
    run(
        program,
        "report",
        ROOT / "cases" / "haze" / "demonstration.yaml",
        "--to",
        "report.html",
        cwd=work,
        env=env,
    )
    workers = "2" if parts == "all" else "0"
    told = run(
        *(place / "bin" / "pytest", "-o", "addopts=--strict-markers --strict-config", "-q", "-n", workers),
        *(
            "-p",
            "no:cacheprovider",
            "-k",
            f"not {OF_SPEED}",
            "-W",
            UNCOMPILED,
            "--hypothesis-profile=ci",
            *PARTS[parts],
        ),
        cwd=tests,
        env=env,
    )
    tail = told.strip().splitlines()[-1]
    print(f"{python} {edge}: {tail}", flush=True)
    return {
        "python": run(own, "-c", "import platform; print(platform.python_version())").strip(),
        "edge": edge,
        "parts": parts,
        "passed": int((re.search(r"(\d+) passed", tail) or ["", "0"])[1]),
        "skipped": int((re.search(r"(\d+) skipped", tail) or ["", "0"])[1]),
        "on": date.today().isoformat(),
        "versions": versions(own),
    }


def versions(python: Path) -> dict[str, str]:
    """The version of each run-time package that pyproject.toml names, as installed for this Python."""
    code = (
        "import re, yaml; from importlib.metadata import requires, version;"
        "names = sorted(re.match(r'[\\w.-]+', one)[0] for one in requires('diagnose') if 'extra ==' not in one);"
        "print(yaml.safe_dump({name: version(name) for name in names}))"
    )
    found = yaml.safe_load(run(python, "-c", code))
    return {str(name): str(version) for name, version in found.items()}


def keep(row: Mapping[str, object]) -> None:
    """Put one measured row into the file, in the place of the one of the same Python and edge."""
    rows = yaml.safe_load(MEASURED.read_text(encoding="utf-8"))["measured"] if MEASURED.exists() else []
    minor = str(row["python"]).rpartition(".")[0]
    rest = [old for old in rows if (old["python"].rpartition(".")[0], old["edge"]) != (minor, row["edge"])]
    order = sorted([*rest, row], key=lambda one: (int(one["python"].split(".")[1]), one["edge"]))
    text = yaml.safe_dump({"measured": order}, sort_keys=False)
    MEASURED.write_text("# Written by measure.py; not by hand.\n" + text, encoding="utf-8")


def main() -> None:
    """Measure what was asked for, one after the other."""
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("--python", action="append", choices=PYTHONS, help="only this one")
    asked.add_argument("--edge", action="append", choices=EDGES, help="only this one")
    asked.add_argument("--parts", default="all", choices=PARTS, help="which tests")
    chosen = asked.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        work = Path(folder)
        uv("build", "--quiet", "--wheel", "--out-dir", work, ROOT)
        (wheel,) = work.glob("*.whl")
        tests = without_the_package(work)
        for python in interpreters(chosen.python or PYTHONS):
            for edge in chosen.edge or EDGES:
                keep(measure(python, edge, wheel, work, tests, chosen.parts))


if __name__ == "__main__":
    main()
