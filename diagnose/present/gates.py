"""The screen of gates: what is in order before bottling, what is not, and how to find out."""

from __future__ import annotations

from diagnose.judgement.gates import GatesStand
from diagnose.knowledge.rule_base import RuleBase

from .console import Page
from .words import first_down

UNKNOWN = "nobody has looked"


def show_gates(page: Page, base: RuleBase, stand: GatesStand) -> None:
    """Each gate with how it stands and why, then what they come to."""
    page.title(stand.name)
    for gate in stand.each:
        mark = "✓" if gate.passed else "x" if gate.value == "failed" else "?"
        said = gate.value.replace("_", " ") if gate.value else UNKNOWN
        page.item(mark, f"{gate.name}: {said}", style="" if gate.passed else "bold")
        for because in gate.because:
            page.aside(because, indent=6)
        for test in gate.find_out:
            page.aside(f"To find out: {first_down(base.tests[test].name)}  [test {test}]", indent=6)
    page.blank()
    verdict = stand.verdict
    values = base.states[verdict.state].values
    page.say(values[verdict.value] if verdict.value else "Too little is known to say.", style="bold")
    for because in verdict.because:
        page.say(because)
