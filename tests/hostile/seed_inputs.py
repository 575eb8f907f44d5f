"""What mutation starts from: the real files of the project, and invented ones of the kinds that it does not ship."""

from __future__ import annotations

from functools import cache
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]

KEPT = (Path(__file__).parent / "kept_case.yaml").read_bytes()
"""An invented case with every kind of event."""

TABLES = (
    b"date,gravity,temp (C),remarks\n2026-10-12,1.050,20,pitched\n2026-10-13,1.040,21,\n2026-10-14,1.020,22,stirred\n",
    b"Datum;time;Brix;pH;note\n".replace(b"Datum", b"Date")
    + b"12/10/2026;8:30;12,5;3,4;\n13/10/2026;20:15;10,1;3,45;foam\n",
    b"day\ttemp (F)\tspecific gravity\n12 Oct 2026\t68 F\t1.050\n13 Oct 2026\t70\t1.041\n",
    b'"date","free SO2 (mg/L)","remarks"\n"2026-10-12","30 ppm","a ""quoted"" word, and\na second line"\n',
    "date,gravity,temp\n12 Oct,1.050,20 °C\n13 Oct,1.040,–\n".encode("utf-16"),
)

SETTINGS = (
    b"units: us\nlaw: us\nlimits: {}\n",
    b"units: metric\nlaw: eu\nlimits:\n  total_so2_white_eu: 150\n",
)

LINES = (
    b"12 Oct 1.050 20C\n13 Oct 1.040 21 C stirred\n14 Oct 8:30 Brix 10, pH 3.4\n",
    b"2026-10-12 gravity 1.050; temp 68 F\nyesterday 1.020 foam on top\ntoday 1,012 22C\n",
)

WORDS = (
    "my cider stopped at 1.020 and smells of eggs, 12 °C in the shed".encode(),
    b"hazy white wine, pH 3.4, free so2 about 20 ppm, bottled in March",
    b"there is a film on top and it tastes of vinegar",
)

QUANTITIES = (
    b"38 F", b"5 gal", b"1.010", b"30 ppm", b"1 1/2 gal", b"0,5 g/L", b"about 20", b"-3 C", b"1.5e2 mg/L",
    b"24 Brix", b"3.4", b"12 % vol", b"1 012", b"9 months", b"pH 3.5", b"SG: 1.050",
)  # fmt: skip


@cache
def rule_pages() -> tuple[bytes, ...]:
    """Every rule file that ships."""
    return tuple(path.read_bytes() for path in sorted((ROOT / "rules").rglob("*.yaml")))


@cache
def sound_pages() -> tuple[tuple[str, bytes], ...]:
    """The small invented rule base of the tests, file by file."""
    return tuple(
        (path.name, path.read_bytes()) for path in sorted((ROOT / "tests/knowledge/sound").glob("*.yaml"))
    )


@cache
def cases() -> tuple[bytes, ...]:
    """A kept case with every kind of event, many times over, and the worked cases that ship."""
    worked = tuple(path.read_bytes() for path in sorted((ROOT / "cases").rglob("*.yaml")))
    return (KEPT,) * len(worked) + worked
