"""A line as stops: what it needs, what must have been warned of before, and what comes of it."""

from collections.abc import Iterable, Iterator, Mapping
from functools import partial
from typing import NamedTuple

from proclint.analysis.machine import Check
from proclint.analysis.states.binding import Binding, holds
from proclint.analysis.states.cast import SEEN, Cast
from proclint.analysis.states.effects import Stage, made_by, made_by_failing
from proclint.analysis.states.needs import Need, danger_of, needs_of_ending, needs_of_line
from proclint.analysis.states.piece import Demand, Tables
from proclint.analysis.states.truth import TRUE, Scene, Truth, all_hold, otherwise
from proclint.analysis.states.writer import Writer
from proclint.catalogue import MatchedLine, Whose
from proclint.model import Line

FAILS = "fails"
CAUTION_RULE = "hazard-without-caution"
_Held = list[tuple[int, Mapping[int, int], Tables]]


class Doing(NamedTuple):
    """One line, by its number in its step, with the keys that its words name settled."""

    line: Line
    number: int
    scene: Scene


class LineWriter:
    """Writes lines to a run of stops, in one binding."""

    def __init__(self, run: Writer, binding: Binding) -> None:
        self.run = run
        self.binding = binding
        self.cast: Cast = binding.cast
        self.catalogue = binding.cast.catalogue
        self.counts = binding.counts()

    def begin(self, line: Line) -> _Held:
        """Begin a line that may be left out; give what passes it by."""
        if not line.only_if:
            return []
        when = holds(line.only_if, self.binding, self.cast)
        here = self.run.stop()
        self.run.go(here, otherwise(when, self.cast) if when.is_sure else TRUE)
        passed = self.run.hold()
        self.run.go(here, when)
        return passed

    def doings(self, line: Line, number: int) -> Iterator[Doing]:
        """Give what a line stands for, one after the other: a group where a key is wanted is each of its keys."""
        words = self._words(line)
        keys = {name: self.binding.keys_of(word) for name, word in words.items() if _is_key(line, name)}
        several = next((name for name, found in keys.items() if len(found) > 1), "")
        for key in keys.get(several, ("",)):
            named = {name: found[0] for name, found in keys.items() if found}
            if several:
                named[several] = key
            yield Doing(line, number, self._scene(line.verb, line.by, {**words, **named}))

    def _scene(self, verb: str, actor: str, words: Mapping[str, str]) -> Scene:
        """Give the scene of a line, the same one wherever it comes again."""
        key = ("scene", self.binding.scope, verb, actor, tuple(words.items()))
        found = self.cast.kept.get(key)
        if not isinstance(found, Scene):
            found = self.cast.kept[key] = Scene(self.cast, verb, actor, words, self.counts)
        return found

    def _words(self, line: Line) -> Mapping[str, str]:
        """Give the words of a line's parameters, defaults for those left out, those of a block as given to it; and its sign."""
        words = {name: self.binding.word(word) for name, word in line.words.items()}
        for name, default in self.catalogue.deed(line.verb).defaults.items():
            if name not in words:
                key = next((key for word in words.values() for key in self.binding.keys_of(word)), "")
                scene = Scene(self.cast, line.verb, line.by, {**words, "key": key}, self.counts)
                found = scene.kind_of(key) if default.whose is Whose.TOLD else scene.word(default)
                if found is not None:
                    words[name] = found
        if line.expect and self.catalogue.speech.is_tone(line.expect):
            words["sign"] = "tone"
        return words

    def check(self, doing: Doing, *, is_first: bool = True) -> int:
        """Check that a line was warned of and that what it needs holds; give the stop from which it is done."""
        if is_first:
            for hazard in doing.line.action.hazards:
                self._warned(hazard, doing)
        return self._ask(needs_of_line(doing.scene), doing.number, doing.line.text)

    def ending(self, kind: str) -> int:
        """Check what must hold at an ending of a kind."""
        return self._ask(needs_of_ending(kind, self.cast), -1, "")

    def _ask(self, needs: Iterable[Need], line: int, text: str) -> int:
        """Check things that must hold, told of a line; give the stop behind the checks."""
        checked: list[tuple[Check, Demand]] = []
        divided: list[tuple[Need, list[tuple[Check, Demand]]]] = []
        for need in needs:
            checks = [asked.at(line, text) for asked in need.asked]
            if need.when is TRUE and len(need.must.cases) == 1:
                checked += checks
            else:
                divided.append((need, checks))
        for need, checks in divided:
            self._check_where(need.when, checks, need.must)
        return self.run.stop(checked)

    def _check_where(self, when: Truth, checks: list[tuple[Check, Demand]], must: Truth) -> None:
        """Check in some cases only, or, where several cases are good, that it is one of them."""
        here = self.run.stop()
        self.run.go(here, otherwise(when, self.cast))
        passed = self.run.hold()
        self.run.go(here, when)
        if len(must.cases) != 1:
            here = self.run.stop()
            self.run.go(here, must)
            passed += self.run.hold()
            self.run.go(here, otherwise(must, self.cast))
        here = self.run.stop(checks)
        self.run.go(here)
        self.run.rejoin(passed)

    def _warned(self, hazard: str, doing: Doing) -> None:
        """Check that whoever does a line was warned of a hazard, where it is raised and nothing surely ends it."""
        danger = danger_of(hazard, doing.scene)
        if danger is None:
            return
        seen = self.cast.number[f"{SEEN}.{hazard}"]
        passed: _Held = []
        for truth, is_open in ((danger.ended, False), (danger.raised, True)):
            if truth is TRUE or (not is_open and not truth.cases):
                continue
            here = self.run.stop()
            self.run.go(here, otherwise(truth, self.cast) if is_open else truth)
            passed += self.run.hold()
            self.run.go(here, truth if is_open else otherwise(truth, self.cast))
        demand = Demand(CAUTION_RULE, hazard, doing.number, doing.line.text, self.cast.names[seen], (), hazard)
        here = self.run.stop([(self.cast.layout.check(seen, 2), demand)])
        is_again = self.catalogue.hazards[hazard].again
        self.run.go(here, TRUE, {seen: (1, 1)} if is_again else {})
        self.run.rejoin(passed)

    def make(self, here: int, made: tuple[Stage, ...]) -> None:
        """Let changes hang from a stop."""
        if len(made) == 1 and made[0].when is TRUE:
            self.run.go(here, TRUE, made[0].tables)
            return
        self.run.go(here)
        for stage in made:
            self.run.apply(stage.when, stage.tables)

    def done(self, here: int, doing: Doing, *, answer: str = "") -> None:
        """Let hang from a stop what comes of a line that is done, with an answer or with the wished one."""
        self.make(here, made_by(doing.line.action, doing.scene, answer))

    def set(self, name: str, value: str) -> None:
        """Give a variable a value."""
        number = self.cast.number[name]
        here = self.run.stop()
        self.run.go(here, TRUE, {number: (self.cast.mask(number, (value,)),) * self.cast.layout.sizes[number]})

    def unwished(self, doing: Doing) -> tuple[str, ...]:
        """Give the answers of a line that are not the wished one, which its sign may name."""
        answers = tuple(self.catalogue.deed(doing.line.verb).answers)
        wished = doing.line.expect if doing.line.expect in answers else next(iter(answers), "")
        return tuple(answer for answer in answers if answer != wished)

    def answered(self, here: int, doing: Doing, *, answer: str, is_wished: bool) -> None:
        """Let hang from a stop what comes of a line with an answer; a value that was looked at is that value from then on."""
        deed = self.catalogue.deed(doing.line.verb)
        if not deed.sees_value:
            (self.done if is_wished else self.failed)(here, doing, answer=answer)
            return
        seen: dict[int, tuple[int, ...]] = {}
        for shown in deed.shows:
            for variable in doing.scene.variables(shown.target):
                mask = self.cast.mask(variable, (answer,)) & self.cast.possible(variable)
                if mask:
                    seen[variable] = (mask,) * self.cast.layout.sizes[variable]
        if seen:
            self.run.go(here, TRUE, seen)

    def failed(self, here: int, doing: Doing, *, answer: str = "") -> None:
        """Let hang from a stop what comes of a line that failed, with an answer where its answers are told apart."""
        self.make(here, made_by_failing(doing.line.action, doing.scene, answer))

    def make_sure(self, line: Line, number: int) -> None:
        """Write a line that reaches a value where it is not there already: what the catalogue's rows do, the first that fits."""
        name, value = self.binding.word(line.words["variable"]), line.words["value"]
        for single in self.catalogue.sums.get(name, (name,)):
            variable = self.cast.number[single]
            good = self.cast.mask(variable, (value,))
            here = self.run.stop()
            self.run.go(here, Truth(({variable: good},)))
            passed = self.run.hold()
            self.run.go(here, Truth(({variable: self.cast.full(variable) & ~good},)))
            self._reach(line, number, (single, value))
            here = self.run.stop()
            self.run.go(here, TRUE, {variable: (good,) * self.cast.layout.sizes[variable]})
            self.run.rejoin(passed)

    def _reach(self, line: Line, number: int, aim: tuple[str, str]) -> None:
        reached: _Held = []
        scene = self._scene(line.verb, line.by, {})
        for rank, row in enumerate(self.catalogue.reaches.get(aim, ())):
            when = scene.once((aim, rank), partial(all_hold, row.when, scene))
            here = self.run.stop()
            self.run.go(here, otherwise(when, self.cast))
            left = self.run.hold()
            self.run.go(here, when)
            for text in row.do:
                self._do_text(text, line, number)
            reached += self.run.hold()
            self.run.rejoin(left)
            if when is TRUE:
                break
        self.run.rejoin(reached)

    def _do_text(self, text: str, line: Line, number: int) -> None:
        """Do a line of a row; the key that is in the cylinder, and one that works, are found first."""
        cylinder = self.cast.number.get("cylinder")
        keys = self.cast.keys if "{cylinder}" in text else (self._working,) if "{working}" in text else ("",)
        ends: _Held = []
        here = self.run.stop()
        for key in keys:
            done = text.replace("{cylinder}", key).replace("{working}", key)
            match = self.catalogue.match(done)
            if isinstance(match, MatchedLine) and (key or "{" not in text):
                is_in = (
                    Truth(({cylinder: self.cast.mask(cylinder, (key,))},))
                    if "{cylinder}" in text and cylinder is not None
                    else TRUE
                )
                self.run.go(here, is_in)
                scene = self._scene(match.action.verb, line.by, match.words)
                inner = Line(line.at, done, match.action, match.words, line.by)
                doing = Doing(inner, number, scene)
                self.done(self.check(doing), doing)
                ends += self.run.hold()
        if "{cylinder}" in text and cylinder is not None:
            self.run.go(here, Truth(({cylinder: self.cast.full(cylinder) & ~self.cast.mask(cylinder, keys)},)))
        self.run.rejoin(ends)

    @property
    def _working(self) -> str:
        here = [key for key in self.cast.keys if key not in self.cast.absent]
        return next(iter((*(key for key in here if self.cast.group_of[key].is_original), *here)), "")


def _is_key(line: Line, name: str) -> bool:
    parameter = line.action.parameters.get(name)
    return parameter is not None and parameter.kind == "key"
