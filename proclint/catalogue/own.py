"""What a library adds to the catalogue: words of its own, none of them the name of something else."""

from collections.abc import Mapping
from types import MappingProxyType
from typing import NamedTuple

from proclint.catalogue import reading
from proclint.catalogue.entries import Action, Attribute, Hazard, UnclearWord, Variable
from proclint.catalogue.packaged import Tree
from proclint.catalogue.row import Row

TOPICS = ("variables", "actions", "hazards", "attributes", "words")


class Own(NamedTuple):
    """A library's own words; `origins` is the file of each, by topic and name as in `actions.turn`."""

    variables: Mapping[str, Variable] = MappingProxyType({})
    actions: Mapping[str, Action] = MappingProxyType({})
    hazards: Mapping[str, Hazard] = MappingProxyType({})
    attributes: Mapping[str, Attribute] = MappingProxyType({})
    words: Mapping[str, UnclearWord] = MappingProxyType({})
    origins: Mapping[str, str] = MappingProxyType({})

    def and_also(self, other: "Own") -> "Own":
        """Give these words and the others' too."""
        return Own(
            {**self.variables, **other.variables},
            {**self.actions, **other.actions},
            {**self.hazards, **other.hazards},
            {**self.attributes, **other.attributes},
            {**self.words, **other.words},
            {**self.origins, **other.origins},
        )


def read_own(extra: Mapping[str, Tree], origin: str, signals: Mapping[tuple[str, str], str]) -> Own:
    """Read what stands under `vocabulary` of a library. Raises CatalogueProblem for what does not fit."""
    root = Row(origin, "vocabulary", extra)
    root.only(frozenset(TOPICS))
    hazards = {name: reading.hazard(row, name, signals) for name, row in root.inside("hazards").rows()}
    own = Own(
        {name: reading.variable(row, name) for name, row in root.inside("variables").rows()},
        {name: reading.action(row, name) for name, row in root.inside("actions").rows()},
        hazards,
        {name: reading.attribute(row, name) for name, row in root.inside("attributes").rows()},
        reading.unclear_words(root.inside("words")),
    )
    return own.and_also(Own(origins=dict.fromkeys(_keys(own), origin)))


def _keys(own: Own) -> list[str]:
    named = zip(TOPICS, (own.variables, own.actions, own.hazards, own.attributes, own.words), strict=True)
    return [f"{topic}.{name}" for topic, entries in named for name in entries]
