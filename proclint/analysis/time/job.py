"""How long a job takes by the ways to each ending, and how long the ignition is on without support meanwhile."""

from collections.abc import Iterator
from typing import NamedTuple

from proclint.analysis.shelf import Written
from proclint.analysis.time.ignition import Done, ignition_on
from proclint.analysis.time.lengths import ONE, Count, Length
from proclint.analysis.time.parts import Pace
from proclint.analysis.time.spans import Spans
from proclint.analysis.time.stn import Open
from proclint.model import Procedure, Step


class WayTime(NamedTuple):
    """The ways to one ending, in milliseconds; the usual one by its steps, each with the outcome by which it is left.

    `slowest` is never too small, as conditions on ways are not looked at; it is nothing where a `limit` was met.
    `ignition_on` is how long the ignition is on without support on the usual way; nothing where lines alone do not tell.
    """

    ending: str
    quickest: int
    usual: int
    slowest: int | None
    usual_way: tuple[tuple[str, str], ...]
    ignition_on: Length | None
    limit: Open | None


def ways_of_job(written: Written, pace: Pace, spans: Spans) -> Iterator[WayTime]:
    """Give the times of the ways to each ending that some way reaches, in file order."""
    flow = written.flow
    for name, span in spans.of(written, pace).items():
        slowest = span.length.most if span.limit is None else None
        way = _Way(spans).to(written, pace, name)
        on = ignition_on(way, flow, spans.shelf.catalogue) if isinstance(flow, Procedure) else None
        yield WayTime(name, span.length.least, span.length.usual, slowest, span.usual_way, on, span.limit)


class _Way(NamedTuple):
    """Follows usual ways line by line, those through blocks too."""

    spans: Spans

    def to(self, written: Written, pace: Pace, name: str, count: Count = ONE) -> Iterator[Done]:
        """Give the lines on the usual way to an ending or exit, each with the time that all of its rounds take."""
        for step_name, outcome in self.spans.of(written, pace)[name].usual_way:
            step = written.steps[step_name].step
            if outcome != "spent":
                yield from self._step(step, outcome, pace, count)
        through = self.spans.shelf.blocks.get(written.flow.ends[name].through)
        if through is not None:
            yield from self._block(through.id, next(iter(through.ends)), pace, count)

    def _step(self, step: Step, outcome: str, pace: Pace, count: Count) -> Iterator[Done]:
        few, many = pace.rounds(step)
        rounds = (count[0] * few, count[1] * many)
        if step.follow is not None:
            yield from self._block(step.follow.block, outcome, pace.inside(step.follow), rounds)
            return
        for part in pace.parts(step):
            for line, length in part.timed:
                shown = length.or_nothing if part.last.only_if else length
                yield Done(line, shown.times(rounds), outcome if outcome in line.action.answers else "")

    def _block(self, name: str, exit_: str, pace: Pace, rounds: Count) -> Iterator[Done]:
        block = self.spans.shelf.blocks.get(name)
        if block is not None and exit_ in self.spans.of_block(name, pace):
            yield from self.to(self.spans.shelf.written(block), pace, exit_, rounds)
