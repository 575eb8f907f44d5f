"""Phrases found in a text, slips of spelling included, and whether they are denied there."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

from rapidfuzz.distance import OSA

from diagnose.knowledge.models.hearing import Heard, SmallWords, Suggested
from diagnose.plain_text import spoken

from .words import Token

SHORTEST_SLIP = 5
"""Shorter words must be written as they are: `red` is too near to `bed`."""

LONG_WORD = 9
"""From this length on a word may hold two slips."""

WIDEST_GAP = 1
"""Strange words that may stand inside a phrase."""


@dataclass(frozen=True)
class Match:
    """A phrase found: the words `start` up to `end` of the text. `score` is 100 for a phrase word by word.

    `length` counts the words of the phrase that say something.
    """

    entry: Heard
    phrase: str
    start: int
    end: int
    length: int
    score: float
    turned: bool = False

    @property
    def means(self) -> Suggested | None:
        """What it suggests as it was said; None where a denied phrase suggests nothing."""
        return self.entry.turned if self.turned else self.entry


@dataclass(frozen=True)
class _Phrase:
    entry: Heard
    order: int
    says: str
    words: tuple[str, ...]


class Phrasebook:
    """All phrases of a rule base, made ready for looking up."""

    def __init__(self, entries: Iterable[Heard], small: Iterable[SmallWords]) -> None:
        smalls = list(small)
        self._over = {spoken(word) for item in smalls for word in item.pass_over}
        self._no_slips = {spoken(word) for item in smalls for word in item.no_slips}
        self._before = _split(phrase for item in smalls for phrase in item.turn_what_follows)
        self._after = _split(phrase for item in smalls for phrase in item.turn_what_precedes)
        self._never = _split(phrase for item in smalls for phrase in item.do_not_turn)
        self._ends = {spoken(word) for item in smalls for word in item.end}
        self._carries = {spoken(word) for item in smalls for word in item.carry}
        self._reach = int(max((item.reach for item in smalls if item.reach), default=0))
        self._turners = {word for phrase in (*self._before, *self._after) for word in phrase}
        self._by_first: dict[str, list[_Phrase]] = {}
        for order, entry in enumerate(entries):
            for says in entry.phrases:
                words = self._telling(spoken(says).split())
                self._by_first.setdefault(words[0], []).append(_Phrase(entry, order, says, words))
        every = {word for some in self._by_first.values() for phrase in some for word in phrase.words}
        self._by_letter: dict[str, list[str]] = {}
        for word in sorted(every):
            if len(word) >= SHORTEST_SLIP:
                self._by_letter.setdefault(word[0], []).append(word)
        self._known = every | self._over | self._no_slips | self._ends | self._carries | self._turners

    def _telling(self, words: Sequence[str]) -> tuple[str, ...]:
        """The words that say something. A phrase that would shrink to one word stays whole: `my red` is not `red`."""
        telling = tuple(word for word in words if word not in self._over)
        return telling if len(telling) > 1 else tuple(words)

    # ------------------------------------------------------------ finding

    def matches(self, tokens: Sequence[Token]) -> list[Match]:
        """The phrases of a text that do not overlap, the longer first served, in the order of the text."""
        meant = self._meanings(tokens)
        found: list[tuple[tuple[float, ...], Match]] = []
        for at, token in enumerate(tokens):
            for word in meant.get(token.says, {}) if token.kind != "stop" else ():
                for phrase in self._by_first.get(word, ()):
                    match = self._fits(phrase, tokens, at, meant)
                    if match is not None:
                        rank = (
                            -match.length,
                            match.end - match.start,
                            -match.score,
                            match.start,
                            phrase.order,
                        )
                        found.append((rank, match))
        kept: list[Match] = []
        taken: dict[int, Match] = {}
        for _, match in sorted(found, key=lambda pair: pair[0]):
            spot = [taken.get(at) for at in range(match.start, match.end)]
            same = all(one and (one.start, one.end) == (match.start, match.end) for one in spot)
            if same and all(one.entry is not match.entry for one in kept if one.start == match.start):
                kept.append(match)  # two entries that share a phrase are both heard
            elif not any(spot):
                kept.append(match)
                taken.update(dict.fromkeys(range(match.start, match.end), match))
        kept.sort(key=lambda match: match.start)
        return [self._as_meant(match, tokens, taken) for match in kept]

    def _meanings(self, tokens: Sequence[Token]) -> Mapping[str, Mapping[str, float]]:
        """For each word of the text the words of phrases it may be, with how well it fits."""
        meant: dict[str, dict[str, float]] = {}
        for token in tokens:
            word = token.says
            if token.kind != "stop" and word not in meant:
                meant[word] = {word: 100.0}
                if word not in self._known and len(word) >= SHORTEST_SLIP and word.isalpha():
                    meant[word] |= self._slips(word)
        return meant

    def _slips(self, word: str) -> dict[str, float]:
        allowed = 2 if len(word) >= LONG_WORD else 1
        found: dict[str, float] = {}
        for known in self._by_letter.get(word[0], ()):
            if abs(len(known) - len(word)) <= allowed:
                slips = OSA.distance(word, known, score_cutoff=allowed)
                if slips <= allowed:
                    found[known] = 100.0 * (1 - slips / max(len(word), len(known)))
        return found

    def _fits(
        self, phrase: _Phrase, tokens: Sequence[Token], at: int, meant: Mapping[str, Mapping[str, float]]
    ) -> Match | None:
        """The phrase, if the words from `at` on are its words; little words and one strange one may stand between."""
        scores, strange, here = [meant[tokens[at].says][phrase.words[0]]], 0, at + 1
        for wanted in phrase.words[1:]:
            while True:
                if here >= len(tokens) or tokens[here].kind in ("stop", "comma"):
                    return None
                word = tokens[here].says
                score = meant.get(word, {}).get(wanted)
                here += 1
                if score is not None:
                    scores.append(score)
                    break
                if word in self._over or word in self._turners:
                    continue
                strange += 1
                if strange > WIDEST_GAP or word in self._ends or word in self._carries:
                    return None
        score = sum(scores) / len(scores) - 5 * strange
        telling = sum(word not in self._over for word in phrase.words)
        return Match(phrase.entry, phrase.says, at, here, max(1, telling), round(score, 1))

    # ------------------------------------------------------------ turning

    def _as_meant(self, match: Match, tokens: Sequence[Token], taken: Mapping[int, Match]) -> Match:
        own = set(spoken(match.phrase).split())
        inside = [tokens[at].says for at in range(match.start, match.end)]
        strange = [word for word in inside if word not in own]
        within = any(_ends_with(strange[: at + 1], self._before) for at in range(len(strange)))
        denied = (
            within or self._denied_before(match, tokens, taken) or self._denied_after(match, tokens, taken)
        )
        return replace(match, turned=denied)

    def _denied_before(self, match: Match, tokens: Sequence[Token], taken: Mapping[int, Match]) -> bool:
        """Whether a turning word before the phrase reaches it."""
        after = tokens[match.end].says if match.end < len(tokens) else ""
        listed, steps, at = after in self._carries, 0, match.start - 1
        while at >= 0 and steps <= self._reach:
            token = tokens[at]
            said = [one.says for one in tokens[max(0, at - 3) : at + 1]]
            if token.kind == "stop" or token.says in self._ends or _ends_with(said, self._never):
                return False
            if token.kind == "comma":
                if not listed:
                    return False
            elif at in taken and not taken[at].entry.vague and not listed:
                return False
            elif token.says in self._carries:
                listed = True
            elif _ends_with(said, self._before):
                return True
            elif token.says not in self._over and at not in taken:
                steps += 1
            at -= 1
        return False

    def _denied_after(self, match: Match, tokens: Sequence[Token], taken: Mapping[int, Match]) -> bool:
        """Whether what comes after the phrase takes it back, such as `bubbles have stopped`."""
        for at in range(match.end, min(len(tokens), match.end + 1 + self._reach)):
            token = tokens[at]
            clear = at in taken and not taken[at].entry.vague
            if token.kind in ("stop", "comma") or token.says in self._ends or clear:
                return False
            said = [one.says for one in tokens[at : at + 4]]
            if _starts_with(said, self._after):
                return True
        return False


def _split(phrases: Iterable[str]) -> list[tuple[str, ...]]:
    return [tuple(spoken(phrase).split()) for phrase in phrases]


def _ends_with(words: Sequence[str], phrases: Iterable[tuple[str, ...]]) -> bool:
    return any(tuple(words[-len(phrase) :]) == phrase for phrase in phrases)


def _starts_with(words: Sequence[str], phrases: Iterable[tuple[str, ...]]) -> bool:
    return any(tuple(words[: len(phrase)]) == phrase for phrase in phrases)
