"""The page that holds our figures against printed ones, made from the checks themselves.

Run by itself it writes the page: `python tests/docs/validation_page.py`.
"""

from __future__ import annotations

import json
import sys
from itertools import groupby
from pathlib import Path

from diagnose.calculators import calculators, worksheets
from diagnose.judgement.judge import Cellar
from diagnose.knowledge.read import read_rule_base
from pages import DOCS, ROOT

sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "published"))
sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "hearing"))
sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "oracles"))

from checks import Check, all_checks
from matrix import Matrix, all_matrices, ours
from rates import rates
from second_opinions import opinions
from test_six_thousand_wines import agreement

PAGE = DOCS / "validation.md"
HOSTILE = ROOT / "tests" / "hostile" / "measured.json"

HEAD = """# Our figures against printed ones

Each sum of the cellar is held against figures that somebody else printed: a law, a handbook, a paper, a bulletin of an
extension service. Where nothing is printed, the sum is worked by hand from a definition or a balance, and says so.
Figures that were recalled and not looked up are marked *from memory*. The tests fail when a difference is larger than
the last column allows. This page is made from the tests: `python tests/docs/validation_page.py` writes it anew.
"""


_HEARD = [
    "## Sentences of amateurs\n",
    "Invented openings of consultations (`tests/hearing/`), each with its meaning written down beforehand. Whoever",
    "wrote the vocabulary wrote them too, so real people will be heard less often. Of the second lot the first",
    "vocabulary heard 26 subjects of 61, and 18 sentences in full; it was then widened with their help.\n",
    "| sentences | | number | subject first | subject and all findings, no more | findings meant | heard beyond |",
    "| --- | --- | --- | --- | --- | --- | --- |",
]


def validation_page() -> str:
    """The whole page."""
    subjects = {name: one.subject for name, one in (*calculators().items(), *worksheets().items())}
    checks = sorted(all_checks(), key=lambda check: (subjects[check.calculator], check.calculator))
    parts = [HEAD, f"{len(checks)} figures for {len(subjects)} sums.\n"]
    for subject, group in groupby(checks, key=lambda check: subjects[check.calculator]):
        parts.append(f"## {subject.replace('_', ' ')}\n")
        parts.append("| sum | for | source | printed | ours | difference | allowed |\n" + "| --- " * 7 + "|")
        rows = [*group]
        parts.append("\n".join(map(_row, rows)) + "\n")
        notes = dict.fromkeys(
            f"- `{check.calculator}`, {_cell(check.what)}: {check.note}" for check in rows if check.note
        )
        if notes:
            parts.append("\n".join(notes) + "\n")
    parts.extend(_more())
    parts.extend(_grades())
    parts.append(_second_opinions())
    parts.append(_hostile())
    return "\n".join(parts)


def _row(check: Check) -> str:
    ours = check.ours()
    difference = ours - check.printed
    shown = "0" if abs(difference) < 1e-9 * max(1.0, abs(check.printed)) else f"{difference:+.2g}"
    return (
        f"| `{check.calculator}` | {_cell(check.what)} | {_cell(check.source)} | {check.printed:.5g} {check.unit} | "
        f"{ours:.5g} | {shown} | {'rounding of the machine' if check.tolerance < 1e-6 else f'{check.tolerance:.2g}'} |"
    )


def _cell(text: str) -> str:
    return text.replace("|", "\\|").replace("\n", " ")


def _more() -> list[str]:
    """The agreement with six thousand measured wines."""
    lines = [
        "## 6,497 measured wines\n",
        "P. Cortez, A. Cerdeira, F. Almeida, T. Matos, J. Reis, Modeling wine preferences by data mining from",
        "physicochemical properties, Decision Support Systems 47 (2009) 547-553; UCI repository, CC BY 4.0.\n",
        "| what is compared | wines | median difference | 5th percentile | 95th percentile | why |",
        "| --- | --- | --- | --- | --- | --- |",
    ]
    for row in agreement():
        quantity, count, median, low, high, note = row
        lines.append(f"| {quantity} | {count} | {median:+.3g} | {low:+.3g} | {high:+.3g} | {note} |")
    return ["\n".join(lines) + "\n", "\n".join([*_HEARD, *rates()]) + "\n"]


GRADES_HEAD = """## What findings say, beside a second reader

A second reader went through published facts on hazes, stuck and runaway ferments and sulfur dioxide, and gave each
pair of a finding and a cause a grade: *confirms*, *supports*, *neutral*, *against* or *rules out*. The fact behind a
grade was read where its source says; the grade itself is a judgement, as the strengths of our pages are. So neither is
a measure of the other. They are compared to find slips, and to show a mentor where two judgements part.

Ours is the sum of our strengths for the finding, in decibans; of rows that measure one thing only the strongest
counts. It agrees with *confirms* from 13 up, or when the finding stands in `confirmed_by` of the page and speaks for
the cause; with *supports* when it is above 0, no row says `confirms` and the finding does not stand in `confirmed_by`;
with *neutral* within 3 of 0; with *against* when it is below 0 and no row says `excludes`; with *rules out* at -13 or
less. A finding in `confirmed_by` confirms only a cause that is likely already. The tests fail when a row disagrees
without a reason, and when a reason is left over.
"""


def _grades() -> list[str]:
    """Where our strengths and the grades of a second reader part, subject by subject."""
    cellar = Cellar(read_rule_base([ROOT / "rules"]))
    return [GRADES_HEAD, *(part for matrix in all_matrices().values() for part in _matrix(cellar, matrix))]


def _matrix(cellar: Cellar, matrix: Matrix) -> list[str]:
    rows = [
        f"| {name} | {row.grade.replace('_', ' ')} | {ours(cellar, matrix.topic, row)} | {row.source} | {why} |"
        for name, why in matrix.disagreements.items()
        for row in [matrix.grades[name]]
    ]
    agreed = len(matrix.grades) - len(rows)
    said = f"{agreed} of {len(matrix.grades)} graded findings agree."
    parts = [f"### {matrix.title}\n", f"{said} The others, each with our reason:\n" if rows else f"{said}\n"]
    if rows:
        head = ["| finding | grade | ours | source of the fact | why ours differs |", "| --- " * 5 + "|"]
        parts.append("\n".join([*head, *rows]) + "\n")
    if matrix.not_compared:
        left = "\n".join(f"- {name}: {why}" for name, why in matrix.not_compared.items())
        parts.append(f"Not compared:\n\n{left}\n")
    return parts


def _second_opinions() -> str:
    """The reasoning held against what others programmed."""
    lines = [
        "## Second opinions\n",
        "The reasoning has no printed figures to be held against. Its steps are done once more by programs that others",
        "wrote, or by the longest way, and the outcomes are compared. This shows that the program reasons as its pages",
        "say. It does not show that the pages are right about wine.\n",
        "| what we work out | who else does | on what | how well they agree |",
        "| --- | --- | --- | --- |",
        *(f"| {one.what} | {one.other} | {one.cases} | {one.agreement} |" for one in opinions()),
    ]
    return "\n".join(lines) + "\n"


def _hostile() -> str:
    """What came of the hostile inputs, as the long run itself wrote it down."""
    run = json.loads(HOSTILE.read_text(encoding="utf-8"))
    rows = [
        f"| {name} | {row['inputs']:,} | {row['let_in']:,} | {len(row['faults'])} | {row['slowest']:.2f} s | "
        f"{row['memory'] / 1024:.0f} MB |"
        for name, row in sorted(run["doors"].items())
    ]
    count = sum(row["inputs"] for row in run["doors"].values())
    lines = [
        "## Hostile input\n",
        "Files of the project, changed by a seeded mutator, thrown at every door of the program by",
        "`tests/hostile/run.py`, which wrote these figures itself. What must hold is said on the page of",
        "[files from strangers](hostile-input.md). Inputs that are cheap to try were tried most often. The memory is",
        "the peak of the process while a door had the input, with the rules that it holds (about 100 MB), and without",
        "what made the input. Earlier runs told of 564 MB: that was the mutator making tables of up to 180 MB, which",
        "every door refused unread. An input has now at most 5 MB, which is more than any door opens.\n",
        f"{count:,} inputs, seed {run['seed']}, Python {run['python']}; {run['minutes']:.0f} minutes on a machine "
        "shared with others.\n",
        "| door | inputs | let in | faults | slowest, processor time | memory of the process |",
        "| --- | --- | --- | --- | --- | --- |",
        *rows,
    ]
    if mended := run.get("mended"):
        lines += [f"\n{mended}"]
    if guided := run.get("guided"):
        first, last, kept = (
            guided[key][0] if guided[key] else "?" for key in ("reached_first", "reached", "kept")
        )
        lines += [
            f"\nA coverage-guided fuzzer (atheris) grew {guided['inputs']:,} more: it came from {first} to {last} "
            f"branches reached, kept {kept} inputs on its way, and met {len(guided['faults'])} faults.",
        ]
        slow = guided["slow_when_counted"]
        lines[-1] += (
            f" {slow['inputs']} inputs were too slow while the lines that they reach were counted; thrown again "
            f"without that, the slowest took {slow['slowest_alone']:.1f} s."
        )
    if command := run.get("command"):
        lines += [f"\nThrough the real command: {command['inputs']} inputs, {len(command['faults'])} faults."]
    return "\n".join(lines) + "\n"


if __name__ == "__main__":
    PAGE.write_text(validation_page(), encoding="utf-8")
