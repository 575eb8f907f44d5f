"""The page that lists the calculators, made from their registry.

Run by itself it writes the page: `python tests/docs/calculators_page.py`.
"""

from __future__ import annotations

from itertools import groupby

from diagnose.calculators import Calculator, Worksheet, calculators, worksheets
from pages import DOCS

PAGE = DOCS / "calculators.md"

HEAD = """# Calculators

The sums that a rule file may ask for, by name, under `compute` (see the [rule language](rule-language.md)), and that
anybody may work out with `diagnose calculate` (see [commands](commands.md#sums)). Those that give several lines are
worksheets, for the command line only. The formula, the valid range and the source of each stand in its docstring, in
the module named by the heading; `diagnose calculate NAME` shows them. This page is made from the program itself:
`python tests/docs/calculators_page.py` writes it anew.

A calculator refuses a number that cannot be right. It says which, and what the range is.
"""


def calculators_page() -> str:
    """The whole page."""
    known = sorted((*calculators().values(), *worksheets().values()), key=lambda one: (one.subject, one.name))
    parts = [HEAD]
    for subject, group in groupby(known, key=lambda one: one.subject):
        parts.append(f"## {subject}\n")
        parts.append("| calculator | what it says | takes | gives |\n| --- | --- | --- | --- |")
        parts.append("\n".join(_row(one) for one in group) + "\n")
    return "\n".join(parts)


def _row(one: Calculator | Worksheet) -> str:
    takes = ", ".join(
        f"`{given.name}` ({given.unit}{'' if given.required else ', may be left out'})"
        for given in one.parameters
    )
    summary = one.summary.replace("|", "\\|")
    gives = (
        f"{one.result}, {one.result_unit}" if isinstance(one, Calculator) else f"several lines: {one.result}"
    )
    return f"| `{one.name}` | {summary} | {takes} | {gives} |"


if __name__ == "__main__":
    PAGE.write_text(calculators_page(), encoding="utf-8")
