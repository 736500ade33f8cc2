"""A vehicle that is easy to believe: from what each value can be, an assignment that is likely to keep all laws.

Each number leans to the end at which the sums it is in are small, each word to one that few laws speak of, and a value
that is a sum of others follows them. Whether the laws are kept is then seen, not believed.
"""

from collections.abc import Iterable, Mapping, Sequence
from typing import TypeAlias, final

from proclint.catalogue.domains import Domain, between, meet
from proclint.catalogue.relations import Law, Linear, Literal

Value: TypeAlias = int | str


@final
class Taste:
    """Which end of each value is easy under some laws."""

    __slots__ = ("_follows", "_lows", "_order", "_woken")

    def __init__(self, laws: Sequence[Law], around: Mapping[str, Sequence[int]]) -> None:
        """Take laws, and the numbers of those around each attribute."""
        signs = dict.fromkeys(around, 0)
        self._woken: dict[str, dict[str, int]] = {name: {} for name in around}
        for law in laws:
            for sign, name in law.then.terms if isinstance(law.then, Linear) else ():
                signs[name] += sign
            for literal in law.given:
                for word in literal.domain.words:
                    self._woken[literal.attribute][word] = self._woken[literal.attribute].get(word, 0) + 1
        self._lows = {name: sign >= 0 for name, sign in signs.items()}
        self._follows: dict[str, tuple[int, Linear]] = {}
        for linear in _equal_sums(laws):
            self._let_follow(linear, around)
        self._order = self._leaders_first(around)

    def values(self, state: Mapping[str, Domain], part: frozenset[str]) -> dict[str, Value]:
        """Give the easy value of each attribute of a part of the laws."""
        values: dict[str, Value] = {}
        for name in self._order:
            if name in part:
                follows = name in self._follows
                values[name] = self._followed(name, state[name], values) if follows else self.easy(name, state[name])
        return values

    def easy(self, name: str, domain: Domain) -> Value:
        """Give the easy value of a domain."""
        if not domain.spans:
            return min(domain.words, key=lambda word: (self._woken[name].get(word, 0), word))
        return domain.spans[0][0] if self._lows[name] else domain.spans[-1][1]

    def pieces(self, name: str, domain: Domain) -> list[Domain]:
        """Cut a domain of several numbers into the halves of the rest and, last, its easy end."""
        least, most = domain.spans[0][0], domain.spans[-1][1]
        end = least if self._lows[name] else most
        least, most = (least + 1, most) if self._lows[name] else (least, most - 1)
        middle = (least + most) // 2
        cuts = (between(least, middle), between(middle + 1, most), between(end, end))
        return [piece for cut in cuts if not (piece := meet(domain, cut)).is_empty]

    def _let_follow(self, linear: Linear, around: Mapping[str, Sequence[int]]) -> None:
        """Let the term that the fewest laws speak of, best one that would lean high, follow the others, unless they follow it."""
        for sign, name in sorted(linear.terms, key=lambda term: (len(around[term[1]]), self._lows[term[1]], term[1])):
            leaders = [each for _, each in linear.terms if each != name]
            if name not in self._follows and not any(self._leads(name, leader) for leader in leaders):
                self._follows[name] = (sign, linear)
                return

    def _leads(self, leader: str, name: str) -> bool:
        if name == leader:
            return True
        terms = self._follows[name][1].terms if name in self._follows else ()
        return any(self._leads(leader, each) for _, each in terms if each != name)

    def _leaders_first(self, names: Iterable[str]) -> tuple[str, ...]:
        order: dict[str, None] = {}

        def put(name: str) -> None:
            for _, leader in self._follows[name][1].terms if name in self._follows else ():
                if leader != name and leader not in order:
                    put(leader)
            order[name] = None

        for name in names:
            put(name)
        return tuple(order)

    def _followed(self, name: str, domain: Domain, values: Mapping[str, Value]) -> Value:
        sign, linear = self._follows[name]
        others = [(each_sign, values[each]) for each_sign, each in linear.terms if each != name]
        if not domain.spans or any(isinstance(value, str) for _, value in others):
            return self.easy(name, domain)
        wished = sign * (linear.most - sum(each_sign * value for each_sign, value in others if isinstance(value, int)))
        near = [min(max(wished, least), most) for least, most in domain.spans]
        return min(near, key=lambda number: abs(number - wished))


def _equal_sums(laws: Sequence[Law]) -> list[Linear]:
    """Give the sums that are said to be at most and at least the same number."""
    sums = {law.then for law in laws if isinstance(law.then, Linear)}
    turned = {Linear(tuple((-sign, name) for sign, name in linear.terms), -linear.most) for linear in sums}
    first = {linear for linear in sums & turned if linear.terms[0][0] > 0}
    return sorted(first, key=lambda linear: linear.terms)


def is_kept(law: Law, values: Mapping[str, Value]) -> bool:
    """Whether an assignment keeps a law."""
    for literal in law.given:
        if not _is_in(values[literal.attribute], literal.domain):
            return True
    if isinstance(law.then, Literal):
        return _is_in(values[law.then.attribute], law.then.domain)
    total = 0
    for sign, name in law.then.terms:
        value = values[name]
        if isinstance(value, str):
            return False
        total += sign * value
    return total <= law.then.most


def _is_in(value: Value, domain: Domain) -> bool:
    if isinstance(value, str):
        return value in domain.words
    return any(least <= value <= most for least, most in domain.spans)
