"""How long the explorer takes, as multiples of merely parsing a procedure of some 5,000 bytes, and what it gives up on.

Run it as `python benchmarks/explorer.py`. The machines are made with a fixed seed and are shaped like procedures: a main
way, failing ways that go back a little, tries, here and there a guard. Checks, changes and stops with one way on are made
before, as a caller keeps them. Then come whole files, each as a multiple of parsing itself: some of plain steps, and the
procedures of the library. What their lines do is known from one like it, as from a check before, and their exits as other
rules ask for them too; the file itself is laid out anew. The bars: twice the bare parse at 130 stops, four times at 500, and
5 ms for each way shown; 100 ms for the crowds.
"""

import gc
import random
import time
from collections.abc import Callable
from functools import partial
from pathlib import Path
from statistics import median

import yaml

from proclint.analysis import Shelf
from proclint.analysis.explorer import Explored, explore
from proclint.analysis.facts.known_facts import facts_in
from proclint.analysis.file_study import study_file
from proclint.analysis.machine import Change, Layout, Machine, Move, Stop
from proclint.analysis.states.laying import Laid, lay
from proclint.analysis.states.steps import Layer
from proclint.analysis.suspects import suspects
from proclint.apps.files import gather
from proclint.catalogue import standard
from proclint.model import Block, Flow

LIBRARY = Path(__file__).resolve().parent.parent / "procedures"
PROCEDURE = LIBRARY / "corvane" / "halyard-relearn-remotes.yaml"
ON = "2026-11-25"
SEED, RUNS, VARIABLES = 20261125, 30, 40


def best(work: Callable[[], object], *, runs: int = RUNS) -> float:
    """Give the least of several times of a piece of work, in milliseconds of this process: other work takes nothing away."""
    taken = []
    for _ in range(runs):
        began = time.process_time()
        work()
        taken.append(time.process_time() - began)
    return min(taken) * 1000


def in_turn(*works: Callable[[], object]) -> list[float]:
    """Give the median time of each of several pieces of work done in turn, so that what slows one slows all."""
    taken = [[best(work, runs=1) for work in works] for _ in range(RUNS)]
    return [median(times) for times in zip(*taken, strict=True)]


def parse(data: bytes) -> None:
    """Run the C event parser over a text and do nothing else."""
    parser = yaml.CBaseLoader(data)
    while type(parser.get_event()) is not yaml.StreamEndEvent:
        pass


def plain_file(parts: int) -> bytes:
    """Write a procedure of so many parts: a key is put in, turned on with a way back where it sticks, and taken out."""
    head = PROCEDURE.read_text(encoding="utf-8").partition("\nsteps:")[0]
    steps = "".join(PART.format(part=part) for part in range(parts))
    stuck = "".join(STUCK.format(part=part) for part in range(parts))
    return f"{head}\nsteps:\n{steps}  settle: {{do: wait 5-10 s, then: over}}\nfallbacks:\n{stuck}{LAST}".encode()


PART = """\
  put-in-{part}: {{instruction: Put key O1 in the cylinder., do: insert O1}}
  switch-on-{part}:
    caution: [steering-lock-turning]
    do:
      - {{do: turn O1 on, expect: the red lamps light}}
    fails: stuck-{part}
  switch-off-{part}: {{instruction: Turn O1 to OFF and take it out., do: [turn O1 off, remove O1]}}
"""
STUCK = """\
  stuck-{part}:
    tries: 1
    do:
      - {{do: act rock the steering wheel lightly and never force O1, by: technician}}
    ways: {{done: switch-on-{part}, spent: take-out}}
"""
LAST = """\
  take-out: {do: [make-sure ignition off, make-sure cylinder empty], then: over}
endings:
  over: {kind: as-found, tell: Nothing was changed.}
"""


class Procedurelike:
    """Draws machines that are shaped like procedures, with up to six effects a move and a check on every second stop.

    Where `is_sound`, whatever a move sets is good wherever it is checked, so that nothing fails.
    """

    def __init__(self, stops: int, *, is_sound: bool) -> None:
        self._chance = random.Random(SEED + stops)
        self._stops, self._is_sound = stops, is_sound
        self._sizes = tuple(self._chance.randint(2, 17) for _ in range(VARIABLES))
        self.layout = Layout(self._sizes)
        self._goods = [self._chance.randint(1, (1 << size) - 1) for size in self._sizes]
        self._variables = [self._chance.randrange(VARIABLES) for _ in range(stops)]
        self._changes = [self._change(index) for index in range(stops)]
        self._checks = [self.layout.check(variable, self._goods[variable]) for variable in self._variables]
        self._nothing = self.layout.change()
        self._guards = [self._guard() for _ in range(stops)]
        self._plain = [
            Stop((check,) if index % 2 else (), (Move(1, change),))
            for index, (check, change) in enumerate(zip(self._checks, self._changes, strict=True))
        ]
        self._start = self.layout.state(self._goods)

    def _change(self, index: int) -> Change:
        following = self._variables[(index + 1) % self._stops]
        chosen = {following, *self._chance.sample(range(VARIABLES), self._chance.randint(0, 5))}
        return self.layout.change(effects=tuple((variable, self._table(variable)) for variable in sorted(chosen)))

    def _table(self, variable: int) -> tuple[int, ...]:
        size = self._sizes[variable]
        if not self._is_sound and self._chance.random() < 0.06:
            return (self._chance.randint(1, (1 << size) - 1),) * size
        if self._chance.random() < 0.1:
            return (*(self._goods[variable],) * (size - 1), self._goods[variable] & -self._goods[variable])
        return (self._goods[variable],) * size

    def _guard(self) -> Change:
        variable = self._chance.randrange(VARIABLES)
        return self.layout.change(guards=((variable, self._goods[variable]),))

    def machine(self) -> Machine:
        """Put a machine together from the parts made before; only stops whose ways are their own are made anew."""
        last = self._stops - 1
        stops = []
        for index in range(last):
            if index % 6 == 3:
                moves = (Move(1, self._changes[index]), Move(max(-index, -5), self._nothing))
                stops.append(Stop((self._checks[index],), moves, 3, Move(last - index, self._nothing)))
            elif index % 6 == 5 and index + 3 < last:
                stops.append(Stop((self._checks[index],), (Move(1, self._changes[index]), Move(3, self._guards[index]))))
            else:
                stops.append(self._plain[index])
        stops.append(Stop())
        return Machine(self.layout, self._start, tuple(stops))


def branches(number: int) -> Machine:
    """Give a machine of so many branches, of which one side sets an observer that is checked at the end."""
    layout = Layout((2,) * number)
    nothing = layout.change()
    stops = []
    for each in range(number):
        seen = layout.change(effects=((each, (2, 2)),))
        stops += [Stop(moves=(Move(1, nothing), Move(2, nothing))), Stop(moves=(Move(2, seen),)), Stop(moves=(Move(1, nothing),))]
    stops.append(Stop(tuple(layout.check(each, 2) for each in range(number))))
    return Machine(layout, layout.state((1,) * number), tuple(stops))


def entangled(number: int) -> Machine:
    """Give a machine of so many loops of three tries that fall back into the loops before, and undo what these did."""
    layout = Layout((2,) * number)
    nothing = layout.change()
    stops = []
    for each in range(number):
        does = layout.change(effects=((each, (2, 2)),))
        undoes = layout.change(effects=((max(0, each - 2), (1, 1)),))
        gives_up = Move(2 * (number - each), nothing)
        stops.append(Stop((), (Move(2, does), Move(1, nothing)), 3, gives_up))
        stops.append(Stop((), (Move(max(-2 * each - 1, -5), undoes), Move(-1, nothing))))
    stops.append(Stop(tuple(layout.check(each, 2) for each in range(number))))
    return Machine(layout, layout.state((1,) * number), tuple(stops))


def observed_again(number: int) -> Machine:
    """Give a machine of so many observations, each of which decides a way again later.

    Each that was seen is counted when it is seen and again later: the sum is even, but only as both times it is the same.
    """
    layout = Layout((*(2 for _ in range(number)), 2))
    turns = (number, (2, 1))
    stops = []
    for _ in range(2):
        for each in range(number):
            seen, unseen = layout.change(guards=((each, 2),), effects=(turns,)), layout.change(guards=((each, 1),))
            stops.append(Stop(moves=(Move(1, seen), Move(1, unseen))))
    stops.append(Stop((layout.check(number, 1),)))
    return Machine(layout, layout.state((*(3 for _ in range(number)), 1)), tuple(stops))


class Report:
    """Prints times as they are and as multiples of the bare parse."""

    def __init__(self) -> None:
        data = PROCEDURE.read_bytes()
        self._bare = best(partial(parse, data))
        print(f"bare C events of {len(data)} bytes: {self._bare:.3f} ms")

    def line(self, what: str, taken: float) -> None:
        """Print what took so many milliseconds."""
        print(f"{what}: {taken:.3f} ms, x{taken / self._bare:.2f}")

    def size(self, stops: int) -> None:
        """Print what machines of so many stops take, one in which nothing fails and one in which something does."""
        sound = Procedurelike(stops, is_sound=True)
        machine = sound.machine()
        self.line(f"{stops} stops put together from parts", best(sound.machine))
        self.line(f"{stops} stops, {len(suspects(machine))} suspects, verdict", best(partial(suspects, machine)))
        machine = Procedurelike(stops, is_sound=False).machine()
        found, verdict = explore(machine), best(partial(suspects, machine))
        self.line(f"{stops} stops, {len(suspects(machine))} suspects, verdict", verdict)
        if found.broken:
            each = (best(partial(explore, machine)) - verdict) / len(found.broken)
            self.line(f"  and for each of {len(found.broken)} ways shown, of up to {longest(found)} moves", each)

    def crowd(self, what: str, machine: Machine) -> None:
        """Print what all answers on a machine take."""
        found = explore(machine)
        limits = " ".join(sorted({each.limit for each in found.open})) or "none"
        taken = best(partial(explore, machine), runs=1 if found.open else 5)
        self.line(f"{what}, {len(found.broken)} broken, open by limit: {limits}", taken)


def longest(found: Explored) -> int:
    """Give the number of moves of the longest way shown."""
    return max(len(each.way) for each in found.broken)


def files() -> None:
    """Print what the verdict over whole files takes: some of plain steps, and each procedure of the library."""
    catalogue = standard()
    inputs = [each for each in gather((LIBRARY,)) if each.data is not None]
    studies = [study_file(each.name, each.content, each.kind, catalogue, on=ON) for each in inputs]
    blocks = {study.flow.id: study.flow for study in studies if isinstance(study.flow, Block)}
    facts = facts_in([study.table for study in studies if study.table is not None], catalogue.attributes)
    shelf = Shelf(blocks, catalogue, facts_of=facts)
    for parts in (7, 13, 20, 33):
        data = plain_file(parts)
        flow = study_file("plain.yaml", data, "steps", catalogue, on=ON).flow
        assert flow is not None
        print(f"plain file of {sized(flow, shelf)}: {verdict(flow, data, shelf)}")
    flows = [(study.flow, study.text.text.encode()) for study in studies if study.flow is not None and study.kind == "procedure"]
    for flow, data in sorted(flows, key=lambda each: shelf.size(each[0])):
        print(f"{sized(flow, shelf)}, {flow.id}: {verdict(flow, data, shelf)}")


def sized(flow: Flow, shelf: Shelf) -> str:
    """Say how many steps and stops a procedure has with its blocks laid out."""
    return f"{shelf.size(flow)} steps, {len(lay(flow, shelf.written(flow), shelf, Layer(shelf)).piece.stops)} stops"


def verdict(flow: Flow, data: bytes, shelf: Shelf) -> str:
    """Say what laying a procedure out, passing it, and each answer of a search takes."""
    written = shelf.written(flow)

    def laid() -> Laid:
        return lay(flow, written, shelf, Layer(shelf))

    bare, laying, whole = in_turn(partial(parse, data), laid, lambda: laid().is_proved)
    said = f"laid out x{laying / bare:.1f}, verdict x{whole / bare:.1f}"
    once = laid()
    if once.is_proved:
        return said
    ways = len(once.explored().broken)
    searched = best(once.explored, runs=3)
    return f"{said}; from {len(once.starts)} starts {ways} ways, and the search x{searched / bare:.0f}, {searched:.1f} ms"


def main() -> None:
    """Print all of it."""
    gc.disable()
    report = Report()
    for stops in (60, 130, 250, 500, 1000):
        report.size(stops)
    report.crowd("64 cautions on 64 branches", branches(64))
    report.crowd("20 entangled loops", entangled(20))
    for number in (8, 10, 12, 14, 16):
        report.crowd(f"{number} observations branched on again", observed_again(number))
    files()


if __name__ == "__main__":
    main()
