"""How the look at the installation is shown, and its form for machines."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Literal

from pydantic import BaseModel, ConfigDict

from diagnose.setup_check.findings import Finding, Part

from .console import Page

SCHEMA_VERSION: Literal["1.0"] = "1.0"

_HEADS: dict[Part, str] = {"program": "Program", "folders": "Folders", "rules": "Rules", "sums": "Sums"}
_OWN_LINE = ("diagnose", "python")


class SetupOut(BaseModel):
    """The whole look, as a script gets it."""

    model_config = ConfigDict(frozen=True)

    schema_version: Literal["1.0"] = SCHEMA_VERSION
    good: bool
    version: str
    findings: tuple[Finding, ...]

    @classmethod
    def of(cls, version: str, findings: Sequence[Finding]) -> SetupOut:
        """All is well when nothing is wrong; notes do not count."""
        good = all(one.state != "wrong" for one in findings)
        return cls(good=good, version=version, findings=tuple(findings))


def show_setup(page: Page, out: SetupOut) -> None:
    """The verdict, what is wrong with its mend, then what was looked at."""
    wrong = [one for one in out.findings if one.state == "wrong"]
    page.title("Setup")
    if wrong:
        count = "One thing is" if len(wrong) == 1 else f"{len(wrong)} things are"
        page.say(f"{count} wrong, of {len(out.findings)} looked at:", style="bold")
        for one in wrong:
            page.item("x", one.says)
            page.say(one.mend, indent=5)
    else:
        page.say(f"All is well: {len(out.findings)} things were looked at.", style="bold")
    for part, head in _HEADS.items():
        mine = [one for one in out.findings if one.part == part and one.state != "wrong"]
        if mine:
            page.say(head, style="bold")
            _part(page, part, mine)
    page.aside("No word of a case stands here, so this may be sent to whoever helps you.")


def _part(page: Page, part: Part, found: Sequence[Finding]) -> None:
    """Good packages, and good sums, share one line; all else has its own."""
    shared = [one for one in found if one.state == "good" and _shares(part, one)]
    for one in found:
        if one not in shared:
            page.item("✓" if one.state == "good" else "!", " ".join(filter(None, (one.says, one.mend))))
    if shared and part == "sums":
        names = ", ".join(one.name for one in shared)
        page.item("✓", f"{len(shared)} printed figures come out right: {names}")
    elif shared:
        page.item("✓", f"{len(shared)} packages, as tested: {', '.join(one.says for one in shared)}")


def _shares(part: Part, one: Finding) -> bool:
    return part == "sums" or (part == "program" and one.name not in _OWN_LINE)
