"""Why and why not, told in a sentence or a paragraph: the words of the pages, joined by grammar."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

import pytest
from a_page import plainly, read
from diagnose.explain.asked import Explained, asked_about, explain, explain_not
from diagnose.explain.why import WhyNot
from diagnose.present.told import Length, paragraph, sentence
from diagnose.present.why import show_explained

if TYPE_CHECKING:
    from conftest import Worked

WARM_SHELF = "haze/demonstration"
IN_THE_COLD = "cold/blended_after_the_cold"
COOLANT = "outside/coil_lost_its_coolant"
CANISTER = "outside/spirit_from_a_canister"

SENTENCES = {
    ("why", WARM_SHELF, "unknown"): (
        "Something these rules do not know is unlikely, at 5 %. Nothing speaks for it or against it; it gains where "
        "the known causes explain too little."
    ),
    ("why", WARM_SHELF, "bitartrate_crystals"): "Tartar crystals (potassium bitartrate) is possible, at 9 %.",
    ("why not", WARM_SHELF, "pectin_haze"): (
        "Protein haze goes before pectin haze, for what parts them most is When the haze began: it was clear once and "
        "went hazy later. Pectin comes in with the juice, so the wine was never bright."
    ),
    ("why", IN_THE_COLD, "dose cold_stabilise"): (
        "Cold-stabilise the wine: cream of tartar as seed, at 4 g/L: 480 g."
    ),
    ("why", IN_THE_COLD, "dose degas"): ("Drive out the dissolved gas: nothing is worked out for this one."),
    ("why", WARM_SHELF, "order"): (
        "No rule sets an order between these; what helps most for its cost stands first."
    ),
    ("why", CANISTER, "order no_distilling after mark_and_lock_away"): (
        "Leave it wine; drink no unknown spirit comes after do not drink it. Mark it, lock it away, ask the poison "
        "line. First see to it that nobody can drink it by mistake."
    ),
    ("why", WARM_SHELF, "test heat_test"): (
        "“Heat test for protein” is read already: Heat test read by eye: Much hazier, or with flakes."
    ),
    ("why", WARM_SHELF, "test dissolve"): (
        "“What dissolves the deposit, by a laboratory” is not spoken of. The rule that comes nearest "
        "(request/protein_tannin_haze/laboratory_deposit) does not speak. Protein and tannin haze: “likely”: it is "
        "unlikely, at 4 %; that begins at 50 %."
    ),
    ("why", "haze/clay_that_left_the_haze", "fix pectic_enzyme"): (
        "“Break the pectin down with pectic enzyme” is locked: it cannot be undone, and no test has confirmed the "
        "cause. It opens with: Pectic enzyme beside an untreated twin."
    ),
    ("why", COOLANT, "fix hazardous_waste"): (
        "“Take it to hazardous waste” is locked: it cannot be undone, and no test has confirmed the cause."
    ),
    ("why", CANISTER, "copper_without_trial"): (
        "Copper against a bad smell, without a laboratory and a trial: never. Copper is a poison that is dosed in "
        "milligrams. It does nothing for disulfides, the stink can come back in the bottle, and the copper left over "
        "makes a haze. Nobody sees or tastes how much went in."
    ),
}


def ask(worked: Worked, way: str, case: str, typed: str) -> Explained:
    """What is asked of a worked case."""
    judged = worked.judged(case)
    about = asked_about(worked.base, judged, typed)
    return (explain if way == "why" else explain_not)(worked.cellar, judged, about)


@pytest.mark.parametrize(("asked", "said"), SENTENCES.items(), ids=lambda part: part[2] if part else "")
def test_in_a_sentence(worked: Worked, asked: tuple[str, str, str], said: str) -> None:
    """Asked in one sentence, the answer is how it stands and its one main reason, with how it would open if locked."""
    found = ask(worked, *asked)
    assert read(lambda page: show_explained(page, worked.base, found, "metric", "sentence"), 60) == said


PARAGRAPHS = {
    ("why", WARM_SHELF, "yeast_not_settled"): (
        "How common it is where something is wrong: very common (20 % beforehand, −6 decibans).",
        "Against it speaks When the haze began: it was clear once and went hazy later (−6.9 decibans); Time since",
        "only +0.9 decibans are left here, since this would bring it too: protein haze, cold haze of colour and",
        "Nobody has looked yet at: Under the microscope; Yeast and bacteria kept out by the filter; Clarity after",
    ),
    ("why", WARM_SHELF, "protein_haze"): ("; and 3 more. It is confirmed by a test: Heat test.",),
    ("why", WARM_SHELF, "bitartrate_crystals"): ("Said before and not counted again: Look of the haze.",),
    ("why not", WARM_SHELF, "yeast_not_settled"): (
        "Heat test: heat made it hazy. Unstable protein is left in the wine parts them by 7.3 decibans.",
        "Yeast not yet settled is the more common one (3.5 decibans).",
        "Looked at, and not as it would be then: Smell. Never looked at, and could still speak: Under the microscope;",
    ),
    ("why not", WARM_SHELF, "pectin_haze"): ("Protein haze is the more common one (3.2 decibans).",),
    ("why", IN_THE_COLD, "dose bentonite"): (
        "Always from a bench trial, never by habit.",
        "Dry clay for this vessel is worked out (bentonite_grams) from Volume of wine: 120 L. For dry clay for this "
        "vessel this is not known yet: Dose of bentonite chosen at the bench.",
    ),
    ("why", CANISTER, "order"): (
        "Have a laboratory look for what is feared comes after do not drink it.",
        "Leave it wine; drink no unknown spirit comes after do not drink it.",
    ),
    ("why", WARM_SHELF, "caution clay_dust"): (
        "scars the lungs over the years.",
        "It is shown because: Take the protein out with bentonite needs this care.",
    ),
    ("why", WARM_SHELF, "caution enzyme_dust"): (
        "The rule that comes nearest (caution/fix/amylase) does not speak. Break the starch down with amylase: "
        "“offered”: not so.",
    ),
    ("why", WARM_SHELF, "fix bentonite"): (
        "Protein haze is confirmed, at 95 %",
        "It cannot be undone. What comes nearest to forbidding it is not so. Bentonite bench trial: “No dose was",
    ),
    ("why", "haze/clay_that_left_the_haze", "fix pectic_enzyme"): (
        "The enzyme cuts the pectin; then the rest falls by itself or with a fining. Pectin haze is likely, at 92 %",
    ),
    ("why", COOLANT, "question tastes"): (
        "It is not asked now: Some of these kill or blind in a mouthful and cannot be tasted.",
    ),
    ("why", WARM_SHELF, "question cleared_after_pectic_enzyme"): (
        "It makes no sense yet. Break the pectin down with pectic enzyme, done already: “unchecked” or “good” or “not "
        "good” or “unsure”: not so.",
    ),
    ("why", WARM_SHELF, "question heat_test_eye"): ("1 rule spoke because of it.",),
    ("why", WARM_SHELF, "question settles"): (
        "It is expected to take 0.10 bits of doubt about what to do away. It takes a test: let a bottle stand, and",
    ),
    ("why", WARM_SHELF, "question ph"): (
        "By itself no answer moves the causes; other questions and the doses build on it.",
    ),
    ("why", "cold/frozen_overnight", "cold_stable_wine"): (
        "Against it speaks Cold test is crystals: yes (−6 deci",
    ),
}


@pytest.mark.parametrize(("asked", "said"), PARAGRAPHS.items(), ids=lambda part: str(part[-1])[:24])
def test_in_a_paragraph(worked: Worked, asked: tuple[str, str, str], said: tuple[str, ...]) -> None:
    """A paragraph begins with the sentence and goes on with the reasons: for, against, not counted, not looked at."""
    found = ask(worked, *asked)
    whole = read(lambda page: show_explained(page, worked.base, found, "metric", "paragraph"))
    assert whole.startswith(plainly(sentence(worked.base, found, "metric")))
    missing = [part for part in said if part not in whole]
    assert not missing, whole


def test_the_first_cause_is_never_said_to_have_lost(worked: Worked) -> None:
    """Asked why not of the first cause, the answer holds it against the second; it never puts another before it."""
    found = ask(worked, "why not", WARM_SHELF, "protein_haze")
    assert isinstance(found, WhyNot)
    first, second = (item.cause for item in worked.judged(WARM_SHELF).standings[:2])
    assert (found.winner, found.other) == (first, second) == ("protein_haze", "bitartrate_crystals")
    whole = read(lambda page: show_explained(page, worked.base, found, "metric", "full"))
    assert whole.startswith("Why protein haze and not tartar crystals (potassium bitartrate)")


ODD = re.compile(
    r"\.\.|\.;|;\.|: \.|None:|(?<![\w])[a-z]+_[a-z]+(?:_[a-z]+)*(?= (?:is|includes)\b)|\. (?!pH\b)[a-z]"
)
"""Broken grammar: two stops, a stop before a semicolon, an id in place of a name, a small letter after a full stop."""


@pytest.mark.parametrize("case", [WARM_SHELF, IN_THE_COLD, COOLANT, "haze/gas_holding_up_yeast"])
def test_everything_is_told_in_whole_sentences(worked: Worked, case: str) -> None:
    """Whatever is asked of a wine, a sentence and a paragraph end in a full stop and no page's own stop breaks them."""
    base, judged = worked.base, worked.judged(case)
    asked = [("cause", item.cause, way) for item in judged.standings for way in ("why", "why not")]
    for kind, pages in (
        ("fix", base.fixes),
        ("dose", base.fixes),
        ("test", base.tests),
        ("caution", base.cautions),
    ):
        asked += [(kind, name, "why") for name in [*pages][::3]]
    asked += [("question", name, "why") for name in [*base.observations][::9]]
    for kind, name, way in asked:
        found = ask(worked, way, case, f"{kind} {name}")
        for length in (sentence, paragraph):
            text = plainly(length(base, found, "metric"))
            assert text.endswith((".", "!", "?")) and not ODD.search(text), (
                kind,
                name,
                ODD.search(text),
                text,
            )


@pytest.mark.parametrize("length", ["sentence", "paragraph", "full"])
def test_on_a_plain_page_the_words_are_the_same(worked: Worked, length: Length) -> None:
    """A screen reader hears every word of an explanation, and no sign that it would spell out."""
    found = ask(worked, "why", WARM_SHELF, "protein_haze")

    def words(plain: bool) -> str:
        return read(lambda page: show_explained(page, worked.base, found, "metric", length), 80, plain)

    assert not set("─←→−") & set(words(True))
    assert set(re.findall(r"[A-Za-z]{3,}", words(False))) <= set(re.findall(r"[A-Za-z]{3,}", words(True)))
