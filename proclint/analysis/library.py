"""The small part of each file that other files need, and what is known of them together."""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property
from types import MappingProxyType
from typing import NamedTuple

from proclint.analysis.facts.against import Disagreement, Held, Stating, held, stating
from proclint.analysis.facts.evidence import Evidence
from proclint.analysis.facts.neighbours import Difference, differences
from proclint.analysis.facts.stated import Job, job_of
from proclint.model import Acceptance, Block, Flow, Procedure, Word
from proclint.source import Place


class Use(NamedTuple):
    """A block that a file follows, with the version it asks for (0 = none written)."""

    block: str
    version: int
    at: Place


class Extract(NamedTuple):
    """What other files need to know of a procedure or block."""

    file: str
    id: str
    at: Place
    is_block: bool
    version: int
    uses: tuple[Use, ...]
    cites: tuple[Word, ...]
    job: Job | None = None


def extract_of(flow: Flow, blocks: Mapping[str, Block] = MappingProxyType({})) -> Extract:
    """Take the extract of a procedure or block; `blocks` are those that it may follow."""
    is_block = not isinstance(flow, Procedure)
    job = job_of(flow, blocks) if isinstance(flow, Procedure) else None
    return Extract(flow.at.file, flow.id, flow.at, is_block, flow.version, uses_of(flow), tuple(_cited(flow)), job)


def uses_of(flow: Flow) -> tuple[Use, ...]:
    """Give the blocks that a flow follows itself, each as often as it does."""
    uses = [Use(step.follow.block, step.follow.version, step.follow.at) for step in flow.steps.values() if step.follow]
    uses += [Use(end.through, end.through_version, end.at / "through") for end in flow.ends.values() if end.through]
    return tuple(uses)


def _cited(flow: Flow) -> Iterator[Word]:
    if isinstance(flow, Procedure):
        yield from flow.sources
    for window in flow.windows.values():
        yield from window.sources
    for step in flow.steps.values():
        yield from step.sources
        for line in step.lines:
            yield from line.sources


class Lowered(NamedTuple):
    """What a change lowers of the bar that it is held to.

    `what` is `level` (of the rule `subject`), `failing-level`, `accepted` (of that rule, in the file `within`) or `draft` (that
    file); `before` and `now` are levels as a person writes them.
    """

    what: str
    at: Place
    subject: str
    within: str = ""
    before: str = ""
    now: str = ""


@dataclass(frozen=True)
class LibraryStudy:
    """The extracts of all files that could be read, the accepted results, and those of them that met no result.

    `sources` are the ids in the register, or nothing where there is no register to look into; `never_accepted` the rules that
    nobody may silence; `evidence` what tables and the register say together; `lowered` what lies lower than in the version that
    the check compares with.
    """

    extracts: tuple[Extract, ...]
    sources: frozenset[str] | None
    acceptances: tuple[Acceptance, ...]
    in_vain: tuple[Acceptance, ...]
    never_accepted: frozenset[str]
    on: str
    evidence: Evidence
    lowered: tuple[Lowered, ...] = ()

    @cached_property
    def jobs(self) -> tuple[Stating, ...]:
        """The procedures, each with what it states as claims."""
        return tuple(stating(each.job, self.evidence) for each in self.extracts if each.job is not None)

    def cited_by(self, job: Job) -> frozenset[str]:
        """Give the ids of all sources that a procedure cites, at its top or at a line."""
        return self._cited[id(job)]

    @cached_property
    def _cited(self) -> Mapping[int, frozenset[str]]:
        return {id(each.job): frozenset(word.text for word in each.cites) for each in self.extracts if each.job is not None}

    @cached_property
    def held(self) -> tuple[tuple[Stating, Held], ...]:
        """Each procedure with how what it states stands to what is believed of its vehicles."""
        return tuple((job, held(job, self.evidence)) for job in self.jobs)

    @property
    def disagreements(self) -> tuple[Disagreement, ...]:
        """Where what a procedure states and what is believed of its vehicles cannot both be true."""
        return tuple(each for _, found in self.held for each in found.disagreements)

    @cached_property
    def differences(self) -> tuple[Difference, ...]:
        """Where two procedures for one task on the same vehicles say different things."""
        return tuple(differences(self.jobs))


def reached_by(extracts: Iterable[Extract]) -> dict[str, tuple[str, ...]]:
    """Give, for each block, the ids of the procedures that follow it, directly or through other blocks."""
    users: dict[str, set[str]] = {}
    blocks = {extract.id: extract for extract in extracts if extract.is_block}
    for extract in extracts:
        if not extract.is_block:
            for block in _closure(extract, blocks):
                users.setdefault(block, set()).add(extract.id)
    return {block: tuple(sorted(ids)) for block, ids in users.items()}


def _closure(extract: Extract, blocks: dict[str, Extract]) -> set[str]:
    seen: set[str] = set()
    waiting = [use.block for use in extract.uses]
    while waiting:
        block = waiting.pop()
        if block not in seen and block in blocks:
            seen.add(block)
            waiting += [use.block for use in blocks[block].uses]
    return seen


def ring_through(start: str, back_to: str, blocks: Mapping[str, Block]) -> tuple[str, ...] | None:
    """Give the blocks by which following `start` comes back to `back_to`, the fewest; nothing where it does not."""
    came_from: dict[str, str] = {start: ""}
    waiting = [start]
    for block in waiting:
        if block == back_to:
            return _back(came_from, block)
        known = blocks.get(block)
        for use in uses_of(known) if known is not None else ():
            if use.block not in came_from:
                came_from[use.block] = block
                waiting.append(use.block)
    return None


def _back(came_from: Mapping[str, str], end: str) -> tuple[str, ...]:
    names, at = [], came_from[end]
    while at:
        names.append(at)
        at = came_from[at]
    return tuple(reversed(names))
