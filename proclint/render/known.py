"""How things stand, in words of the trade: where the keys are, what works, what is on, open and connected, what is used."""

from collections.abc import Iterable, Iterator, Sequence
from itertools import groupby

from proclint.analysis.states.cast import MOST_COUNT
from proclint.analysis.states.known import TESTS, Fact, KeyNow, Known, SlotsNow
from proclint.render.labelled import labelled

_PLACES = {
    "cylinder": "in the cylinder",
    "hand": "in hand",
    "pocket": "in a pocket",
    "aside": "laid aside",
    "pouch": "in the pouch",
    "far": "far away",
    "button": "at the START button",
    "backup": "at the backup place",
    "outside": "outside",
    "absent": "not here",
}
_WORKS = {
    "starts": "starts",
    "buttons": "buttons work",
    "passive": "hands-free works",
    "blade": "blade turns",
    "limit": "limit holds",
}
_FAILS = {
    "starts": "does not start",
    "buttons": "buttons fail",
    "passive": "hands-free fails",
    "blade": "blade does not turn",
    "limit": "limit does not hold",
}


def known_lines(known: Known) -> Iterator[str]:
    """Tell what is known at a moment, and what somebody would have to know and nobody does."""
    yield from labelled("keys", "; ".join((*_counts(known.counts), *_keys(known.keys))))
    yield from labelled("now", "; ".join(map(_fact, known.vehicle)))
    yield from labelled("places", "; ".join(map(_slots, known.slots)))
    yield from labelled("numbers", "; ".join(f"{fact.name} = {span(fact.values)}" for fact in known.numbers))
    yield from labelled("not known", ", ".join(known.unknown))


def _counts(counts: Iterable[Fact]) -> Iterator[str]:
    for fact in counts:
        yield f"none of {fact.name} here" if fact.values == ("0",) else f"{span(fact.values)} of {fact.name} here"


def _keys(keys: Iterable[KeyNow]) -> Iterator[str]:
    """Tell of each key where it is and what it does; neighbours of which the same is told come together."""
    told = [(f"{key.name}{'' if key.is_sure else ' (if there)'}", _key(key)) for key in keys]
    for said, group in groupby(told, key=lambda each: each[1]):
        yield f"{', '.join(name for name, _ in group)} {said}"


def _key(key: KeyNow) -> str:
    said = ", ".join((*_list(key), *_works(key)))
    place = _one_of([_PLACES.get(place, place) for place in key.places])
    return f"{place}: {said}" if said else place


def _list(key: KeyNow) -> Iterator[str]:
    """Say whether a key is in the vehicle's list, unless that is as everybody thinks."""
    if "yes" in key.dropped:
        yield "dropped from the list" if len(key.dropped) == 1 else "may be dropped from the list"
    elif not key.is_original or "no" in key.registered:
        yield "may be learned" if len(key.registered) > 1 else "learned" if "yes" in key.registered else "not learned"


def _works(key: KeyNow) -> Iterator[str]:
    """Say what a key was seen to do and not to do."""
    for test in TESTS:
        if key.tests[test] == ("works",):
            yield _WORKS[test]
        elif key.tests[test] == ("fails",):
            yield _FAILS[test]
        elif "fails" in key.tests[test]:
            yield f"not known whether it {_WORKS[test]}" if test == "starts" else f"not known whether {_WORKS[test]}"


def _fact(fact: Fact) -> str:
    return f"{fact.name} {_one_of(fact.values)}"


def _slots(slots: SlotsNow) -> str:
    used = (
        f"{span(slots.used)} of {span(slots.cap)} used" if slots.used else f"{span(slots.cap)}, nobody has read how many are used"
    )
    return f"{slots.kind}: {used}"


def span(values: Sequence[str]) -> str:
    """Say whole numbers that may be: `2`, `2 to 4`, `0, 2 or 4`; the largest that is told apart stands for all above it."""
    numbers = [int(value) for value in values if value.isdigit()]
    is_run = len(numbers) == len(values) > 2 and numbers == list(range(numbers[0], numbers[-1] + 1))
    if is_run and numbers[-1] == MOST_COUNT:
        return f"{values[0]} or more"
    return f"{values[0]} to {values[-1]}" if is_run else _one_of(values)


def _one_of(words: Sequence[str]) -> str:
    *first, last = words
    return f"{', '.join(first)} or {last}" if first else last
