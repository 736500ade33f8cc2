"""Where a way ends, as text: what the customer is told, which keys work, what is left open, the way and its times."""

from collections.abc import Iterable, Iterator
from shlex import quote

from proclint.analysis.states.endings import LIMITS, MOST_MOMENTS, Reaching
from proclint.analysis.states.known import Known
from proclint.analysis.states.rehearsal import Moment
from proclint.analysis.states.spots import Kind
from proclint.analysis.states.stand import MOST_STATES
from proclint.analysis.states.steps import ENTERED
from proclint.model import End
from proclint.render.known import known_lines
from proclint.render.labelled import LABEL, WIDTH, labelled
from proclint.render.plain import harmless
from proclint.render.rehearsal import clock, lacking
from proclint.telling import in_words, listed

_LIMIT = {
    "states": f"{LIMITS.states} states in one search",
    "rounds": f"{LIMITS.rounds} searches for one answer",
    "total": f"{LIMITS.total} states in all searches",
}
_CHANGED = {"no": "not changed", "maybe": "perhaps changed", "yes": "changed"}


def ending(moment: Moment) -> str:
    """Tell how things stand at an ending, and how one came there."""
    return "\n".join((*_head(moment.spot.of), *_arrived(moment))) + "\n"


def _head(end: object) -> Iterator[str]:
    assert isinstance(end, End)
    name = f"== ending '{harmless(end.name)}': {end.kind} "
    yield name + "=" * max(WIDTH - len(name), 3)
    yield from labelled("tell", end.tell)


def _arrived(moment: Moment) -> Iterator[str]:
    known = Known.at(moment)
    yield from labelled("time", clock(moment.watch.elapsed))
    yield from known_lines(known)
    yield from labelled("list", f"the vehicle's list of keys was {listed(_CHANGED[value] for value in known.values('changed'))}")
    yield from labelled("not tested", ", ".join(key.name for key in known.keys if not key.is_tested))
    left = "; ".join(f"{in_words(fact.name)} is {listed(fact.values)}" for fact in known.left_open)
    yield from labelled("left open", left or "nothing that has to be put back")
    for lack in moment.lacks:
        if lack.demand.rule != "left-open-at-end":
            yield from labelled("not so", lacking(lack))
    if moment.stand.is_rough:
        yield from labelled("note", f"There were more than {MOST_STATES} cases: what hangs together is no longer known.")
    yield from labelled("way", ", ".join(_way(moment)))
    # In one line, however long, so that it can be copied.
    yield from (f"{'again':<{LABEL}}--outcomes {quote(said)}" for said in (script(moment),) if said)


def _way(moment: Moment) -> Iterator[str]:
    """Give the steps of the file on the way, each with the outcome by which it was left, unless that was `done`."""
    for leg in moment.way:
        caller = leg.spot.frame.caller
        if caller is None and leg.spot.kind in (Kind.BODY, Kind.BEGIN) and leg.outcome != ENTERED:
            yield leg.spot.name + ("" if leg.outcome == "done" else f" ({leg.outcome})")
        elif caller is not None and caller.frame.caller is None and leg.spot.step is None and caller.step is not None:
            yield f"{caller.name} ({leg.outcome})"


def script(moment: Moment) -> str:
    """Give the choices on the way, as `--outcomes` takes them."""
    return ",".join(leg.script for leg in moment.way if leg.script)


def all_endings(found: Iterable[Reaching]) -> Iterator[str]:
    """Tell of each ending of a procedure the shortest way there, as soon as it is found."""
    for each in found:
        if each.arrived is not None:
            yield "\n".join((*_head(each.ending.of), *_doubt(each), *_arrived(each.arrived))) + "\n"
        else:
            yield "\n".join((*_head(each.ending.of), *_doubt(each))) + "\n"


def _doubt(each: Reaching) -> Iterator[str]:
    if each.limit is None:
        if each.arrived is None:
            yield from labelled("way", "None: what the file says of vehicle and keys rules out every way here.")
        return
    limit = f"The search for the shortest way met its limit of {_LIMIT[each.limit]}"
    if each.arrived is not None:
        yield from labelled("note", f"{limit}; there may be a shorter one than this.")
    else:
        yield from labelled("undecided", f"{limit}, and no way was found among {MOST_MOMENTS} moments; there may be one.")
