"""The smaller screens: one question, a card, a check, what a change changes, weaknesses, a plot and a case tried."""

from __future__ import annotations

import sys
from collections.abc import Sequence
from dataclasses import replace
from datetime import date
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

import pytest
from a_page import read
from diagnose.casebook.lessons import Lesson
from diagnose.casebook.models import CaseFile
from diagnose.casebook.shelf import Card
from diagnose.casebook.work import Work
from diagnose.engine.facts import Fact
from diagnose.engine.truth import Truth
from diagnose.explain.conditions import ConditionStands
from diagnose.judgement.judge import judge, questions
from diagnose.knowledge.problems import Place
from diagnose.logbook.told import LogTold, Row
from diagnose.planning.added import Deviation, OverLimit
from diagnose.planning.fixes import FixAdvice, Reason
from diagnose.present.cards import show_card
from diagnose.present.cases import show_lessons
from diagnose.present.conditions import condition_told
from diagnose.present.console import Page
from diagnose.present.done import show_done
from diagnose.present.impact import show_impact
from diagnose.present.judgements import show_judgements
from diagnose.present.log import ROWS_SHOWN, show_log
from diagnose.present.plot import CannotPlot, plot_lines, plot_words, save_plot
from diagnose.present.question import show_how, show_why_asked
from diagnose.present.setup import SetupOut, show_setup
from diagnose.present.tried import show_tried
from diagnose.present.weaknesses import show_weaknesses
from diagnose.present.words import answer_words, fact_words, percent
from diagnose.review.impact import CaseImpact, Change, Impact
from diagnose.review.standing import Card as ReviewCard
from diagnose.review.standing import cards
from diagnose.review.trying import Tried
from diagnose.review.weakness import Weakness
from diagnose.setup_check.findings import Finding
from made_bases import base_of, bench_test, cause, caution, cellar_pages, yes_no

if TYPE_CHECKING:
    from conftest import Worked

MADE = base_of(*cellar_pages())
PLACE = Place("rules/haze/a.yaml", 3)


# ---------------------------------------------------------------- a question


def test_how_to_find_out_shows_the_test_with_its_dangers() -> None:
    """Tools, the laboratory where it must go there, each caution once, and what can mislead, if anything can."""
    base = base_of(
        yes_no("iron", equipment=["A lamp"]),
        yes_no("film"),
        bench_test(
            "assay",
            "iron",
            where="laboratory",
            cautions="glass",
            equipment=["A jar"],
            pitfalls=["Dust lies."],
        ),
        bench_test("glance", "film", steps=[{"do": "Look.", "caution": "glass"}], cautions="glass"),
        caution("glass"),
    )
    hard = read(lambda page: show_how(page, base, base.observations["iron"], "assay"))
    assert "You need: A lamp." in hard and "! This one goes to a laboratory; do not try it at home." in hard
    assert "! Take care. How to read it - r. What can mislead - Dust lies." in hard
    easy = read(lambda page: show_how(page, base, base.observations["film"], "glance"))
    assert easy.count("Take care.") == 1 and "laboratory" not in easy and "What can mislead" not in easy
    assert easy.startswith("How to find out h. glance")
    bare = read(lambda page: show_how(page, base, base.observations["film"], None))
    assert bare == "How to find out h."


def test_why_a_question_is_asked_tells_what_each_answer_would_change(worked: Worked) -> None:
    """Each answer with the causes that it moves, a band of a number by its words; or that none moves any."""
    facts = [Fact("wine_colour", "white"), Fact("haze_began", "after_clear")]
    judged = judge(worked.cellar, "haze", facts, machine="chain")
    found = {item.observation: item for item in questions(worked.cellar, judged)}
    name = next(name for name in found if worked.base.observations[name].bands)
    page_of = worked.base.observations[name]
    whole = read(lambda page: show_why_asked(page, worked.base, page_of, judged, found[name]))
    assert "What each answer would change:" in whole and "→" in whole
    assert any(f"- {band.says.rstrip('.')}: " in whole for band in page_of.bands.values())
    none = read(lambda page: show_why_asked(page, worked.base, page_of, judged, None))
    assert none.endswith("By itself no answer moves the causes; other questions and the doses build on it.")


# ---------------------------------------------------------------- conditions and words

CONDITIONS = {
    "no bound": (
        ConditionStands(
            "cause.yeast_haze", "test", (("is", "confirmed"),), False, Truth.FALSE, ("likely",), chance=0.62
        ),
        "yeast_haze: “confirmed”: it is likely, at 62 %",
    ),
    "on the bound": (
        ConditionStands("heated", "test", (("above", 20.0),), False, Truth.FALSE, (20.0,), 0.0, None, 20.0),
        "heated: above 20 NTU: it is 20 NTU, which is the bound itself",
    ),
    "below": (
        ConditionStands(
            "heated", "test", (("at_least", 20.0),), False, Truth.FALSE, (15.0,), 5.0, None, 20.0
        ),
        "heated: at least 20 NTU: it is 15 NTU, 5 NTU too low (the bound is 20 NTU)",
    ),
}


@pytest.mark.parametrize("stands", CONDITIONS)
def test_by_how_much_a_condition_is_missed(stands: str) -> None:
    """A number on its very bound is said to be there; a cause likely enough lacks a test and not a chance."""
    item, said = CONDITIONS[stands]
    assert condition_told(MADE, item, "metric").replace("\u00a0", " ") == said


def test_a_chance_is_never_told_as_sure() -> None:
    """Nothing here is surer than over 99 %, or less likely than under 1 %."""
    said = [percent(chance).replace("\u00a0", " ") for chance in (1.0, 0.995, 0.5, 0.004, 0.0)]
    assert said == ["over 99 %", "over 99 %", "50 %", "under 1 %", "under 1 %"]


@pytest.mark.parametrize(
    ("fact", "said"),
    [
        (Fact("band.heated", "high"), "heated: high"),
        (Fact("cause.yeast_haze", "likely"), "yeast_haze is likely"),
        (Fact("fix.wait", "offered"), "wait is offered"),
        (Fact("question.heated", "withheld"), "heated is withheld"),
        (Fact("caution.dusty", "shown"), "This caution is shown"),
        (Fact("done.wait", "not_good"), "wait, done already is not good"),
    ],
)
def test_a_fact_is_a_clause(fact: Fact, said: str) -> None:
    """Whatever a rule reads is told by the name of its page."""
    assert fact_words(MADE, fact, "metric") == said
    assert answer_words(MADE, "working", "sometimes") == "sometimes"
    assert answer_words(MADE, "rise", "huge") == "huge"


# ---------------------------------------------------------------- cards


def _card(card: ReviewCard, of: int, page: Page) -> None:
    show_card(page, MADE, card, 1, of)


def test_each_kind_of_card_is_shown_whole() -> None:
    """A row with its reason, a test as its sheet, a fix with when it is never done; each with its source."""
    found = {(card.kind, card.page): card for card in cards(MADE)}
    shown = {key: read(partial(_card, card, len(found)), plain=True) for key, card in found.items()}
    assert "Because: b." in shown["cause", "protein_haze"]
    assert "How to read it - r." in shown["test", "heating"]
    assert 'Never when working: "yes": It works.' in shown["fix", "counter_fine"]
    assert "Never when" not in shown["fix", "wait"]
    assert all("It rests on: Invented for a test" in text and "Draft" in text for text in shown.values())


# ---------------------------------------------------------------- what was done

CLAY = FixAdvice("bentonite", "forbidden", 0, (), {}, (), (Reason("The wine still works.", "r", ()),), (), ())


def done(
    worked: Worked, differs: Sequence[Deviation], over: Sequence[OverLimit], against: FixAdvice | None
) -> str:
    """What is said back when clay was put in."""
    case = CaseFile(case="plum", title="Plum", topic="haze", units="metric")
    work = Work("bentonite", "unchecked", date(2026, 3, 2))
    return read(
        lambda page: show_done(page, worked.base, work, date(2026, 3, 9), differs, over, against, case, {})
    )


def test_what_really_went_in_is_held_against_the_plan(worked: Worked) -> None:
    """More or less than planned, a limit that was passed, and that these rules would not have done it: each is said."""
    more, less = (Deviation("dose", "dry clay", "mass", 40.0, added) for added in (60.0, 30.0))
    limit = next(iter(worked.base.limits.values()))
    whole = done(worked, (more, less), (OverLimit(limit, limit.value, limit.value * 2),), CLAY)
    assert "! dry clay: 60 g went in, more than the 40 g planned." in whole
    assert "! dry clay: 30 g went in, less than the 40 g planned." in whole
    assert "above a limit on its page. Look whether it counts for you." in whole
    assert "! These rules would not have done it here. The wine still works." in whole
    locked = replace(CLAY, state="locked", forbidden_by=())
    assert "! It was still locked here: no test had confirmed the cause." in done(worked, (), (), locked)
    quiet = done(worked, (), (), None)
    assert quiet.startswith(
        "Kept: Take the protein out with bentonite, done on 2026-03-02. Check it on 2026-03-09: "
    )
    assert "!" not in quiet


# ---------------------------------------------------------------- what a change of the rules changes


def test_what_no_longer_guards_is_told_before_all_else() -> None:
    """Cases that lost a guard come first, with a warning; then the counts, the questions, and the rest by number."""
    gone = Change("caution", "The caution of gas is gone", "", "", safety=True)
    moved = Change("chance", "yeast", "0.40", "0.50")
    named = Change("plan", "another plan", "clay", "")
    many = tuple(CaseImpact(f"case {at:02}", (moved,), (9, 9)) for at in range(41))
    impact = Impact((*many, CaseImpact("the cask", (gone, moved, named), (9, 7)), CaseImpact("still", ())))
    whole = read(lambda page: show_impact(page, MADE, impact, ("old",)), plain=True)
    assert "Mind: In 1 of 43 cases something that guarded is gone. Look at these first." in whole
    assert (
        "another plan: 1 of 43 cases" in whole
        and "Questions asked over the worked cases: 378 before, 376" in whole
    )
    assert (
        "the cask Mind: The caution of gas is gone - chance: yeast: 0.40, then 0.50 - another plan: clay"
        in whole
    )
    assert "questions: 9, then 7 case 00" in whole and "questions: 9, then 9" not in whole
    assert "2 more cases change." in whole and "cannot read them: old" in whole
    nothing = read(lambda page: show_impact(page, MADE, Impact((CaseImpact("still", ()),)), ()))
    assert nothing.endswith("Nothing changes in 1 cases.")


# ---------------------------------------------------------------- weaknesses, cases tried


def test_weaknesses_come_with_their_mend_and_the_accepted_with_their_reason() -> None:
    """Each mend once, after what it mends; what was not looked for is named; nothing found is said as nothing."""
    clay, dust, fine = (
        Weakness("fix_without_caution", f"fix.{name}", PLACE, f"{name} has no caution.", mend, "", accepted)
        for name, mend, accepted in (
            ("clay", "Give it one.", ""),
            ("dust", "Take it out.", ""),
            ("fine", "Give it one.", "Water hurts nobody."),
        )
    )
    other = Weakness(
        "source_not_used", "source.old", PLACE, "old is used nowhere.", "Drop it.", "", "Kept for later."
    )
    whole = read(
        lambda page: show_weaknesses(page, (clay, dust, fine, other), ("row_never_met",)), plain=True
    )
    assert "A treatment has no caution. [fix_without_caution]: 2" in whole
    assert "Clay has no caution." in whole and whole.index("mend: Give it one.") < whole.index(
        "Dust has no caution."
    )
    assert (
        "accepted: Water hurts nobody. fix_without_caution, " in whole
        and "accepted: Kept for later." in whole
    )
    assert "Not looked for, since no cases were given: row_never_met." in whole
    assert whole.endswith("2 weaknesses left to look at; 2 accepted with a reason.")
    none = read(lambda page: show_weaknesses(page, ()))
    assert "Places are under" not in none and none.endswith(
        "0 weaknesses left to look at; 0 accepted with a reason."
    )


def test_a_case_that_cannot_be_read_says_why() -> None:
    """A file that is no case is not as expected, with every sentence of what is wrong; an empty folder is told."""
    broken = Tried(
        Path("plum.yaml"),
        "plum",
        "haze",
        (),
        ("Line 3: there is no answer 'pinkish'.",),
        None,
        frozenset(),
        0.1,
    )
    whole = read(lambda page: show_tried(page, (broken,)), plain=True)
    assert whole == (
        "not as expected: plum (plum.yaml) Line 3: there is no answer 'pinkish'. 0 of 1 cases come out as expected."
    )
    assert read(lambda page: show_tried(page, ())) == "There are no cases there; a case is a .yaml file."


# ---------------------------------------------------------------- plots


def test_a_plot_is_told_in_sentences_too(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Two readings have no steepest part, three have; a level line is one sentence; a file needs its ending."""
    two = plot_words([(0.0, 1.09), (3.0, 1.05)], "days", "density")
    assert two == ("density, by days: first 1.09 at 0, last 1.05 at 3.",)
    three = plot_words([(0.0, 1.0), (1.0, 9.0), (2.0, 2.0)], "days", "density")
    assert three[1:] == ("In between: highest 9 at 1.", "Steepest from 1 at 0 to 9 at 1.")
    assert plot_words([(0.0, 1.0), (3.0, 1.0)], "days", "density") == (
        "density, by days: 1 at 0, and the same up to 3.",
    )
    assert plot_lines([(0.0, 1.0), (3.0, 1.0)], "days", "density", 40)[-3].strip().startswith("└")
    monkeypatch.setitem(sys.modules, "matplotlib.figure", None)
    with pytest.raises(CannotPlot, match=r"one more package: pip install 'diagnose\[plot\]'"):
        save_plot([(0.0, 1.0), (1.0, 2.0)], "days", "density", "A", tmp_path / "plot.svg")
    with pytest.raises(CannotPlot, match=r"neither \.svg nor \.png"):
        save_plot([(0.0, 1.0), (1.0, 2.0)], "days", "density", "A", tmp_path / "plot.txt")


# ---------------------------------------------------------------- the log, earlier cases, the setup


def test_of_a_long_log_the_latest_lines_are_shown_and_that_is_said() -> None:
    """Of sixty-one days the last are listed, with how many there are in all."""
    rows = tuple(Row(f"day {at}", {"gravity_now": "1.010"}, ()) for at in range(ROWS_SHOWN + 1))
    log = LogTold("1 Mar", {"gravity_now": "Density"}, rows, (), (), ())
    for plain in (False, True):
        whole = read(lambda page: show_log(page, log), plain=plain)
        assert f"The latest {ROWS_SHOWN} of {ROWS_SHOWN + 1} lines:" in whole
        assert "day 1 " in whole.replace("day 1:", "day 1 ") and "day 0" not in whole


@pytest.mark.parametrize(("begun", "said"), [("2025-10-03", "In plum of October 2025, "), ("", "In plum, ")])
def test_a_lesson_is_told_with_its_month_where_it_has_one(begun: str, said: str) -> None:
    """What was noted at the end of an earlier case; one without a day is told without a month."""
    card = Card(name="plum", archived=False, touched=0, begun=begun, lesson="Wait a week.")
    whole = read(lambda page: show_lessons(page, MADE, (Lesson(card, ("yeast_haze",), False, 3, 4),)))
    assert (
        f"{said}yeast_haze. What you noted: Wait a week. Of 4 questions answered in both, 3 have the same"
        in whole
    )
    bare = read(lambda page: show_lessons(page, MADE, (Lesson(card, (), True, 0, 0),)))
    assert "of this wine" in bare and "no cause was found." in bare and "Of 0 questions" not in bare


def test_a_setup_with_only_wrong_sums_still_reads_whole() -> None:
    """What is wrong comes first with its mend; a part with nothing else to tell has no head."""
    found = (
        Finding("folders", "cases", "good", "Cases are kept in ~/wine."),
        Finding("sums", "ph", "wrong", "pH comes out as 9.", "Install it anew."),
    )
    whole = read(lambda page: show_setup(page, SetupOut.of("1.0", found)))
    assert "One thing is wrong, of 2 looked at: x pH comes out as 9. Install it anew. Folders" in whole
    assert "Sums" not in whole and "packages, as tested" not in whole


def test_rules_that_rest_on_texts_alone_have_no_place_to_name() -> None:
    """Where every row has a text behind it, no folder is named and no row is listed."""
    source = {"source": "book", "title": "A book", "author": "Somebody", "year": 2001, "seen": "read"}
    row = {"observe": "film", "says": {"yes": "for"}, "because": "b.", "source": "book"}
    base = base_of(source, yes_no("film"), cause("lees", row))
    whole = read(lambda page: show_judgements(page, base))
    assert "Places are under" not in whole and "lees" not in whole
