"""The table of ways: every ending, how it is reached and how it leaves keys and vehicle; the slots; the windows."""

from collections.abc import Sequence

from proclint.analysis.account.course import Course
from proclint.analysis.account.endings import Ending, Proof
from proclint.analysis.account.slots import Ledger, SlotLine
from proclint.render.review.leaf import Bars, Grid, Part, Prose, Section
from proclint.render.review.words import chips_of, of_chips, of_keys, of_number, of_time
from proclint.results import Passed
from proclint.review import Inside
from proclint.telling import counted, stops_of

_SURE = (
    "How keys and vehicle stand is said of all ways to an ending together: what is said without 'may' or 'not on every way' "
    "holds on each of them. Of the rest it is not ruled out, and may be on none."
)


def section_of_ways(inside: Inside, *, is_block: bool) -> Section:
    """Give the table of ways; of a block it is its exits with their times."""
    if is_block:
        exits = tuple((each.end.name, of_time(each.time)) for each in inside.endings)
        grid = Grid("Every exit", ("exit", "quickest / typical / slowest"), exits)
        return Section("Exits", counted(len(exits), "exit", "exits"), (grid,))
    head = ("ending", "how it is reached", "quickest / typical / slowest", "keys at the end", "originals tried", "left open")
    rows = tuple(_row(each, inside.course) for each in inside.endings)
    unproved = sum(each.proof in (Proof.NO, Proof.SOME_WAYS) for each in inside.endings)
    short = f"{counted(len(rows), 'ending', 'endings')}, {unproved} of them with originals not tried on every way"
    return Section("Ways", short, (Grid("Every ending", head, rows), Prose(_SURE)))


def _row(each: Ending, course: Course) -> tuple[str, ...]:
    name = f"{each.end.name} ({each.end.kind})"
    if not each.way and not each.limit:
        return (name, "no way leads here, as far as is known", of_time(each.time), "-", "-", "-")
    way = _reached(stops_of(each.way), course) if each.way else f"not found within the limit '{each.limit}'"
    left = "; ".join(f"{one.variable}: {' or '.join(one.values)}" for one in each.left)
    undecided = f"not decided: {', '.join(each.undecided)}" if each.undecided else ""
    return (
        name,
        way,
        of_time(each.time),
        of_keys(each.keys),
        each.proof.value,
        "; ".join(filter(None, (left, undecided))) or "nothing",
    )


def _reached(stops: Sequence[Passed], course: Course) -> str:
    """Say a way by what differs from the main line: up to where it is kept to, and each step from there on."""
    goes_on = {row.step.name: row.goes_on for row in course.rows}
    kept = 0
    while kept < len(stops) - 1 and stops[kept].outcome in goes_on.get(stops[kept].step, ()):
        kept += 1
    if kept < 3:
        return of_chips(chips_of(stops[:-1])) or "at once"
    rest = of_chips(chips_of(stops[kept:-1]))
    return f"main line, then {rest}" if rest else "main line"


def section_of_windows(inside: Inside) -> Section | None:
    """Give the windows as bars; nothing where there are none."""
    if not inside.bars:
        return None
    note = "Each bar is the longest way through its window at a typical hand; slack is what is left at each hand."
    return Section("Windows", counted(len(inside.bars), "window", "windows"), (Bars(inside.bars), Prose(note)))


def section_of_slots(inside: Inside) -> Section | None:
    """Give the slots of each kind of key; nothing where the file knows none."""
    known = [each for each in inside.ledgers if each.lines or each.cap is not None]
    parts: list[Part] = [part for each in known for part in _ledger(each)]
    return Section("Slots", "; ".join(map(_in_short, known)), tuple(parts)) if parts else None


def _in_short(each: Ledger) -> str:
    return f"{each.kind}: {_cap(each)}{', which may be passed' if each.passes_cap else ''}"


def _cap(each: Ledger) -> str:
    return f"cap {each.cap}" if each.cap is not None else "no cap written"


def _ledger(each: Ledger) -> tuple[Part, ...]:
    if not each.lines:
        return (Prose(f"Slots for a {each.kind} ({_cap(each)}): nothing reads or changes how many are used."),)
    head = ("step", "what is done", "used before", "used after")
    rows = tuple((_name(line), line.step.words, of_number(line.before), _after(line)) for line in each.lines)
    over = (Prose(f"More than the cap of {each.cap} may be used."),) if each.passes_cap else ()
    return (Grid(f"Slots for a {each.kind}: {_cap(each)}", head, rows), *over)


def _name(line: SlotLine) -> str:
    name = f"{line.within}: {line.step.name}" if line.within else line.step.name
    return f"{name} (reads)" if line.is_read else name


def _after(line: SlotLine) -> str:
    by_number: dict[str, list[str]] = {}
    for outcome, known in line.after:
        by_number.setdefault(of_number(known), []).append(outcome)
    return "; ".join(f"{number} ({', '.join(outcomes)})" for number, outcomes in by_number.items())
