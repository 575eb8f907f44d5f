"""Slips of the hand in the rules that are shipped: which page, what was written, and where a person must look."""

from __future__ import annotations

from dataclasses import dataclass

CAUSE = "haze/causes/protein_haze.yaml"
FIX = "haze/fixes/bentonite.yaml"
TEST = "haze/tests/heat_test.yaml"
ASKED = "haze/observations/meter.yaml"
STATES = "haze/states.yaml"
DERIVED = "haze/derived.yaml"


@dataclass(frozen=True)
class Slip:
    """One slip: `find`, which stands once in the page, became `put`; `says` stands in the message.

    The line that must be named is the first that changed. Where something was taken out there is no such line; then it
    is the one that begins with `at`, the head of what has become too short.
    """

    name: str
    page: str
    find: str
    put: str
    says: str
    at: str = ""


SLIPS = (
    # ---- signs of the form
    Slip("colon missing", CAUSE, "\nname: Protein", "\nname Protein", "colon"),
    Slip(
        "colon missing after a bracket",
        CAUSE,
        "    because: Warmth makes",
        "    because Warmth makes",
        "colon",
    ),
    Slip("colon missing before a list", CAUSE, "\nmimics:\n", "\nmimics\n", "colon"),
    Slip("colon missing before a folded text", CAUSE, "\nsummary: >", "\nsummary >", "colon"),
    Slip("colon missing in a list", STATES, "  name: Sugar left", "  name Sugar left", "colon"),
    Slip("colon missing at the end", CAUSE, "\nreview: {status", "\nreview {status", "colon"),
    Slip("no space after the colon", CAUSE, "\ntopic: haze", "\ntopic:haze", "space"),
    Slip(
        "no space after the colon, last key of a row",
        CAUSE,
        "    source: judgement\n  - observe: haze_began",
        "    source:judgement\n  - observe: haze_began",
        "space",
    ),
    Slip(
        "no space after the colon in brackets",
        CAUSE,
        "white: slightly_for, rose: slightly_for, red: against}",
        "white: slightly_for, rose: slightly_for, red:against}",
        "space",
    ),
    Slip("no space after the dash", CAUSE, "  - fix: bentonite", "  -fix: bentonite", "dash"),
    Slip("no space after the dash of a text", CAUSE, "  - Keep a doubtful", "  -Keep a doubtful", "dash"),
    Slip(
        "indent one too many",
        CAUSE,
        "\nhow_common: common",
        "\n how_common: common",
        "Begin it at the left edge",
    ),
    Slip(
        "indent one too many after a plain line",
        CAUSE,
        "\ntopic: haze",
        "\n topic: haze",
        "Begin it at the left edge",
    ),
    Slip(
        "indent one too few in a row",
        CAUSE,
        "    because: Warmth makes",
        "   because: Warmth makes",
        "Indent it by 4 spaces",
    ),
    Slip(
        "indent one too many in a row",
        CAUSE,
        "    because: Warmth makes",
        "     because: Warmth makes",
        "Indent it by 4 spaces",
    ),
    Slip(
        "dash one too many",
        CAUSE,
        "  - observe: light_beam",
        "   - observe: light_beam",
        "Indent it by 2 spaces",
    ),
    Slip(
        "dash one too few",
        CAUSE,
        "  - observe: light_beam",
        " - observe: light_beam",
        "Indent it by 2 spaces",
    ),
    Slip(
        "dash at the edge", CAUSE, "  - observe: light_beam", "- observe: light_beam", "Indent it by 2 spaces"
    ),
    Slip(
        "item of a list indented",
        ASKED,
        "\n- observe: ph\n",
        "\n - observe: ph\n",
        "Begin it at the left edge",
    ),
    Slip("key of an item at the edge", ASKED, "\n  short: pH\n", "\nshort: pH\n", "Indent it by 2 spaces"),
    Slip("tab as indent", CAUSE, "    because: Warmth makes", "\tbecause: Warmth makes", "tab"),
    Slip("tab after spaces", CAUSE, "    because: Warmth makes", "  \tbecause: Warmth makes", "tab"),
    Slip(
        "typographic quotes around a word",
        CAUSE,
        "\nhow_common: common",
        "\nhow_common: “common”",
        "typographic",
    ),
    Slip(
        "typographic quotes around a sentence",
        CAUSE,
        "because: Warmth makes this haze;",
        "because: “Warmth: makes this haze;",
        "typographic",
    ),
    Slip(
        "typographic quotes in brackets",
        CAUSE,
        "white: slightly_for, rose: slightly_for, red: against}",
        "white: slightly_for, rose: slightly_for, red: ‘against’}",
        "typographic",
    ),
    Slip("long dash for a list", CAUSE, "  - fix: leave_alone", "  – fix: leave_alone", "dash"),
    Slip("long dash for a text", CAUSE, "  - Keep a doubtful", "  — Keep a doubtful", "dash"),
    Slip("long dash for the first entry", CAUSE, "  - Heat-test every", "  – Heat-test every", "dash"),
    Slip("closing quote missing", CAUSE, "because: Warmth makes", 'because: "Warmth makes', "never closed"),
    Slip(
        "single closing quote missing", DERIVED, "  name: Turbidity rise", "  name: 'Turbidity rise", "quot"
    ),
    Slip(
        "bracket not closed",
        CAUSE,
        "[wineskills_chemical, awri_heat]",
        "[wineskills_chemical, awri_heat",
        "not closed",
    ),
    Slip(
        "brace not closed",
        CAUSE,
        "white: slightly_for, rose: slightly_for, red: against}",
        "white: slightly_for, rose: slightly_for, red: against",
        "not closed",
    ),
    Slip("brace not closed at the end", CAUSE, "{status: draft}", "{status: draft", "not closed"),
    Slip(
        "wrong bracket",
        CAUSE,
        "white: slightly_for, rose: slightly_for, red: against}",
        "white: slightly_for, rose: slightly_for, red: against]",
        "bracket",
    ),
    Slip(
        "bracket too many",
        CAUSE,
        "[wineskills_chemical, awri_heat]",
        "[wineskills_chemical, awri_heat]]",
        "closes nothing",
    ),
    Slip(
        "comma missing in a list",
        FIX,
        "cautions: [cannot_be_undone, clay_dust,",
        "cautions: [cannot_be_undone clay_dust,",
        "comma",
    ),
    Slip(
        "comma missing in braces",
        CAUSE,
        "rose: slightly_for, red: against}",
        "rose: slightly_for red: against}",
        "comma",
    ),
    Slip(
        "comma too many",
        CAUSE,
        "[wineskills_chemical, awri_heat]",
        "[wineskills_chemical,, awri_heat]",
        "comma",
    ),
    Slip(
        "semicolon for comma",
        CAUSE,
        "[wineskills_chemical, awri_heat]",
        "[wineskills_chemical; awri_heat]",
        "comma",
    ),
    Slip("equals sign for colon", CAUSE, "\ntopic: haze", "\ntopic = haze", "colon"),
    Slip(
        "a colon in a sentence",
        CAUSE,
        "because: Warmth makes this",
        "because: Mind: warmth makes this",
        "second colon",
    ),
    Slip(
        "a remark sign in a sentence", CAUSE, "because: Warmth makes this haze;", "because: #1 reason;", "#"
    ),
    Slip(
        "a remark sign swallows a list", FIX, "  limit: [us_water_share]", "  limit: [us #_water_share]", "#"
    ),
    Slip("non-breaking space after the colon", CAUSE, "\ntopic: haze", "\ntopic:\u00a0haze", "non-breaking"),
    Slip(
        "non-breaking space in the indent",
        CAUSE,
        "    because: Warmth makes",
        "  \u00a0 because: Warmth makes",
        "non-breaking",
    ),
    Slip(
        "non-breaking space in a word",
        CAUSE,
        "white: slightly_for, rose: slightly_for, red: against}",
        "white: slightly_for, rose: slightly_for, red: against\u00a0}",
        "non-breaking",
    ),
    Slip(
        "non-breaking space after a dash",
        CAUSE,
        "  - fix: leave_alone",
        "  -\u00a0fix: leave_alone",
        "non-breaking",
    ),
    Slip("value begins with a percent sign", DERIVED, "  name: Turbidity rise", "  name: %rise", "%"),
    Slip(
        "value begins with a star", DERIVED, "  name: Turbidity rise in", "  name: *Turbidity rise* in", "*"
    ),
    Slip("anchor", CAUSE, "\ntopic: haze", "\ntopic: &t haze", "anchors"),
    Slip("merge", CAUSE, "\nreview: {status: draft}", "\n<<: *base", "anchors"),
    Slip("tag", CAUSE, "\ntopic: haze", "\ntopic: !str haze", "tags"),
    Slip(
        "a second document in the middle",
        ASKED,
        "\n- observe: ph\n",
        "\n---\n- observe: ph\n",
        "second document",
    ),
    Slip("two pages run together", CAUSE, "\nprevention:\n", "\ncause: another_haze\nprevention:\n", "twice"),
    Slip(
        "a page of another form run on",
        CAUSE,
        "review: {status: draft}\n",
        "review: {status: draft}\n- caution: one\n",
        "each begins with `- `",
    ),
    # ---- keys
    Slip("key twice", CAUSE, "\nhow_common: common", "\ntopic: haze\nhow_common: common", "twice"),
    Slip(
        "key twice in braces",
        CAUSE,
        "white: slightly_for, rose: slightly_for, red: against}",
        "white: slightly_for, rose: slightly_for, white: against}",
        "twice",
    ),
    Slip("typo in a key", CAUSE, "\nhow_common: common", "\nhow_comon: common", "not a key"),
    Slip(
        "typo in a key of a row", CAUSE, "    because: Warmth makes", "    becuase: Warmth makes", "not a key"
    ),
    Slip("capital in a key", CAUSE, "\ntopic: haze", "\nTopic: haze", "not a key"),
    Slip("hyphen in a key", CAUSE, "\nhow_common: common", "\nhow-common: common", "not a key"),
    Slip("unknown key", CAUSE, "\nhow_common: common", "\ncolour: white\nhow_common: common", "not a key"),
    Slip(
        "key missing", CAUSE, "\nhow_common: common", "", "'how_common' is missing", at="cause: protein_haze"
    ),
    Slip(
        "key of a row missing",
        CAUSE,
        "    because: Warmth makes this haze; it does not undo it.\n",
        "",
        "'because' is missing",
        at="- observe: warm_cold",
    ),
    Slip(
        "a cause without its topic",
        CAUSE,
        "\ntopic: haze",
        "",
        "'topic' is missing",
        at="cause: protein_haze",
    ),
    Slip("kind misspelled", CAUSE, "cause: protein_haze\n", "casue: protein_haze\n", "not a kind"),
    Slip("kind misspelled in a list", ASKED, "\n- observe: ph\n", "\n- obsrve: ph\n", "not a kind"),
    Slip(
        "kind not first",
        TEST,
        "- test: heat_test\n  name: Heat test for protein",
        "- name: Heat test for protein\n  test: heat_test",
        "not a kind",
    ),
    # ---- words
    Slip("typo in an id", CAUSE, "  - fix: leave_alone", "  - fix: leave_alon", "not a known fix"),
    Slip("capitals in an id", CAUSE, "  - fix: leave_alone", "  - fix: Leave_alone", "not a name"),
    Slip("space in an id", CAUSE, "  - fix: leave_alone", "  - fix: leave alone", "not a name"),
    Slip("hyphen in an id", CAUSE, "  - fix: leave_alone", "  - fix: leave-alone", "not a name"),
    Slip(
        "typo in an answer",
        CAUSE,
        "white: slightly_for, rose: slightly_for, red: against}",
        "white: slightly_for, rose: slightly_for, redd: against}",
        "not an answer",
    ),
    Slip("typo in an answer of a condition", FIX, "{gas_rising: yes}", "{gas_rising: yess}", "not an answer"),
    Slip("capital in an answer", FIX, "{gas_rising: yes}", "{gas_rising: Yes}", "not a word"),
    Slip("true for yes", FIX, "{gas_rising: yes}", "{gas_rising: true}", "true"),
    Slip("true for a word", FIX, "can_be_undone: no", "can_be_undone: false", "false"),
    Slip("on for yes", FIX, "{gas_rising: yes}", "{gas_rising: on}", "not an answer"),
    Slip(
        "typo in a strength",
        CAUSE,
        "white: slightly_for, rose: slightly_for, red: against}",
        "white: slightly_for, rose: slightly_for, red: agianst}",
        "not a strength",
    ),
    Slip(
        "strength of two words",
        CAUSE,
        "stays_clear: against}",
        "stays_clear: strongly against}",
        "not a word",
    ),
    Slip(
        "typo in a source",
        CAUSE,
        "source: encyclopaedia_casse",
        "source: encyclopedia_casse",
        "not a known source",
    ),
    Slip(
        "typo in a source of a list",
        CAUSE,
        "[wineskills_bottling, logic]",
        "[wineskills_botling, logic]",
        "not a known source",
    ),
    Slip("typo in a fact of a condition", FIX, "{gas_rising: yes}", "{gas_risng: yes}", "not an observation"),
    Slip(
        "typo in a page named in a condition",
        FIX,
        "{cause.iron_haze: confirmed}",
        "{cause.iron_haz: confirmed}",
        "not a known cause",
    ),
    Slip(
        "typo in an operator",
        STATES,
        "{residual_sugar: {at_least: 2}}",
        "{residual_sugar: {atleast: 2}}",
        "not a key",
    ),
    Slip(
        "sign for an operator",
        STATES,
        "{residual_sugar: {at_least: 2}}",
        '{residual_sugar: ">= 2"}',
        "not a word",
    ),
    Slip(
        "typo in a joining word",
        FIX,
        "      any: [{unknown: bentonite_trial}",
        "      anyy: [{unknown: bentonite_trial}",
        "list",
    ),
    Slip("typo in a caution", FIX, "caution: hot_liquid", "caution: hot_liqiud", "not a known caution"),
    Slip("typo in a topic", CAUSE, "\ntopic: haze", "\ntopic: hase", "not a known topic"),
    Slip(
        "a sign and no space in a sentence",
        CAUSE,
        "because: Warmth makes this",
        "because: Warmth #1 makes this",
        "#",
    ),
    Slip(
        "typo in a calculator",
        FIX,
        "calculator: bentonite_grams",
        "calculator: bentonite_gram",
        "not a calculator",
    ),
    Slip(
        "typo in what a calculator takes",
        FIX,
        "with: {slurry_g_per_l: bentonite_slurry}",
        "with: {slury_g_per_l: bentonite_slurry}",
        "slury_g_per_l",
    ),
    Slip(
        "a calculator without an input",
        FIX,
        "{dose_g_per_l: bentonite_dose, volume_l: vessel_volume}}",
        "{volume_l: vessel_volume}}",
        "dose_g_per_l",
    ),
    Slip(
        "a quantity of the wrong dimension",
        FIX,
        "    says: dry clay for this vessel\n    quantity: mass",
        "    says: dry clay for this vessel\n    quantity: volume",
        "L",
    ),
    Slip("an input of the wrong dimension", DERIVED, "unheated_ntu: control_ntu}", "unheated_ntu: ph}", "pH"),
    Slip(
        "typo in a placeholder", FIX, "  - do: Weigh {clay} of", "  - do: Weigh {caly} of", "not a quantity"
    ),
    Slip(
        "a date where a word belongs", CAUSE, "\nhow_common: common", "\nhow_common: 2024-05-01", "not a word"
    ),
    Slip("a date where a name belongs", CAUSE, "\ntopic: haze", "\ntopic: 2024-05-01", "not a name"),
    # ---- numbers and shapes
    Slip(
        "a unit beside a number",
        ASKED,
        "plausible: [0.98, 1.15]",
        "plausible: [0.98 SG, 1.15 SG]",
        "not a number",
    ),
    Slip(
        "a unit in a condition",
        STATES,
        "{residual_sugar: {at_least: 2}}",
        "{residual_sugar: {at_least: 2 g/L}}",
        "not a number",
    ),
    Slip("a number where a word belongs", CAUSE, "\nhow_common: common", "\nhow_common: 3", "number"),
    Slip("a number as an answer", FIX, "{gas_rising: yes}", "{gas_rising: 1}", "keys"),
    Slip(
        "decimal comma",
        STATES,
        "{residual_sugar: {at_least: 2}}",
        "{residual_sugar: {at_least: 2,5}}",
        "comma",
    ),
    Slip("decimal comma alone", FIX, "  clear_ntu: 1\n", "  clear_ntu: 1,5\n", "not a number"),
    Slip("decimal commas in a range", FIX, "  usual: [0.1, 1]", "  usual: [0,1, 1]", "entries"),
    Slip("range falls", ASKED, "plausible: [0.98, 1.15]", "plausible: [1.15, 0.98]", "falls"),
    Slip("bands fall", ASKED, "high: {starts: 3.5, says", "high: {starts: 3.1, says", "rise"),
    Slip("point missing before a number", FIX, "  finest: 0.05", "  finest: .05", "not a number"),
    Slip("empty value", CAUSE, "\nhow_common: common", "\nhow_common:", "nothing here"),
    Slip(
        "empty list",
        CAUSE,
        "    told_apart_by: [wine_colour, warm_cold]",
        "    told_apart_by:",
        "nothing here",
    ),
    Slip(
        "empty sentence",
        CAUSE,
        "because: Warmth makes this haze; it does not undo it.",
        'because: ""',
        "empty",
    ),
    Slip("a list where one belongs", CAUSE, "\ntopic: haze", "\ntopic: [haze, so2]", "list"),
    Slip(
        "one where a list belongs", FIX, "  ladder: [0.1, 0.2, 0.4, 0.6, 0.8, 1.0]", "  ladder: 0.1", "list"
    ),
    Slip("keys where a list belongs", FIX, "  usual: [0.1, 1]", "  usual: {low: 0.1, high: 1}", "list"),
    Slip("a word where keys belong", CAUSE, "\nreview: {status: draft}", "\nreview: draft", "keys"),
    Slip("three ends of a range", ASKED, "plausible: [0.98, 1.15]", "plausible: [0.98, 1, 1.15]", "entries"),
)
