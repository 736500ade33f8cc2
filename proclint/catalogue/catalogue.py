"""The trade as data: the package's own files, read when first asked for, and a library's own words too."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from functools import cache, cached_property, lru_cache
from types import MappingProxyType
from typing import TYPE_CHECKING

from proclint.catalogue import reading
from proclint.catalogue.entries import Action, Attribute, DemandRow, Hazard, MakeSure, NeedOf, UnclearWord, Variable
from proclint.catalogue.lines import MatchedLine, Mismatch
from proclint.catalogue.matching import Verb, read_long, read_short, ready
from proclint.catalogue.measures import Measures
from proclint.catalogue.nearest import nearest
from proclint.catalogue.own import Own
from proclint.catalogue.packaged import packaged
from proclint.catalogue.patterns import Kind
from proclint.catalogue.phrases import PhraseFinder
from proclint.catalogue.row import Row
from proclint.catalogue.speech import Speech, speech
from proclint.catalogue.units import Duration, Unit, read_duration, units

if TYPE_CHECKING:
    # A run that follows no states pays nothing for them.
    from proclint.catalogue.conditions import Item, Sum
    from proclint.catalogue.deeds import Deed, Peril, Reach
    from proclint.catalogue.demands import Demand

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
        """What always holds, as written."""
        return _file("variables").texts("always")

    @cached_property
    def invariants(self) -> tuple["Item", ...]:
        """What always holds."""
        from proclint.catalogue.deeds import read_always

        return read_always(self.always, self)

    @cached_property
    def reckoned(self) -> Mapping[str, "Sum"]:
        """From what a variable is reckoned, for those that are: other variables of the same owner."""
        from proclint.catalogue.deeds import read_reckoned

        found = ((name, read_reckoned(variable, self)) for name, variable in self.variables.items())
        return MappingProxyType({name: term for name, term in found if term is not None})

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
    def deed(self) -> "Callable[[str], Deed]":
        """What the action of a verb needs and makes; read when first asked for."""
        from proclint.catalogue.deeds import read_deed

        return cache(lambda verb: read_deed(self.actions[verb], self))

    @cached_property
    def peril(self) -> "Callable[[str], Peril]":
        """What raises a hazard and what ends it, by the hazard's name; read when first asked for."""
        from proclint.catalogue.deeds import read_peril

        return cache(lambda name: read_peril(self.hazards[name], self))

    @cached_property
    def reaches(self) -> "Mapping[tuple[str, str], tuple[Reach, ...]]":
        """The ways to reach that a variable has a value, by both; the first that fits is taken."""
        from proclint.catalogue.deeds import read_reach

        found: dict[tuple[str, str], tuple[Reach, ...]] = {}
        for row in self.make_sure:
            at = row.variable, row.value
            found[at] = (*found.get(at, ()), read_reach(row, self))
        return MappingProxyType(found)

    @cached_property
    def needs_of(self) -> tuple[NeedOf, ...]:
        """Which rule a broken need belongs to; the first that fits, and the last fits all that is left."""
        return tuple(map(reading.need_of, _file("demands").list_of_rows("needs-of")))

    def rule_of_need(self, verb: str, about: str) -> str:
        """Give the rule of an action's need that fails about a variable, such as `place`, or `others.place` with whose it is."""
        return next(row.rule for row in self.needs_of if row.fits(verb, about))

    @cached_property
    def demand_rows(self) -> tuple[DemandRow, ...]:
        """What must hold at actions and endings besides, as written."""
        return tuple(map(reading.demand, _file("demands").list_of_rows("demands")))

    @property
    def demands(self) -> "tuple[Demand, ...]":
        """What must hold at actions and endings besides."""
        return tuple(map(self._demand, self.demand_rows))

    @cached_property
    def demands_at(self) -> "Callable[[str], tuple[Demand, ...]]":
        """What must hold besides before the action of a verb; read when first asked for."""
        return cache(lambda verb: tuple(self._demand(row) for row in self.demand_rows if row.is_at(verb)))

    @cached_property
    def demands_at_ending(self) -> "Callable[[str], tuple[Demand, ...]]":
        """What must hold at an ending of a kind; read when first asked for."""
        return cache(lambda kind: tuple(self._demand(row) for row in self.demand_rows if kind in row.kinds))

    @cached_property
    def _demand(self) -> "Callable[[DemandRow], Demand]":
        from proclint.catalogue.demands import read_demand

        return cache(lambda row: read_demand(row, self))

    def in_cell(self, text: str) -> "Item":
        """Read one of the conditions that stand in a cell of a facts table. Raises Misread where it is none."""
        from proclint.catalogue.deeds import read_cell

        return read_cell(text, self)

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

    @cached_property
    def sums(self) -> Mapping[str, tuple[str, ...]]:
        """The variables that stand for others, with those."""
        return {name: variable.stands_for for name, variable in self.variables.items() if variable.stands_for}

    @cached_property
    def unclear_by_phrase(self) -> Mapping[str, UnclearWord]:
        """The entry of each phrase of `words`."""
        return {phrase: word for word in self.words.values() for phrase in word.phrases}

    @cached_property
    def speech(self) -> Speech:
        """The words by which instructions are held against their lines."""
        return speech(_file("speech"))

    @cached_property
    def phrases(self) -> PhraseFinder:
        """What finds the phrases of `words`, and those of `speech` that are looked for everywhere."""
        said = self.speech
        return PhraseFinder((*self.unclear_by_phrase, *said.conditions, *said.tries), said.numbers)

    @cached_property
    def forms(self) -> Mapping[str, tuple[tuple[str, str], ...]]:
        """How people say the words in which text and line may differ: kind and word of each form, in small letters."""
        found: dict[str, tuple[tuple[str, str], ...]] = {}
        for kind in self.speech.compared:
            for word in self.kinds[kind].words:
                for form in (word.lower(), *self.speech.spoken.get(word, ())):
                    found[form] = (*found.get(form, ()), (kind, word))
        return MappingProxyType(found)

    @cached_property
    def measures(self) -> Measures:
        """What reads numbers in running text."""
        return Measures(self.units, self.speech)

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
