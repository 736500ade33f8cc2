"""A step as stops: cautions, lines, outcomes, tries and rounds; and the steps of a flow put together."""

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, field, replace
from functools import partial
from typing import cast

from proclint.analysis.outcomes import fails_by_itself
from proclint.analysis.shelf import Shelf, Written, WrittenStep
from proclint.analysis.states.binding import Binding, holds, inside
from proclint.analysis.states.cast import SEEN, Cast
from proclint.analysis.states.joined import Joined, Wire
from proclint.analysis.states.lines import FAILS, Doing, LineWriter
from proclint.analysis.states.piece import Part, Run
from proclint.analysis.states.truth import TRUE, Truth, both, otherwise
from proclint.analysis.states.writer import Writer
from proclint.analysis.windows import Region
from proclint.model import Block, End, Line, Step

DONE = "done"
ENTERED = "entered"
LAST_ROUND = "last round"
MAKE_SURE = "make-sure"
SPENT_OUTCOME = "spent"
LATE = "late "
_MOST_ROUNDS = 12


@dataclass
class Layer:
    """Lays steps and blocks; those of a block, which are the same for all its callers of one cast, are laid once."""

    shelf: Shelf

    def flow(self, written: Written, binding: Binding) -> Joined:
        """Lay a procedure or block. It is left by the exits of a block; the endings of a procedure are where it stops."""
        plan = _Plan(self, written, binding)
        for each in written.steps.values():
            plan.step(each)
        for end in written.flow.ends.values():
            plan.ending(end)
        return plan.joined()

    def block(self, block: Block, binding: Binding) -> Part:
        """Lay a block in one binding, once."""
        return self.keep(("block", block.id, binding), lambda: self.flow(self.shelf.written(block), binding))

    def keep(self, key: object, make: Callable[[], Part], *, among: dict[object, object] | None = None) -> Part:
        """Give what was laid before, or lay it: on the shelf, or `among` what hangs on the cast alone."""
        kept = self.shelf.kept if among is None else among
        found = kept.get(key)
        if found is None:
            found = kept[key] = make()
        return cast("Part", found)

    def rounds(self, step: Step, binding: Binding) -> Iterator[tuple[Part | None, bool, Binding]]:
        """Give the rounds of a step: the stop before it, if those before may have been all; whether it begins a group."""
        loop = step.loop
        if loop is None:
            yield None, False, binding
        elif not loop.letter:
            for _ in range(min(max(loop.times, 1), _MOST_ROUNDS)):
                yield None, False, binding
        else:
            for word in loop.groups:
                before = ""
                for key in binding.keys_of(word):
                    letter = binding.cast.group_of[key].letter
                    rank = binding.cast.group_of[key].keys.index(key) + 1
                    gate = self.keep(("gate", letter, rank), partial(_gate, letter, rank, binding.cast), among=binding.cast.kept)
                    yield gate, letter != before, binding.with_key(loop.letter, key)
                    before = letter

    def body(self, each: WrittenStep, regions: tuple[Region, ...], binding: Binding) -> Part:
        """Lay what is done in one round of a step."""
        step = each.step
        if step.follow is not None:
            block = self.shelf.blocks[step.follow.block]
            return self.block(block, inside(block, step.follow, binding))
        open_here = tuple([region for region in regions if step.name in region.steps])
        key = ("body", binding, _said(each, open_here))
        return self.keep(key, lambda: _body(each, open_here, binding), among=binding.cast.kept)


def _said(each: WrittenStep, regions: tuple[Region, ...]) -> object:
    """Give all that the stops of a step's lines hang on, but for where it stands."""
    step, outcomes = each.step, each.outcomes
    prompt = step.prompt is not None and bool(step.prompt.choices) and not step.prompt.answer
    return (
        tuple([_said_of_line(line) for line in (*step.lines, *step.meanwhile)]),
        len(step.lines),
        step.ask,
        prompt,
        tuple([leaving.outcome for leaving in each.exits]),
        outcomes.answers,
        outcomes.unwished,
        len(outcomes.conditions),
        tuple([region.window.name for region in regions]),
    )


def _said_of_line(line: Line) -> object:
    opens = tuple([mark.window for mark in line.opens]) if line.opens else ()
    return (line.text, tuple(line.words.items()), line.by, line.only_if, line.expect, line.repeat, line.rounds_of, opens)


def _body(each: WrittenStep, regions: tuple[Region, ...], binding: Binding) -> Run:
    run = Writer(binding.cast)
    here = run.stop()
    for when, chosen in _choices(each.step, binding):
        run.go(here, when)
        _Body(run, each, regions, chosen).write()
    return run.run()


@dataclass
class _Plan:
    """Puts the parts of one flow together: of each step its beginning and its rounds, of which there is one as a rule."""

    layer: Layer
    written: Written
    binding: Binding
    parts: list[tuple[Step | End, Part]] = field(default_factory=list)
    wires: dict[tuple[int, str], Wire] = field(default_factory=dict)
    begins: dict[str, int] = field(default_factory=dict)
    leaving: list[tuple[int, str, str]] = field(default_factory=list)

    def add(self, of: Step | End, part: Part, hanging: Iterable[tuple[int, str]] = (), *, resets: bool = False) -> int:
        """Add a part to which all that hangs leads; give its number."""
        number = len(self.parts)
        self.parts.append((of, part))
        for at in hanging:
            self.wires[at] = Wire(number, resets)
        return number

    def step(self, each: WrittenStep) -> None:
        """Lay a step."""
        step, binding, wished = each.step, self.binding, _wished(each)
        targets: dict[str, str] = {}
        for out in each.exits:
            targets.setdefault(out.outcome, out.target)
        shown = tuple([word.text for word in step.cautions])
        begin = self.layer.keep(
            ("begin", shown, step.tries), lambda: _beginning(shown, step.tries, binding.cast), among=binding.cast.kept
        )
        self.begins[step.name] = self.add(step, begin)
        self.leaving.append((self.begins[step.name], SPENT_OUTCOME, targets.pop(SPENT_OUTCOME, "")))
        hanging, skips = [(self.begins[step.name], ENTERED)], list[tuple[int, str]]()
        for gate, is_next_group, inner in self.layer.rounds(step, binding):
            if is_next_group:
                hanging, skips = hanging + skips, []
            if gate is not None:
                at = self.add(step, gate, hanging)
                hanging, skips = [(at, ENTERED)], [*skips, (at, LAST_ROUND)]
            if shown and step.loop is not None:
                # What is shown at a step is shown for all its rounds.
                again = self.layer.keep(
                    ("begin again", shown), lambda: _beginning(shown, None, binding.cast, cost=0), among=binding.cast.kept
                )
                hanging = [(self.add(step, again, hanging), ENTERED)]
            body = self.layer.body(each, self.written.regions, inner)
            at = self.add(step, body, hanging, resets=step.follow is not None)
            hanging = [(at, wished)]
            self.leaving += [(at, outcome, target) for outcome, target in targets.items() if outcome != wished]
            late = [region for region in self.written.regions if step.name in region.steps]
            self.leaving += [(at, LATE + region.window.name, region.late) for region in late]
        self.leaving += [(at, outcome, targets.get(wished, "")) for at, outcome in hanging + skips]

    def ending(self, end: End) -> None:
        """Lay an ending, behind the block that every way to it runs through; or an exit of a block."""
        last = self.layer.keep(("end", end.kind or (end.name,)), lambda: _ending(end, self.binding), among=self.binding.cast.kept)
        block = self.layer.shelf.blocks.get(end.through)
        if block is None:
            self.begins[end.name] = self.add(end, last)
            return
        self.begins[end.name] = number = self.add(end, self.layer.block(block, inside(block, None, self.binding)))
        self.add(end, last, [(number, name) for name in block.ends])

    def joined(self) -> Joined:
        """Give the whole."""
        for at, outcome, target in self.leaving:
            if target in self.begins:
                self.wires[at, outcome] = Wire(self.begins[target])
        if isinstance(self.written.flow, Block):
            for name in self.written.flow.ends:
                self.wires[self.begins[name], name] = Wire(name)
        return Joined(tuple(self.parts), self.wires, self.binding.cast.count_fields)


def _ending(end: End, binding: Binding) -> Run:
    run = Writer(binding.cast)
    run.stop()
    run.go(0)
    here = LineWriter(run, binding).ending(end.kind)
    if not end.kind:
        run.leave(here, end.name)
    return run.run()


def _wished(each: WrittenStep) -> str:
    return each.outcomes.answers[0] if each.step.follow is not None and each.outcomes.answers else DONE


def _beginning(cautions: tuple[str, ...], tries: int | None, cast: Cast, *, cost: int = 1) -> Run:
    """Lay the stop at which a step is entered: its tries, and the cautions that are shown."""
    run = Writer(cast)
    run.stop()
    shown = {number: (2, 2) for word in cautions if (number := cast.number.get(f"{SEEN}.{word}")) is not None}
    run.leave(0, ENTERED, TRUE, shown)
    return run.run(tries=tries, cost=cost)


def _gate(letter: str, rank: int, cast: Cast) -> Part:
    """Lay the stop before a round: the round comes if that many keys of the group are here."""
    run = Writer(cast)
    here = run.stop()
    number = cast.number[f"{letter}.here"]
    enough = cast.full(number) & ~((1 << rank) - 1)
    run.leave(here, ENTERED, Truth(({number: enough},)))
    run.leave(here, LAST_ROUND, Truth(({number: (1 << rank) - 1},)))
    return run.run()


def _choices(step: Step, binding: Binding) -> Iterator[tuple[Truth, Binding]]:
    """Give the keys that `G.missing` may be in a step, one and the same for all its lines, and when each is it."""
    word = next((word for line in step.lines for word in line.words.values() if word.endswith(".missing")), "")
    keys = binding.keys_of(word) if word else ()
    if not keys:
        yield TRUE, binding
        return
    for index, key in enumerate(keys):
        yield _is_missing(keys, index, binding.cast), replace(binding, keys=((word, (key,)), *binding.keys))


def _is_missing(keys: tuple[str, ...], index: int, cast: Cast) -> Truth:
    """Say when a key is the first that is not registered or, where all are, the first not proved to start, or the first."""
    registered = [cast.number[f"{key}.registered"] for key in keys]
    starts = [cast.number[f"{key}.starts"] for key in keys]
    yes, works = (1 << 1 for _ in range(2))
    cases: list[dict[int, int]] = [{**dict.fromkeys(registered[:index], yes), registered[index]: 1}]
    rest = cast.full(starts[index]) & ~works
    cases.append({**dict.fromkeys(registered, yes), **dict.fromkeys(starts[:index], works), starts[index]: rest})
    if index == 0:
        cases.append({**dict.fromkeys(registered, yes), **dict.fromkeys(starts, works)})
    return Truth(tuple(cases))


@dataclass
class _Body:
    """Writes the lines of a step and its outcomes to a run."""

    run: Writer
    each: WrittenStep
    regions: tuple[Region, ...]
    binding: Binding

    def write(self) -> None:
        """Write the prompt, the lines and the outcomes; each outcome leaves the run."""
        step = self.each.step
        writer = LineWriter(self.run, self.binding)
        if step.prompt is not None and step.prompt.choices and not step.prompt.answer:
            writer.set("prompt", "open")
        lines = (*step.lines[:-1], *step.meanwhile, *step.lines[-1:])
        for number, line in enumerate(lines):
            self.once(number, lines, writer, is_first=True)
            for _ in range(1, min(line.repeat, _MOST_ROUNDS)):
                for each in range(number + 1 - line.rounds_of, number + 1):
                    self.once(each, lines, writer, is_first=False)
        if step.ask or not lines:
            self.told_apart(self.run.stop())
        self.run.leave_all(DONE)

    def once(self, number: int, lines: tuple[Line, ...], writer: LineWriter, *, is_first: bool) -> None:
        """Write a line once, or what passes it by."""
        line = lines[number]
        passed = writer.begin(line)
        self.line(line, number, writer, is_last=number == len(lines) - 1 and not self.each.step.ask, is_first=is_first)
        self.run.rejoin(passed)

    def line(self, line: Line, number: int, writer: LineWriter, *, is_last: bool, is_first: bool) -> None:
        """Write a line; what comes of the last is an outcome of the step."""
        if line.verb == MAKE_SURE:
            writer.make_sure(line, number)
            here = self.run.stop()
            self.late(line, here)
            if self.can_fail(line):
                self.run.leave(here, FAILS)
            self.finish(here, is_last=is_last)
            return
        for rank, doing in enumerate(writer.doings(line, number)):
            # What is done to one key after the other is warned of once.
            here = writer.check(doing, is_first=is_first and rank == 0)
            self.late(line, here)
            if self.can_fail(line):
                self.fail(doing, here, writer)
            if is_last and self.each.outcomes.answers:
                self.answer(doing, here, writer)
            writer.done(here, doing, answer=line.expect)
            if is_last and self.each.outcomes.conditions:
                self.told_apart(self.run.stop())
            elif is_last and self.each.outcomes.answers:
                self.run.hold()

    def finish(self, here: int, *, is_last: bool) -> None:
        """Go on from the end of a line that gives no answer."""
        if is_last and self.each.outcomes.conditions:
            self.told_apart(here)
        else:
            self.run.go(here)

    def can_fail(self, line: Line) -> bool:
        """Whether a line leads to the failing way of its step: by itself, or, where none of the step's does, as its last."""
        lines = self.each.step.lines
        if not any(leaving.outcome == FAILS for leaving in self.each.exits):
            return False
        failing = [each for each in lines if fails_by_itself(each) or each.action.may_fail]
        return line in (failing or lines[-1:])

    def fail(self, doing: Doing, here: int, writer: LineWriter) -> None:
        """Leave as failed: with each answer that is not the wished one, where the step does not tell answers apart."""
        told = () if self.each.outcomes.answers else writer.unwished(doing)
        for answer in told or ("",):
            before = self.run.hold()
            writer.failed(here, doing, answer=answer)
            self.run.leave_all(FAILS)
            self.run.rejoin(before)

    def answer(self, doing: Doing, here: int, writer: LineWriter) -> None:
        """Leave with each answer that the step tells apart."""
        for answer in self.each.outcomes.answers:
            before = self.run.hold()
            writer.answered(here, doing, answer=answer, is_wished=answer not in self.each.outcomes.unwished)
            self.run.leave_all(answer)
            self.run.rejoin(before)

    def told_apart(self, here: int) -> None:
        """Leave by the conditions that hold, by `otherwise` where none does; and by every word that only a person can say."""
        rest = TRUE
        for way in self.each.outcomes.conditions:
            truth = self.known_as_read(holds(way.outcome, self.binding, self.binding.cast))
            self.run.leave(here, way.outcome, truth)
            if truth.is_sure:
                rest = both(rest, otherwise(truth, self.binding.cast), self.binding.cast)
        known = {way.outcome for way in self.each.outcomes.conditions}
        for leaving in self.each.exits:
            if leaving.outcome not in known and leaving.outcome not in (FAILS, SPENT_OUTCOME):
                self.run.leave(here, leaving.outcome, rest if leaving.outcome in ("otherwise", DONE) else TRUE)

    def known_as_read(self, truth: Truth) -> Truth:
        """Take what a number that this step reads is narrowed to for what was read, too: they are the same here."""
        cast = self.binding.cast
        same: dict[int, int] = {}
        for line in self.each.step.lines:
            name, counter = (line.words.get(part, "") for part in ("name", "counter"))
            counted = self.binding.word(counter)
            number, read = self.binding.variable(name), cast.number.get(f"{counted}.used", cast.number.get(counted))
            if name and number is not None and read is not None:
                same[number] = read
        if not same:
            return truth
        cases = [{**case, **{same[name]: mask for name, mask in case.items() if name in same}} for case in truth.cases]
        return Truth(tuple(cases), truth.is_sure)

    def late(self, line: Line, here: int) -> None:
        """Leave as too late while a window is open."""
        lines = self.each.step.lines
        for region in self.regions:
            name = region.window.name
            opening = next((at for at, each in enumerate(lines) if any(mark.window == name for mark in each.opens)), -1)
            is_open = line not in lines or lines.index(line) > opening or opening < 0
            if self.each.step.name in region.steps and is_open:
                self.run.leave(here, LATE + name)
