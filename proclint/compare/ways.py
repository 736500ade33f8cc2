"""Where outcomes lead in two versions, and in which order steps come."""

from collections.abc import Iterator, Mapping

from proclint.analysis import Exit, WrittenStep
from proclint.compare.difference import Difference, Weight, What
from proclint.compare.guards import weight_of_step
from proclint.compare.matching import Match, moved
from proclint.compare.pair import Pair
from proclint.model import Step, Way


def of_ways(pair: Pair) -> Iterator[Difference]:
    """Tell which outcomes of the steps in both versions lead elsewhere.

    What only falls through to another next step is told by the step that was put in, taken out or moved.
    """
    for name, old in pair.old.written.steps.items():
        new = pair.new.written.steps.get(name)
        if new is not None:
            yield from _ways(name, (old, new))
            yield from _idle(old, new)


def _ways(name: str, steps: tuple[WrittenStep, WrittenStep]) -> Iterator[Difference]:
    old, new = map(_exits, steps)
    for outcome, leaving in old.items():
        if outcome in new and not (_falls(steps[0], leaving) and _falls(steps[1], new[outcome])):
            yield from _way(name, leaving, new[outcome])
    lost, found = list(_lone(steps, new)), list(_lone(steps[::-1], old))
    for leaving in list(lost):
        other = next((each for each in found if each.target == leaving.target), None)
        if other is not None:
            lost.remove(leaving)
            found.remove(other)
            text = f"From '{name}', '{other.outcome}' leads to '{other.target}'; before, '{leaving.outcome}' did."
            yield Difference(What.WAY, Weight.OTHER, leaving.at, other.at, text)
    for leaving in lost:
        text = f"'{name}' no longer has a way for '{leaving.outcome}', to '{leaving.target}'."
        yield Difference(What.WAY, Weight.OTHER, leaving.at, None, text)
    for leaving in found:
        text = f"'{name}' now has a way for '{leaving.outcome}', to '{leaving.target}'."
        yield Difference(What.WAY, Weight.OTHER, None, leaving.at, text)


def _exits(each: WrittenStep) -> Mapping[str, Exit]:
    return {" ".join(leaving.outcome.split()): leaving for leaving in each.exits}


def _falls(each: WrittenStep, leaving: Exit) -> bool:
    """Whether an outcome goes on to the next step without a way being written for it."""
    return bool(leaving.target) and leaving.at == each.step.at


def _way(name: str, old: Exit, new: Exit) -> Iterator[Difference]:
    if old.target == new.target:
        return
    if not new.target:
        text = f"When '{name}' ends with '{new.outcome}', nothing says what follows; before, '{old.target}' did."
        yield Difference(What.WAY, Weight.LOST, old.at, new.at, text)
    else:
        before = f"to '{old.target}'" if old.target else "nowhere"
        text = f"From '{name}', '{new.outcome}' leads to '{new.target}', before {before}."
        yield Difference(What.WAY, Weight.OTHER if old.target else Weight.GAINED, old.at, new.at, text)


def _lone(steps: tuple[WrittenStep, WrittenStep], there: Mapping[str, Exit]) -> Iterator[Exit]:
    """Give the outcomes that only the first of two versions of a step has, where their ways are written only there too.

    Where they are not, the outcome came or went with something else, and that is told.
    """
    own, other = ({(way.outcome, way.target) for way in each.step.ways} for each in steps)
    for outcome, leaving in _exits(steps[0]).items():
        if outcome not in there and (leaving.outcome, leaving.target) in own - other:
            yield leaving


def _idle(old: WrittenStep, new: WrittenStep) -> Iterator[Difference]:
    """Tell of ways that are written in one version only and that no outcome takes."""
    written = [{(way.outcome, way.target) for way in each.step.ways} for each in (old, new)]
    for way in _never_taken(old):
        if (way.outcome, way.target) not in written[1]:
            text = f"The way for '{way.outcome}' is gone from '{old.step.name}'; no outcome took it."
            yield Difference(What.WAY, Weight.UPKEEP, way.at, None, text)
    for way in _never_taken(new):
        if (way.outcome, way.target) not in written[0]:
            text = f"'{new.step.name}' has a new way for '{way.outcome}', which no outcome takes."
            yield Difference(What.WAY, Weight.UPKEEP, None, way.at, text)


def _never_taken(each: WrittenStep) -> Iterator[Way]:
    taken = {leaving.at for leaving in each.exits}
    return (way for way in each.step.ways if way.at not in taken)


def of_order(pair: Pair) -> Iterator[Difference]:
    """Tell which steps are gone, new, renamed or moved."""
    steps = pair.aligned.steps
    yield from _presence(pair, steps)
    yield from _renames(pair)
    yield from _moves(pair, steps)


def _presence(pair: Pair, steps: Match) -> Iterator[Difference]:
    for name in steps.removed:
        step = pair.old.flow.steps[name]
        weight = weight_of_step(pair.travels.left_of(step), pair.old.shelf, is_gone=True)
        text = f"The {_kind(step)} '{name}' is gone: {_with_cautions(step)}."
        yield Difference(What.STEP, weight, step.at, None, text)
    for name in steps.added:
        step = pair.new.flow.steps[name]
        weight = weight_of_step(pair.travels.left_of(step), pair.new.shelf, is_gone=False)
        text = f"The {_kind(step)} '{name}' is new: {_with_cautions(step)}."
        yield Difference(What.STEP, weight, None, step.at, text)


def _kind(step: Step) -> str:
    return "fallback" if step.is_fallback else "step"


def _with_cautions(step: Step) -> str:
    cautions = ", ".join(f"'{word.text}'" for word in step.cautions)
    words = step.words.rstrip(".")
    return f"{words}, with the caution {cautions}" if cautions else words


def _renames(pair: Pair) -> Iterator[Difference]:
    flows = pair.old.flow, pair.new.flow
    groups = (
        ("step", pair.aligned.steps, flows[0].steps, flows[1].steps),
        ("ending" if next(iter(flows[1].ends.values())).kind else "exit", pair.aligned.ends, flows[0].ends, flows[1].ends),
        ("window", pair.aligned.windows, flows[0].windows, flows[1].windows),
    )
    for what, match, old, new in groups:
        for before, now in match.renamed:
            at = old[now].at, new[now].at
            yield Difference(What.RENAMED, Weight.WORDS, *at, f"The {what} '{before}' is now called '{now}'.")


def _moves(pair: Pair, steps: Match) -> Iterator[Difference]:
    old, new = pair.old.flow.steps, pair.new.flow.steps
    main = []
    for _, name in steps.pairs:
        if old[name].is_fallback != new[name].is_fallback:
            where = "the fallbacks" if new[name].is_fallback else "the main line"
            text = f"'{name}' moved to {where}."
            yield Difference(What.MOVED, Weight.OTHER, old[name].at, new[name].at, text)
        elif not new[name].is_fallback:
            main.append(name)
    # Names as both versions know them, so that the exchange of the two gives the same.
    called = {now: "/".join(sorted((before, now))) for before, now in steps.pairs}
    kept = frozenset(main)
    orders = [[called[name] for name in flow if name in kept] for flow in (old, new)]
    shown = moved(*orders)
    line = [name for name, step in new.items() if not step.is_fallback]
    for name in (name for name in line if name in kept and called[name] in shown):
        at = line.index(name)
        where = f"after '{line[at - 1]}'" if at else "first"
        yield Difference(What.MOVED, Weight.OTHER, old[name].at, new[name].at, f"'{name}' now comes {where}.")
