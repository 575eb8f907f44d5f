"""Weaknesses planted in an invented rule base, each beside a twin that is sound.

`HERE` marks the line that must be named. All pages are added to the sound folder of the loader's tests.
"""

from __future__ import annotations

from dataclasses import dataclass
from textwrap import indent


@dataclass(frozen=True)
class Planted:
    """A page with a weakness, and the same page without it."""

    kind: str
    weak: str
    sound: str
    claim: str


def cause(name: str, rows: str, more: str = "") -> str:
    """A cause with these rows, and further keys."""
    return f"""
- cause: {name}
  name: Invented
  topic: haze
  summary: Invented.
  how_common: rare
  common_because: Invented.
  common_source: invented
  evidence:
{indent(rows.strip(chr(10)), "    ")}
  cured_by: []
  review: {{status: draft}}
{more}"""


def row(says: str, mark: str = "") -> str:
    """A row of evidence."""
    return f"- {says} {mark}\n  because: Invented.\n  source: invented\n"


def by_answer(observe: str, says: str, about: str = "", mark: str = "") -> str:
    """A row that reads an answer."""
    group = f"  about: {about}\n" if about else ""
    return row(f"observe: {observe}", mark) + f"  says: {{{says}}}\n" + group


def by_condition(when: str, weight: str, about: str = "", mark: str = "") -> str:
    """A row that reads a condition."""
    group = f"  about: {about}\n" if about else ""
    return row(f"when: {{{when}}}", mark) + f"  weight: {weight}\n" + group


def question(
    name: str, kind: str = "kind: yes_no", ask: str = "Is it so?", mark: str = "", how: str = "Look."
) -> str:
    """A question."""
    return f"""
- observe: {name} {mark}
  ask: {ask}
  short: Invented
  {kind}
  why: Invented.
  how: {how}
  effort: glance
  group: look
"""


def state(name: str, values: str, *rules: tuple[str, str, str]) -> str:
    """A state; of each rule the value, the condition and a mark."""
    written = "".join(
        f"    - is: {value} {mark}\n      when: {{{when}}}\n      because: Invented.\n      source: invented\n"
        for value, when, mark in rules
    )
    return f"\n- state: {name}\n  name: Invented\n  values: {{{values}}}\n  rules:\n{written}"


def fix(name: str, more: str = "", cautions: str = "hot_glass", mark: str = "") -> str:
    """A fix, and further keys."""
    return f"""
- fix: {name} {mark}
  name: Invented
  does: Invented.
  can_be_undone: no
  effort: slight
  cost: none
  wine_loss: slight
  flavour_harm: slight
  steps: [Pour it.]
  cautions: [{cautions}]
  check: {{after: a week, do: Look., good: It is clear., if_not: Test again.}}
  if_it_fails: Look for another cause.
  source: invented
{more}"""


def rule(name: str, when: str, does: str, mark: str = "") -> str:
    """A free rule."""
    return (
        f"\n- rule: {name} {mark}\n  when: {{{when}}}\n  {does}\n  because: Invented.\n  source: invented\n"
    )


HERE = "# HERE"
FIZZ = question("fizz") + cause("live", by_answer("fizz", "yes: for, no: against"))
NEVER = "  never_when:\n    - when: {fizz: yes}\n      because: Invented.\n      source: invented\n"
TEXT = "\n- source: a_text\n  title: Invented\n  seen: read\n"
WORDING = """
- wording: mine
  longest_question: 30
  jargon: [casse, must]
  because: Invented.

- word: must
  called: [must]
  means: Crushed fruit.
"""
DOSE = "  dose: {quantity: dose, says: Some., source: SOURCE}\n"


def _marked(page: str, name: str) -> str:
    """The page with the line that begins this item marked."""
    return page.replace(f": {name}\n", f": {name} {HERE}\n", 1)


def _cures(fix_name: str) -> str:
    return f"cured_by: [{{fix: {fix_name}, how_well: mostly, because: Invented.}}]"


def cured(page: str, fix_name: str) -> str:
    """The page with a cause that this fix cures."""
    return page.replace("cured_by: []", _cures(fix_name))


def _confirmed(page: str, observe: str, answer: str) -> str:
    finding = f"  confirmed_by: [{{observe: {observe}, answers: {answer}}}]\n"
    return page.replace("  cured_by", f"{finding}  cured_by")


TEST = """
- test: look_again MARK
  name: Look again
  purpose: Invented.
  yields: fizz
  where: cellar
  hands_on: hour
  waiting: none
  equipment: [a glass]
  steps: [Look.]
  reading: Read it.
  source: invented
"""

PLANTED = (
    Planted(
        "cause_out_of_reach",
        question("fizz") + _marked(cause("live", by_answer("fizz", "no: against")), "live"),
        FIZZ,
        "A cause that findings can only speak against can never be found.",
    ),
    Planted(
        "causes_alike",
        _marked(FIZZ, "live") + cause("live_too", by_answer("fizz", "no: against, yes: for")),
        FIZZ + cause("live_too", by_answer("fizz", "no: against, yes: confirms")),
        "Two causes with the same rows are one cause with two names.",
    ),
    Planted(
        "row_adds_nothing",
        FIZZ
        + cause(
            "two",
            by_answer("fizz", "yes: for", "g") + by_condition("fizz: yes, gas_seen: yes", "for", "g", HERE),
        ),
        FIZZ
        + cause(
            "two",
            by_answer("fizz", "yes: for", "g") + by_condition("fizz: yes, gas_seen: yes", "confirms", "g"),
        ),
        "A narrower row of the same group that says no more is never heard.",
    ),
    Planted(
        "rows_contradict",
        FIZZ
        + cause(
            "two",
            by_answer("fizz", "yes: for") + by_condition("fizz: yes, gas_seen: yes", "against", "", HERE),
        ),
        FIZZ
        + cause("two", by_answer("fizz", "yes: for") + by_condition("fizz: no, gas_seen: yes", "against")),
        "A row that speaks against a cause only where another speaks for it is told.",
    ),
    Planted(
        "question_not_read",
        question("fizz", mark=HERE),
        FIZZ,
        "A question that nothing reads wastes a minute.",
    ),
    Planted(
        "answer_not_read",
        question("fizz", "kind: choice\n  choices: {low: Low, high: High}", mark=HERE)
        + cause("live", by_answer("fizz", "high: for")),
        question("fizz", "kind: choice\n  choices: {low: Low, high: High}")
        + cause("live", by_answer("fizz", "high: for") + by_condition("fizz: {is_not: high}", "against")),
        "An answer that no row and no condition reads tells nothing; `is_not` of another reads it.",
    ),
    Planted(
        "fix_without_caution",
        fix("pour", cautions="", mark=HERE),
        fix("pour", cautions="", more="  treats: no\n"),
        "A treatment without a caution is told; leaving the wine alone needs none.",
    ),
    Planted(
        "dose_without_text",
        fix("pour", DOSE.replace("SOURCE", "invented"), mark=HERE),
        TEXT + fix("pour", DOSE.replace("SOURCE", "a_text")),
        "A dose that rests on judgement alone is told.",
    ),
    Planted(
        "fix_for_nothing",
        FIZZ + fix("pour", mark=HERE),
        cured(FIZZ, "pour") + fix("pour"),
        "A fix that cures nothing and that no rule offers is never seen.",
    ),
    Planted(
        "test_not_asked_for",
        FIZZ + TEST.replace("MARK", HERE),
        _confirmed(FIZZ, "fizz", "yes") + TEST.replace("MARK", ""),
        "A test whose answer confirms nothing is never asked for.",
    ),
    Planted(
        "values_contradict",
        state(
            "alive",
            "yes: y, no: n",
            ("yes", "gas_seen: yes", ""),
            ("no", "gas_seen: yes, heated_ntu: {below: 2}", HERE),
        ),
        state(
            "alive",
            "yes: y, no: n",
            ("yes", "gas_seen: yes", ""),
            ("no", "gas_seen: no, heated_ntu: {below: 2}", ""),
        ),
        "A state that has two values wherever it has the one contradicts itself.",
    ),
    Planted(
        "offer_contradicts",
        FIZZ + fix("pour", NEVER) + rule("now", "fizz: yes, gas_seen: no", "offer: pour", HERE),
        FIZZ + fix("pour", NEVER) + rule("now", "fizz: no, gas_seen: no", "offer: pour"),
        "A fix that is offered only where it is forbidden is never open.",
    ),
    Planted(
        "request_contradicts",
        rule("ask_now", "gas_seen: yes", "request: heat_test", HERE)
        + rule("not_now", "known: gas_seen", "withhold: heat_test"),
        rule("ask_now", "gas_seen: yes", "request: heat_test")
        + rule("not_now", "gas_seen: no", "withhold: heat_test"),
        "A test that is withheld wherever it is asked for is never done.",
    ),
    Planted(
        "rule_adds_nothing",
        rule("narrow", "gas_seen: yes, heated_ntu: {above: 9}", "warn: hot_glass", HERE)
        + rule("wide", "gas_seen: yes, heated_ntu: {at_least: 8}", "warn: hot_glass"),
        rule("narrow", "gas_seen: yes, heated_ntu: {above: 7}", "warn: hot_glass")
        + rule("wide", "known: added_lately, heated_ntu: {at_least: 8}", "warn: hot_glass"),
        "A rule that warns only where a wider one does can be taken out.",
    ),
    Planted(
        "adds_a_reason_only",
        FIZZ
        + fix("pour", NEVER)
        + rule("now", "fizz: yes, gas_seen: no", "forbid: [{fix: pour, because: No.}]", HERE),
        FIZZ + fix("pour", NEVER) + rule("now", "gas_seen: no", "forbid: [{fix: pour, because: No.}]"),
        "A rule that forbids a fix where it is forbidden already adds no more than its reason.",
    ),
    Planted(
        "never_holds",
        rule("hot", "heated_ntu: {above: 5, below: 5}", "warn: hot_glass", HERE),
        rule("hot", "heated_ntu: {at_least: 5, at_most: 5}", "warn: hot_glass"),
        "A number that must be above and below one figure cannot be.",
    ),
    Planted(
        "never_holds",
        state("dead", "yes: y, no: n", ("yes", "gas_seen: yes", ""))
        + rule("hot", "dead: no", "warn: hot_glass", HERE),
        state("dead", "yes: y, no: n", ("yes", "gas_seen: yes", ""))
        + rule("hot", "dead: yes", "warn: hot_glass"),
        "A rule that reads a value which nothing concludes is dead.",
    ),
    Planted(
        "never_holds",
        fix("pour")
        + rule(
            "again",
            "done.pour: good, gas_seen: yes, heated_ntu: {above: 5, below: 5}",
            "warn: hot_glass",
            HERE,
        ),
        fix("pour") + rule("again", "done.pour: {one_of: [good, not_good]}", "warn: hot_glass"),
        "How a fix stands that was done is told by the case, so a rule that reads it is alive.",
    ),
    Planted(
        "value_never_concluded",
        _marked(state("dead", "yes: y, no: n", ("yes", "gas_seen: yes", "")), "dead"),
        state("dead", "yes: y, no: n", ("yes", "gas_seen: yes", ""), ("no", "gas_seen: no", "")),
        "A state with a value that no rule gives it is told.",
    ),
    Planted(
        "gap_between_figures",
        _marked(
            state(
                "warm",
                "yes: y, no: n",
                ("no", "heated_ntu: {below: 1}", ""),
                ("yes", "heated_ntu: {at_least: 2}", ""),
            ),
            "warm",
        ),
        state(
            "warm",
            "yes: y, no: n",
            ("no", "heated_ntu: {below: 2}", ""),
            ("yes", "heated_ntu: {at_least: 2}", ""),
        ),
        "Figures of a state that leave out a stretch are told with the stretch.",
    ),
    Planted(
        "figures_overlap",
        state(
            "warm",
            "yes: y, no: n",
            ("no", "heated_ntu: {below: 3}", HERE),
            ("yes", "heated_ntu: {at_least: 2}", ""),
        ),
        state(
            "warm",
            "yes: y, no: n",
            ("no", "gas_seen: no, heated_ntu: {below: 3}", ""),
            ("yes", "gas_seen: yes, heated_ntu: {at_least: 2}", ""),
        ),
        "Figures that give one stretch two values are told, unless something else tells the two apart.",
    ),
    Planted(
        "source_not_used",
        _marked(TEXT, "a_text"),
        TEXT + fix("pour", DOSE.replace("SOURCE", "a_text")),
        "A source that nobody names is told.",
    ),
    Planted(
        "source_without_place",
        _marked(TEXT, "a_text"),
        TEXT + "  place: page 7\n",
        "A text that nobody could find again is told.",
    ),
    Planted(
        "question_too_long",
        WORDING + question("fizz", ask="Does it fizz when it is poured out?", mark=HERE),
        WORDING + question("fizz", ask="Does it fizz when poured?"),
        "A question of more letters than the page of wording allows is told.",
    ),
    Planted(
        "jargon_not_told",
        WORDING + question("fizz", ask="Is it a casse?", mark=HERE),
        WORDING + question("fizz", ask="Is it a casse of must?", how="A casse is a wine that turns cloudy."),
        "A trade word in a question is told, unless its page or the glossary explains it.",
    ),
    Planted(
        "accepted_in_vain",
        f"\n- accepted: mine {HERE}\n  weakness: question_not_read\n  pages: observe.gas_seen\n  because: Invented.\n",
        question("fizz")
        + "\n- accepted: mine\n  weakness: question_not_read\n  pages: observe.fizz\n  because: Invented.\n",
        "What is accepted and no longer there is told, so that reasons do not outlive what they excuse.",
    ),
)
"""One weakness of each kind that needs no worked cases, with its twin."""
