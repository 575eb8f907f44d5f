"""Slips of the hand in the shipped rules: the line to look at is named, and the mend that is told mends it.

The mend is carried out to the letter where it says what to write. Where it needs a mentor's knowledge, only the line
that was named is put back as it was. Either way the whole rule base must load afterwards.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from pathlib import Path

import pytest
from diagnose.knowledge.load import Located, read_items, rule_files
from diagnose.knowledge.own import RuleFolders
from diagnose.knowledge.problems import Problem
from diagnose.knowledge.read import problems_between
from diagnose.knowledge.yaml_reader import read_text
from rule_folders import assert_well_said
from slips import ASKED, CAUSE, FIX, SLIPS, STATES, Slip

RULES = Path(__file__).parents[2] / "rules"

Pages = Mapping[Path, Sequence[Located]]


@pytest.fixture(scope="module")
def shipped() -> Pages:
    """The items of every shipped file."""
    read = {file: read_items([file]) for file in rule_files([RULES])}
    assert not [problem for _, problems in read.values() for problem in problems]
    return {file: items for file, (items, _) in read.items()}


def problems_with(shipped: Pages, page: str, text: str | bytes, at: Path) -> list[Problem]:
    """What the checks say when one page of the shipped rules has another text, or there is one page more."""
    file = at / "page.yaml"
    file.write_bytes(text if isinstance(text, bytes) else text.encode())
    items, problems = read_items([file])
    kept = [item for other, inside in shipped.items() if other != RULES / page for item in inside]
    return problems or problems_between([*kept, *items], RuleFolders((RULES, at)))


def written(page: str) -> str:
    """A shipped page as it stands."""
    return (RULES / page).read_text(encoding="utf-8")


# ---------------------------------------------------------------- carrying out a mend


def _span(text: str, put: str, told: Problem) -> str:
    """A line with the underlined word replaced."""
    start = told.place.column - 1
    return text[:start] + put + text[start + told.place.width :]


def _quoted_whole(line: str, *_: object) -> str:
    found = re.fullmatch(r"( *(?:- )?\w+: )(.*)", line)
    assert found
    return f'{found[1]}"{found[2]}"'


MENDS: tuple[tuple[str, Callable[[str, re.Match[str], Problem], str]], ...] = (
    (r"Did you mean '([^']+)'", lambda line, found, told: _span(line, _prefixed(line, found[1], told), told)),
    (
        r"(?:not a comma|before the point|in front out|unit out): (\S+)\.$",
        lambda line, found, told: _span(line, found[1], told),
    ),
    (r"Write it with a key: (.*)\.$", lambda line, found, told: _span(line, found[1], told)),
    (r"Put commas between names: (.*?)\. ", lambda line, found, told: _span(line, found[1], told)),
    (
        r"Put a space after the colon: `(\w+): `",
        lambda line, found, told: re.sub(rf"\b{found[1]}:(?=\S)", f"{found[1]}: ", line),
    ),
    (
        r"Put a space after the colon: `(\w+): (\w+)`",
        lambda line, found, told: line.replace(f"{found[1]}:{found[2]}", f"{found[1]}: {found[2]}"),
    ),
    (
        r"put a colon after it: `(\w+): `",
        lambda line, found, told: re.sub(rf"\b{found[1]}\b(?: =)? ?", f"{found[1]}: ", line, count=1),
    ),
    (
        r"Put a colon and a space after '(\w+)'",
        lambda line, found, told: line.replace(found[1], f"{found[1]}:", 1),
    ),
    (r"Put a space after the dash", lambda line, found, told: line.replace("-", "- ", 1)),
    (r"plain `-` of the keyboard", lambda line, found, told: _span(line, "-", told)),
    (r"Indent it by (\d+) space", lambda line, found, told: " " * int(found[1]) + line.lstrip(" ")),
    (r"Begin it at the left edge", lambda line, found, told: line.lstrip(" ")),
    (r"with the space bar", lambda line, found, told: line.replace("\u00a0", " ")),
    (r"Use plain ' or \"|use plain ' or \"", lambda line, found, told: re.sub("[“”‘’]", '"', line)),
    (r"Close it with the same mark", lambda line, found, told: line + line[told.place.column - 1]),
    (
        r"Close it with ] or }",
        lambda line, found, told: line + {"[": "]", "{": "}"}[line[told.place.column - 1]],
    ),
    (r"Write '(.)'", lambda line, found, told: _span(line, found[1], told)),
    (r"Put a comma between entries", lambda line, found, told: _comma(line, told)),
    (r"Take it out|Take the `---` out", lambda line, found, told: _span(line, "", told)),
    (r"Put quotes around the whole (?:sentence|value)", _quoted_whole),
    (r"Leave the tag out", lambda line, found, told: _span(line, "", told)),
    (r"Write the lower end first", lambda line, found, told: re.sub(r"\[(.*), (.*)\]", r"[\2, \1]", line)),
)
"""What a message may tell to do, and the doing of it on the line that was named."""


def _comma(line: str, told: Problem) -> str:
    at = told.place.column - 1
    before = line[:at].rstrip()
    # The parser stumbles at the colon of the second key; the comma belongs before that key.
    at = before.rindex(" ") if line[at] == ":" else len(before)
    return f"{line[:at]},{line[at:]}"


def _prefixed(line: str, word: str, told: Problem) -> str:
    """The word meant, with what stands before its dot and the braces around it kept."""
    old = line[told.place.column - 1 : told.place.column - 1 + told.place.width]
    if "{" in old:
        (wrong,) = re.findall(r"'([^']+)' is not", told.what)
        return old.replace(f"{{{wrong}}}", f"{{{word}}}")
    return old[: old.index(".") + 1] + word if re.match(r"[a-z]+\.", old) else word


def mended(text: str, sound: str, told: Problem) -> str:
    """The text with the mend carried out; where it needs knowledge, with the named line as in the sound page."""
    lines, before = text.split("\n"), sound.split("\n")
    at = told.place.line - 1
    for pattern, do in MENDS:
        if found := re.search(pattern, told.mend):
            return "\n".join([*lines[:at], do(lines[at], found, told), *lines[at + 1 :]])
    more = len(lines) - len(before)
    if more > 0:
        return "\n".join(lines[:at] + lines[at + 1 :])
    if more < 0:  # something was taken out of the item that begins here
        gone = next(i for i, line in enumerate(before) if i >= len(lines) or line != lines[i])
        return "\n".join([*lines[:gone], before[gone], *lines[gone:]])
    return "\n".join([*lines[:at], before[at], *lines[at + 1 :]])


# ---------------------------------------------------------------- the slips


def line_of(slip: Slip, sound: str, text: str) -> int:
    """The number of the line that must be named."""
    lines = text.split("\n")
    if slip.at:
        (line,) = (number for number, line in enumerate(lines, 1) if line.strip().startswith(slip.at))
        return line
    return next(
        number
        for number, pair in enumerate(zip(sound.split("\n"), lines, strict=False), 1)
        if pair[0] != pair[1]
    )


def test_there_are_more_than_forty_different_slips() -> None:
    """The list is long enough to say something, and none stands in it twice."""
    assert len({slip.name for slip in SLIPS}) == len(SLIPS)
    assert len({(slip.page, slip.find, slip.put) for slip in SLIPS}) == len(SLIPS) >= 100


@pytest.mark.parametrize("slip", SLIPS, ids=lambda slip: slip.name)
def test_the_line_is_named_and_the_mend_mends(slip: Slip, shipped: Pages, tmp_path: Path) -> None:
    """Every message is about the line with the slip, says what is wrong, and leads back to rules that load."""
    sound = written(slip.page)
    assert sound.count(slip.find) == 1
    text = sound.replace(slip.find, slip.put)
    line = line_of(slip, sound, text)
    told = problems_with(shipped, slip.page, text, tmp_path)
    assert told
    for problem in told:
        assert_well_said(problem)
        assert (problem.place.file, problem.place.line) == (str(tmp_path / "page.yaml"), line), problem
    assert any(slip.says in problem.what + problem.mend for problem in told), told
    for _ in range(2):  # a slip of two words needs two mends
        text = mended(text, sound, told[0])
        told = problems_with(shipped, slip.page, text, tmp_path)
        if not told:
            break
    assert told == []


# ---------------------------------------------------------------- slips of whole files and between pages


@pytest.mark.parametrize(
    ("page", "change"),
    [
        (CAUSE, lambda text: "\ufeff" + text),
        (CAUSE, lambda text: text.replace("\n", "\r\n")),
        (CAUSE, lambda text: re.sub(r"(?m)$", "   ", text)),
        (CAUSE, lambda text: text.rstrip("\n")),
        (CAUSE, lambda text: text + "\n\n\n"),
        (CAUSE, lambda text: "---\n" + text),
        (CAUSE, lambda text: text.replace("because: Warmth", f"because: {'Very warm. ' * 300}Warmth")),
        (ASKED, lambda text: text.replace("\n- observe", "\n\n\n- observe")),
        (FIX, lambda text: text.replace("can_be_undone: no", "can_be_undone: 'no'")),
    ],
    ids=[
        "byte order mark",
        "Windows line ends",
        "trailing spaces",
        "no last line end",
        "blank lines at the end",
        "a mark at the head",
        "a long line",
        "blank lines between",
        "quotes around no",
    ],
)
def test_what_does_no_harm_is_not_complained_of(
    page: str, change: Callable[[str], str], shipped: Pages, tmp_path: Path
) -> None:
    """What an editor does to a file without being asked is read as it was meant."""
    text = change(written(page))
    assert text != written(page)
    assert problems_with(shipped, page, text, tmp_path) == []


@pytest.mark.parametrize("page", [CAUSE, STATES, FIX])
def test_windows_line_ends_move_no_message(page: str, shipped: Pages, tmp_path: Path) -> None:
    """The line that is named is the one an editor shows, whatever its line ends are."""
    slip = next(slip for slip in SLIPS if slip.page == page)
    text = written(page).replace(slip.find, slip.put)
    plain = problems_with(shipped, page, text, tmp_path)
    assert problems_with(shipped, page, "\ufeff" + text.replace("\n", "\r\n"), tmp_path) == plain != []


def test_a_file_saved_as_latin_1_names_the_first_letter(shipped: Pages, tmp_path: Path) -> None:
    """The first letter that was saved in another way is pointed at, and saving as UTF-8 mends it."""
    raw = written(CAUSE).replace("µ", "u").encode("latin-1")
    (told,) = problems_with(shipped, CAUSE, raw, tmp_path)
    line = next(number for number, line in enumerate(raw.split(b"\n"), 1) if not line.isascii())
    assert told.place.line == line
    assert "Save the file as UTF-8" in told.mend
    assert problems_with(shipped, CAUSE, raw.decode("latin-1"), tmp_path) == []


def test_a_slip_in_a_very_long_line_is_shown_in_a_window(shipped: Pages, tmp_path: Path) -> None:
    """However long the line, what is shown of it holds the slip."""
    text = written(CAUSE).replace("[wineskills_bottling, logic]", f"[{'logic, ' * 400}wineskils_bottling]")
    (told,) = problems_with(shipped, CAUSE, text, tmp_path)
    shown = str(told).split("\n")[1]
    assert "wineskils_bottling" in shown
    assert len(shown) < 200


def test_a_copied_page_names_both_places(shipped: Pages, tmp_path: Path) -> None:
    """A page copied as a beginning for a new one, and not renamed, is told with the place of the first."""
    (told,) = problems_with(shipped, "", written(CAUSE), tmp_path)
    assert (told.place.file, told.place.line) == (str(tmp_path / "page.yaml"), 1)
    assert f"{RULES / CAUSE}:1" in told.what
    renamed = written(CAUSE).replace("cause: protein_haze\n", "cause: protein_haze_of_mine\n")
    assert problems_with(shipped, "", renamed, tmp_path) == []


def test_a_fix_taken_out_is_missed_wherever_it_is_named(shipped: Pages, tmp_path: Path) -> None:
    """Each page that leans on it is named with its line, and nothing else is."""
    told = problems_with(shipped, FIX, "# nothing here any more\n", tmp_path)
    assert len(told) > 5
    for problem in told:
        assert "bentonite" in problem.text
        assert "bentonite" in problem.what
        assert "not a" in problem.what
    files = {Path(problem.place.file) for problem in told}
    naming = {file for file in shipped if re.search(r"\bbentonite\b", file.read_text(encoding="utf-8"))}
    assert files <= naming


@pytest.mark.parametrize("words", ["– still cloudy", "-cloudy", "lot #2", "3:1", "-1"])
def test_only_rules_are_searched_for_slips_that_are_yaml(words: str) -> None:
    """A remark in a case file may begin with a dash; it was typed at a prompt and not into a file."""
    kept = read_text(f"note: {words}\n", "case.yaml").value["note"]
    assert str(kept) == words.partition(" #")[0]
