"""A line as stops: what it needs, what must have been warned of before, and what comes of it."""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

from proclint.analysis.machine import Check
from proclint.analysis.states.binding import Binding, holds
from proclint.analysis.states.cast import SEEN, Cast
from proclint.analysis.states.effects import Stage, scenes, stages
from proclint.analysis.states.piece import Demand, Tables
from proclint.analysis.states.truth import TRUE, Scene, Truth, all_hold, any_of, both, is_there, otherwise
from proclint.analysis.states.writer import Writer
from proclint.catalogue import Atom, Item, MatchedLine, Shown, Whose
from proclint.model import Line

FAILS = "fails"
CAUTION_RULE = "hazard-without-caution"
_MAY_HAVE_HAPPENED = "may-have-happened"
_Held = list[tuple[int, Mapping[int, int], Tables]]


@dataclass(frozen=True, slots=True)
class Doing:
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
            yield Doing(line, number, Scene(self.cast, line.verb, line.by, {**words, **named}, self.counts))

    def _words(self, line: Line) -> Mapping[str, str]:
        """Give the words of a line's parameters, those left out by their defaults, those of a block as given to it."""
        words = {name: self.binding.word(word) for name, word in line.words.items()}
        for name, default in self.catalogue.deed(line.verb).defaults.items():
            if name not in words:
                key = next((key for word in words.values() for key in self.binding.keys_of(word)), "")
                scene = Scene(self.cast, line.verb, line.by, {**words, "key": key}, self.counts)
                found = scene.kind_of(key) if default.whose is Whose.TOLD else scene.word(default)
                if found is not None:
                    words[name] = found
        return words

    def check(self, doing: Doing, *, is_first: bool = True) -> int:
        """Check that a line was warned of and that what it needs holds; give the stop from which it is done."""
        if is_first:
            for hazard in doing.line.action.hazards:
                self._warned(hazard, doing)
        needs = [("", "", item) for item in self.catalogue.deed(doing.line.verb).needs]
        for demand in self.catalogue.demands_at(doing.line.verb):
            needs += [(demand.rule, demand.subject, item) for item in demand.must]
        return self._ask(needs, doing.scene, doing)

    def ending(self, kind: str) -> int:
        """Check what must hold at an ending of a kind."""
        demands = self.catalogue.demands_at_ending(kind) if kind else ()
        needs = [(demand.rule, demand.subject, item) for demand in demands for item in demand.must]
        return self._ask(needs, Scene(self.cast, "", "", {}, {}), None)

    def _ask(self, needs: Iterable[tuple[str, str, Item]], scene: Scene, doing: Doing | None) -> int:
        """Check things that must hold, each with its rule and subject; give the stop behind the checks."""
        asked: list[tuple[Check, Demand]] = []
        divided: list[tuple[Truth, list[tuple[Check, Demand]], Truth]] = []
        for rule, subject, item in needs:
            for each in _scenes_of(item, scene):
                if doing is None and each.each in self.cast.absent:
                    # What is not here is nobody's to prove.
                    continue
                when = both(is_there(each.each, self.cast), all_hold(item.condition, each), self.cast)
                must = all_hold(item.atoms, each)
                if not when.is_sure or not when.cases or not must.is_sure or must is TRUE:
                    continue
                checks = checks_of(must, (rule, subject), doing, self.cast)
                if when is TRUE and len(must.cases) == 1:
                    asked += checks
                else:
                    divided.append((when, checks, must))
        for when, checks, must in divided:
            self._check_where(when, checks, must)
        return self.run.stop(asked)

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
        peril = self.catalogue.peril(hazard)
        raised = any_of(_those(peril.raised_by, doing.scene))
        ended = any_of(truth for truth in _those(peril.discharged_by, doing.scene) if truth.is_sure)
        if not raised.cases or not raised.is_sure or ended is TRUE:
            return
        seen = self.cast.number[f"{SEEN}.{hazard}"]
        passed: _Held = []
        for truth, is_open in ((ended, False), (raised, True)):
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
        deed = self.catalogue.deed(doing.line.verb)
        effects = deed.makes + (deed.answers.get(answer) or next(iter(deed.answers.values()), ()))
        shown = tuple(stage for each in deed.shows for stage in self._shown(each, doing))
        changed = self._changed(doing, {"no": "yes", "maybe": "yes", "yes": "yes"})
        self.make(here, (*shown, *stages(effects, doing.scene), *changed))

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
        deed = self.catalogue.deed(doing.line.verb)
        made = stages(deed.failure_makes + deed.answers.get(answer, ()), doing.scene)
        if doing.line.action.on_failure == _MAY_HAVE_HAPPENED:
            maybe = self._changed(doing, {"no": "maybe", "maybe": "maybe", "yes": "yes"})
            made = (*stages(deed.makes, doing.scene, may_not=True), *made, *maybe)
        self.make(here, made)

    def _changed(self, doing: Doing, becomes: Mapping[str, str]) -> tuple[Stage, ...]:
        """Give that the vehicle's list was, or may have been, changed, where a line does that."""
        number = self.cast.number.get("changed")
        if number is None or not doing.line.action.writes:
            return ()
        table = tuple(self.cast.mask(number, (becomes[value],)) for value in self.cast.values["changed"])
        return (Stage(TRUE, {number: table}),)

    def _shown(self, shown: Shown, doing: Doing) -> Iterator[Stage]:
        if not doing.scene.says_all(shown.parameters):
            return
        when = all_hold(shown.condition, doing.scene)
        if when.cases:
            for variable in doing.scene.variables(shown.target):
                # How many there are does not change, and counting says no more than the file does; the way taken does.
                if variable not in self.cast.counted:
                    yield Stage(when, {variable: (self.cast.possible(variable),) * self.cast.layout.sizes[variable]})

    def make_sure(self, line: Line, number: int) -> None:
        """Write a line that reaches a value where it is not there already: what the catalogue's rows do, the first that fits."""
        name, value = self.binding.word(line.words["variable"]), line.words["value"]
        for single in self.catalogue.sums.get(name, (name,)):
            variable = self.cast.number.get(single)
            if variable is None:
                continue
            good = self.cast.mask(variable, (value,))
            here = self.run.stop()
            self.run.go(here, Truth(({variable: good},)) if good else TRUE)
            passed = self.run.hold()
            self.run.go(here, Truth(({variable: self.cast.full(variable) & ~good},)))
            self._reach(line, number, (single, value))
            if good:
                here = self.run.stop()
                self.run.go(here, TRUE, {variable: (good,) * self.cast.layout.sizes[variable]})
            self.run.rejoin(passed)

    def _reach(self, line: Line, number: int, aim: tuple[str, str]) -> None:
        reached: _Held = []
        for row in self.catalogue.reaches.get(aim, ()):
            scene = Scene(self.cast, line.verb, line.by, {}, self.counts)
            when = all_hold(row.when, scene)
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
                scene = Scene(self.cast, match.action.verb, line.by, match.words, self.counts)
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


def checks_of(must: Truth, named: tuple[str, str], doing: Doing | None, cast: Cast) -> list[tuple[Check, Demand]]:
    """Give a check of each variable that has to have one of some values; one that never holds where several cases are good.

    `named` are the rule and the subject; without a rule the catalogue says to which a broken need belongs.
    """
    rule, subject = named
    verb, number, text = (doing.line.verb, doing.number, doing.line.text) if doing is not None else ("", -1, "")
    if len(must.cases) != 1:
        return [
            (
                cast.layout.check(0, 2),
                Demand(rule or cast.catalogue.rule_of_need(verb, ""), subject, number, text, cast.names[0], ()),
            )
        ]
    found = []
    for variable, good in must.cases[0].items():
        name = cast.names[variable]
        last = name.rpartition(".")[2]
        demand = Demand(
            rule or cast.catalogue.rule_of_need(verb, last), subject or last, number, text, name, cast.words(variable, good)
        )
        found.append((cast.layout.check(variable, good), demand))
    return found


def _is_key(line: Line, name: str) -> bool:
    parameter = line.action.parameters.get(name)
    return parameter is not None and parameter.kind == "key"


def _scenes_of(item: Item, scene: Scene) -> Iterator[Scene]:
    """Give a scene for each key that an item is read for, none where the line does not say what the item names."""
    if not scene.says_all(item.parameters):
        return
    owners = {operand.whose for atom in (*item.atoms, *item.condition) for operand in atom.operands}
    yield from scenes(next((whose for whose in (Whose.EVERY, Whose.OTHERS) if whose in owners), Whose.VEHICLE), scene)


def _those(alternatives: Iterable[tuple[Atom, ...]], scene: Scene) -> Iterator[Truth]:
    """Say of each alternative when it holds; one that names what the line does not say is left out."""
    for atoms in alternatives:
        if all(not operand.parameter or operand.parameter in scene.words for atom in atoms for operand in atom.operands):
            yield all_hold(atoms, scene)
