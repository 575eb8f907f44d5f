"""A person's settings: units, their own figures for legal limits, and their own rules."""

from __future__ import annotations

import os
from collections.abc import Mapping
from pathlib import Path
from typing import Literal

import yaml
from pydantic import Field, ValidationError

from diagnose.bounds import SETTINGS_FILE
from diagnose.knowledge.base import Id, Item, Number, Texts
from diagnose.knowledge.complaints import model_problems
from diagnose.knowledge.limits import USUAL_LAW
from diagnose.knowledge.problems import RuleFilesWrong
from diagnose.knowledge.yaml_reader import read_file
from diagnose.places import settings_file
from diagnose.plain_file import fresh


class Settings(Item):
    """What a person has set. `limits` holds their own figure for a legal limit, by its id."""

    units: Literal["metric", "us"] = "metric"
    law: Id = USUAL_LAW
    """Whose limits are looked up: the word that the limits carry as `jurisdiction`."""
    limits: Mapping[Id, Number] = Field(default_factory=dict)
    plain: bool = False
    """Whether nothing is drawn and every sign is a word, as for a screen reader."""
    own: Texts = ()
    """Their own folders of rules, that lie on top of those that came along."""


def read_settings() -> Settings:
    """The settings; the usual ones where none are kept. Raises RuleFilesWrong for a file that is wrong."""
    path = settings_file()
    if not path.exists():
        return Settings()
    document = read_file(path, SETTINGS_FILE)
    try:
        return Settings.model_validate(document.value or {})
    except ValidationError as error:
        raise RuleFilesWrong(model_problems(error, document, (), Settings)) from error


def write_settings(settings: Settings) -> Path:
    """Keep settings, whole or not at all. Raises OSError."""
    path = settings_file()
    path.parent.mkdir(parents=True, exist_ok=True)
    half = path.with_suffix(".new")
    with fresh(half) as file:
        file.write(
            yaml.safe_dump(settings.model_dump(mode="json"), sort_keys=True, allow_unicode=True).encode()
        )
        file.flush()
        os.fsync(file.fileno())
    half.replace(path)
    return path
