from __future__ import annotations

import collections
import collections.abc
import logging
import subprocess
import sys
from pathlib import Path

import pytest
from diagnose.engine import experta_shim


def run(code: str, *first: Path) -> subprocess.CompletedProcess[str]:
    """Run a few lines in a fresh process, with these folders first on its path."""
    lead = f"import sys; sys.path[:0] = {[str(path) for path in first]!r}\n"
    return subprocess.run([sys.executable, "-c", lead + code], capture_output=True, text=True, check=False)


def test_the_engine_is_really_there() -> None:
    """experta hides a failed import behind an empty package; ours is the full one."""
    assert experta_shim.experta.KnowledgeEngine.__name__ == "KnowledgeEngine"
    assert experta_shim.experta.abstract.Strategy.__name__ == "Strategy"


def test_the_lent_name_is_gone_again() -> None:
    """`collections.Mapping` is lent for the import only; other packages test for it."""
    assert not hasattr(collections, "Mapping")


def test_what_another_package_lent_or_logs_is_left_alone(monkeypatch: pytest.MonkeyPatch) -> None:
    """A name that another package has lent itself, and a log it keeps, are not taken away from it."""
    monkeypatch.setattr(collections, "Mapping", collections.abc.Mapping, raising=False)
    others = list(logging.getLogger().handlers)
    assert experta_shim._import_experta() is experta_shim.experta
    assert collections.Mapping is collections.abc.Mapping  # type: ignore[attr-defined]
    assert logging.getLogger().handlers == others


def test_import_leaves_no_trace_in_a_fresh_process() -> None:
    """Opening the door adds no root log handler, keeps the one that was there, and takes the name back."""
    code = (
        "import collections, logging\n"
        "mine = logging.NullHandler(); logging.getLogger().addHandler(mine)\n"
        "from diagnose.engine.experta_shim import experta\n"
        "print(logging.getLogger().handlers == [mine], hasattr(collections, 'Mapping'))\n"
    )
    assert run(code).stdout.split() == ["True", "False"]


def test_no_root_handler_of_experta_stays_without_one_of_our_own() -> None:
    """`logging.basicConfig()` inside experta would print every library's messages over our screens."""
    code = "import logging\nfrom diagnose.engine import experta_shim\nprint(logging.getLogger().handlers)\n"
    assert run(code).stdout.strip() == "[]"
    # The claim can fail: experta does add one when nobody takes it away.
    bare = (
        "import collections, collections.abc, logging\n"
        "collections.Mapping = collections.abc.Mapping\n"
        "import experta\nprint(len(logging.getLogger().handlers))\n"
    )
    assert run(bare).stdout.strip() == "1"


@pytest.mark.skipif(sys.version_info < (3, 10), reason="the name was there before Python 3.10")
def test_without_the_door_the_import_fails() -> None:
    """On this Python experta cannot be imported by itself; this is why the door exists."""
    found = run("import experta")
    assert found.returncode != 0
    assert "AttributeError" in found.stderr and "Mapping" in found.stderr


def test_an_empty_experta_is_reported_with_the_mend(tmp_path: Path) -> None:
    """A package that comes up empty is an error that says how to install it again."""
    (tmp_path / "experta").mkdir()
    (tmp_path / "experta" / "__init__.py").write_text("", encoding="utf-8")
    found = run("import diagnose.engine.experta_shim", tmp_path)
    assert "ImportError: experta came up empty" in found.stderr
    assert "pip install --force-reinstall experta==1.9.4" in found.stderr


def test_a_missing_part_of_experta_is_reported_with_the_mend(tmp_path: Path) -> None:
    """The real case: a package experta needs is broken, and experta swallows the error."""
    (tmp_path / "schema.py").write_text("raise ImportError('broken')\n", encoding="utf-8")
    found = run("import diagnose.engine.experta_shim", tmp_path)
    assert "ImportError: experta came up empty" in found.stderr
    assert "pip install" in found.stderr


def test_the_name_is_taken_back_even_if_the_import_fails(tmp_path: Path) -> None:
    """A failed import must not leave `collections.Mapping` behind for the rest of the process."""
    (tmp_path / "experta.py").write_text("raise RuntimeError('no')\n", encoding="utf-8")
    code = (
        "import collections\n"
        "try:\n    import diagnose.engine.experta_shim\n"
        "except RuntimeError:\n    print(hasattr(collections, 'Mapping'))\n"
    )
    assert run(code, tmp_path).stdout.strip() == "False"
