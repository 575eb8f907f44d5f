"""Judge a case file without asking anything."""

from __future__ import annotations

from pathlib import Path

from diagnose.casebook.store import load_case
from diagnose.judgement.gates import gates_stand
from diagnose.judgement.judge import doubts, judge, questions
from diagnose.judgement.machine import is_complete, to_machine
from diagnose.knowledge.own import RuleFolders
from diagnose.logbook.told import answers_told
from diagnose.places import cases_folder
from diagnose.present.gates import show_gates
from diagnose.present.log import show_answers
from diagnose.present.result import show_causes, show_plan
from diagnose.settings import read_settings

from .kept import case_file, tell_of_other_rules
from .output import put_json
from .setup import make_cellar, make_page
from .status import DONE, INCOMPLETE


def judge_case(rules: RuleFolders, cases: Path | None, named: str, as_json: bool, ready: bool) -> int:
    """Print the judgement of a case file or a kept case, as text or as JSON."""
    cellar = make_cellar(rules, read_settings())
    case, state = load_case(case_file(cases_folder(cases), named), cellar.base)
    judged = judge(cellar, case.topics, state.facts())
    page = make_page()
    if ready and not as_json:
        page.title(case.title)
        for stand in gates_stand(cellar, judged):
            show_gates(page, cellar.base, stand)
        return DONE
    open_questions = questions(cellar, judged, state.skipped)
    if as_json:
        put_json(to_machine(cellar, judged, open_questions, case.case).model_dump_json(indent=2))
    else:
        page.title(case.title)
        tell_of_other_rules(page, state)
        show_answers(page, answers_told(cellar.base, state, case.units))
        show_causes(page, cellar.base, judged, case.topics)
        show_plan(page, cellar.base, judged, doubts(cellar, judged), case.units, state.done())
    return DONE if is_complete(judged, open_questions) else INCOMPLETE
