"""The words of a procedure or block: unclear phrases, sentences that are read wrongly, and words against deeds.

All texts are looked through once for all phrases together; everything else is worked out when a rule first asks for it.
"""

from collections import defaultdict
from collections.abc import Iterator, Mapping
from functools import cached_property
from typing import NamedTuple

from proclint.analysis.doings import Mention, mentions
from proclint.analysis.instructions import Bench, Difference, differences, lines_of, words_by_kind
from proclint.analysis.outcomes import fails_by_itself
from proclint.analysis.prompts import PromptFault, prompt_faults
from proclint.analysis.rings import Ring, rings
from proclint.analysis.shelf import Written
from proclint.analysis.stretches import Stretched, behind, crowded, stretched, too_long
from proclint.analysis.texts import COMMANDS, Said, own_words, texts_of
from proclint.analysis.unclear import Hit, Read, Unclear, hits, read, unclear
from proclint.catalogue import Catalogue, UnclearWord
from proclint.model import Block, Line, Step

# How the verbs of waits begin that vehicle or equipment end.
_WAIT = "wait-"


class TwoWays(NamedTuple):
    """A term that stands for one key here and for another there."""

    word: UnclearWord
    first: Hit
    first_keys: tuple[str, ...]
    second: Hit
    second_keys: tuple[str, ...]


class Retry(NamedTuple):
    """How often a text says that something is tried, and how often the fields let it be: nothing where none counts."""

    hit: Hit
    told: int
    counted: int | None


class Words:
    """What is known of the words of one flow."""

    def __init__(self, written: Written, catalogue: Catalogue) -> None:
        self.written = written
        self.flow = written.flow
        self.catalogue = catalogue
        self.speech = catalogue.speech
        self.bench = Bench(written.flow, catalogue)

    @cached_property
    def texts(self) -> tuple[Said, ...]:
        """All texts that people read, in file order."""
        return tuple(texts_of(self.flow))

    @cached_property
    def _reads(self) -> list[Read]:
        return [read(said.text, self.catalogue) for said in self.texts]

    @cached_property
    def _hits(self) -> Mapping[str, list[Hit]]:
        return hits(self.texts, self._reads)

    @cached_property
    def _unclear(self) -> Mapping[str, tuple[Unclear, ...]]:
        return unclear(self._hits, self.catalogue) if self._hits else {}

    def unclear(self, group: str) -> tuple[Unclear, ...]:
        """Give the unclear phrases of a group, in file order."""
        return self._unclear.get(group, ())

    @cached_property
    def ambiguous(self) -> tuple[Unclear, ...]:
        """The phrases with two readings, without those that a field of the step makes clear; a term where it first stands."""
        if not self.unclear("ambiguous") and not self.unclear("terms"):
            return ()
        settled = {(each.hit.index, each.hit.start) for each in self.retries if each.counted is not None}
        told = [each for each in self.unclear("ambiguous") if (each.hit.index, each.hit.start) not in settled]
        first_of = {each.word.name: each for each in reversed(self.unclear("terms"))}
        used_two_ways = {each.word.name for each in self.terms_used_two_ways}
        return (*told, *(each for name, each in first_of.items() if name not in used_two_ways))

    @cached_property
    def pronouns(self) -> tuple[Unclear, ...]:
        """The pronouns for a key where nobody can tell which of several is meant."""
        return tuple(each for each in self.unclear("pronouns") if self._may_be_several(each.hit.said))

    def _may_be_several(self, said: Said) -> bool:
        named, there = self._named(said), self._keys_by(said)
        return len({*named, *there}) > 1 or (bool(there) and not named and self._keys_about > 1)

    def _named(self, said: Said) -> frozenset[str]:
        """Give the keys that a text names."""
        letters = self.bench.letters
        return frozenset(key for mention in mentions(said.text, self.catalogue) for key in mention.keys(letters))

    def _keys_by(self, said: Said) -> tuple[str, ...]:
        """Give the keys that the lines beside a text name."""
        lines = said.step.lines if said.step is not None else ()
        return tuple(sorted(words_by_kind(lines).get("key", ())))

    @cached_property
    def _keys_about(self) -> int:
        """How many keys can be at hand; of a block's nobody knows, so there are several."""
        return 2 if isinstance(self.flow, Block) else sum(group.here[1] for group in self.flow.keys.values())

    @cached_property
    def terms_used_two_ways(self) -> tuple[TwoWays, ...]:
        """The terms that stand for different keys in two steps."""
        by_name: dict[str, list[Unclear]] = defaultdict(list)
        for each in self.unclear("terms"):
            by_name[each.word.name].append(each)
        return tuple(found for uses in by_name.values() if (found := self._two_ways(uses)) is not None)

    def _two_ways(self, uses: list[Unclear]) -> TwoWays | None:
        known = [(each, keys) for each in uses if (keys := self._keys_by(each.hit.said))]
        for each, keys in known[1:]:
            first, first_keys = known[0]
            if set(keys).isdisjoint(first_keys):
                return TwoWays(each.word, first.hit, first_keys, each.hit, keys)
        return None

    @cached_property
    def paraphrases(self) -> tuple[Unclear, ...]:
        """The prompts told in other words where neither a field of the step nor a quotation gives the screen's own."""
        told = [each for each in self.unclear("paraphrases") if not _has_own_words(each.hit.said)]
        return (*told, *self._retold())

    def _retold(self) -> Iterator[Unclear]:
        for step in self.flow.steps.values():
            # A screen writes in capitals or begins with one; a person who tells of it seldom does.
            if step.prompt is not None and not step.prompt.says.isupper():
                said = Said(step.prompt.says, "says", step.prompt.at, step)
                for phrase, word in self.catalogue.unclear_by_phrase.items():
                    if word.group == "retold" and said.text.lower().startswith(phrase):
                        yield Unclear(Hit(said, -1, 0, len(phrase), phrase), word)
                        break

    @cached_property
    def long(self) -> tuple[Stretched, ...]:
        """The longest sentence of each text where it has too many words, and the texts of too many sentences."""
        return tuple(too_long(self.texts, self._timed, self.speech.limits))

    @cached_property
    def _timed(self) -> frozenset[str]:
        return frozenset(name for region in self.written.regions for name in region.steps)

    @cached_property
    def doubled(self) -> tuple[Stretched, ...]:
        """The clauses with two words that say no."""
        told = ((said, each) for said, each in zip(self.texts, self._reads, strict=True) if each.doubled)
        return tuple(stretched(said, clause, number, 1) for said, each in told for clause, number in each.doubled)

    @cached_property
    def conditions_behind(self) -> tuple[Stretched, ...]:
        """The commands with their condition behind them."""
        indices = {hit.index for phrase in self.speech.conditions if phrase in self._hits for hit in self._hits[phrase]}
        told = (self.texts[index] for index in sorted(indices))
        return tuple(each for said in told if said.kind in COMMANDS or said.kind == "means" for each in behind(said, self.speech))

    @cached_property
    def crowded(self) -> tuple[Stretched, ...]:
        """The sentences of instructions that command two things which are not done together."""
        finder = self.catalogue.phrases
        return tuple(each for said in self._instructions for each in crowded(said, self.speech, finder))

    @cached_property
    def rings(self) -> tuple[Ring, ...]:
        """The words that leave several keys on one ring."""
        things = self.speech.ring.things
        told = tuple(said for said in self.texts if any(thing in said.text for thing in things))
        return tuple(rings(told, self.flow, self.catalogue))

    @property
    def _instructions(self) -> Iterator[Said]:
        return (said for said in self.texts if said.kind == "instruction")

    @cached_property
    def differences(self) -> tuple[Difference, ...]:
        """Where instructions and lines differ."""
        told = ((said, said.step) for said in self._instructions)
        return tuple(each for said, step in told if step is not None for each in differences(said, step, self.bench))

    @cached_property
    def unnamed_keys(self) -> tuple[tuple[Said, Mention], ...]:
        """Where an instruction speaks of `the key` only, the lines of that doing name one, and there are several."""
        if self._keys_about < 2:
            return ()
        return tuple((said, mention) for said in self._instructions for mention in self._unnamed(said))

    def _unnamed(self, said: Said) -> Iterator[Mention]:
        # In a loop `the key` is that of the round.
        lines = said.step.lines if said.step is not None and said.step.loop is None else ()
        for mention in mentions(said.text, self.catalogue):
            handled = words_by_kind(lines_of(mention.doing, lines)).get("key") if mention.has_unnamed_key else None
            if handled and not self._named(said):
                yield mention

    @cached_property
    def prompt_faults(self) -> tuple[PromptFault, ...]:
        """The prompts without a note whose literal reading is not what is done."""
        return tuple(prompt_faults(self.written, self.bench))

    @cached_property
    def unsigned(self) -> tuple[tuple[Step, Line], ...]:
        """The lines of equipment or vehicle that do something after which nothing is to be seen."""
        return tuple(
            (step, line)
            for step in self.flow.steps.values()
            for line in step.lines
            if not line.expect and line.by != "technician" and self._wants_sign(line)
        )

    def _wants_sign(self, line: Line) -> bool:
        action = line.action
        # What shows that a wait of others is over is asked for with their times.
        if action.verb.startswith(_WAIT):
            return False
        is_seen = action.shows or len(action.answers) > 1 or action.verb in self.speech.seen_at_once
        return not is_seen and fails_by_itself(line)

    @cached_property
    def retries(self) -> tuple[Retry, ...]:
        """How often texts say that something is tried, against `tries`."""
        tries = self.speech.tries
        found = [(hit, tries[phrase]) for phrase in self._hits.keys() & tries.keys() for hit in self._hits[phrase]]
        told = [(hit, hit.said.step, more) for hit, more in found if hit.said.kind in ("instruction", "act", "ask")]
        return tuple(self._retry(hit, step, more) for hit, step, more in told if step is not None)

    def _retry(self, hit: Hit, step: Step, more: int) -> Retry:
        numbers = map(self.catalogue.measures.number, hit.text.lower().split())
        told = next(number for number in numbers if number)
        if step.tries is not None:
            # The field counts how often a step is entered; a fallback is entered once the first try has failed.
            return Retry(hit, told, step.tries - (0 if step.is_fallback else more))
        leads = (self.flow.steps.get(way.target) for way in step.ways)
        counted = [each.tries for each in leads if each is not None and each.tries is not None]
        return Retry(hit, told, counted[0] + 1 - more if counted else None)

    @cached_property
    def hidden_doings(self) -> tuple[tuple[Said, Mention], ...]:
        """What only a caution says to do with a key and no line does."""
        if not self.flow.cautions:
            return ()
        lines = [line for step in self.flow.steps.values() for line in step.lines]
        cautions = [said for said in self.texts if said.kind in ("hazard", "consequence", "avoid")]
        told = ((said, mention) for said in cautions for mention in mentions(said.text, self.catalogue))
        return tuple(
            (said, mention) for said, mention in told if mention.keys(self.bench.letters) and not lines_of(mention.doing, lines)
        )


def _has_own_words(said: Said) -> bool:
    has_prompt = said.step is not None and said.step.prompt is not None
    return has_prompt or own_words(said.text) != said.text
