"""A weakness of the rules: no mistake, but something a mentor should look at."""

from __future__ import annotations

from dataclasses import dataclass

from diagnose.knowledge.problems import Place

KINDS = {
    "cause_out_of_reach": "Nothing that can be found speaks for this cause.",
    "causes_alike": "Two causes cannot be told apart by any finding.",
    "row_never_met": "No worked case has met this row of evidence.",
    "row_adds_nothing": "Another row of the same group says as much, and more often.",
    "rows_contradict": "A row speaks for a cause wherever another speaks against it.",
    "question_not_read": "Nothing reads the answer to this question.",
    "answer_not_read": "No row and no condition reads this answer.",
    "fix_without_caution": "A treatment has no caution.",
    "dose_without_text": "The dose rests on no text that somebody can look up.",
    "fix_in_no_case": "No worked case offers this fix.",
    "fix_for_nothing": "No cause is cured by this fix, and no rule offers it.",
    "test_not_asked_for": "No cause, rule or gate asks for this test.",
    "values_contradict": "Wherever one value of a state holds, so does another.",
    "offer_contradicts": "A fix is forbidden wherever it could be offered.",
    "rule_adds_nothing": "Another rule concludes the same, as often or more often.",
    "adds_a_reason_only": "A wider rule offers or forbids the same fix; this one adds its reason and no more.",
    "request_contradicts": "A test is withheld wherever it is asked for.",
    "never_holds": "A condition can never hold.",
    "value_never_concluded": "A state has a value that no rule concludes.",
    "gap_between_figures": "Rules of a state leave out a stretch of a number.",
    "figures_overlap": "Rules of a state give two values to one stretch of a number.",
    "source_not_used": "No page names this source.",
    "source_without_place": "A text is named, and not where in the world it can be found.",
    "question_too_long": "A question is longer than a tired person reads.",
    "jargon_not_told": "A question uses a trade word that neither its page nor the glossary explains.",
    "accepted_in_vain": "A weakness is accepted that is not there.",
}
"""Every kind of weakness, and what it means."""


@dataclass(frozen=True)
class Weakness:
    """One weakness, where it is, and what would mend it."""

    kind: str
    page: str
    """The kind and the name of the page, such as `cause.oak_dust`."""
    place: Place
    what: str
    mend: str
    part: str = ""
    """Which row, answer or other page it is about, where the page has several."""
    accepted: str = ""
    """Why it stays as it is; empty while nobody has accepted it."""
