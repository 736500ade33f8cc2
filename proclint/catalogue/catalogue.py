"""The trade as data, read from the package's own files when it is first asked for."""

import re
from collections.abc import Mapping
from functools import cache, cached_property
from pathlib import Path
from typing import cast

import yaml

from proclint.catalogue import words
from proclint.catalogue.lines import Kind, MatchedLine, Mismatch, explain, expression
from proclint.catalogue.words import Action, Hazard, Tree, Variable

_FOLDER = Path(__file__).parent
_NO_NAMES: frozenset[str] = frozenset()


class Catalogue:
    """Variables, actions and hazards by name, and the reading of lines in the actions' words."""

    def __init__(self, folder: Path = _FOLDER) -> None:
        self._folder = folder
        self._matches: dict[tuple[str, frozenset[str]], MatchedLine | Mismatch] = {}
        self._expressions: dict[tuple[str, frozenset[str]], list[re.Pattern[str]]] = {}

    def _read(self, name: str) -> dict[str, Tree]:
        text = (self._folder / f"{name}.yaml").read_text(encoding="utf-8")
        loader = getattr(yaml, "CBaseLoader", yaml.BaseLoader)
        return cast(dict[str, Tree], yaml.load(text, Loader=loader))  # noqa: S506

    @cached_property
    def variables(self) -> Mapping[str, Variable]:
        """The variables by name."""
        tree = cast(dict[str, dict[str, Tree]], self._read("variables")["variables"])
        return {name: words.variable(name, each) for name, each in tree.items()}

    @cached_property
    def _actions(self) -> dict[str, Tree]:
        return self._read("actions")

    @cached_property
    def actions(self) -> Mapping[str, Action]:
        """The actions by verb."""
        tree = cast(dict[str, dict[str, Tree]], self._actions["actions"])
        return {verb: words.action(verb, each) for verb, each in tree.items()}

    @cached_property
    def kinds(self) -> Mapping[str, Kind]:
        """What fits a parameter of each kind."""
        tree = cast(dict[str, dict[str, Tree]], self._actions["kinds-of-parameter"])
        return {name: self._kind(name, each) for name, each in tree.items()}

    def _kind(self, name: str, tree: dict[str, Tree]) -> Kind:
        if "matches" in tree:
            return Kind(name, (), str(tree["matches"]))
        listed = tree.get("words")
        return Kind(name, tuple(map(str, listed)) if listed else tuple(self.variables), "")

    @cached_property
    def _hazards(self) -> dict[str, Tree]:
        return self._read("hazards")

    @cached_property
    def signal_words(self) -> Mapping[tuple[str, str], str]:
        """The signal word of each severity and likelihood."""
        rows = cast(list[dict[str, str]], self._hazards["signal-words"])
        return {(row["severity"], row["likelihood"]): row["word"] for row in rows}

    @cached_property
    def hazards(self) -> Mapping[str, Hazard]:
        """The hazards by name."""
        tree = cast(dict[str, dict[str, Tree]], self._hazards["hazards"])
        return {name: words.hazard(name, each, self.signal_words) for name, each in tree.items()}

    def match(self, text: str, *, names: frozenset[str] = _NO_NAMES) -> MatchedLine | Mismatch:
        """Read a short line; `names` are a block's own parameters, which fit wherever a value does."""
        known = self._matches.get((text, names))
        if known is None:
            known = self._matches[text, names] = self._match(text, names)
        return known

    def _match(self, text: str, names: frozenset[str]) -> MatchedLine | Mismatch:
        verb = text.partition(" ")[0]
        action = self.actions.get(verb)
        if action is None:
            return self._unknown(verb)
        for pattern in self._patterns(action, names):
            found = pattern.fullmatch(text)
            if found is not None:
                return MatchedLine(action, {name: word for name, word in found.groupdict().items() if word is not None})
        return explain(text, action, self.kinds, names)

    def match_long(self, verb: str, given: Mapping[str, str], *, names: frozenset[str] = _NO_NAMES) -> MatchedLine | Mismatch:
        """Read a long line: a verb with its parameters by name."""
        action = self.actions.get(verb)
        if action is None:
            return self._unknown(verb)
        for name, word in given.items():
            kind = self.kinds[action.parameters[name].kind] if name in action.parameters else None
            if kind is None:
                return Mismatch("extra-words", 0, len(verb), pattern=action.patterns[0])
            if word not in names and not re.fullmatch(kind.pattern, word):
                return Mismatch("wrong-word", 0, len(verb), kind.in_words, pattern=action.patterns[0])
        if any(self._is_whole(pattern, given) for pattern in action.patterns):
            return MatchedLine(action, dict(given))
        return Mismatch("missing-parameter", 0, len(verb), action.patterns[0], pattern=action.patterns[0])

    @staticmethod
    def _is_whole(pattern: str, given: Mapping[str, str]) -> bool:
        wanted = re.sub(r"\[.*\]", "", pattern)
        return all(name in given for name in re.findall(r"\{([a-z]+)\}", wanted))

    def _patterns(self, action: Action, names: frozenset[str]) -> list[re.Pattern[str]]:
        known = self._expressions.get((action.verb, names))
        if known is None:
            known = [expression(pattern, action, self.kinds, names) for pattern in action.patterns]
            self._expressions[action.verb, names] = known
        return known

    def _unknown(self, verb: str) -> Mismatch:
        from difflib import get_close_matches

        near = get_close_matches(verb, self.actions, 1)
        return Mismatch("unknown-verb", 0, len(verb), "an action of the catalogue", near[0] if near else "")


@cache
def standard() -> Catalogue:
    """Give the packaged catalogue."""
    return Catalogue()
