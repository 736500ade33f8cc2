"""Whether statements about one vehicle can all be true, given what must hold between values.

Bounds are carried along the sums until nothing changes (with coefficients of one that is exact for each sum by itself),
then an assignment is tried that leans to the easy end of each value; where it breaks a law the domain is split. Values are
whole numbers and words with a least and a most, so the search ends; a limit on its splits makes it end soon.
"""

from collections.abc import Iterable, Mapping, Sequence
from typing import TypeAlias, final

from proclint.analysis.facts.conflicts import LimitMet, Limits
from proclint.analysis.facts.taste import Taste, Value, is_kept
from proclint.catalogue.domains import NO_WORDS, Domain, between, meet, without
from proclint.catalogue.relations import Law, Linear, Literal

Said: TypeAlias = Iterable[tuple[str, Domain]]
State: TypeAlias = dict[str, Domain]


@final
class Consistency:
    """Answers for one set of laws; `parts` names, for each attribute in a law, all that laws connect it with."""

    __slots__ = ("_around", "_base", "_domains", "_easy_values", "_laws", "_limits", "_odd", "_taste", "parts")

    def __init__(self, laws: Sequence[Law], domains: Mapping[str, Domain], limits: Limits) -> None:
        """Take laws and what each value in them can be. Raises ValueError where no vehicle keeps them, and LimitMet."""
        self._laws = tuple(laws)
        self._domains = domains
        self._limits = limits
        self.parts = _parts(self._laws)
        self._around: dict[str, list[int]] = {name: [] for name in self.parts}
        for number, law in enumerate(self._laws):
            for name in dict.fromkeys(law.attributes):
                self._around[name].append(number)
        self._base = {name: domains[name] for name in self.parts}
        self._taste = Taste(self._laws, self._around)
        self._odd = frozenset(range(len(self._laws)))
        self._easy_values: Mapping[str, Value] = {}
        if not self._settle(self._base, self._odd) or not self._search(self._base, frozenset(self.parts)):
            raise ValueError("No vehicle keeps these laws.")
        self._easy_values = self._taste.values(self._base, frozenset(self.parts))
        self._odd = frozenset(number for number in self._odd if not is_kept(self._laws[number], self._easy_values))

    def holds(self, said: Said) -> bool:
        """Whether all that is said, attribute by attribute, can be true of one vehicle. Raises LimitMet."""
        state: State = {}
        for name, domain in said:
            known = state.get(name, self._base.get(name))
            state[name] = domain if known is None else meet(known, domain)
            if state[name].is_empty:
                return False
        bound = [name for name, domain in state.items() if name in self._base and domain is not self._base[name]]
        return not bound or self._search({**self._base, **state}, bound)

    def left(self, attribute: str, said: Said) -> Domain:
        """Give what the laws leave of an attribute once all that is said is carried along them; it may be nothing."""
        state = dict(self._base)
        for name, domain in said:
            known = state.get(name)
            state[name] = domain if known is None else meet(known, domain)
        whole = self._settle(state, range(len(self._laws)))
        return state[attribute] if whole and attribute in state else Domain((), NO_WORDS)

    def relations_behind(self, said: Said) -> tuple[str, ...]:
        """Name the fewest relations with which what is said cannot be true; nothing where it clashes without any.

        One relation alone is looked for first, then they are left out one by one. What is not seen to clash within the limit
        counts as holding, so that a name may be one too many and none is missing.
        """
        told = list(said)
        names = list(dict.fromkeys(law.relation for law in self._laws))
        if self._clashes((), told):
            return ()
        single = next((name for name in names if self._clashes((name,), told)), None)
        if single is not None:
            return (single,)
        for name in tuple(names):
            fewer = [each for each in names if each != name]
            if self._clashes(fewer, told):
                names = fewer
        return tuple(names)

    def _clashes(self, names: Iterable[str], told: list[tuple[str, Domain]]) -> bool:
        """Whether what is said is seen to be impossible with some relations only."""
        kept = frozenset(names)
        try:
            laws = [law for law in self._laws if law.relation in kept]
            return not Consistency(laws, self._domains, self._limits).holds(told)
        except LimitMet:
            return False

    def _search(self, state: State, changed: Iterable[str]) -> bool:
        part = frozenset[str]().union(*(self.parts[name] for name in changed))
        stack, splits = [(state, {number for name in changed for number in self._around[name]})], 0
        while stack:
            state, touched = stack.pop()
            if not self._settle(state, touched):
                continue
            broken = self._first_broken(self._taste.values(state, part))
            if broken is None:
                return True
            splits += 1
            if splits > self._limits.splits:
                raise LimitMet("splits")
            for name, less in self._cuts(state, broken):
                stack.append(({**state, name: less}, set(self._around[name])))
        return False

    def _first_broken(self, values: Mapping[str, Value]) -> Law | None:
        """Give a law that an assignment breaks; laws whose values are the easy ones were looked at before."""
        moved = [name for name, value in values.items() if self._easy_values.get(name) != value]
        asked = sorted(self._odd.union(*(self._around[name] for name in moved)))
        laws = (self._laws[number] for number in asked)
        return next((law for law in laws if law.attributes[0] in values and not is_kept(law, values)), None)

    def _settle(self, state: State, touched: Iterable[int]) -> bool:
        """Carry bounds until nothing changes; whether something is left of every domain."""
        waiting = set(touched)
        while waiting:
            law = self._laws[waiting.pop()]
            if not all(meet(state[literal.attribute], literal.domain) == state[literal.attribute] for literal in law.given):
                continue
            for name, domain in _enforced(law.then, state):
                if domain.is_empty:
                    return False
                state[name] = domain
                waiting.update(self._around[name])
        return True

    def _cuts(self, state: State, law: Law) -> list[tuple[str, Domain]]:
        """Cut one domain of a broken law; the piece that is looked into first stands last."""
        for literal in law.given:
            name, domain = literal.attribute, state[literal.attribute]
            inside = meet(domain, literal.domain)
            if inside != domain:
                return [(name, inside), (name, without(domain, inside))]
        assert isinstance(law.then, Linear)
        name = max((name for _, name in law.then.terms), key=lambda name: _size(state[name]))
        return [(name, piece) for piece in self._taste.pieces(name, state[name])]


def _size(domain: Domain) -> int:
    return domain.spans[-1][1] - domain.spans[0][0]


def _enforced(then: Literal | Linear, state: State) -> Iterable[tuple[str, Domain]]:
    """Give the domains that a consequence makes smaller."""
    if isinstance(then, Literal):
        domain = meet(state[then.attribute], then.domain)
        return () if domain == state[then.attribute] else ((then.attribute, domain),)
    return _bounded(then, state)


def _bounded(linear: Linear, state: State) -> list[tuple[str, Domain]]:
    """Bound each term by what the others leave of the sum at the least."""
    domains = [(sign, name, state[name]) for sign, name in linear.terms]
    if not all(domain.spans for _, _, domain in domains):
        return [(linear.terms[0][1], Domain((), NO_WORDS))]
    leasts = [domain.spans[0][0] if sign > 0 else -domain.spans[-1][1] for sign, _, domain in domains]
    room = linear.most - sum(leasts)
    smaller = []
    for (sign, name, domain), least in zip(domains, leasts, strict=True):
        most = domain.spans[-1][1] if sign > 0 else -domain.spans[0][0]
        if domain.words or most > least + room:
            allowed = between(domain.spans[0][0], least + room) if sign > 0 else between(-least - room, domain.spans[-1][1])
            smaller.append((name, meet(domain, allowed)))
    return smaller


def _parts(laws: Sequence[Law]) -> dict[str, frozenset[str]]:
    parts: dict[str, set[str]] = {}
    for law in laws:
        joined = set(law.attributes).union(*(parts.get(name, ()) for name in law.attributes))
        for name in joined:
            parts[name] = joined
    return {name: frozenset(part) for name, part in parts.items()}
