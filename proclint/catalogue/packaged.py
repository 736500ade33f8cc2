"""The package's own YAML files as plain trees of text."""

from collections.abc import Mapping, Sequence
from functools import cache
from pathlib import Path
from typing import TypeAlias, cast

from proclint.source import Limits, SourceText, plain, read_yaml

Tree: TypeAlias = "str | Sequence[Tree] | Mapping[str, Tree]"

FOLDER = Path(__file__).parent


@cache
def packaged(topic: str) -> Mapping[str, Tree]:
    """Read the file of a topic; every scalar is text, as everywhere in the format."""
    document = read_yaml(SourceText(topic, (FOLDER / f"{topic}.yaml").read_text(encoding="utf-8")), Limits())
    assert document.root is not None, document.troubles
    return cast("Mapping[str, Tree]", plain(document.root))
