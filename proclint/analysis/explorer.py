"""What fails in a machine, with the shortest way that shows it.

First a pass over all stops finds the checks that may fail (`suspects`); a machine without any is proved. For each suspect the
shortest way is searched with its variable followed alone. The way found is walked exactly; where a guard or a count forbids
it, that variable or count is followed too, and the search begins again: counterexample-guided refinement of an abstraction
(E. Clarke, O. Grumberg, S. Jha, Y. Lu, H. Veith 2000, 2003; from memory), of the kind that brings
back variables one by one. The answer is exact: what a search does not find is not there, a way that can be walked is real,
and a search with fewer restrictions finds none longer than the truth.

It ends, as there are finitely many variables and counts to follow. How far it may go before is limited, and a check that
meets a limit is `Open`, with what was followed.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from itertools import groupby
from typing import Literal, NamedTuple, TypeAlias

from proclint.analysis.machine import Machine, State
from proclint.analysis.search import Goal, Node, Search, Way
from proclint.analysis.suspects import Suspect, of_all_starts, suspects
from proclint.analysis.walk import GRADES, SPENT, Grade, closing, enter, forced, move_at, take

# What is suspect from each of several starts.
Suspected: TypeAlias = Sequence[tuple[State, Sequence[Suspect]]]
LimitName: TypeAlias = Literal["states", "rounds", "total"]


class SearchLimits(NamedTuple):
    """How far an exploration goes: states of one search, searches for one answer, and states of all searches."""

    states: int = 50_000
    rounds: int = 24
    total: int = 300_000

    @property
    def for_all_at_once(self) -> "SearchLimits":
        """How far an exploration goes for several starts at once, before it goes to each by itself."""
        return SearchLimits(self.states // 2, self.rounds, self.total // 2)


class Broken(NamedTuple):
    """A check that does not hold on some way, in the gravest grade there is, and the shortest way that shows it.

    `way` is the moves taken before the stop is entered; `state` is that in which the check is made, earlier checks of the
    stop taken as mended.
    """

    stop: int
    check: int
    grade: Grade
    way: Way
    state: State


class Open(NamedTuple):
    """A question that met a limit: of a check whether it is broken in `grade`, of a stop (both None) whether a way leads there.

    `variables` and `counts` (of stops) were followed, or would have had to be.
    """

    stop: int
    check: int | None
    grade: Grade | None
    limit: LimitName
    variables: tuple[int, ...]
    counts: tuple[int, ...]


# What is told of one suspect: at most the gravest grade in which it is broken, and one that is open.
Answers: TypeAlias = tuple[Broken | Open, ...]


class Reached(NamedTuple):
    """A shortest way to a stop, as the moves taken before it is entered, and the state in which it is entered."""

    stop: int
    way: Way
    state: State


class Explored(NamedTuple):
    """What fails and what could not be decided, each by stop and check. What is in neither holds on every way.

    A check can be in both: broken in one grade while a graver one is open.
    """

    broken: tuple[Broken, ...]
    open: tuple[Open, ...]


def explore(machine: Machine, *, limits: SearchLimits | None = None) -> Explored:
    """Find every check that does not hold on some way, in its gravest grade and with the shortest way to that."""
    return explore_suspects(machine, suspects(machine), limits=limits)


def explore_suspects(machine: Machine, found: Iterable[Suspect], *, limits: SearchLimits | None = None) -> Explored:
    """Find what there is to some suspects of a machine."""
    return explore_from(machine, [(machine.start, tuple(found))], limits=limits)


def explore_from(machine: Machine, suspected: Suspected, *, limits: SearchLimits | None = None) -> Explored:
    """Find what there is to the suspects of a machine that is entered in several starts, each told once for all starts.

    What is not soon decided for all starts at once is asked of each by itself: what hangs together on the start costs less there.
    """
    limits, starts = limits or SearchLimits(), _starts_of(suspected)
    once = of_all_starts(suspect for _, found in suspected for suspect in found)
    asked = [(suspect, starts[suspect.stop, suspect.check]) for suspect in once]
    explorer = _Explorer(machine, limits if len(suspected) == 1 else limits.for_all_at_once)
    answers = _ask(explorer, machine, asked)
    undecided = {suspect for suspect, found in answers.items() if any(isinstance(each, Open) for each in found)}
    hard = {suspect for suspect, entered in asked if suspect in undecided and len(entered) > 1}
    alone: dict[Suspect, Answers] = dict.fromkeys(hard, ())
    followed = explorer.followed
    for start, _ in suspected if hard else ():
        explorer = _Explorer(machine, limits, followed)
        here = [(suspect, (start,)) for suspect in sorted(hard) if start in starts[suspect.stop, suspect.check]]
        for suspect, found in _ask(explorer, machine, here).items():
            alone[suspect] += found
        followed = explorer.followed
    answers.update((suspect, tuple(_gravest(machine, found))) for suspect, found in alone.items())
    every = [each for found in answers.values() for each in found]
    broken = sorted(each for each in every if isinstance(each, Broken))
    return Explored(tuple(broken), tuple(sorted(each for each in every if isinstance(each, Open))))


def _ask(explorer: "_Explorer", machine: Machine, asked: Iterable[tuple[Suspect, tuple[State, ...]]]) -> dict[Suspect, Answers]:
    """Ask for each suspect, entered from some starts."""

    def shared(each: tuple[Suspect, tuple[State, ...]]) -> tuple[int, tuple[State, ...]]:
        suspect, entered = each
        return machine.stops[suspect.stop].checks[suspect.check].variable, entered

    answers: dict[Suspect, Answers] = {}
    # One variable after the other, as searches that follow the same are shared.
    for (which, entered), group in groupby(sorted(asked, key=lambda each: (shared(each), each)), key=shared):
        together = [suspect for suspect, _ in group]
        explorer.turn_to(machine.layout.field(which), (suspect.stop for suspect in together), entered)
        answers.update((suspect, tuple(explorer.gravest(suspect))) for suspect in together)
    return answers


def _gravest(machine: Machine, answers: Answers) -> Iterator[Broken | Open]:
    """Give of the answers of several starts the gravest and then nearest, and what is open if that is graver."""

    def order(each: Broken) -> tuple[int, int]:
        return GRADES.index(each.grade), sum(machine.stops[stop].cost for stop, _ in each.way)

    broken = min((each for each in answers if isinstance(each, Broken)), key=order, default=None)
    if broken is not None:
        yield broken
    grave = GRADES[: len(GRADES) if broken is None else GRADES.index(broken.grade)]
    yield from [each for each in answers if isinstance(each, Open) and each.grade in grave][:1]


def _starts_of(suspected: Suspected) -> Mapping[tuple[int, int], tuple[State, ...]]:
    """Give the starts from which each check is suspect."""
    found: dict[tuple[int, int], tuple[State, ...]] = {}
    for start, suspects_there in suspected:
        for each in suspects_there:
            found[each.stop, each.check] = (*found.get((each.stop, each.check), ()), start)
    return found


def shortest_way(machine: Machine, stop: int, *, limits: SearchLimits | None = None) -> Reached | Open | None:
    """Give a shortest way to a stop that really can be taken; None if there is none."""
    return shortest_ways(machine, (stop,), limits=limits)[0]


def shortest_ways(
    machine: Machine, stops: Iterable[int], *, limits: SearchLimits | None = None
) -> tuple[Reached | Open | None, ...]:
    """Give for each of these stops a shortest way that really can be taken; None where there is none."""
    explorer, asked = _Explorer(machine, limits or SearchLimits()), tuple(stops)
    explorer.turn_to(0, asked, (machine.start,))
    return tuple(explorer.answer((stop,)) for stop in asked)


# A search is cheap that comes to few states: so many for each stop.
_FEW = 6


class _Refused(NamedTuple):
    """The bits of a field that has to be followed for a way to be seen as closed."""

    field: int


class _Explorer:
    """Answers questions about one machine; searches that follow the same are made once.

    What one question took to follow is followed for the next from the beginning, as long as that costs little: a search that
    follows more than it must finds the same way, if it does not give up before.
    """

    def __init__(self, machine: Machine, limits: SearchLimits, followed: int = 0) -> None:
        self._machine, self._limits = machine, limits
        self._starts: Sequence[State] = ()
        self._few = _FEW * len(machine.stops)
        self._target, self.followed, self._states = 0, followed, 0
        self._within: frozenset[int] = frozenset()
        self._searches: dict[int, Search] = {}

    def turn_to(self, target: int, stops: Iterable[int], starts: Sequence[State]) -> None:
        """Ask from now on what concerns a field at some stops, entered from some starts.

        The searches for another are dropped; their cost still counts.
        """
        self._starts, self._target, self._within = starts, target, self._machine.leading_to(stops)
        self._searches.clear()

    def gravest(self, suspect: Suspect) -> Iterator[Broken | Open]:
        """Give the gravest grade in which a suspect is broken, and the gravest that is open if that is graver."""
        undecided: Open | None = None
        for grade in GRADES[-1:] if suspect.is_only_unstated else GRADES:
            answer = self.answer((suspect.stop, suspect.check, grade))
            if isinstance(answer, Reached):
                yield self._broken(answer, suspect.check)
                break
            undecided = undecided or answer
        if undecided is not None:
            yield undecided

    def _broken(self, reached: Reached, index: int) -> Broken:
        breaches = enter(self._machine, reached.state, reached.stop).breaches
        breach = next(each for each in breaches if each.check == index)
        return Broken(reached.stop, index, breach.grade, reached.way, breach.state)

    def answer(self, goal: Goal) -> Reached | Open | None:
        """Give a shortest way to a goal that can be taken, following more and more fields beside the target's."""
        track, few = self.followed, self._few if self.followed else self._limits.states
        for _ in range(self._limits.rounds):
            if self._states > self._limits.total:
                return self._open(goal, "total", track)
            search = self._search(track)
            before, most = search.states, min(search.states + few, self._limits.states)
            node = search.find(goal, most=most)
            self._states += search.states - before
            if node is None and search.states > most:
                return self._given_up(goal, "states", track)
            answer = self._walked(search, node, goal) if node is not None else None
            if not isinstance(answer, _Refused):
                self.followed = track if search.states - before <= self._few else self.followed
                return answer
            track |= answer.field
        return self._given_up(goal, "rounds", track)

    def _given_up(self, goal: Goal, limit: LimitName, track: int) -> Reached | Open | None:
        """Ask again without what was followed for others, where that was too much; else leave the question open."""
        if self.followed:
            self.followed = 0
            return self.answer(goal)
        return self._open(goal, limit, track)

    def _search(self, track: int) -> Search:
        if track not in self._searches:
            self._searches[track] = Search(self._machine, self._starts, self._within, target=self._target, track=track)
        return self._searches[track]

    def _walked(self, search: Search, node: Node, goal: Goal) -> Reached | _Refused:
        """Walk a way from each start that it may begin in, until one lets it pass; else give all that refuses it."""
        way, first, refused = node.way(), node.first, 0
        for start in self._starts:
            if search.seen_at_first(start) == first:
                answer = _walked(self._machine, start, way, goal)
                if isinstance(answer, Reached):
                    return answer
                refused = refused or answer.field
        return _Refused(refused)

    def _open(self, goal: Goal, limit: LimitName, track: int) -> Open:
        stop, check, grade = (*goal, None, None)[:3]
        followed = self._target | track
        variables = self._machine.layout.variables(followed)
        counts = tuple(index for index, counter in self._machine.counters.items() if counter.field & followed)
        return Open(stop, check, grade, limit, variables, counts)


def _walked(machine: Machine, start: State, way: Way, goal: Goal) -> Reached | _Refused:
    """Walk a way from a start exactly; give the state in which the goal's stop is entered, or all that refuses it on the way.

    Behind a guard that refuses, the walk goes on as if it had let pass: what refuses further on would refuse in the next search.
    """
    state, refused = start, 0
    for stop, index in way:
        entered = enter(machine, state, stop)
        if entered.is_spent != (index == SPENT):
            return _Refused(refused | machine.counters[stop].field)
        after = take(machine, entered.state, stop, index)
        if after is None:
            change = move_at(machine, stop, index).change
            refused |= machine.layout.field(closing(entered.state, change))
            after = forced(entered.state, change)
        state = after
    if len(goal) > 1 and enter(machine, state, goal[0]).is_spent:
        refused |= machine.counters[goal[0]].field
    return _Refused(refused) if refused else Reached(goal[0], way, state)
