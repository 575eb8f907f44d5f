"""The page of licences, made from what the installed packages say of themselves.

Run by itself it writes the page: `python tests/supply/licences_page.py`, in an environment made from the lock file.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from importlib.metadata import Distribution, PackageNotFoundError, distribution
from pathlib import Path

from packaging.requirements import Requirement
from packaging.utils import canonicalize_name

ROOT = Path(__file__).resolve().parents[2]
PAGE = ROOT / "docs" / "licences.md"

HEAD = """# Licences

The program is under the MIT licence. This page lists what it installs, and what its tests install, each with what the
package says of its own licence. It is made from the installed packages: `python tests/supply/licences_page.py` writes
it anew. A test holds the run-time ones to it.

experta is under the LGPL (version 3). It is installed as a package of its own and imported as it is: nothing of it is
copied into the program, and whoever likes may put another build of it in its place.
"""


def needed(root: str, extras: Iterable[str] = ()) -> dict[str, Distribution]:
    """What a package needs here, and what that needs in turn, by name. The package itself is left out."""
    found: dict[str, Distribution] = {}
    waiting = [(root, frozenset(extras))]
    done: set[tuple[str, frozenset[str]]] = set()
    while waiting:
        name, wanted = waiting.pop()
        if (name, wanted) in done:
            continue
        done.add((name, wanted))
        try:
            package = distribution(name)
        except PackageNotFoundError:
            continue  # not for this machine, or an extra that is not installed
        found[canonicalize_name(name)] = package
        for line in package.requires or ():
            one = Requirement(line)
            if one.marker is None or any(one.marker.evaluate({"extra": extra}) for extra in wanted or {""}):
                waiting.append((canonicalize_name(one.name), frozenset(one.extras)))
    found.pop(root, None)
    return found


def licence(package: Distribution) -> str:
    """The licence a package names for itself, by the plainest of the three places where it may."""
    about = package.metadata
    if about.get("License-Expression"):
        return about["License-Expression"]
    classes = [
        line.rpartition(" :: ")[2]
        for line in about.get_all("Classifier") or ()
        if line.startswith("License ::") and not line.endswith("OSI Approved")
    ]
    if classes:
        return ", ".join(classes)
    first = (about.get("License") or "").strip().splitlines()
    return first[0][:60] if first else "says nothing; see its own files"


def table(packages: dict[str, Distribution]) -> str:
    """One row for each package."""
    rows = [f"| {name} | {_cell(licence(package))} |" for name, package in sorted(packages.items())]
    return "\n".join(["| package | licence |", "| --- | --- |", *rows])


def _cell(text: str) -> str:
    return re.sub(r"\s+", " ", text).replace("|", "/")


def licences_page() -> str:
    """The whole page."""
    run_time = needed("diagnose")
    tests = {name: one for name, one in needed("diagnose", ["test"]).items() if name not in run_time}
    return "\n".join([HEAD, "## Run-time\n", table(run_time), "", "## Tests only\n", table(tests), ""])


if __name__ == "__main__":
    PAGE.write_text(licences_page(), encoding="utf-8")
