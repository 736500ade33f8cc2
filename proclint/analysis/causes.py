"""Where a fault of the step graph begins, so that what follows from it is told under it.

Each function gives the place of another fault that explains the one asked about, or nothing where none does so plainly.
"""

from collections.abc import Iterator

from proclint.analysis.dead_ends import Trap
from proclint.analysis.graph import Node
from proclint.analysis.outcomes import RESERVED, fails_by_itself
from proclint.analysis.shelf import Shelf, Written, WrittenStep
from proclint.analysis.study import Study
from proclint.catalogue.nearest import nearest
from proclint.model import Flow, Line, Step, Way
from proclint.source import Place


def ways_to_nowhere(flow: Flow) -> Iterator[tuple[Step, Way]]:
    """Give the ways whose target is no step, ending or exit of the file, each with its step."""
    for step in flow.steps.values():
        yield from ((step, way) for way in step.ways if way.target not in flow.steps and way.target not in flow.ends)


def forgotten_ways(written: Written) -> Iterator[tuple[WrittenStep, Line]]:
    """Give the steps that can fail and have no way for it, each with its first line that can fail."""
    for each in written.steps.values():
        if each.outcomes.must_fail_way and each.step.way("fails") is None:
            yield each, next(line for line in each.step.lines if fails_by_itself(line))


def of_unknown_exit(each: WrittenStep, name: str, shelf: Shelf) -> Place | None:
    """Say why a block has no exit of a name that its follower has a way for; the name may be `fails`, for any but the first.

    The block is there in another version, still leads to the exit, or has lost it altogether; a name that is only like one of its
    exits is the follower's own slip.
    """
    follow = each.step.follow
    block = shelf.blocks.get(follow.block) if follow is not None else None
    if follow is None or block is None:
        return None
    if follow.version not in (0, block.version):
        return follow.at
    for _, way in ways_to_nowhere(block):
        if name in (way.target, "fails"):
            return way.at
    return None if nearest(name, block.ends) else next(iter(block.ends.values())).at


def of_trap(trap: Trap, flow: Flow) -> Place | None:
    """Say why nothing leads on from where one can get in: a way out leads nowhere."""
    inside = {node.name for node in trap.nodes if node.is_own}
    return next((way.at for step, way in ways_to_nowhere(flow) if step.name in inside), None)


def of_cut_off(head: Node, study: Study) -> Place | None:
    """Say why no way reaches a step or ending: its name is misspelt, a way for it is never taken, or was forgotten."""
    for _, way in ways_to_nowhere(study.flow):
        if nearest(way.target, [head.name]):
            return way.at
    reached = {node.name for node in study.graph.nodes if node.is_own and node.index in study.graph.reached}
    for name, each in study.written.steps.items():
        place = _dead_way(each, head, study) if name in reached else None
        if place is not None:
            return place
    return _forgotten(head, study)


def _dead_way(each: WrittenStep, head: Node, study: Study) -> Place | None:
    """Give the cause where a step follows a block and has a way here that no exit of the block takes."""
    if each.step.follow is None:
        return None
    taken = {leaving.at for leaving in each.exits}
    for way in each.step.ways:
        if way.target == head.name and way.at not in taken:
            is_known = way.outcome in RESERVED
            return of_unknown_exit(each, "fails", study.shelf) if is_known else (each.step.at / "ways").key(way.outcome)
    return _closed_exit(each, head, study)


def _closed_exit(each: WrittenStep, head: Node, study: Study) -> Place | None:
    """Give the block's own exit where a way here waits for one to which nothing leads inside the block."""
    waited_for = {leaving.outcome for leaving in each.exits if leaving.target == head.name}
    for node in study.graph.nodes:
        is_exit = node.end is not None and node.calls == (each.step.name,) and node.name in waited_for
        if is_exit and node.index not in study.graph.reached:
            return node.at
    return None


def _forgotten(head: Node, study: Study) -> Place | None:
    """Give the line whose failing should lead here: that of the step to which a fallback goes back, or the only one there is."""
    forgotten = list(forgotten_ways(study.written))
    targets = {way.target for way in head.step.ways} if head.step is not None else set()
    back = [line for each, line in forgotten if each.step.name in targets]
    chosen = back or [line for _, line in forgotten if len(study.cut_off) == 1]
    return chosen[0].at if len(chosen) == 1 else None
