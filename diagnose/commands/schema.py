"""The files of the program as JSON Schema, for editors and for programs that read what it prints."""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping
from typing import Any

import click

from diagnose.casebook.models import CaseFile
from diagnose.explain.machine import ExplanationsOut
from diagnose.judgement.machine import JudgementOut
from diagnose.judgement.plan_machine import PlanOut
from diagnose.knowledge.schema import file_schema, rules_schema

from .status import DONE

SCHEMAS: Mapping[str, Callable[[], dict[str, Any]]] = {
    "rules": rules_schema,
    "cases": lambda: file_schema(CaseFile),
    "judgement": JudgementOut.model_json_schema,
    "plan": PlanOut.model_json_schema,
    "explanations": ExplanationsOut.model_json_schema,
}
"""What a schema can be had of: the files a person writes, and what is printed as JSON."""


def print_schema(kind: str) -> int:
    """Print one schema."""
    click.echo(json.dumps(SCHEMAS[kind](), indent=2))
    return DONE
