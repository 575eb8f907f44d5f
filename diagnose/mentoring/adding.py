"""A conversation that ends in a new cause, row of evidence, test or fix with a worked case; or in nothing at all.

Nothing is written before the end: the answers are the whole state, so `back` takes the last one away and `stop` leaves
everything as it was.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

from diagnose.casebook.store import load_case
from diagnose.drafting.edit import CannotEdit
from diagnose.drafting.written import written
from diagnose.interview.form import Field, follow
from diagnose.judgement.judge import Cellar, judge
from diagnose.knowledge.problems import RuleFilesWrong
from diagnose.knowledge.rule_base import RuleBase
from diagnose.present.words import cause_name, percent
from diagnose.review.trying import Tried, try_case

from .asking import choice
from .case_of import case_fields, case_page
from .desk import Desk, Preview
from .pieces import Found, new_sources
from .recipes import causes_named, fields, shown, write
from .sheets import Sheets

SAVE = "save"


@dataclass(frozen=True)
class Drafted:
    """What the answers come to: the files, the rules with them, and how the worked case comes out."""

    sheets: Sheets
    base: RuleBase
    case_file: Path
    tried: Tried
    speaks: bool
    """Whether what was added spoke in its case."""


@dataclass
class Adding:
    """One conversation. `into` is the folder for new pages, `cases` the folder for the worked case."""

    desk: Desk
    kind: str
    into: Path | None
    cases: Path

    def run(self) -> bool:
        """Ask, preview and keep; whether something was kept. Raises Stopped, CannotKeep and OSError."""
        answers: dict[str, Any] = {}
        page = self.desk.page
        while True:
            answers = follow(page, self.desk.lines, self._next, answers)
            try:
                drafted = self._drafted(answers)
            except (RuleFilesWrong, CannotEdit) as wrong:
                page.warn(f"The rules would not load with this, so nothing is kept: {wrong}")
                answers.popitem()
                continue
            self._show(drafted)
            if not self._comes_out(drafted):
                page.say("Say back to mend answers one by one, or stop.")
                answers.popitem()
                continue
            said = self._asked(self.desk.show_preview(drafted.base), answers)
            if said == "yes":
                self._keep(drafted)
                return True
            if said == "no":
                return False
            answers.popitem()

    def _next(self, found: Found) -> Field | None:
        return next((field for field in self._fields(found) if field.key not in found), None)

    def _fields(self, found: Found) -> Iterator[Field]:
        base = self.desk.base
        yield from fields(self.kind, base, found)
        must = shown(self.kind, base, found)
        causes = {must.cause: found.get("name", "")} if self.kind == "cause" else {}
        causes |= causes_named(base, must.topic)
        taken = {path.stem for path in self.desk.worked}
        yield from case_fields(base, found, must.speak, causes, must.cause, taken)

    def _drafted(self, found: Found) -> Drafted:
        """The files as they would be, checked by the loader. Raises RuleFilesWrong and CannotEdit."""
        base, must = self.desk.base, shown(self.kind, self.desk.base, found)
        sheets = Sheets(base, self.into, self.desk.text_of)
        sheets.sources(must.topic, new_sources(base, found).values())
        write(self.kind, base, found, sheets)
        after = self.desk.with_texts(sheets.texts)
        expect = dict(must.expect)
        case = case_page(found, must.topic, expect)
        tried, speaks = self._tried(after, case, must.cause)
        locked = tried.outcome is not None and set(expect.get("fixes", ())) & tried.outcome.locked
        if locked:
            case = case_page(found, must.topic, {"locked": expect["fixes"]})
            tried, speaks = self._tried(after, case, must.cause)
        file = self.cases / must.topic / f"{case['case']}.yaml"
        sheets.text(file)
        sheets.texts[file] = written(case) + "\n"
        return Drafted(sheets, after, file, tried, speaks)

    def _tried(self, after: RuleBase, case: dict[str, Any], cause: str) -> tuple[Tried, bool]:
        """The worked case judged on the rules as they would be, and whether the new row was met in it."""
        cellar = Cellar(after)
        with TemporaryDirectory() as folder:
            file = Path(folder) / f"{case['case']}.yaml"
            file.write_text(written(case) + "\n", encoding="utf-8")
            tried = try_case(cellar, file)
            if self.kind != "evidence" or tried.wrong:
                return tried, True
            read, state = load_case(file, after)
        judged = judge(cellar, read.topics, state.facts(), machine="chain")
        last = len(after.causes[cause].evidence) - 1
        return tried, any((met.cause, met.row) == (cause, last) for met in judged.trace.evidence)

    def _show(self, drafted: Drafted) -> None:
        """What would be written, and what the worked case comes to."""
        page = self.desk.page
        page.title("Before anything is kept")
        for path, text in drafted.sheets.texts.items():
            new = "" if drafted.sheets.before[path] else " (new)"
            page.item("-", f"{path}{new}: {len(text) - len(drafted.sheets.before[path]):+d} letters")
        outcome = drafted.tried.outcome
        if outcome:
            for topic, (cause, word) in outcome.firsts.items():
                chance = outcome.chances.get(f"{topic}/{cause}", 0.0)
                page.say(f"In your wine: {cause_name(drafted.base, cause)}, {word}, {percent(chance)}.")

    def _comes_out(self, drafted: Drafted) -> bool:
        """Whether the worked case shows what was added; tells what it does not show."""
        page = self.desk.page
        for sentence in drafted.tried.wrong:
            page.warn(sentence)
        for miss in drafted.tried.missed:
            page.warn(f"Your wine does not come out so: {miss}. Wanted: {miss.wanted}.")
        if drafted.tried.missed:
            page.say(
                "What can help: more that is known of this wine, a stronger row, or one more. Or the cause is not "
                "what this wine shows: then the program is right."
            )
        if not drafted.speaks:
            page.warn("The new row does not speak in your wine. Give one of the answers that it reads.")
        return drafted.tried.as_expected and drafted.speaks

    def _asked(self, preview: Preview, answers: Found) -> str:
        """Whether it is to be kept: `yes`, `no`, or `back` to the last of the answers."""
        guarded = sum(case.safety for case in preview.impact.cases)
        heed = f" Something that guarded is gone in {guarded} cases: look again." if guarded else ""
        broken = f" {len(preview.broken)} worked cases would no longer come out." if preview.broken else ""
        says = {"yes": "Keep it, as a draft", "back": "Go back to the last answers", "no": "Throw it away"}
        ask = choice(SAVE, f"Keep it?{heed}{broken}", says, "Nothing has been written yet.")

        def following(got: Found) -> Field | None:
            return None if SAVE in got or len(got) < len(answers) else ask

        return str(follow(self.desk.page, self.desk.lines, following, answers).get(SAVE, "back"))

    def _keep(self, drafted: Drafted) -> None:
        self.desk.keep(drafted.sheets.texts, drafted.sheets.before, drafted.base)
        self.desk.page.say("Kept:")
        for path in drafted.sheets.texts:
            self.desk.page.item("-", str(path))
        self.desk.page.say("It is a draft. `diagnose review` asks somebody else to stand behind it.")
