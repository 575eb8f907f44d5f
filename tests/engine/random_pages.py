"""Random conditions, facts and rule bases for the tests of the engine."""

from __future__ import annotations

from typing import Any

from diagnose.engine.facts import Fact
from hypothesis import strategies as st
from made_bases import Page, cause, choice, derive, number, says, several, speaks_when, state, yes_no

WORDS = {"a": ("yes", "no"), "b": ("yes", "no"), "c": ("x", "y", "z")}
SEVERAL = {"v": ("p", "q", "r")}
NUMBERS = ("m", "n")
STRENGTHS = ("for", "confirms", "against", "excludes")


def word_tests(answers: tuple[str, ...]) -> st.SearchStrategy[Page]:
    """A test of a fact that holds one word."""
    one = st.sampled_from(answers)
    many = st.lists(one, min_size=1, max_size=2, unique=True)
    return st.one_of(
        st.builds(lambda w: {"is": w}, one),
        st.builds(lambda w: {"is_not": w}, one),
        st.builds(lambda w: {"one_of": w}, many),
        st.builds(lambda w: {"none_of": w}, many),
    )


def number_tests() -> st.SearchStrategy[Page]:
    """A test of a fact that holds a number, one-sided or a stretch."""
    figure = st.sampled_from([0.0, 1.0, 2.5, 5.0])
    return st.one_of(
        st.builds(lambda w: {"at_least": w}, figure),
        st.builds(lambda w: {"below": w}, figure),
        st.builds(lambda low, high: {"above": low, "at_most": high}, figure, figure),
    )


def several_tests(answers: tuple[str, ...]) -> st.SearchStrategy[Page]:
    """A test of a fact that holds ticked answers."""
    one = st.sampled_from(answers)
    many = st.lists(one, min_size=1, max_size=2, unique=True)
    return st.one_of(
        st.builds(lambda w: {"includes": w}, one),
        st.builds(lambda w: {"includes_any": w}, many),
        st.builds(lambda w: {"includes_none": w}, many),
    )


OBSERVED: dict[str, st.SearchStrategy[Page]] = {
    **{name: word_tests(answers) for name, answers in WORDS.items()},
    **{name: several_tests(answers) for name, answers in SEVERAL.items()},
    **{name: number_tests() for name in NUMBERS},
}


def conditions(
    tests: dict[str, st.SearchStrategy[Page]], joining: bool = True, deep: int = 5
) -> st.SearchStrategy[Page]:
    """A condition over these facts; `joining` allows `known` and `unknown` of them too."""
    names = st.sampled_from(sorted(tests))
    leaf = names.flatmap(lambda name: tests[name].map(lambda test: {name: test}))
    if joining:
        plain = st.sampled_from(sorted(OBSERVED))
        leaf = st.one_of(
            leaf, leaf, plain.map(lambda name: {"known": name}), plain.map(lambda name: {"unknown": name})
        )

    def joined(inner: st.SearchStrategy[Page]) -> st.SearchStrategy[Page]:
        some = st.lists(inner, min_size=1, max_size=3)
        return st.one_of(
            st.builds(lambda parts: {"all": parts}, some),
            st.builds(lambda parts: {"any": parts}, some),
            st.builds(lambda part: {"not": part}, inner),
        )

    return st.recursive(leaf, joined, max_leaves=deep)


def value_of(name: str) -> st.SearchStrategy[Any]:
    """A value an observation could have."""
    if name in WORDS:
        return st.sampled_from(WORDS[name])
    if name in SEVERAL:
        return st.frozensets(st.sampled_from(SEVERAL[name]))
    return st.sampled_from([0.0, 0.5, 1.0, 2.5, 4.0, 5.0, 9.0])


@st.composite
def given_facts(draw: st.DrawFn, contradictory: bool = True) -> tuple[Fact, ...]:
    """Facts a person could give: some things not looked at, now and then two values for one."""
    found: dict[Fact, None] = {}
    for name in sorted(OBSERVED):
        how_many = draw(st.sampled_from((0, 1, 1, 1, 2) if contradictory else (0, 1, 1)))
        for _ in range(how_many):
            found[Fact(name, draw(value_of(name)))] = None
    return tuple(found)


@st.composite
def pages(draw: st.DrawFn) -> list[Page]:
    """A random small rule base: observations, states on states, derived numbers, evidence."""
    made = [yes_no("a"), yes_no("b"), choice("c", *WORDS["c"]), several("v", *SEVERAL["v"])]
    made += [number("m", {"low": None, "high": 2}), number("n")]
    tests = dict(OBSERVED)
    states = [f"s{index}" for index in draw(st.permutations(range(3)))]
    # A state may read one that comes later: a circle without `unknown` or numbers has an answer.
    for name in states:
        tests[name] = word_tests(("up", "down"))
    tests["rise"] = number_tests()
    for place, name in enumerate(states):
        rules = []
        for value in draw(st.sampled_from((["up"], ["up", "down"], ["up", "up"]))):
            when = draw(conditions(tests, deep=3))
            if place and draw(st.booleans()):
                earlier = draw(st.sampled_from([*states[:place], "rise"]))
                when = {"all": [when], "unknown": earlier}
            rules.append((value, when))
        made.append({**state(name, *rules), "values": {"up": "up", "down": "down"}})
    gate = draw(st.sampled_from(({}, {"when": {"unknown": "b", "known": "a"}}, {"when": {states[0]: "up"}})))
    late = draw(st.sampled_from(({}, {"when": {"unknown": states[0], "known": "m"}})))
    made.append(derive("rise", "turbidity_rise", {"heated_ntu": "m", "unheated_ntu": "n"}, BANDS, **gate))
    made.append(derive("dose", "dose_from_g_per_hl", {"dose_g_per_hl": "rise"}, DOSES, **late))
    for name in ("k1", "k2"):
        rows = [says("a", yes=draw(st.sampled_from(STRENGTHS))), says("v", p="for", q="against")]
        rows += [says("rise", large="for", small="against"), says("dose", much="confirms", little="against")]
        rows.append(says(draw(st.sampled_from(states)), up="for", down="against"))
        rows.append(speaks_when(draw(conditions(tests, deep=3)), draw(st.sampled_from(STRENGTHS))))
        made.append(cause(name, *rows))
    return made


BANDS = {"small": None, "large": 2.0}
DOSES = {"little": None, "much": 0.03}
