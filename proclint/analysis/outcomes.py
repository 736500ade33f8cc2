"""Which outcomes a step can have, and where each leads.

The rules are those of the format: `done`, `fails`, `spent`, `otherwise`, answers, a block's exits and conditions on
counts. Whatever is possible and has no way is given with no target.
"""

from collections.abc import Iterator, Mapping
from itertools import pairwise
from typing import NamedTuple

from proclint.catalogue import Catalogue
from proclint.model import Block, Flow, Line, Step, Way
from proclint.source import Place

RESERVED = frozenset({"done", "fails", "spent", "late", "otherwise"})


class Exit(NamedTuple):
    """A possible outcome of a step. `target` is empty where nothing says what follows."""

    outcome: str
    target: str
    at: Place
    is_failing: bool


class Outcomes(NamedTuple):
    """What can come of a step.

    `answers` are its possible answers, of which those in `unwished` mean failure; empty where the file tells none
    apart, while `known` names all that could be told apart. `must_fail_way` holds where
    the step can fail and so must say what follows; `may_fail` also where it fails only if the file says so.
    `conditions` are the ways that are conditions on counts or variables.
    """

    answers: tuple[str, ...]
    known: tuple[str, ...]
    unwished: frozenset[str]
    must_fail_way: bool
    may_fail: bool
    conditions: tuple[Way, ...]

    @property
    def finishes(self) -> bool:
        """Whether the step can simply be done."""
        return not self.answers and not self.conditions


def outcomes_of(step: Step, catalogue: Catalogue, blocks: Mapping[str, Block]) -> Outcomes:
    """Say what can come of a step."""
    if step.follow is not None:
        return _of_block(step, blocks.get(step.follow.block))
    written = [way for way in step.ways if way.outcome not in RESERVED]
    if step.ask or not step.lines:
        words = tuple(way.outcome for way in written) if step.ask else ()
        conditions = () if step.ask else tuple(written)
        may = step.way("fails") is not None
        return Outcomes(words, words, frozenset(), must_fail_way=False, may_fail=may, conditions=conditions)
    known, unwished = _answers(step.lines, catalogue)
    must = any(map(fails_by_itself, step.lines))
    conditions = tuple([way for way in written if way.outcome not in known]) if written else ()
    # Where the file names no answer, `done` simply goes on, unless `otherwise` asks what it is other than.
    tells_apart = len(conditions) < len(written) or (not conditions and step.way("otherwise") is not None)
    may = must or step.way("fails") is not None
    return Outcomes(known if tells_apart else (), known, unwished, must_fail_way=must, may_fail=may, conditions=conditions)


def _of_block(step: Step, block: Block | None) -> Outcomes:
    named = (way.outcome for way in step.ways if way.outcome not in RESERVED)
    answers = tuple(named if block is None else block.ends)
    # Of a block that nobody can look into, every way that is written may be taken.
    may = block is None and step.way("fails") is not None
    return Outcomes(answers, answers, frozenset(answers[1:]), must_fail_way=False, may_fail=may, conditions=())


def _answers(lines: tuple[Line, ...], catalogue: Catalogue) -> tuple[tuple[str, ...], frozenset[str]]:
    """Give the answers of the last line that has some; an expected sign leaves only done and fails."""
    if lines[-1].expect:
        return (), frozenset()
    for line in reversed(lines):
        action = line.action
        if action.verb == "look":
            variable = catalogue.variables.get(line.words.get("variable", ""))
            return (variable.values if variable else ()), frozenset()
        # Most actions have none.
        named = tuple([answer for answer in action.answers if answer != "done"]) if action.answers else ()
        if named:
            unwished = named if len(named) < len(action.answers) else named[1:]
            return named, frozenset(unwished)
    return (), frozenset()


def fails_by_itself(line: Line) -> bool:
    """Whether a line can fail without the file saying so: equipment, vehicle, or a sign that is waited for."""
    if line.expect:
        return True
    action = line.action
    return line.by != "technician" and action.may_fail is not False and action.verb not in ("look", "count")


def exits_of(step: Step, outcomes: Outcomes, following: str) -> Iterator[Exit]:
    """Give each possible outcome once, with the way that takes it; `following` is the next step of the main line."""
    # Of two ways for one outcome the first counts.
    ways = {way.outcome: way for way in reversed(step.ways)}
    done, fails, otherwise = ways.get("done"), ways.get("fails"), ways.get("otherwise")
    for way in outcomes.conditions:
        yield _exit(way.outcome, way, step, is_failing=False)
    if step.follow is not None:
        yield from _block_exits(step, outcomes, following)
    else:
        for answer in outcomes.answers:
            taken = ways.get(answer) or otherwise or done or fails
            yield _exit(answer, taken, step, is_failing=answer in outcomes.unwished or taken is fails is not None)
    if outcomes.finishes:
        yield _exit("done", done or otherwise, step, is_failing=False, following=following)
    elif outcomes.conditions:
        rest = otherwise or done
        if rest is not None:
            yield _exit("otherwise", rest, step, is_failing=False)
    if outcomes.may_fail:
        yield _exit("fails", fails, step, is_failing=True)
    if step.tries is not None:
        yield _exit("spent", ways.get("spent") or fails, step, is_failing=True)


def _block_exits(step: Step, outcomes: Outcomes, following: str) -> Iterator[Exit]:
    for index, answer in enumerate(outcomes.answers):
        short = step.way("done") if index == 0 else step.way("fails")
        way = step.way(answer) or short or step.way("otherwise")
        yield _exit(answer, way, step, is_failing=index > 0, following=following if index == 0 else "")


def _exit(outcome: str, way: Way | None, step: Step, *, is_failing: bool, following: str = "") -> Exit:
    return Exit(outcome, following, step.at, is_failing) if way is None else Exit(outcome, way.target, way.at, is_failing)


def following(flow: Flow) -> Mapping[str, str]:
    """Give, for each step of the main line, the step to which it falls through."""
    main = [step.name for step in flow.steps.values() if not step.is_fallback]
    return dict(pairwise(main))
