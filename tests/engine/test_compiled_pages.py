from __future__ import annotations

import random
from pathlib import Path

import pytest
import yaml
from diagnose.engine.behind import observations_behind
from diagnose.engine.chain import Chain
from diagnose.engine.compile import band_of, compile_rules, compute, fact_read
from diagnose.engine.facts import Fact, Facts, gather
from diagnose.engine.network import Network
from diagnose.judgement.judge import Cellar, judge, questions
from diagnose.knowledge.models.facts import Band, Compute
from diagnose.knowledge.read import read_rule_base
from hypothesis import given
from hypothesis import strategies as st
from made_bases import (
    base_of,
    bench_test,
    cause,
    caution,
    cellar_pages,
    choice,
    derive,
    fix,
    number,
    rule,
    says,
    several,
    shared_pages,
    state,
    yes_no,
)


def concluded(pages: list[dict[str, object]], *facts: Fact) -> Facts:
    """All facts that follow in the network."""
    return Network(compile_rules(base_of(*pages))).start(facts).facts


# ---------------------------------------------------------------- bands

BANDS = {"low": None, "middle": 2.0, "high": 5.0}


@given(st.floats(-10, 20))
def test_a_number_falls_in_the_last_band_it_has_reached(value: float) -> None:
    """A band holds from its start up to the start of the next; the first reaches down without end."""
    bands = {name: Band.model_validate({"starts": start, "says": name}) for name, start in BANDS.items()}
    expected = "high" if value >= 5 else "middle" if value >= 2 else "low"
    assert band_of(bands, value) == expected


def test_bands_become_facts_and_evidence_reads_them() -> None:
    """A measured number speaks through the band it falls in, at the very start of the band too."""
    pages = [number("m", BANDS), cause("k", says("m", low="against", middle="for", high="confirms"))]
    trace = Network(compile_rules(base_of(*pages))).start([Fact("m", 2.0)])
    assert trace.facts == {"m": (2.0,), "band.m": ("middle",)}
    assert [(item.observe, item.answer, item.strength) for item in trace.evidence] == [("m", "middle", "for")]


def test_a_derived_number_has_bands_too_even_in_a_late_layer() -> None:
    """A number worked out only once something is known to be unknown still gets its band and its evidence."""
    pages = [
        number("m"),
        yes_no("a"),
        state("working", ("yes", {"a": "yes"})),
        derive(
            "dose",
            "dose_from_g_per_hl",
            {"dose_g_per_hl": "m"},
            {"little": None, "much": 0.5},
            when={"unknown": "working", "known": "m"},
        ),
        cause("k", says("dose", much="for")),
    ]
    rules = compile_rules(base_of(*pages))
    facts = [Fact("m", 80.0), Fact("a", "no")]
    trace = Network(rules).start(facts)
    assert trace.facts["dose"] == (0.8,) and trace.facts["band.dose"] == ("much",)
    assert (trace.facts, frozenset(trace.evidence)) == Chain(rules).run(facts)
    assert len(trace.evidence) == 1
    assert "dose" not in Network(rules).start([Fact("m", 80.0), Fact("a", "yes")]).facts


def test_what_evidence_reads() -> None:
    """Evidence reads the band of a number that has bands, and the answer itself of all else."""
    base = base_of(number("m", BANDS), number("n"), yes_no("a"), state("s", ("yes", {"a": "yes"})))
    read = {name: fact_read(page) for name, page in base.observables.items()}
    assert read == {"m": "band.m", "n": "n", "a": "a", "s": "s"}


# ---------------------------------------------------------------- derived numbers

RISE = [
    number("hot"),
    number("cold"),
    derive("rise", "turbidity_rise", {"heated_ntu": "hot", "unheated_ntu": "cold"}, {"s": None, "l": 2.0}),
]


def test_a_number_is_worked_out_when_all_its_inputs_are_known() -> None:
    """One reading of two is no rise."""
    assert "rise" not in concluded(RISE, Fact("hot", 9.0))
    found = concluded(RISE, Fact("hot", 9.0), Fact("cold", 4.0))
    assert found["rise"] == (5.0,) and found["band.rise"] == ("l",)


def test_inputs_out_of_range_conclude_no_number() -> None:
    """A reading a calculator refuses gives no number and no band, only the reason; it never stops the run."""
    rules = compile_rules(base_of(*RISE, cause("k", says("rise", l="for", s="against"))))
    facts = [Fact("hot", 1.0), Fact("cold", 9.0)]
    trace = Network(rules).start(facts)
    assert set(trace.facts) == {"hot", "cold", "refused.rise"}
    (reason,) = trace.facts["refused.rise"]
    assert "swapped" in str(reason)
    assert trace.evidence == ()
    assert Chain(rules).run(facts)[0] == trace.facts


def test_two_readings_give_two_results() -> None:
    """A number measured twice with different results is worked out from both, and the doubt stays visible."""
    found = concluded(RISE, Fact("hot", 9.0), Fact("hot", 5.0), Fact("cold", 4.0))
    assert found["rise"] == (1.0, 5.0) and found["band.rise"] == ("l", "s")


@given(st.floats(0, 1000), st.floats(0, 1000))
def test_a_calculator_gets_the_facts_and_the_plain_numbers_of_the_page(hot: float, noise: float) -> None:
    """A parameter takes a fact by name or a number as written; the result is the calculator's own."""
    page = Compute.model_validate(
        {
            "calculator": "turbidity_rise",
            "with": {"heated_ntu": "hot", "unheated_ntu": 500, "noise_ntu": noise},
        }
    )
    found = compute(page, {"hot": hot})
    assert found == hot - 500 if hot - 500 >= -noise else isinstance(found, str)
    assert compute(page, {}) is None
    assert compute(page, {"hot": "cloudy"}) is None


# ---------------------------------------------------------------- pages with several answers, tests, fixes


def test_each_ticked_answer_speaks_for_itself() -> None:
    """Of a question with several answers each ticked one is a finding; nothing ticked is none."""
    pages = [several("v", "p", "q", "r"), cause("k", says("v", p="for", q="against"))]
    network = Network(compile_rules(base_of(*pages)))
    said = network.start([Fact("v", frozenset({"p", "q", "r"}))]).evidence
    assert [(item.answer, item.strength) for item in said] == [("p", "for"), ("q", "against")]
    assert network.start([Fact("v", frozenset())]).evidence == ()


def test_the_group_of_a_finding_comes_from_the_row_then_the_page_then_its_own_name() -> None:
    """What measures the same thing shares a group: a row's own word wins over that of the observation."""
    pages = [
        yes_no("a", about="gas"),
        yes_no("b"),
        cause("k", says("a", yes="for"), says("a", about="other", no="for"), says("b", yes="for")),
    ]
    network = Network(compile_rules(base_of(*pages)))
    said = network.start([Fact("a", "yes"), Fact("a", "no"), Fact("b", "yes")]).evidence
    assert [(item.observe, item.about) for item in said] == [("a", "gas"), ("a", "other"), ("b", "b")]


def confirmable() -> list[dict[str, object]]:
    """A cause that a bench test can confirm by way of a state."""
    return [
        choice("read_off", "cloudy", "clear"),
        yes_no("young"),
        state("unstable", ("yes", {"read_off": "cloudy"})),
        bench_test("heating", "read_off", cautions="hot", only_if={"young": "no"}),
        cause("k", says("young", yes="for"), confirmed_by=[{"observe": "unstable", "answers": "yes"}]),
        caution("hot"),
    ]


def test_a_possible_cause_asks_for_the_test_that_would_confirm_it() -> None:
    """The test is found through the state it feeds, kept back while `only_if` fails, and dropped once read."""
    ask, old = Fact("cause.k", "possible"), Fact("young", "no")
    found = concluded(confirmable(), ask, old)
    assert found["test.heating"] == ("requested",) and found["caution.hot"] == ("shown",)
    for facts in ([old], [ask], [ask, Fact("young", "yes")], [Fact("cause.k", "unlikely"), old]):
        assert "test.heating" not in concluded(confirmable(), *facts)
    assert "test.heating" not in concluded(confirmable(), ask, old, Fact("read_off", "clear"))
    assert observations_behind(base_of(*confirmable()), "unstable") == {"read_off"}


def curable() -> list[dict[str, object]]:
    """A cause with a fix that has an offer condition, a ban, and a caution at one of its steps."""
    return [
        yes_no("cold"),
        yes_no("working"),
        cause("k", fixes={"settle": "fully"}),
        fix(
            "settle",
            cautions="heavy",
            steps=["Lift.", {"do": "Pour.", "caution": "wet"}],
            offer_when={"cold": "yes"},
            never_when=[{"when": {"working": "yes"}, "because": "Gas.", "source": "judgement"}],
        ),
        caution("heavy"),
        caution("wet"),
        rule("no_gas", {"working": "yes"}, warn="wet", forbid=[{"fix": "settle", "because": "Gas rises."}]),
    ]


def test_a_likely_cause_offers_its_fix_with_the_cautions_of_fix_and_steps() -> None:
    """A fix comes with all its cautions, and only while its own condition holds."""
    found = concluded(curable(), Fact("cause.k", "likely"), Fact("cold", "yes"))
    assert found["fix.settle"] == ("offered",)
    assert found["caution.heavy"] == found["caution.wet"] == ("shown",)
    assert "fix.settle" not in concluded(curable(), Fact("cause.k", "likely"))
    assert "fix.settle" not in concluded(curable(), Fact("cause.k", "possible"), Fact("cold", "yes"))


def test_a_ban_is_concluded_beside_the_offer() -> None:
    """Offer and ban are both facts, so that both reasons can be shown; the plan lets the ban win."""
    trace = Network(compile_rules(base_of(*curable()))).start(
        [Fact("cause.k", "confirmed"), Fact("cold", "yes"), Fact("working", "yes")]
    )
    assert trace.facts["fix.settle"] == ("forbidden", "offered")
    assert {firing.rule for firing in trace.behind("fix.settle", "forbidden")} == {
        "never/settle/1",
        "rule/no_gas/forbid_1",
    }


# ---------------------------------------------------------------- files


FACTS = [Fact("bubbles", "yes"), Fact("colour", "white"), Fact("heated", 30.0), Fact("unheated", 1.0)]


@pytest.mark.parametrize("seed", range(6))
def test_how_pages_are_spread_over_files_makes_no_difference(tmp_path: Path, seed: int) -> None:
    """A mentor may move pages between files and folders; every case is judged as before, to the last digit."""
    shuffled = [*shared_pages(), *cellar_pages()]
    expected = judge(Cellar(base_of(*cellar_pages())), "haze", FACTS)
    chance = random.Random(seed)
    chance.shuffle(shuffled)
    folders = [tmp_path / "one", tmp_path / "two" / "deep"]
    for page in shuffled:
        folder = chance.choice(folders)
        folder.mkdir(parents=True, exist_ok=True)
        name = chance.choice("abc")
        with (folder / f"{name}.yaml").open("a", encoding="utf-8") as file:
            file.write(yaml.safe_dump([page], sort_keys=False))
    roots = [tmp_path / "one", tmp_path / "two"]
    chance.shuffle(roots)
    cellar = Cellar(read_rule_base(roots))
    facts = list(FACTS)
    chance.shuffle(facts)
    judged = judge(cellar, "haze", facts)
    assert judged.weighings == expected.weighings
    assert (judged.standings, judged.plan) == (expected.standings, expected.plan)
    assert judged.trace == expected.trace
    assert questions(cellar, judged) == questions(Cellar(base_of(*cellar_pages())), expected)


def test_how_work_stands_is_behind_no_question() -> None:
    """A state that also reads whether a fining was checked rests on what can be looked at alone."""
    made = [
        yes_no("bubbles"),
        fix("wait"),
        state("quiet", ("yes", {"bubbles": "no", "done.wait": {"one_of": ["good", "unsure"]}})),
        state("settled", ("yes", {"quiet": "yes"})),
    ]
    assert observations_behind(base_of(*made), "settled") == {"bubbles"}


def test_values_of_a_fact_are_kept_in_one_order() -> None:
    """Readings that look alike when shown still have a fixed order."""
    near = [2.00000001, 2.0, 2.00000002]
    assert gather(Fact("m", value) for value in near) == gather(Fact("m", value) for value in near[::-1])
    assert gather([Fact("m", 2.00000001), Fact("m", 2.0)])["m"] == (2.0, 2.00000001)
