"""The trade as data: the package's own files, read when first asked for, and a library's own words too."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from functools import cache, cached_property, lru_cache
from types import MappingProxyType

from proclint.catalogue import reading
from proclint.catalogue.entries import Action, Attribute, Hazard, MakeSure, UnclearWord, Variable
from proclint.catalogue.lines import MatchedLine, Mismatch
from proclint.catalogue.matching import Verb, read_long, read_short, ready
from proclint.catalogue.nearest import nearest
from proclint.catalogue.own import Own
from proclint.catalogue.packaged import packaged
from proclint.catalogue.patterns import Kind
from proclint.catalogue.row import Row
from proclint.catalogue.units import Duration, Unit, read_duration, units

_ANY_ACTION = "an action of the catalogue"
_NO_NAMES: frozenset[str] = frozenset()
# More lines than a large library has different ones; each keeps about 1 kB.
_LINES_KEPT = 16_384


@dataclass(frozen=True, eq=False)
class Catalogue:
    """Everything the trade has a word for, by name, and the reading of lines in the actions' words.

    What is in a topic is read when the topic is first asked for. `own` are a library's own words.
    """

    own: Own = field(default_factory=Own)

    @cached_property
    def variables(self) -> Mapping[str, Variable]:
        """What can be known, by name."""
        rows = _file("variables").inside("variables").rows()
        read = {name: reading.variable(row, name) for name, row in rows}
        return MappingProxyType({**read, **self.own.variables})

    @cached_property
    def always(self) -> tuple[str, ...]:
        """What always holds, in the grammar of conditions."""
        return _file("variables").texts("always")

    @cached_property
    def kinds(self) -> Mapping[str, Kind]:
        """What fits a parameter, by kind."""
        rows, names = _file("actions").inside("kinds-of-parameter").rows(), tuple(self.variables)
        return MappingProxyType({name: reading.kind(row, name, names) for name, row in rows})

    @cached_property
    def actions(self) -> Mapping[str, Action]:
        """What a line can say, by verb."""
        rows = _file("actions").inside("actions").rows()
        read = {verb: reading.action(row, verb) for verb, row in rows}
        return MappingProxyType({**read, **self.own.actions})

    @cached_property
    def make_sure(self) -> tuple[MakeSure, ...]:
        """The ways to reach that a variable has a value; the first that fits is taken."""
        return tuple(reading.make_sure(row) for row in _file("make-sure").list_of_rows("make-sure"))

    @cached_property
    def signal_words(self) -> Mapping[tuple[str, str], str]:
        """The signal word of each severity and likelihood."""
        return MappingProxyType(dict(map(reading.signal_word, _file("hazards").list_of_rows("signal-words"))))

    @cached_property
    def hazards(self) -> Mapping[str, Hazard]:
        """What calls for a caution, by name."""
        rows = _file("hazards").inside("hazards").rows()
        read = {name: reading.hazard(row, name, self.signal_words) for name, row in rows}
        return MappingProxyType({**read, **self.own.hazards})

    @cached_property
    def attributes(self) -> Mapping[str, Attribute]:
        """What a facts table can say, by column."""
        rows = _file("attributes").inside("attributes").rows()
        read = {name: reading.attribute(row, name) for name, row in rows}
        return MappingProxyType({**read, **self.own.attributes})

    @cached_property
    def words(self) -> Mapping[str, UnclearWord]:
        """Phrases that are read in more than one way, and quantities that are none, by name."""
        return MappingProxyType({**reading.unclear_words(_file("words")), **self.own.words})

    @property
    def units(self) -> Mapping[str, Unit]:
        """The units by symbol."""
        return units()

    def duration(self, text: str) -> Duration | None:
        """Read `15 s`, `20-70 s` or `0.5-1-2 s` in milliseconds; give nothing for what is no duration."""
        return read_duration(text)

    def match(self, text: str, *, names: frozenset[str] = _NO_NAMES) -> MatchedLine | Mismatch:
        """Read a short line such as `turn O1 on`; `names` are a block's parameters, which may stand in it."""
        return self._lines(text, names)

    def match_long(self, verb: str, words: Mapping[str, str], *, names: frozenset[str] = _NO_NAMES) -> MatchedLine | Mismatch:
        """Read a line's long form, `{turn: {key: O1, position: on}}`: the verb and its parameters by name."""
        if verb in self.actions:
            return read_long(words, self._verb(verb, names))
        return self._unknown(verb, verb)

    @cached_property
    def _lines(self) -> Callable[[str, frozenset[str]], MatchedLine | Mismatch]:
        return lru_cache(maxsize=_LINES_KEPT)(self._read_line)

    @cached_property
    def _verb(self) -> Callable[[str, frozenset[str]], Verb]:
        return lru_cache(maxsize=1024)(self._ready)

    def _read_line(self, text: str, names: frozenset[str]) -> MatchedLine | Mismatch:
        verb = text.split(maxsplit=1)[0] if text.strip() else ""
        if verb in self.actions:
            return read_short(text, self._verb(verb, names))
        return self._unknown(text, verb)

    def _ready(self, verb: str, names: frozenset[str]) -> Verb:
        action = self.actions[verb]
        values = self.reachable if action.takes == "make-sure" else self._values
        return ready(action, self.kinds, names, values)

    @cached_property
    def _values(self) -> Mapping[str, tuple[str, ...]]:
        return {name: variable.values for name, variable in self.variables.items()}

    @cached_property
    def reachable(self) -> Mapping[str, tuple[str, ...]]:
        """The values that `make-sure` can reach, by variable."""
        found: dict[str, tuple[str, ...]] = {}
        for row in self.make_sure:
            found[row.variable] = tuple(dict.fromkeys((*found.get(row.variable, ()), row.value)))
        return MappingProxyType(found)

    def _unknown(self, text: str, verb: str) -> Mismatch:
        """Name the verb that was meant: the one of which people write this, else the one most like it."""
        said = text.strip().lower()
        meant = [each.verb for each in self.actions.values() if said in map(str.lower, each.unclear)]
        near = meant[0] if len(meant) == 1 else nearest(verb, self.actions)
        pattern = self.actions[near].patterns[0].text if near else ""
        return Mismatch("unknown-verb", text.find(verb), len(verb), _ANY_ACTION, near, pattern)


def _file(topic: str) -> Row:
    return Row(f"{topic}.yaml", "", packaged(topic))


@cache
def standard() -> Catalogue:
    """Give the packaged catalogue."""
    return Catalogue()
