"""When a condition holds: alternatives, each of which narrows some variables to some of their values.

What hangs on something that nobody knows, such as a cell of a facts table that is not there, may hold or not: its alternatives
are those in which it may.
"""

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from decimal import Decimal
from functools import lru_cache
from itertools import product
from operator import eq, ge, gt, le, lt, mul, ne
from typing import NamedTuple, TypeAlias, TypeVar
from typing import cast as typed

from proclint.analysis.states.cast import Cast
from proclint.catalogue import Atom, Form, Misread, Operand, Sum, Whose, read_duration

_T = TypeVar("_T")
# Asked about thousands of times; to look a member up in its class takes ten times as long.
_VARIABLE, _NAMED, _TOLD, _LINE, _FACT = Form.VARIABLE, Form.NAMED, Form.TOLD, Form.LINE, Form.FACT
_WORD, _NUMBER = Form.WORD, Form.NUMBER
_VEHICLE, _OF_TOLD, _ITS_KIND, _KIND, _SOME = Whose.VEHICLE, Whose.TOLD, Whose.ITS_KIND, Whose.KIND, Whose.SOME
# The values to which variables are narrowed, by the variable's number; all of them together.
Narrowing: TypeAlias = Mapping[int, int]


class Truth(NamedTuple):
    """The cases in which something holds. `is_sure` says that it does in all of them, and not only may."""

    cases: tuple[Narrowing, ...]
    is_sure: bool = True


class _Held(NamedTuple):
    """A condition that hangs on no line, and when it holds."""

    atoms: tuple[Atom, ...]
    truth: Truth


TRUE = Truth(({},))
FALSE = Truth(())
MAYBE = Truth(({},), is_sure=False)
_COMPARE: Mapping[str, Callable[[Decimal, int], bool]] = {"=": eq, "!=": ne, "<": lt, "<=": le, ">": gt, ">=": ge}
# More cases than this are not told apart: the condition then may hold, or not.
_MOST_CASES = 64


@dataclass(frozen=True, slots=True)
class Scene:
    """One line about to be done: who takes part, its verb, who does it, and the words of its parameters.

    A key among the words is the name of one key, a group that of its letter.
    `counts` gives the variable of each name for a number read; `each` is the key that `every`, `others` or `some` stands for.
    """

    cast: Cast
    verb: str
    actor: str
    words: Mapping[str, str]
    counts: Mapping[str, str]
    each: str = ""
    # What was worked out for it before, by whoever works it out.
    known: dict[object, object] = field(default_factory=dict, compare=False, repr=False)

    def once(self, key: object, make: Callable[[], _T]) -> _T:
        """Give what was worked out for it before under a key, or work it out."""
        if key not in self.known:
            self.known[key] = make()
        return typed("_T", self.known[key])

    def of_key(self, key: str) -> "Scene":
        """Give the scene in which `every`, `others` or `some` is one key."""
        return self.once(("of", key), lambda: Scene(self.cast, self.verb, self.actor, self.words, self.counts, key))

    def says_all(self, parameters: frozenset[str]) -> bool:
        """Whether the line says all these parameters: an item that names another is skipped."""
        return parameters <= self.words.keys()

    def variables(self, operand: Operand) -> tuple[int, ...]:
        """Give the variables that an operand names: several for one that stands for others, none where there is none."""
        name = operand.name
        if operand.form is _NAMED:
            name = self.words.get(name, "")
            return self._numbers(self.counts.get(name, name))
        owner = self._owner(operand)
        return self._numbers(f"{owner}.{name}" if owner else name) if owner is not None else ()

    def _numbers(self, name: str) -> tuple[int, ...]:
        single = self.cast.catalogue.sums.get(name, (name,))
        return tuple(self.cast.number[each] for each in single if each in self.cast.number)

    def _owner(self, operand: Operand) -> str | None:
        whose, owner = operand.whose, operand.owner
        if whose is _VEHICLE:
            return ""
        if whose is _KIND:
            return owner
        if whose is _OF_TOLD:
            return self.words.get(owner)
        if whose is _ITS_KIND:
            return self.kind_of(self.words.get(owner, ""))
        return self.each or None

    def kind_of(self, key: str) -> str | None:
        """Give the kind of a key, nothing where it is not known."""
        group = self.cast.group_of.get(key)
        return group.kind or None if group is not None else None

    def word(self, operand: Operand) -> str | None:
        """Give the word that an operand stands for, nothing where it is a variable or not known."""
        form = operand.form
        if form is _VARIABLE:
            return None
        if form is _WORD:
            return operand.name
        if form is _TOLD:
            return self.words.get(operand.name)
        if form is _LINE:
            return self._of_line(operand.name)
        if form is _FACT:
            return self.cast.fact.get(operand.name)
        return f"{operand.number:f} {operand.name}".strip() if form is _NUMBER else None

    def _of_line(self, name: str) -> str:
        if name == "action":
            return self.verb
        return self.actor if name == "actor" else self.words.get(name, "other" if name == "sign" else "")


def all_hold(atoms: Iterable[Atom], scene: Scene) -> Truth:
    """Say when all of some atoms hold; `some` is the same key in all of them."""
    atoms = tuple(atoms)
    if not atoms:
        return TRUE
    key = (id(atoms), scene.each)
    known = scene.cast.kept.get(key)
    if isinstance(known, _Held) and known.atoms is atoms:
        return known.truth
    found = _hold(atoms, scene)
    if not any(atom.is_of_line for atom in atoms):
        scene.cast.kept[key] = _Held(atoms, found)
    return found


def _hold(atoms: tuple[Atom, ...], scene: Scene) -> Truth:
    if not any(operand.whose is _SOME for atom in atoms for operand in atom.operands):
        return _all_hold(atoms, scene)
    return any_of(both(is_there(key, scene.cast), _all_hold(atoms, scene.of_key(key)), scene.cast) for key in scene.cast.keys)


def _all_hold(atoms: Iterable[Atom], scene: Scene) -> Truth:
    found = TRUE
    for atom in atoms:
        found = both(found, holds(atom, scene), scene.cast)
        if not found.cases:
            return FALSE
    return found


def is_there(key: str, cast: Cast) -> Truth:
    """Say when a key is there at all: here, or away where it stands for those that are; no key always is."""
    group = cast.group_of.get(key)
    if group is None or group.is_given:
        return TRUE
    rank = group.keys.index(key) + 1 if key in group.keys else 1
    number = cast.number[f"{group.letter}.{'here' if key in group.keys else 'away'}"]
    enough = cast.full(number) & ~((1 << rank) - 1)
    return TRUE if not cast.possible(number) & ~enough else Truth(({number: enough},))


def any_of(truths: Iterable[Truth]) -> Truth:
    """Say when at least one of some conditions holds."""
    found = tuple(truths)
    if any(truth is TRUE for truth in found):
        return TRUE
    return Truth(tuple(case for truth in found for case in truth.cases), all(truth.is_sure for truth in found))


def both(one: Truth, other: Truth, cast: Cast) -> Truth:  # noqa: ARG001
    """Say when two conditions hold."""
    if one is TRUE or other is FALSE:
        return other
    if other is TRUE or one is FALSE:
        return one
    cases = [case for pair in product(one.cases, other.cases) if (case := _joined(*pair)) is not None]
    if len(cases) > _MOST_CASES:
        return MAYBE
    return Truth(tuple(cases), one.is_sure and other.is_sure)


def _joined(one: Narrowing, other: Narrowing) -> Narrowing | None:
    found = dict(one)
    for variable, mask in other.items():
        found[variable] = found.get(variable, mask) & mask
        if not found[variable]:
            return None
    return found


def otherwise(truth: Truth, cast: Cast) -> Truth:
    """Say when a condition does not hold; what may hold may also not, in any case."""
    if not truth.is_sure:
        return MAYBE
    found = TRUE
    for case in truth.cases:
        found = both(found, Truth(tuple(_without(case, cast))), cast)
    return found


def _without(case: Narrowing, cast: Cast) -> Iterable[Narrowing]:
    """Give cases that exclude one another and together are all but one."""
    before: dict[int, int] = {}
    for variable, mask in case.items():
        rest = cast.full(variable) & ~mask
        if rest:
            yield {**before, variable: rest}
        before[variable] = mask


def holds(atom: Atom, scene: Scene) -> Truth:
    """Say when an atom holds."""
    if atom.operator == "holds":
        return _cell_holds(atom.left, scene)
    if atom.facts and any(scene.word(operand) is None for operand in atom.facts):
        return MAYBE
    if atom.right is None:
        return _is_among(atom, scene)
    left, right = atom.left.alone, atom.right.alone
    if left is None or right is None or (atom.operator not in ("=", "!=")):
        return _compared(atom.left, atom.operator, atom.right, scene)
    word = scene.word(right)
    if scene.word(left) is None and word is not None and left.form is not _NUMBER:
        return is_one_of(scene.variables(left), frozenset({word}), scene.cast, is_wanted=atom.operator == "=")
    return _compared(atom.left, atom.operator, atom.right, scene)


def _cell_holds(left: Sum, scene: Scene) -> Truth:
    """Say when the conditions that stand in the cell of a facts table all hold."""
    cell = scene.word(left.first)
    if cell is None:
        return MAYBE
    found = TRUE
    for text in filter(None, (part.strip() for part in cell.split("|"))):
        try:
            item = scene.cast.catalogue.in_cell(text)
        except Misread:
            return MAYBE
        found = both(found, all_hold(item.atoms, scene), scene.cast)
    return found


def _is_among(atom: Atom, scene: Scene) -> Truth:
    left = atom.left.alone
    if left is None:
        return MAYBE
    word = scene.word(left)
    words = frozenset(atom.words)
    if word is not None:
        return TRUE if (word in words) == (atom.operator == "in") else FALSE
    return is_one_of(scene.variables(left), words, scene.cast, is_wanted=atom.operator == "in")


def is_one_of(variables: Sequence[int], words: frozenset[str], cast: Cast, *, is_wanted: bool) -> Truth:
    """Say when all of some variables, one as a rule, have one of some words, or when not all of them do."""
    if not variables:
        return MAYBE
    found = _settled({variable: cast.mask(variable, words) for variable in variables}, cast)
    return found if is_wanted else otherwise(found, cast)


def _settled(case: Narrowing, cast: Cast) -> Truth:
    """Say when a case holds, given what nothing changes."""
    left = {}
    for variable, mask in case.items():
        known = cast.settled.get(variable, cast.full(variable))
        if not known & mask:
            return FALSE
        if known & ~mask:
            left[variable] = mask
    return Truth((left,)) if left else TRUE


# A term of a sum: its sign, and the variable that it is or the number.
Term: TypeAlias = tuple[int, int | None, Decimal]


def _compared(left: Sum, operator: str, right: Sum, scene: Scene) -> Truth:
    """Compare sums, or two words."""
    operands = (*left.operands, *right.operands)
    words = [scene.word(operand) for operand in operands]
    if len(operands) == 2 and None not in words and any(_measure(word) is None for word in words):
        # A cell that holds a set is each of its words.
        same = words[1] in str(words[0]).split("|")
        return TRUE if same == (operator == "=") else FALSE
    sides = [_terms(side, scene) for side in (left, right)]
    if sides[0] is None or sides[1] is None:
        return MAYBE
    return compared(sides[0], operator, sides[1], scene.cast)


def _terms(side: Sum, scene: Scene) -> tuple[Term, ...] | None:
    found: list[Term] = []
    for sign, operand in zip((1, -1 if side.sign == "-" else 1), side.operands, strict=False):
        terms = _terms_of(sign, operand, scene)
        if terms is None:
            return None
        found += terms
    return tuple(found)


def _terms_of(sign: int, operand: Operand, scene: Scene) -> tuple[Term, ...] | None:
    number = _measure(scene.word(operand))
    if number is not None:
        return ((sign, None, number),)
    reckoned = scene.cast.catalogue.reckoned.get(operand.name) if operand.form is _VARIABLE else None
    if reckoned is not None:
        # What is reckoned of one owner is the sum of others of the same owner.
        signs = (sign, -sign if reckoned.sign == "-" else sign)
        parts = [
            _terms_of(each, replace(part, whose=operand.whose, owner=operand.owner), scene)
            for each, part in zip(signs, reckoned.operands, strict=False)
        ]
        return None if None in parts else tuple(term for part in parts if part is not None for term in part)
    variables = scene.variables(operand)
    return ((sign, variables[0], Decimal(0)),) if len(variables) == 1 else None


def compared(left: Iterable[Term], operator: str, right: Iterable[Term], cast: Cast) -> Truth:
    """Compare two sums by trying the values of the variables in them; of more than two variables nothing is known."""
    terms = (*left, *((-sign, variable, number) for sign, variable, number in right))
    named = tuple(dict.fromkeys(variable for _, variable, _ in terms if variable is not None))
    spans = [[*_values_of(variable, cast)] for variable in named]
    if len(terms) == len(named) == 2 and not all(spans):
        return _same_words(named, operator, cast)
    if len(named) > 2 or not all(spans):
        return MAYBE

    fixed = sum((sign * number for sign, name, number in terms if name is None), Decimal(0))
    times = [sum(sign for sign, name, _ in terms if name == each) for each in named]

    def fits(*values: int) -> bool:
        return _COMPARE[operator](fixed + sum(map(mul, times, values)), 0)

    return _by_trial(named, spans, fits, cast)


def _by_trial(named: tuple[int, ...], spans: list[list[tuple[int, int]]], fits: Callable[..., bool], cast: Cast) -> Truth:
    """Give the cases in which numbers fit; those that differ in one variable only are one."""
    rows: dict[int, int] = {}
    if not named:
        return TRUE if fits() else FALSE
    *firsts, last = zip(named, spans, strict=True)
    for bit, value in firsts[0][1] if firsts else [(0, 0)]:
        head = (value,) if firsts else ()
        mask = sum(1 << index for index, number in last[1] if fits(*head, number))
        if mask:
            rows[mask] = rows.get(mask, 0) | (1 << bit)
    cases = [{last[0]: mask, **({named[0]: heads} if firsts else {})} for mask, heads in rows.items()]
    found = [truth for case in cases if (truth := _settled(case, cast)).cases]
    return TRUE if any(truth is TRUE for truth in found) else Truth(tuple(case for truth in found for case in truth.cases))


def _same_words(named: tuple[int, ...], operator: str, cast: Cast) -> Truth:
    """Say when two variables have the same word, or not."""
    one, other = named
    cases = tuple(
        {one: 1 << index, other: mask if operator == "=" else cast.full(other) & ~mask}
        for index, word in enumerate(cast.values[cast.names[one]])
        if (mask := cast.mask(other, (word,))) or operator != "="
    )
    return Truth(tuple(case for case in cases if all(case.values())))


def _values_of(variable: int, cast: Cast) -> Iterable[tuple[int, int]]:
    """Give index and number of each value that is a number."""
    for index, value in enumerate(cast.values[cast.names[variable]]):
        if value.isdigit():
            yield index, int(value)


@lru_cache(maxsize=4096)
def _measure(word: str | None) -> Decimal | None:
    """Give the number in a word: a count, a voltage, or a time in milliseconds."""
    if word is None:
        return None
    duration = read_duration(word)
    if duration is not None:
        return Decimal(duration.least)
    number, _, unit = word.partition(" ")
    is_number = number.replace(".", "", 1).isdigit() and unit in ("", "V")
    return Decimal(number) if is_number else None
