"""A small seeded mutator: it knows the shape of YAML and of tables, and what has broken readers before."""

from __future__ import annotations

import json
from collections.abc import Callable, Sequence
from copy import deepcopy
from functools import lru_cache
from random import Random
from typing import Any

import yaml
from diagnose.knowledge.problems import RuleFilesWrong
from diagnose.knowledge.yaml_reader import read_text

NASTY_TEXTS = (
    "", " ", "\x00", "\x1b[31mred\x1b[0m", "\x1b]0;title\x07", "\x1b]8;;http://example.com\x07x\x1b]8;;\x07", "\x9b2J",
    "\x07\x08\r", "\u202egnp.exe", "\u2066x\u2069", "\u200b\u200d\ufeff", "\u2028\u2029\x85", "\u00a0", "e\u0301" * 40,
    "A" * 5_000, "A" * 30_000, "🍷" * 50, "\U000e0041", "\ud7ff\ue000\uffff", "../../../etc/passwd", "/etc/passwd",
    "..\\..\\x", "C:\\x", "x.yaml\x00.txt", "<script>alert(1)</script>", '" onload="alert(1)', "javascript:alert(1)",
    "[x](javascript:alert(1))", "![](http://example.com/x)", "{{ 7*7 }}", "{% raw %}", "${x}", "%s%n", "$(id)", "`id`",
    "=cmd|'/c calc'!A0", "\n\n# head\n\n---\n", "]]>", "<!--", "[bold red]x[/]", ":wine:", "!!python/object:os.system",
    "null", "~", "yes", "true", "NaN", "inf", "-inf", "1e999", "9" * 400, "0x41", "1_000", "-0.0", "1/0", "١٢٣", "½",
    "²", "1.2.3", "2026-02-30", "0000-00-00", "9999-12-31", "2026-10-12T99:99:99+99:99", "0001-01-01",
    "cause.", "_", "a__b",
)  # fmt: skip
NASTY_NUMBERS: tuple[Any, ...] = (
    0, -1, 1, 2**31, 2**63, 10**14, -(10**14), 1e308, -1e308, 5e-324, 0.1 + 0.2, float("inf"), float("nan"), True, None,
)  # fmt: skip
NASTY_BYTES = (
    b"\x00", b"\xff", b"\xfe\xff", b"\xef\xbb\xbf", b"\xc3", b"\xed\xa0\x80", b"\xf4\x90\x80\x80", b"\x1b[2J",
    b"\xc2\x9b31m", b"\x1b]52;c;eA==\x07", b"\r\n", b"\r", b"\t", b"\xe2\x80\xae", b"\xe2\x80\x8b", b"&a ", b"*a ",
    b"!!python/object/apply:os.system [id]", b"!include /etc/passwd", b"<<: *a", b"---\n", b"...\n",
    b"%YAML 1.1\n", b"? ", b": ", b"- ", b"[", b"]", b"{", b"}",
    b"|", b">",
    b"'", b'"', b"#", b",", b";", b"@", b"`", b"%", b'"\\x1b[31m"', b'"\\ud800"', b"\\", b"\n", b"=", b"1e999", b"-",
)  # fmt: skip
BOMB = b"a: &a [x,x,x,x,x,x,x,x,x]\n" + b"".join(
    b"%c: &%c [%s]\n" % (at + 1, at + 1, b",".join([b"*%c" % at] * 9)) for at in range(ord("a"), ord("i"))
)

LARGEST = 5 * 1024 * 1024
"""Bytes of one input at the most: more than any door opens (`CASE_FILE`), so that what is too large is thrown too.

Larger ones try nothing more, and made the thrower itself take half a gigabyte.
"""
Mutation = Callable[[bytes, Random], bytes]


def mutated(seed: bytes, rng: Random, shape: str) -> bytes:
    """One hostile input made from a real one. `shape` is yaml, table or text."""
    raw = seed
    if shape == "yaml" and rng.random() < 0.6:
        raw = _tree(raw, rng)
    elif shape == "table" and rng.random() < 0.6:
        raw = _cells(raw, rng)
    if raw is seed or rng.random() < 0.15:
        for _ in range(rng.choice((1, 1, 1, 2, 3, 8))):
            raw = rng.choice(BYTES)(raw, rng)[:LARGEST]
    return raw[:LARGEST]


# ---------------------------------------------------------------- bytes


def _insert(raw: bytes, rng: Random) -> bytes:
    at = rng.randrange(len(raw) + 1)
    return raw[:at] + rng.choice(NASTY_BYTES) * rng.choice((1, 1, 1, 2, 50)) + raw[at:]


def _words(raw: bytes, rng: Random) -> bytes:
    at = rng.randrange(len(raw) + 1)
    return raw[:at] + rng.choice(NASTY_TEXTS).encode("utf-8", "surrogatepass") + raw[at:]


def _flip(raw: bytes, rng: Random) -> bytes:
    if not raw:
        return b"\x00"
    at = rng.randrange(len(raw))
    return raw[:at] + bytes([rng.randrange(256)]) + raw[at + 1 :]


def _cut(raw: bytes, rng: Random) -> bytes:
    return raw[: rng.randrange(len(raw) + 1)]


def _lose(raw: bytes, rng: Random) -> bytes:
    at = rng.randrange(len(raw) + 1)
    return raw[:at] + raw[at + rng.choice((1, 2, 10, 100)) :]


def _lines(raw: bytes, rng: Random) -> bytes:
    lines = raw.splitlines(keepends=True) or [b"\n"]
    one, other = rng.randrange(len(lines)), rng.randrange(len(lines))
    way = rng.randrange(5)
    if way == 0:
        lines[one], lines[other] = lines[other], lines[one]
    elif way == 1:
        lines.insert(other, lines[one])
    elif way == 2:
        del lines[one]
    elif way == 3:
        lines[one] = lines[one] * rng.choice((2, 40))
    else:
        lines[one] = b" " * rng.randrange(1, 5) + lines[one]
    return b"".join(lines)


def _ends(raw: bytes, rng: Random) -> bytes:
    way = rng.randrange(4)
    if way == 0:
        return raw.replace(b"\n", b"\r\n")
    if way == 1:
        return b"\xef\xbb\xbf" + raw
    if way == 2:
        return raw.decode("utf-8", "replace").encode(
            rng.choice(("utf-16", "latin-1", "utf-32", "utf-8-sig")), "replace"
        )
    return raw.rstrip(b"\n")


def _deep(raw: bytes, rng: Random) -> bytes:
    opening = rng.choice((b"[", b"{a: ", b"- ", b"? ", b"- - "))
    return raw + b"\nx: " + opening * rng.choice((10, 19, 25, 400, 5000))


def _bomb(raw: bytes, rng: Random) -> bytes:
    return BOMB + raw if rng.random() < 0.5 else raw + BOMB


def _large(raw: bytes, rng: Random) -> bytes:
    if rng.random() < 0.9:
        return raw * _times(rng.choice((2, 3)), len(raw))
    return raw * _times(rng.choice((20, 100)), len(raw)) + rng.choice(NASTY_BYTES) * 2000


def _times(wanted: int, size: int) -> int:
    """So many times what has this size, or as often as it goes into the largest input, and once at the least."""
    return max(1, min(wanted, LARGEST // max(1, size)))


BYTES: Sequence[Mutation] = (
    _insert, _insert, _insert, _words, _words, _flip, _flip, _cut, _lose, _lose, _lines, _lines, _lines,
    _ends, _deep, _bomb, _large,
)  # fmt: skip


# ---------------------------------------------------------------- YAML as a tree


_DUMPER: Any = getattr(yaml, "CSafeDumper", yaml.SafeDumper)


@lru_cache(maxsize=1000)
def _read(raw: bytes) -> Any:
    """The value of a seed, with words and numbers as the project reads them."""
    try:
        return read_text(raw.decode(), "seed").value
    except (RuleFilesWrong, UnicodeDecodeError):
        return None


def _tree(raw: bytes, rng: Random) -> bytes:
    value = deepcopy(_read(raw))
    if value is None:
        return _insert(raw, rng)
    for _ in range(rng.choice((1, 1, 2, 4))):
        value = _changed(value, rng)
    try:
        if rng.random() < 0.5 and isinstance(value, dict) and isinstance(value.get("events"), list):
            return _as_kept(value)
        written: str = yaml.dump(value, Dumper=_DUMPER, allow_unicode=rng.random() < 0.7, sort_keys=False)
        return written.encode("utf-8", "surrogatepass")
    except (yaml.YAMLError, ValueError, TypeError, RecursionError):
        return _insert(raw, rng)


def _as_kept(value: dict[Any, Any]) -> bytes:
    head = "".join(
        f"{key}: {json.dumps(one, default=str)}\n" for key, one in value.items() if key != "events"
    )
    events = "".join(f"- {json.dumps(one, default=str)}\n" for one in value["events"])
    return f"{head}events:\n{events}".encode("utf-8", "surrogatepass")


def _places(value: Any, found: list[tuple[Any, Any]]) -> list[tuple[Any, Any]]:
    items = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    for key, inner in items:
        found.append((value, key))
        _places(inner, found)
    return found


def _changed(value: Any, rng: Random) -> Any:
    places = _places(value, [])
    if not places:
        return rng.choice((*NASTY_TEXTS, *NASTY_NUMBERS))
    holder, key = rng.choice(places)
    way = rng.randrange(9)
    if way == 0:
        del holder[key]
    elif way == 1:
        other, its = rng.choice(places)
        if _still(holder, key) and _still(other, its):
            holder[key] = json.loads(json.dumps(other[its], default=str))
    elif way == 2 and isinstance(holder, list):
        holder[key:key] = [holder[key]] * rng.choice((1, 2, 60))
    elif way == 3:
        holder[key] = [holder[key]] if rng.random() < 0.5 else {"a": holder[key]}
    elif way == 4 and isinstance(holder, dict):
        holder[rng.choice(NASTY_TEXTS)] = holder.pop(key)
    elif way == 5:
        holder[key] = rng.choice(NASTY_NUMBERS)
    elif way == 6 and isinstance(holder[key], int | float):
        holder[key] = holder[key] * rng.choice((-1, 0, 1000, 1e-9, 1e300, 1.0001))
    elif way == 7 and isinstance(holder[key], str):
        at = rng.randrange(len(holder[key]) + 1)
        holder[key] = holder[key][:at] + rng.choice(NASTY_TEXTS) + holder[key][at:]
    else:
        holder[key] = rng.choice(NASTY_TEXTS)
    return value


def _still(holder: Any, key: Any) -> bool:
    return key in holder if isinstance(holder, dict) else key < len(holder)


# ---------------------------------------------------------------- tables


def _cells(raw: bytes, rng: Random) -> bytes:
    text = raw.decode("utf-16" if raw[:2] in (b"\xff\xfe", b"\xfe\xff") else "utf-8", "replace")
    sign = next((sign for sign in ";\t" if sign in text), ",")
    rows = [line.split(sign) for line in text.splitlines()] or [[""]]
    for _ in range(rng.choice((1, 1, 2, 5))):
        row = rng.choice(rows)
        at, way = rng.randrange(len(row)) if row else 0, rng.randrange(6)
        if way == 0 and row:
            row[at] = rng.choice(NASTY_TEXTS)
        elif way == 1:
            row.insert(at, rng.choice(NASTY_TEXTS))
        elif way == 2 and row:
            del row[at]
        elif way == 3:
            other = list(rng.choice(rows))
            rows.append(other * _times(rng.choice((1, 1, 60)), len(sign.join(other))))
        elif way == 4:
            times = rng.choice((1, 30, 3000 if rng.random() < 0.05 else 30))
            rows += [list(row)] * _times(times, len(sign.join(row)))
        elif row:
            row[at] = row[at] + rng.choice(("%", " C", " F", "°", "e9", ",5", '"', " Brix", " ppm", "-", "–"))
    return "\n".join(sign.join(row) for row in rows).encode("utf-8", "surrogatepass")
