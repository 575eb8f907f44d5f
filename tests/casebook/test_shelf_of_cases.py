from __future__ import annotations

import json
import os
import unicodedata
from datetime import datetime
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest
from diagnose.casebook.shelf import Card, bring_back, cards, find, put_away
from diagnose.casebook.store import ARCHIVED, CannotKeep, new_case, open_case
from hypothesis import given, settings
from hypothesis import strategies as st
from kept_cases import BASE, HEAD, WINE, begun, keep, kept


def named(folder: Path, index: Path | None = None) -> dict[str, Card]:
    """The cards of a folder by name."""
    return {card.name: card for card in cards(folder, index)}


# ---------------------------------------------------------------- what a card says


def test_a_card_says_how_a_case_stands(tmp_path: Path) -> None:
    """Title, wine, subjects, first day, first cause as last shown; then how it was closed, and with what lesson."""
    path = new_case(tmp_path, "Cloudy plum", ("haze",), "metric", BASE, "Plum 2026")
    with open_case(path, BASE) as record:
        keep(record, *WINE)
        record.record("shown", data={"causes": {"haze": "protein"}})
    card = named(tmp_path)[path.stem]
    assert (card.title, card.wine, card.topics) == ("Cloudy plum", "Plum 2026", ("haze",))
    assert card.causes == {"haze": "protein"} and card.ended is None and card.problem is None
    assert card.begun == f"{datetime.now():%Y-%m-%d}"
    with open_case(path, BASE) as record:
        record.record("closed", value="solved", data={"causes": {"haze": "yeast"}, "lesson": "Wait."})
    card = named(tmp_path)[path.stem]
    assert (card.ended, card.lesson, card.causes) == ("solved", "Wait.", {"haze": "yeast"})
    with open_case(path, BASE) as record:
        record.record("opened_again")
    card = named(tmp_path)[path.stem]
    assert card.ended is None and card.lesson is None and card.causes == {"haze": "protein"}


def test_a_case_written_by_hand_has_the_same_card_as_one_of_ours(tmp_path: Path) -> None:
    """Whether every line is as the program writes it or as a person does, the card says the same."""
    ours = tmp_path / "ours.yaml"
    ours.write_bytes(
        HEAD.replace(b"case_format: 1", b"case_format: 2")
        + b'- {"at": "2026-03-14", "did": "answered", "about": "colour", "value": "white"}\n'
    )
    theirs = tmp_path / "theirs.yaml"
    theirs.write_bytes(
        b"# mine\r\ncase: mine\r\ntitle: Mine\r\ntopic: haze\r\nevents:\r\n"
        b"- at: 2026-03-14\r\n  did: answered\r\n  about: colour\r\n  value: white\r\n"
    )
    seen = named(tmp_path)
    one, other = (seen[name].model_dump(exclude={"name", "touched"}) for name in ("ours", "theirs"))
    assert one == other and one["problem"] is None and "white" in one["words"]


@pytest.mark.parametrize(
    ("raw", "says"),
    [
        (b"title: [unfinished", "line 1"),
        (HEAD + b'- {"at": "2026-03-14", "did": "drunk"}\n', "line 6"),
        (HEAD.replace(b"Mine", b"Ros\xe9"), "line 2: byte"),
        (HEAD.replace(b'title: "Mine"', b'title: "Mine"\ntitle: "Yours"'), "line 3: "),
        (b"x" * 5_000_000, "larger than"),
        (b"[" * 100_000, ""),
        (HEAD + b'- {"at": ' + b"[" * 100_000 + b"\n", ""),
    ],
    ids=["not yaml", "no such event", "latin-1", "two titles", "too large", "deep", "deep event"],
)
def test_a_file_that_cannot_be_read_is_listed_with_the_reason(tmp_path: Path, raw: bytes, says: str) -> None:
    """One damaged file does not hide the others, and says what is wrong with it."""
    sound = begun(tmp_path)
    (tmp_path / "damaged.yaml").write_bytes(raw)
    seen = named(tmp_path)
    assert seen[sound.stem].problem is None
    assert seen["damaged"].problem and says in seen["damaged"].problem


def test_a_link_out_of_the_folder_is_not_followed(tmp_path: Path) -> None:
    """What lies elsewhere is not shown as a case of this folder; a link that leads nowhere breaks no list."""
    folder = tmp_path / "cases"
    elsewhere = begun(tmp_path / "elsewhere")
    begun(folder)
    (folder / "out.yaml").symlink_to(elsewhere)
    (folder / "nowhere.yaml").symlink_to(folder / "gone.yaml")
    seen = named(folder)
    assert "leads out of" in str(seen["out"].problem) and seen["nowhere"].problem
    with pytest.raises(CannotKeep, match="leads out of"):
        put_away(folder, "out")
    assert elsewhere.exists() and (folder / "out.yaml").is_symlink()


# ---------------------------------------------------------------- the index


def test_the_index_heals_itself(tmp_path: Path) -> None:
    """Damaged, of another make or deleted: the list is the same, and changed files are read anew."""
    folder, index = tmp_path / "cases", tmp_path / "cache"
    path = kept(folder, *WINE)
    first = cards(folder, index)
    (file,) = index.glob("cases_*.json")
    whole = file.read_bytes()
    some = json.loads(whole)
    some[path.name]["card"]["touched"] = "never"
    for damage in (b"", b"{", b"[]", whole[:-20], json.dumps(some).encode(), b"\xff"):
        file.write_bytes(damage)
        assert cards(folder, index) == first
        assert file.read_bytes() == whole, "it is written anew"
    file.unlink()
    assert cards(folder, index) == first
    with open_case(path, BASE) as record:
        record.record("noted", value="smells of pears")
    assert find(cards(folder, index), ["PEARS"]) == cards(folder)
    path.unlink()
    assert cards(folder, index) == []


def test_an_unchanged_file_is_not_read_again(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """That is what keeps a list of thousands fast."""
    folder, index = tmp_path / "cases", tmp_path / "cache"
    kept(folder, *WINE)
    first = cards(folder, index)

    def refuse(path: Path) -> bytes:
        assert path.suffix == ".json", f"{path} was read again"
        with path.open("rb") as file:
            return file.read()

    monkeypatch.setattr(Path, "read_bytes", refuse)
    assert cards(folder, index) == first


# ---------------------------------------------------------------- finding

TITLES = st.text(st.characters(categories=("L", "N"), max_codepoint=0x24F), min_size=1, max_size=8)


@settings(max_examples=60)
@given(st.lists(st.lists(TITLES, min_size=1, max_size=3), min_size=1, max_size=5), st.data())
def test_a_case_is_found_by_any_of_its_words_however_written(
    titles: list[list[str]], data: st.DataObject
) -> None:
    """Without accents, in capitals, in any order: a case is found by its words, and all words must be there."""
    with TemporaryDirectory() as place:
        folder = Path(place)
        for title in titles:
            new_case(folder, " ".join(title), ("haze",), "metric", BASE)
        all_cards = cards(folder)
        wanted = data.draw(st.sampled_from(titles))
        typed = data.draw(st.permutations(wanted))
        plain = [
            "".join(c for c in unicodedata.normalize("NFKD", word) if not unicodedata.combining(c)).lower()
            for word in typed
        ]
        for words in (typed, plain):
            found = find(all_cards, words)
            assert " ".join(wanted) in [card.title for card in found]
        assert find(all_cards, [*typed, "nosuchwordanywhere"]) == []
        assert find(all_cards) == all_cards, "nothing asked for hides nothing"


def test_states_and_wines_divide_the_shelf(tmp_path: Path) -> None:
    """Each readable case is open, closed or archived, and only one of them."""
    paths = [new_case(tmp_path, "A", ("haze",), "metric", BASE, wine) for wine in ("Rosé", "Rose", "Red")]
    with open_case(paths[0], BASE) as record:
        record.record("closed", value="given_up")
    put_away(tmp_path, paths[1].stem)
    all_cards = cards(tmp_path)
    states = {
        state: {card.name for card in find(all_cards, state=state)}
        for state in ("open", "closed", "archived")
    }
    assert states == {"open": {paths[2].stem}, "closed": {paths[0].stem}, "archived": {paths[1].stem}}
    assert [card.name for card in find(all_cards, wine="ROSE")] == [paths[0].stem]


# ---------------------------------------------------------------- nothing is lost

MOVES = st.lists(
    st.tuples(st.sampled_from(["new", "away", "back", "answer"]), st.integers(0, 4)), max_size=14
)


@settings(max_examples=60)
@given(MOVES)
def test_no_moving_about_loses_or_overwrites_a_case(moves: list[tuple[str, int]]) -> None:
    """New cases, archiving, bringing back, answering, in any order: every case begun is there once, byte for byte."""
    with TemporaryDirectory() as place:
        folder, held = Path(place), {}
        for move, number in moves:
            if move == "new":
                path = begun(folder)
                assert path.stem not in held, "no name is given twice"
                held[path.stem] = path.read_bytes()
                continue
            if not held:
                continue
            name = sorted(held)[number % len(held)]
            try:
                if move == "away":
                    put_away(folder, name)
                elif move == "back":
                    bring_back(folder, name)
                else:
                    with open_case(folder / f"{name}.yaml", BASE) as record:
                        record.record("noted", value=f"{number}")
                    held[name] = (folder / f"{name}.yaml").read_bytes()
            except CannotKeep:
                pass
            files = [*folder.glob("*.yaml"), *(folder / ARCHIVED).glob("*.yaml")]
            assert {file.stem: file.read_bytes() for file in files} == held and len(files) == len(held)


@pytest.mark.parametrize("links", [True, False], ids=["second names", "a disk without them"])
def test_the_archive_never_writes_over(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, links: bool) -> None:
    """A case of the same name that is there already stays, and so does the one to be moved."""
    if not links:
        monkeypatch.setattr(os, "link", lambda *_, **__: (_ for _ in ()).throw(OSError(95, "not supported")))
    path = kept(tmp_path, *WINE)
    whole = path.read_bytes()
    there = tmp_path / ARCHIVED / path.name
    there.parent.mkdir()
    there.write_bytes(b"older")
    with pytest.raises(CannotKeep, match="not written over"):
        put_away(tmp_path, path.stem)
    assert path.read_bytes() == whole and there.read_bytes() == b"older"
    there.unlink()
    assert put_away(tmp_path, path.stem).read_bytes() == whole and not path.exists()


def test_a_case_that_is_held_is_not_moved(tmp_path: Path) -> None:
    """Nobody's case is taken out of their hands."""
    path = kept(tmp_path, *WINE)
    with open_case(path, BASE) as record:
        with pytest.raises(CannotKeep, match="open in another terminal"):
            put_away(tmp_path, path.stem)
        keep(record, ("answered", "heat_test", "hazier"))
    assert path.exists()
