"""How long the algorithms of time take, as multiples of networkx's search for a negative cycle in the same network.

Run it as `python benchmarks/time.py`. The networks are like procedures: a chain of steps with a fixed seed, a third of them
paced by the vehicle, windows over some of them that nest and overlap, and waits. Last comes what the times of the library's
procedures take of their check. Time is that of the processor, so that a busy machine changes little.
"""

import random
import time
from collections.abc import Callable, Iterator
from dataclasses import replace
from itertools import pairwise
from pathlib import Path
from statistics import median

import networkx

from proclint.analysis import Shelf
from proclint.analysis.facts.known_facts import facts_in
from proclint.analysis.file_study import FileStudy, study_file
from proclint.analysis.time.joined import joined
from proclint.analysis.time.slack import slack
from proclint.analysis.time.stn import Bound, Conflict, Holds, Open, Verdict, consistent
from proclint.analysis.time.stnu import Network, Span, controllable
from proclint.analysis.time.sums import Clock, Course, Stretch, course, longest
from proclint.apps.files import gather
from proclint.apps.rule_set import known_rules
from proclint.catalogue import standard
from proclint.engine.examine import Bench, examine_file
from proclint.model import Block, Procedure
from proclint.results import Result
from proclint.rule import Rule
from proclint.settings import Settings

LIBRARY, ON = Path(__file__).resolve().parent.parent / "procedures", "2026-11-25"
SEED, RUNS, SIZES = 20261125, 9, (50, 100, 200, 500, 1_000)
# Room enough in windows that the waits inside them can be waited for.
WIDE = 3.0


def milliseconds(work: Callable[[], object]) -> float:
    """Time a piece of work, the median of some runs."""
    return in_turn(work)[0]


def in_turn(*works: Callable[[], object], runs: int = RUNS) -> list[float]:
    """Time pieces of work in turn, the median of some runs of each."""
    taken: list[list[float]] = [[] for _ in works]
    for _ in range(runs):
        for work, times in zip(works, taken, strict=True):
            began = time.process_time()
            work()
            times.append((time.process_time() - began) * 1000)
    return [median(times) for times in taken]


def chain(points: int, *, room: float) -> Course:
    """Draw a chain of steps whose windows leave so much room, as a multiple of what is needed."""
    chance = random.Random(SEED)
    stretches = []
    for at in range(points - 1):
        quickest, is_given = chance.randint(1, 40) * 100, chance.random() < 1 / 3
        slowest = quickest + chance.randint(1, 30) * 100 if is_given else None
        stretches.append(Stretch(at, at + 1, quickest, slowest, is_given, ("step", at)))
    clocks = []
    for number in range(points // 5):
        first = chance.randrange(points - 2)
        last = min(points - 1, first + chance.randint(2, 15))
        needed = sum(each.longest for each in stretches[first:last])
        # Every third is a wait, up to the time that the slowest vehicle takes, if a hand comes last that can wait.
        least = needed if number % 3 == 0 and not stretches[last - 1].is_given else None
        clocks.append(Clock(frozenset({first}), frozenset({last}), least, int(needed * room), ("window", number)))
    clocks.append(Clock(frozenset({0}), frozenset({points - 1}), None, sum(each.longest for each in stretches) * 3, "all"))
    return course(stretches, clocks)


def drawn(network: Network) -> "networkx.DiGraph[object]":
    """Draw the distances of a network, all time being ours to choose."""
    graph: networkx.DiGraph[object] = networkx.DiGraph()
    bounds = (*network.bounds, *(span.bound() for span in network.spans))
    for leg in (leg for bound in bounds for leg in bound.legs()):
        old = graph.get_edge_data(leg.source, leg.target, {"weight": leg.by})["weight"]
        graph.add_edge(leg.source, leg.target, weight=min(leg.by, old))
    return graph


def in_words(found: Verdict | Network) -> str:
    """Name a verdict."""
    match found:
        case Holds():
            return "holds"
        case Conflict():
            return f"conflict of {len(found.tags)} tags, {found.short / 1000:.1f} s short"
        case Open():
            return f"open at {found.number} {found.limit}"
        case Network():
            return f"{len(found.points)} points"


def controllability() -> None:
    """Print the times of chains that hold and of chains that do not."""
    for room, kind in ((WIDE, "wide"), (0.97, "tight")):
        times: list[tuple[int, float]] = []
        for points in SIZES:
            network = joined(chain(points, room=room))
            assert isinstance(network, Network)
            bounds = (*network.bounds, *(span.bound() for span in network.spans))
            graph = drawn(network)
            theirs, ours, plain = in_turn(
                lambda: networkx.negative_edge_cycle(graph),  # noqa: B023
                lambda: controllable(network),  # noqa: B023
                lambda: consistent(bounds),  # noqa: B023
            )
            times.append((points, ours))
            print(
                f"{kind} chain of {points} points, {len(network.spans)} spans, {graph.number_of_edges()} edges:"
                f" controllable {ours:.2f} ms, x{ours / theirs:.2f} of networkx's {theirs:.2f} ms;"
                f" consistent {plain:.2f} ms; {in_words(controllable(network))}"
            )
        for (few, before), (many, after) in pairwise(times):
            print(f"  x{many / few:g} points: x{after / before:.1f} time")


def windows() -> None:
    """Print the times of a region such as procedures have: a dozen points, three windows, by sums and by network."""
    over = chain(12, room=WIDE)
    network = joined(over)
    assert isinstance(network, Network)
    sums = milliseconds(lambda: [longest(over, each) for each in over.clocks])
    print(f"12 points, {len(over.clocks)} windows: sums {sums:.3f} ms")
    print(
        f"  joined {milliseconds(lambda: joined(over)):.3f} ms, controllable {milliseconds(lambda: controllable(network)):.3f} ms"
    )
    print(f"  slack of one window {milliseconds(lambda: slack(network, 'all')):.3f} ms")


def branches() -> None:
    """Print the times of branches one after the other inside one window."""
    for count in (3, 8, 9):
        stretches = [Stretch(0, "0", 1_000)]
        for at in range(count):
            stretches += [Stretch(f"{at}", f"{at}{side}", 1_000, 2_000, is_given=True, tag=f"{at}{side}") for side in "ab"]
            stretches += [Stretch(f"{at}{side}", f"{at + 1}", 1_000, tag=f"{at}{side}") for side in "ab"]
        over = course(stretches, [Clock(frozenset({0}), frozenset({f"{count}"}), 3_000, 60_000, "all")])
        network = joined(over)
        taken = milliseconds(lambda: joined(over))  # noqa: B023
        checked = "" if isinstance(network, Open) else f", controllable {milliseconds(lambda: controllable(network)):.2f} ms"  # noqa: B023
        print(f"{count} branches in one window: {in_words(network)}, joined {taken:.2f} ms{checked}")


def dense() -> None:
    """Print how long it takes to give up a network that is nothing like a procedure."""
    chance = random.Random(SEED)
    times = [chance.randrange(100_000) for _ in range(1_000)]
    bounds = []
    for tag in range(20_000):
        start, end = chance.sample(range(len(times)), 2)
        bounds.append(Bound(start, end, most=times[end] - times[start] + chance.randrange(20_000), tag=tag))
    network = Network(tuple(bounds), tuple(Span(("start", at), at, 10, 1_000, ("span", at)) for at in range(100)))
    began = time.process_time()
    found = in_words(controllable(network))
    print(f"{len(network.points)} points, {len(bounds)} bounds at random: {found} after {time.process_time() - began:.1f} s")


def library() -> tuple[Bench, list[FileStudy]]:
    """Give what files are checked against, and the procedures of the library as read."""
    catalogue = standard()
    studies = [study_file(each.name, each.content, each.kind, catalogue, on=ON) for each in gather((LIBRARY,))]
    blocks = {study.flow.id: study.flow for study in studies if isinstance(study.flow, Block)}
    tables = [study.table for study in studies if study.table is not None]
    shelf = Shelf(blocks, catalogue, facts_of=facts_in(tables, catalogue.attributes))
    return Bench(shelf, known_rules(), Settings(), ON), [study for study in studies if isinstance(study.flow, Procedure)]


def timed(rule: Rule, spent: list[float]) -> Rule:
    """Give a rule that adds to a list how long each of its checks takes, in milliseconds."""

    def check(*given: object) -> Iterator[Result]:
        began = time.process_time()
        found = tuple(rule.check(*given))
        spent.append((time.process_time() - began) * 1000)
        return iter(found)

    return replace(rule, check=check)


def files() -> None:
    """Print what the rules on times take of the check of each procedure, in the same warm runs."""
    bench, procedures = library()
    spent: list[float] = []
    rules = tuple(timed(rule, spent) if rule.group == "time" else rule for rule in bench.rules)
    bench = bench._replace(rules=rules)

    def share(read: FileStudy) -> float:
        data = read.text.text.encode()
        spent.clear()
        began = time.process_time()
        examine_file(study_file(read.file, data, "steps", bench.shelf.catalogue, on=ON), bench)
        return sum(spent) / ((time.process_time() - began) * 1000)

    shares = []
    for read in procedures:
        share(read)
        shares.append((median(share(read) for _ in range(3)), Path(read.file).stem))
    usual, (most, name) = median(each for each, _ in shares), max(shares)
    print(f"{len(shares)} procedures: rules on times are {usual:.1%} of a check, at most {most:.1%} ({name})")


def main() -> None:
    """Print all of it."""
    controllability()
    windows()
    branches()
    files()
    dense()


if __name__ == "__main__":
    main()
