"""A rehearsal as text: what is written at a step, how things stand, what the watch shows, and what can come of it."""

from collections.abc import Iterator

from proclint.analysis.states.known import Known
from proclint.analysis.states.rehearsal import Moment, Option, Rehearsal
from proclint.analysis.states.spots import Kind, Spot
from proclint.analysis.states.stand import MOST_STATES, Lack
from proclint.analysis.states.steps import LATE
from proclint.analysis.time.bars import bars
from proclint.analysis.time.spoken import spoken
from proclint.analysis.time.times import Times
from proclint.analysis.time.watch import Elapsed, Running
from proclint.model import KeyGroup, Vehicles
from proclint.render.bars import text_of_bars
from proclint.render.known import known_lines, span
from proclint.render.labelled import LABEL, WIDTH, labelled
from proclint.render.plain import harmless
from proclint.render.step_page import path, step_lines
from proclint.telling import in_words, listed

CLOSING = "A rehearsal follows what is written; a vehicle may do otherwise."


def opening(rehearsal: Rehearsal) -> str:
    """Tell which procedure is walked, on what vehicles, and the keys that take part."""
    procedure = rehearsal.procedure
    lines = [harmless(procedure.title), f"{harmless(procedure.id)}, version {procedure.version}, {procedure.stage}"]
    for vehicles in procedure.vehicles:
        lines += labelled("vehicles", _vehicles(vehicles))
    for number, group in enumerate(procedure.keys.values()):
        lines += labelled("keys" if number == 0 else "", _group(group, rehearsal))
    return "\n".join((*lines, *labelled("note", CLOSING))) + "\n"


def _vehicles(vehicles: Vehicles) -> str:
    first, last = vehicles.years
    years = str(first) if first == last else f"{first}-{last}"
    return f"{vehicles.make} {vehicles.model} {years}, {vehicles.ignition_kind}"


def _group(group: KeyGroup, rehearsal: Rehearsal) -> str:
    cast = rehearsal.laid.cast
    here = span([str(number) for number in range(group.here[0], group.here[1] + 1)])
    known = "in the vehicle's list" if group.registered else "new"
    size = cast.group_of[group.letter].size if group.letter in cast.group_of else group.here[1]
    rest = f"; {group.letter}{size} stands for every further one" if group.here[1] > size else ""
    return f"{group.letter}: {here} here, {group.kind}, {known}{rest}"


def page(moment: Moment, number: int) -> str:
    """Tell all that a person needs at a step; `number` counts the steps shown."""
    parts = ((*_head(moment, number), *_passed_by(moment), *step_lines(moment)), _standing(moment), _outcomes(moment))
    return "\n\n".join("\n".join(part) for part in parts) + "\n"


def _head(moment: Moment, number: int) -> Iterator[str]:
    left, right = f"{number}  {harmless(path(moment.spot))} ", f" {clock(moment.watch.elapsed)}"
    yield left + "-" * max(WIDTH - len(left) - len(right), 3) + right


def clock(elapsed: Elapsed) -> str:
    """Say a time as is usual, with the quickest and the slowest."""
    quickest, typical, slowest = map(spoken, elapsed)
    return typical if quickest == slowest else f"{typical} ({quickest} to {slowest})"


def _passed_by(moment: Moment) -> Iterator[str]:
    """Tell what was passed since the last choice because only one thing could come of it."""
    for leg in moment.way[len(moment.way) - moment.fresh :]:
        spot, step = leg.spot, leg.spot.step
        if step is None and spot.frame.caller is not None:
            yield from labelled("passed", f"'{spot.frame.caller.name}' is left as '{leg.outcome}'")
        elif step is not None and leg.outcome == "spent":
            yield from labelled("passed", f"'{step.name}' has been tried as often as it may be ({step.tries})")
        elif step is not None and step.follow is not None and spot.kind is Kind.BEGIN:
            block = moment.rehearsal.shelf.blocks[step.follow.block]
            yield from labelled("passed", f"'{step.name}' follows block {block.id} {block.version}: {block.title}")
        elif step is not None and spot.kind is Kind.BODY and not step.lines and not leg.script:
            yield from labelled("passed", f"'{step.name}': {leg.outcome}")


def _standing(moment: Moment) -> Iterator[str]:
    for lack in moment.lacks:
        yield from labelled("not so", lacking(lack))
    yield from known_lines(Known.at(moment))
    if moment.stand.is_rough:
        yield from labelled("note", f"There were more than {MOST_STATES} cases: what hangs together is no longer known.")
    for each in moment.watch.closed:
        yield from labelled("window", _closed(each))
    for each in moment.watch.running:
        yield from labelled("window", _running(each))
    yield from _bars(moment)


def lacking(lack: Lack) -> str:
    """Say what does not hold as it has to."""
    demand, (_, grade, found) = lack.demand, lack
    if demand.hazard:
        return f"No caution '{demand.hazard}' stands before '{demand.text}' on this way."
    if grade == "unstated":
        return f"Nobody has said what {in_words(demand.variable)} is; it is taken to be {listed(demand.good)}."
    wants = f"'{demand.text}' needs" if demand.text else "This ending needs"
    if not demand.good:
        return f"{wants} what does not hold here."
    surely = "is" if grade == "must" else "may be"
    return f"{wants} {in_words(demand.variable)} to be {listed(demand.good)}; it {surely} {listed(found)}."


def _running(each: Running) -> str:
    name, window, elapsed = each.window.name, each.window, each.elapsed
    if window.at_most is None:
        return f"'{name}' has run for {clock(elapsed)}; it lasts at least {spoken(window.at_least or 0)}"
    quickest, typical, slowest = (_left(window.at_most - ms) for ms in elapsed)
    said = typical if quickest == slowest else f"{typical} (quickest {quickest}, slowest {slowest})"
    return f"'{name}', {spoken(window.at_most)}: {said}"


def _left(ms: int) -> str:
    return f"{spoken(ms)} left" if ms >= 0 else f"over by {spoken(-ms)}"


def _closed(each: Running) -> str:
    bounds = [f"at least {spoken(each.window.at_least)}"] if each.window.at_least is not None else []
    bounds += [f"at most {spoken(each.window.at_most)}"] if each.window.at_most is not None else []
    return f"'{each.window.name}' ended after {clock(each.elapsed)}; it lasts {' and '.join(bounds)}"


def _bars(moment: Moment) -> Iterator[str]:
    """Draw the windows that the step opens."""
    step, frame = moment.spot.step, moment.spot.frame
    opened = {mark.window for line in step.lines for mark in line.opens} if step is not None else set()
    if opened and moment.spot.kind is Kind.BODY:
        yield ""
        yield text_of_bars(bar for bar in bars(Times(frame.written, moment.rehearsal.shelf)) if bar.window in opened)


def _outcomes(moment: Moment) -> Iterator[str]:
    options = moment.options
    if not options:
        yield from labelled("stuck", "The file does not say what follows here.")
    width = max((len(harmless(option.name)) for option in options), default=0)
    for number, option in enumerate(options, 1):
        label = "outcomes" if number == 1 and len(options) > 1 else "outcome" if number == 1 else ""
        yield f"{label:<{LABEL}}{number}  {harmless(option.name):<{width}}  {harmless(_target(moment.spot, option))}"


def _target(spot: Spot, option: Option) -> str:
    target = option.target
    late = f", as window '{option.name.removeprefix(LATE)}' has run out" if option.name.startswith(LATE) else ""
    if target.is_last:
        return f"to the ending '{target.name}'{late}"
    if target.kind is Kind.END:
        return f"out of the block as '{target.name}'{late}"
    if target.frame.caller is not None and target.frame.caller.kind is Kind.END and target.frame is not spot.frame:
        return f"to the ending '{target.frame.caller.name}'{late}"
    return "to the next round" if spot.goes_on(target) else f"to {target.name}{late}"
