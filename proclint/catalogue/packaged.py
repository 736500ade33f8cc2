"""The package's own YAML files as plain trees of text."""

from collections.abc import Mapping, Sequence
from functools import cache
from pathlib import Path
from typing import TypeAlias, cast

import yaml

Tree: TypeAlias = "str | Sequence[Tree] | Mapping[str, Tree]"

FOLDER = Path(__file__).parent


@cache
def packaged(topic: str) -> Mapping[str, Tree]:
    """Read the file of a topic; every scalar is text, as everywhere in the format."""
    # Both loaders build nothing but text, lists and mappings; the one in C is thirty times as fast.
    loader = getattr(yaml, "CBaseLoader", yaml.BaseLoader)
    text = (FOLDER / f"{topic}.yaml").read_text(encoding="utf-8")
    return cast("Mapping[str, Tree]", yaml.load(text, Loader=loader))
