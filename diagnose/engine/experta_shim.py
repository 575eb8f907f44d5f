"""The one door through which experta enters.

experta 1.9.4 depends on frozendict 1.2, which looks for `collections.Mapping`, gone since Python 3.10. The
name is lent for the length of the import and taken away again. The import also puts a handler on the root
logger and hides a failed import behind an empty package; the first is removed, the second is reported.
"""

from __future__ import annotations

import collections
import collections.abc
import logging
from types import ModuleType
from typing import Any


def _import_experta() -> ModuleType:
    root = logging.getLogger()
    handlers = list(root.handlers)
    lend = not hasattr(collections, "Mapping")
    names: Any = collections
    if lend:
        names.Mapping = collections.abc.Mapping
    try:
        import experta
    finally:
        if lend:
            del names.Mapping
        for handler in list(root.handlers):
            if handler not in handlers:
                root.removeHandler(handler)
    if not hasattr(experta, "KnowledgeEngine"):
        raise ImportError(
            "experta came up empty: one of the packages it needs is missing or too new. "
            "Install again with `pip install --force-reinstall experta==1.9.4`."
        )
    import experta.abstract

    module: ModuleType = experta
    return module


experta = _import_experta()
