"""A person takes the report of a case to a mentor, and a sheet to the bench."""

from __future__ import annotations

import json
import re
from collections import Counter
from collections.abc import Iterator
from datetime import date
from itertools import pairwise
from pathlib import Path
from typing import Any
from xml.etree.ElementTree import Element

import html5lib
import pytest
from diagnose.calculators.trial import blind_order
from diagnose.knowledge.read import read_rule_base
from diagnose.knowledge.rule_base import RuleBase
from diagnose.present.timeline import day_words
from diagnose.present.words import percent
from diagnose.report.told import TrialSheet
from diagnose.report.written import write
from diagnose.shipped import shipped_folder
from hypothesis import given
from hypothesis import strategies as st
from markdown_it import MarkdownIt

CASES = ["haze/demonstration", "runaway/sweet_cider_bursts_on_the_shelf", "stuck/nothing_fits"]
"""A haze that is confirmed, bottles that burst, and a trouble that the rules do not know."""

HOSTILE = (
    "<script>alert(1)</script> [link](javascript:alert(1)) <a href=javascript:alert(1)>x</a> {{ 7*7 }} "
    '{% raw %} " onload="alert(1) `code` | **bold** ![](http://example.com/x.png) &lt;b&gt;'
)
"""What somebody might write into a case to make a page do something."""

BENCH = {"sample_ml": 100, "weighed": False, "strength": 50, "smallest": 0.1, "step": 0.01}
JARS = [(0, 14.0, None, 1), (1, 6.0, None, None), (2, 0.9, "stable", 1), (3, 0.8, "stable", 2)]
"""Jar, turbidity in NTU, heat test, rank in taste; invented."""


# ---------------------------------------------------------------- reading pages


def read_html(text: str) -> Element:
    """The page as the parser of the HTML standard reads it, which stops at the first mistake."""
    return html5lib.HTMLParser(strict=True, namespaceHTMLElements=False).parse(text)


def read_markdown(text: str) -> Element:
    """The page as an outside reader of Markdown makes it, tables included and HTML let through."""
    return html5lib.parse(MarkdownIt("commonmark").enable("table").render(text), namespaceHTMLElements=False)


def said(element: Element, without: frozenset[str] = frozenset()) -> str:
    """The text of an element with one space between words, leaving out some kinds of elements."""
    return " ".join("".join(_texts(element, without)).split())


def _texts(element: Element, without: frozenset[str]) -> Iterator[str]:
    if element.tag not in without and element.get("class") != "skip":
        yield element.text or ""
        for inner in element:
            yield from _texts(inner, without)
            yield (inner.tail or "") + " "


def words(element: Element) -> Counter[str]:
    """Every word that a page says, without what only one of the two forms needs: its contents, captions, drawings."""
    return Counter(
        re.findall(r"\w+", said(element, frozenset({"head", "nav", "caption", "figure", "style"})))
    )


# ---------------------------------------------------------------- making them


class Made:
    """A case in both forms, beside its judgement as JSON."""

    def __init__(self, run: Any, folder: Path, case: Path) -> None:
        for ending in ("html", "md"):
            done = run("report", str(case), "--to", str(folder / f"report.{ending}"))
            assert done.returncode == 0, done.stderr
        self.html_text = (folder / "report.html").read_text(encoding="utf-8")
        self.markdown_text = (folder / "report.md").read_text(encoding="utf-8")
        self.html, self.markdown = read_html(self.html_text), read_markdown(self.markdown_text)
        self.judged = json.loads(run("judge", str(case), "--json").stdout)
        self.plan = json.loads(run("plan", str(case), "--json").stdout)

    @property
    def both(self) -> tuple[str, str]:
        """What each of the two forms says."""
        return said(self.html), said(self.markdown)


@pytest.fixture(scope="session")
def base() -> RuleBase:
    """The rules that come with the program."""
    return read_rule_base([shipped_folder("rules")])


@pytest.fixture(params=CASES)
def made(run, tmp_path: Path, request: pytest.FixtureRequest) -> Made:
    """Each of three worked cases, made once for all claims about it."""
    if request.param not in _MADE:
        _MADE[request.param] = Made(run, tmp_path, shipped_folder("cases") / f"{request.param}.yaml")
    return _MADE[request.param]


_MADE: dict[str, Made] = {}


def with_events(folder: Path, *events: dict[str, Any], **head: str) -> Path:
    """The demonstration with more in its file."""
    text = (shipped_folder("cases") / "haze" / "demonstration.yaml").read_text(encoding="utf-8")
    text = text.partition("expect:")[0]
    for key, value in head.items():
        text = re.sub(
            rf"^{key}:.*?\n(?=\w)",
            lambda _, key=key, value=value: f"{key}: {json.dumps(value)}\n",
            text,
            flags=re.M | re.S,
        )
    lines = [f"- {json.dumps({'at': '2026-03-17T20:00:00+01:00', **event})}\n" for event in events]
    case = folder / "case.yaml"
    case.write_text(text + "events:\n" + "".join(lines), encoding="utf-8")
    return case


def planned(*doses: float) -> dict[str, Any]:
    """A bench trial planned."""
    return {"did": "trial_planned", "data": {"fix": "bentonite", "doses": list(doses), "bench": BENCH}}


def read(notes: str = "") -> dict[str, Any]:
    """It was read, and the second dose chosen."""
    readings = [
        {"sample": jar, "clarity_ntu": ntu, "heat": heat, "flavour_rank": rank, "notes": notes}
        for jar, ntu, heat, rank in JARS
    ]
    data = {"fix": "bentonite", "outcome": "chosen", "dose": 0.2, "readings": readings}
    return {"did": "trial_read", "data": data}


# ---------------------------------------------------------------- what stands in a report


def test_both_forms_say_the_same(made: Made) -> None:
    """Whoever gets the Markdown reads every word that the other page says, as often, and no more."""
    assert words(made.html) == words(made.markdown)


def test_every_answer_stands_with_its_question(made: Made, base: RuleBase) -> None:
    """The table of findings has a line for each answer of the case, the question and the answer in both forms."""
    case = made.judged["case"]
    file = next(shipped_folder("cases").rglob(f"{case}.yaml")).read_text(encoding="utf-8")
    asked = re.findall(r"^  (\w+):", file.partition("facts:")[2].partition("\n\n")[0], re.M)
    asked = [
        name for name in asked if name in base.observations and f"\n  {name}:" in file.split("expect:")[0]
    ]
    for page in (made.html, made.markdown):
        rows = next(table for table in page.iter("table") if said(table).find("Question Answer") >= 0)
        told = [[said(cell) for cell in row] for row in rows.iter("tr")][1:]
        assert [row[0] for row in told] == [" ".join(base.observations[name].ask.split()) for name in asked]
        assert all(row[1] for row in told)
        # No answer of these cases has a day, so no column waits for one.
        assert all(len(row) == 2 for row in told)


def test_causes_stand_with_their_chances(made: Made) -> None:
    """Each cause that is not unlikely is told in a word and in a figure, as the judgement has it."""
    for cause in made.judged["causes"]:
        if cause["standing"] != "unlikely":
            chance = percent(cause["probability"]).replace("\u00a0", " ")
            for page in (made.html, made.markdown):
                heads = [said(head) for head in page.iter("h4")]
                assert f"{cause['name']}: {cause['standing']}, {chance}" in heads


def test_every_caution_appears(made: Made) -> None:
    """No caution of the judgement is lost on the way to either page."""
    assert made.judged["cautions"]
    for caution in made.judged["cautions"]:
        for text in made.both:
            assert " ".join(caution["says"].split()) in text, caution["id"]


def test_cautions_stand_at_their_step(made: Made, base: RuleBase) -> None:
    """In both forms the caution of a step is read with the step, not pages later."""
    cautioned = [
        (step.do.partition("{")[0], base.cautions[caution].says)
        for fix in made.judged["fixes"]
        if fix["chosen"]
        for step in base.fixes[fix["id"]].steps
        for caution in step.caution
    ]
    for page in (made.html, made.markdown):
        items = [said(item) for item in page.iter("li")]
        for do, says in cautioned:
            start, says = " ".join(do.split()), " ".join(says.split())
            assert any(item.startswith(start) and says in item for item in items), (start, says)


def test_the_plan_keeps_its_order(made: Made) -> None:
    """The fixes stand as `plan` has them, each with the days to begin and look; an empty plan says why."""
    plan = [step["name"] for step in made.plan["steps"]]
    for page in (made.html, made.markdown):
        heads = [said(head) for head in page.iter("h3") if re.match(r"\d+\. ", said(head))]
        assert heads == [f"{number}. {name}" for number, name in enumerate(plan, 1)]
        assert plan or "Nothing yet:" in said(page)
        days = [table for table in page.iter("table") if said(table).startswith("Step Begins Look")]
        assert [[said(row[0]) for row in table.iter("tr")][1:] for table in days] == ([heads] if plan else [])
        for step, row in zip(made.plan["steps"], [*days[0].iter("tr")][1:] if days else [], strict=True):
            for day in (step["start"], *step["checks"]):
                assert day_words(date.fromisoformat(day)) in said(row)


def test_the_wine_is_foreseen_after_each_step(run, tmp_path: Path) -> None:
    """The table of the wine has a column for each step; the drawing of days has a line for each, and can be heard."""
    case = with_events(
        tmp_path,
        {"did": "answered", "about": "vessel_volume", "value": 60},
        {"did": "answered", "about": "bentonite_dose", "value": 0.5},
        {"did": "answered", "about": "bentonite_slurry", "value": 50},
    )
    made = Made(run, tmp_path, case)
    steps = made.plan["steps"]
    for page in (made.html, made.markdown):
        table = next(table for table in page.iter("table") if said(table).startswith("Number Now"))
        rows = [[said(cell) for cell in row] for row in table.iter("tr")]
        assert rows[0][1:] == ["Now", *(f"After step {number}" for number in range(1, len(steps) + 1))]
        volume = next(row for row in rows if "60 L" in row[1])
        end = steps[-1]["after"]["numbers"]["vessel_volume"]["value"]
        assert float(volume[-1].split()[0]) == pytest.approx(end, rel=0.01)
        needs = [need["name"] for need in made.plan["needs"]]
        assert needs and all(any(said(item).startswith(name) for item in page.iter("li")) for name in needs)
    drawing = next(svg for svg in drawings(made.html) if said(svg).startswith("The days of the plan"))
    assert len([part for part in drawing.iter() if str(part.tag).endswith("rect")]) == len(steps)
    assert all(step["name"] in said(drawing) for step in steps)


def drawings(page: Element) -> list[Element]:
    """The drawings of a page."""
    return [element for element in page.iter() if str(element.tag).endswith("svg")]


def test_what_must_not_be_done_has_its_reasons(made: Made) -> None:
    """Each forbidden fix stands with every reason that the judgement gives."""
    forbidden = {
        item["name"]: [reason["says"] for reason in item["reasons"]] for item in made.judged["forbidden"]
    }
    section = next(part for part in made.html.iter("section") if part.get("aria-labelledby") == "not")
    items = section.findall("ul/li")
    assert items or "No fix that could serve here is forbidden." in said(section)
    for item in items:
        name = said(item.find("strong"))
        assert all(" ".join(reason.split()) in said(item) for reason in forbidden[name]), name


def test_every_gate_stands(made: Made, base: RuleBase) -> None:
    """Whether the wine may be bottled is told gate by gate."""
    for text in made.both:
        for gates in made.judged["gates"]:
            assert all(base.states[gate["id"]].name in text for gate in gates["gates"])


def test_every_number_leads_to_its_source(made: Made) -> None:
    """A number in brackets stands in the list at the end, and nothing is listed that is not cited."""
    links = {link.get("href") for link in made.html.iter("a") if link.get("class") == "ref"}
    listed = [item.get("id") for item in made.html.iter("li") if (item.get("id") or "").startswith("source-")]
    assert links == {f"#{name}" for name in listed} and len(set(listed)) == len(listed) > 0
    cited = {int(number) for number in re.findall(r"\\\[(\d+)\\\]", made.markdown_text)}
    assert cited == set(range(1, len(listed) + 1))


def test_the_rules_and_the_day_are_told(made: Made) -> None:
    """A mentor sees which rules judged, and when."""
    for text in made.both:
        assert f"Judged with the rules {made.judged['rule_base']}" in text
        assert re.search(r"Report of \d{4}-\d\d-\d\d\.", text)


@pytest.mark.parametrize("made", ["stuck/nothing_fits"], indirect=True)
def test_an_unknown_trouble_is_called_unknown(made: Made, base: RuleBase) -> None:
    """Where nothing fits, the report says so and does not dress up the likeliest guess."""
    assert made.judged["causes"][0]["id"] == "unknown"
    for text in made.both:
        assert " ".join(base.topics["stuck"].unknown_cause.split()) in text


# ---------------------------------------------------------------- a page anybody can read


def test_a_page_stands_alone(made: Made) -> None:
    """Nothing is loaded and nothing runs; links lead inside the page or to the web."""
    tags = Counter(element.tag for element in made.html.iter())
    assert not {"script", "link", "img", "iframe", "object", "embed", "form", "base"} & tags.keys()
    for element in made.html.iter():
        assert not [name for name in element.attrib if name.startswith("on") or name == "src"]
        assert re.match(r"#|https?://", element.get("href", "#"))
    assert "url(" not in made.html_text and "@import" not in made.html_text


def test_a_page_can_be_heard(made: Made) -> None:
    """A screen reader finds the language, the parts, headings that go down step by step, and heads on every table."""
    root = made.html
    assert root.get("lang") == "en"
    assert [len(list(root.iter(tag))) for tag in ("h1", "main", "header", "nav", "footer")] == [1] * 5
    levels = [int(element.tag[1]) for element in root.iter() if re.fullmatch(r"h[1-6]", str(element.tag))]
    assert all(below - above <= 1 for above, below in pairwise(levels))
    names = [element.get("id") for element in root.iter() if element.get("id")]
    assert len(names) == len(set(names))
    for table in root.iter("table"):
        assert all(cell.get("scope") == "col" for cell in table.findall("thead/tr/th"))
        assert all(cell.get("scope") == "row" for cell in table.findall("tbody/tr/th"))
    for element in root.iter():
        assert (element.get("aria-labelledby") or "brought").split()[0] in names


@pytest.mark.parametrize("scheme", [0, 1, 2], ids=["light", "dark", "print"])
@pytest.mark.parametrize("made", CASES[:1], indirect=True)
def test_every_colour_can_be_read(made: Made, scheme: int) -> None:
    """Every text stands out from every ground by 4.5 to 1 at least.

    The figure and the sum are those of the Web Content Accessibility Guidelines 2.1, 1.4.3, from memory.
    """
    colours = dict(
        re.findall(r"--([\w-]+): (#\w{6})", re.findall(r":root \{(.*?)\}", made.html_text)[scheme])
    )

    def light(colour: str) -> float:
        parts = [int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5)]
        red, green, blue = (
            part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts
        )
        return 0.2126 * red + 0.7152 * green + 0.0722 * blue

    for text, grounds in {
        "ink": ("paper", "soft", "warn-soft"),
        "quiet": ("paper",),
        "mark": ("paper",),
        "warn": ("warn-soft",),
    }.items():
        for ground in grounds:
            dark, bright = sorted((light(colours[text]), light(colours[ground])))
            assert (bright + 0.05) / (dark + 0.05) >= 4.5, (text, ground)


# ---------------------------------------------------------------- words are data


def test_hostile_words_stay_words(run, tmp_path: Path) -> None:
    """What a person writes into a case is shown as written, in both forms, and never becomes a part of the page."""
    case = with_events(
        tmp_path,
        {"did": "noted", "data": {"remark": HOSTILE + "\x1b[31m\x00\u202e"}},
        planned(0.1, 0.2, 0.4),
        read(HOSTILE),
        title=HOSTILE,
        story=HOSTILE,
    )
    made = Made(run, tmp_path, case)
    plain = " ".join(HOSTILE.split())
    for page, text in ((made.html, made.html_text), (made.markdown, made.markdown_text)):
        assert said(page.find(".//h1")) == plain
        # The story, the remark, the title and a note for each jar.
        assert said(page.find("body")).count(plain) == 3 + len(JARS)
        assert not {"script", "img", "code", "b"} & {str(element.tag) for element in page.iter()}
        hrefs = [element.get("href") for element in page.iter("a")]
        assert not [href for href in hrefs if href and "javascript" in href]
        assert not re.search("[\x00-\x09\x0b-\x1f\x7f\u202e]", text)


@given(st.text(max_size=60).map(lambda text: f"x {text} x") | st.text(min_size=1, max_size=60))
def test_any_words_come_back_as_written(text: str) -> None:
    """Any text at all, as a heading, a paragraph or in a table, is read back from both forms as it was."""
    sheet = TrialSheet(
        title=text,
        case="c",
        made="d",
        rule_base="r",
        notes=(text,),
        says="s",
        stock=(),
        heads=("Jar",),
        to_read=("Taste",),
        jars=((text,),),
        dose_in="g/L",
        needed="n",
        warnings=(),
        then=(),
        judge_by=(text,),
        cautions=(),
        heat_test=None,
    )
    kept = " ".join("".join(sign if sign.isprintable() else " " for sign in text).split())
    for page in (read_html(write(sheet, "html")), read_markdown(write(sheet, "md"))):
        assert said(page.find(".//h1")) == kept
        told = [said(element) for element in page.iter("p")]
        assert kept in told or not kept
        assert kept in [said(element) for tag in ("td", "th") for element in page.iter(tag)]
        assert any(said(element).endswith(f"Judge by: {kept}".strip()) for element in page.iter("li"))


# ---------------------------------------------------------------- trials


def test_a_trial_is_told_with_its_drawing(run, tmp_path: Path) -> None:
    """Every jar stands in the table; the drawing has a point for each that was read, and marks the chosen one."""
    made = Made(run, tmp_path, with_events(tmp_path, planned(0.1, 0.2, 0.4), read()))
    for page in (made.html, made.markdown):
        table = next(table for table in page.iter("table") if said(table).find("Clarity (NTU)") >= 0)
        rows = [[said(cell) for cell in row] for row in table.iter("tr")][1:]
        assert [row[:3] for row in rows] == [
            ["control", "0", "14"],
            ["1", "0.1", "6"],
            ["2", "0.2", "0.9"],
            ["3", "0.4", "0.8"],
        ]
        assert "0.2 g/L is the least dose" in said(page)
    turbidity, taste = drawings(made.html)[-2:]
    for drawing, read_jars in ((turbidity, 4), (taste, 3)):
        circles = [element for element in drawing.iter() if str(element.tag).endswith("circle")]
        assert len(circles) == read_jars
        assert [circle.get("class") for circle in circles].count("chosen") == 1
        assert drawing.get("role") == "img"
    heights = [
        float(element.get("cy")) for element in turbidity.iter() if str(element.tag).endswith("circle")
    ]
    assert heights == sorted(heights) and len(set(heights)) == 4
    assert "0: 14; 0.1: 6; 0.2: 0.9; 0.4: 0.8" in said(turbidity)


@pytest.mark.parametrize(
    "data",
    [
        {"fix": "bentonite", "glass": "big"},
        {"fix": "moonlight", "outcome": "chosen", "dose": 1, "readings": []},
        {"fix": "bentonite", "outcome": "chosen", "dose": "<b>", "readings": [{"sample": 10**9}]},
        {},
    ],
)
def test_a_damaged_trial_spoils_no_report(run, tmp_path: Path, data: dict[str, Any]) -> None:
    """Readings that somebody broke by hand are said to be broken, and the rest of the report stands."""
    made = Made(run, tmp_path, with_events(tmp_path, {"did": "trial_read", "data": data}))
    for text in made.both:
        assert "The readings kept in the file are not whole" in text
        assert "Protein haze: confirmed" in text


# ---------------------------------------------------------------- sheets


def sheet(run, folder: Path, *words_: str, form: str = "html") -> Element:
    """A sheet, read."""
    file = folder / f"sheet.{form}"
    done = run("sheet", *words_, "--to", str(file))
    assert done.returncode == 0, done.stderr
    text = file.read_text(encoding="utf-8")
    return read_html(text) if form == "html" else read_markdown(text)


@pytest.mark.parametrize("form", ["html", "md"])
def test_the_sheet_of_a_trial_has_room_for_its_readings(
    run, tmp_path: Path, base: RuleBase, form: str
) -> None:
    """Every jar planned has a line with its dose and blanks to fill in; the cautions of the agent stand with it."""
    page = sheet(
        run, tmp_path, str(with_events(tmp_path, planned(0.1, 0.2, 0.4))), "trial", "bentonite", form=form
    )
    table = next(page.iter("table"))
    rows = [[said(cell) for cell in row if said(cell)] for row in table.findall("tbody/tr")]
    assert [row[:2] for row in rows] == [["control", "0"], ["1", "0.1"], ["2", "0.2"], ["3", "0.4"]]
    assert all(sum(not said(cell) for cell in row) >= 4 for row in table.findall("tbody/tr"))
    trial = base.fixes["bentonite"].trial
    assert trial and trial.agent
    for caution in trial.agent.cautions:
        assert " ".join(base.cautions[caution].says.split()) in said(page)


def test_a_printed_trial_has_the_codes_of_its_plan(run, tmp_path: Path) -> None:
    """Codes and tasting order are those that the kept seed draws; an older plan without a seed has none."""
    older = planned(0.1, 0.2, 0.4)
    seeded = {**older, "data": {**older["data"], "seed": 7}}
    page = said(sheet(run, tmp_path, str(with_events(tmp_path, seeded)), "trial", "bentonite"))
    blind = blind_order(4, 7)
    assert f"Take them in this order: {', '.join(map(str, blind.order))}." in page
    assert f"control {blind.codes[0]}, jar 1 {blind.codes[1]}" in page
    plain = said(sheet(run, tmp_path, str(with_events(tmp_path, older)), "trial", "bentonite"))
    assert "Take them in this order" not in plain


def test_without_a_plan_the_sheet_has_the_usual_ladder(run, tmp_path: Path, base: RuleBase) -> None:
    """A person who has planned nothing yet gets the usual doses, and is told that they are."""
    case = str(shipped_folder("cases") / "haze" / "demonstration.yaml")
    page = sheet(run, tmp_path, case, "trial", "bentonite")
    trial = base.fixes["bentonite"].trial
    doses = [said(row[2]) for row in next(page.iter("table")).findall("tbody/tr")]
    assert trial and doses == ["0", *(f"{dose:.3g}" for dose in trial.ladder)]
    assert "No trial is planned in this case yet" in said(page)


def test_the_sheet_of_a_fix_ticks_every_step(run, tmp_path: Path, base: RuleBase) -> None:
    """Each step has a box, its amount for this vessel, and its cautions."""
    case = with_events(
        tmp_path,
        {"did": "answered", "about": "vessel_volume", "value": 60},
        {"did": "answered", "about": "bentonite_dose", "value": 0.5},
    )
    page = sheet(run, tmp_path, str(case), "steps", "bentonite")
    steps = page.findall(".//ol/li")
    assert len(steps) == len(base.fixes["bentonite"].steps)
    assert all(step.find("label/input[@type='checkbox']") is not None for step in steps)
    assert "Weigh 30 g of dry clay" in said(page)
    for step, told in zip(base.fixes["bentonite"].steps, steps, strict=True):
        assert all(" ".join(base.cautions[name].says.split()) in said(told) for name in step.caution)


@pytest.mark.parametrize("form", ["html", "md"])
def test_the_sheet_of_a_fix_shows_what_was_done(run, tmp_path: Path, base: RuleBase, form: str) -> None:
    """A step that was done is ticked, with what went in and the remark above; the others are still open."""
    begun = {
        "did": "done",
        "about": "bentonite",
        "data": {"step": 2, "amounts": {"clay": 25}, "note": HOSTILE},
    }
    page = sheet(run, tmp_path, str(with_events(tmp_path, begun)), "steps", "bentonite", form=form)
    assert "begun, done on 2026-03-17; 1 of" in said(page)
    assert "25 g" in said(page) and " ".join(HOSTILE.split()) in said(page)
    boxes = [box.get("checked") is not None for box in page.findall(".//ol//input")]
    if form == "md":
        boxes = [said(item).startswith("[x]") for item in page.findall(".//ol/li")]
    assert boxes == [number == 2 for number in range(1, len(base.fixes["bentonite"].steps) + 1)]


def test_no_sheet_of_what_must_not_be_done(run, tmp_path: Path) -> None:
    """A forbidden fix and a wrong way are refused with the reason, a locked one with the test that opens it."""
    case = shipped_folder("cases") / "runaway" / "sweet_cider_bursts_on_the_shelf.yaml"
    judged = json.loads(run("judge", str(case), "--json").stdout)
    forbidden = judged["forbidden"][0]
    done = run("sheet", str(case), "steps", forbidden["id"])
    assert done.returncode == 1 and forbidden["reasons"][0]["says"][:40] in done.stderr and not done.stdout
    locked_case = tmp_path / "case.yaml"
    text = (shipped_folder("cases") / "haze" / "demonstration.yaml").read_text(encoding="utf-8")
    locked_case.write_text(text.replace("  heat_test_eye: much_hazier\n", ""), encoding="utf-8")
    locked = [
        fix for fix in json.loads(run("judge", str(locked_case), "--json").stdout)["fixes"] if fix["locked"]
    ]
    done = run("sheet", str(locked_case), "steps", locked[0]["id"])
    assert done.returncode == 3 and done.stderr.startswith("Locked: ") and not done.stdout


# ---------------------------------------------------------------- the command


def test_a_kept_case_is_found_by_a_part_of_its_name(run, home: Path) -> None:
    """A person names the case as in `continue`, and the answers carry their day."""
    run(lines=["white", "stop"])
    done = run("report", "haze_")
    assert done.returncode == 0, done.stderr
    assert re.search(r"\| White or golden \| \d{4}-\d\d-\d\d \|", done.stdout)


def test_a_name_or_an_ending_that_will_not_do_is_said(run, home: Path) -> None:
    """A slip is told with its mend, and nothing is written."""
    case = str(shipped_folder("cases") / "haze" / "demonstration.yaml")
    done = run("report", "no_such_case")
    assert done.returncode == 1 and "There are no cases in" in done.stderr
    done = run("report", case, "--to", str(home / "case.doc"))
    assert done.returncode == 2 and "Give the file one of these endings" in done.stderr
    assert not (home / "case.doc").exists()
    done = run("sheet", case, "trial", "moonlight")
    assert done.returncode == 2 and "bentonite" in done.stderr


def test_a_wrong_way_gets_no_sheet(run, base: RuleBase) -> None:
    """What is never done is refused with its reason."""
    case = str(shipped_folder("cases") / "haze" / "demonstration.yaml")
    never_done = next(iter(base.never_done))
    done = run("sheet", case, "steps", never_done)
    assert done.returncode == 1 and base.never_done[never_done].because[:40] in done.stderr
