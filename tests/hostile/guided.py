"""Inputs that a coverage-guided fuzzer grows: whatever reaches new lines of the program is kept and changed further.

Started by `run.py`, with an interpreter that has atheris. Writes its counts into the file named.
"""

from __future__ import annotations

import json
import os
import sys
from pathlib import Path
from random import Random
from typing import Any

import atheris

with atheris.instrument_imports(include=["diagnose"]):
    import doors
    from mutations import mutated

NAMES = list(doors.WAYS)
SHAPES = {"named": "yaml"}


def main() -> None:
    """Run the fuzzer until it has thrown as many inputs as asked for."""
    out, inputs, seed = Path(sys.argv[1]), int(sys.argv[2]), int(sys.argv[3])
    corpus = out.with_suffix(".corpus")
    corpus.mkdir()
    rng = Random(seed)
    for number, name in enumerate(NAMES):
        pages = sorted(set(doors.WAYS[name].seeds()), key=len)
        for at, page in enumerate(rng.sample(pages, min(len(pages), 12))):
            (corpus / f"seed_{number}_{at}").write_bytes(bytes([number]) + page)
    with doors.cellars() as room:
        counts: dict[str, Any] = {"inputs": 0, "let_in": 0, "slowest": 0.0, "faults": []}

        def throw(data: bytes) -> None:
            name = NAMES[data[0] % len(NAMES)] if data else NAMES[0]
            counts["inputs"] += 1
            try:
                # Counting the lines that are reached costs time of its own, so twice the time is given.
                let_in, took = doors.knock(room, doors.WAYS[name], data[1:], 2 * doors.SECONDS)
                counts["let_in"] += let_in
                counts["slowest"] = max(counts["slowest"], took)
            except Exception as error:
                if len(counts["faults"]) < 100:
                    counts["faults"].append([name, type(error).__name__, str(error)[:300], data[1:].hex()])
            if counts["inputs"] % 500 == 0 or counts["inputs"] >= inputs:
                out.write_text(json.dumps(counts))
            if counts["inputs"] >= inputs:
                os._exit(0)

        def change(data: bytes, most: int, number: int) -> bytes:
            if number % 2 or not data:
                return bytes(atheris.Mutate(data, most))
            name = NAMES[data[0] % len(NAMES)]
            shape = doors.WAYS[name].shape
            return (data[:1] + mutated(data[1:], Random(number), SHAPES.get(shape, shape)))[:most]

        flags = [
            f"-seed={seed}",
            "-timeout=0",
            "-rss_limit_mb=3000",
            "-max_len=60000",
            "-len_control=0",
            str(corpus),
        ]
        atheris.Setup([sys.argv[0], *flags], throw, custom_mutator=change)
        atheris.Fuzz()


if __name__ == "__main__":
    main()
