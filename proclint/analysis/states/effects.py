"""What a line makes of the variables: changes one after the other, each in the cases in which it happens.

The catalogue reads all conditions from the state before the line. So a change that reads a variable comes before the one
that writes it, and of what no case divides all is done at once at the end.
"""

from collections.abc import Iterable, Iterator, Mapping
from typing import NamedTuple, TypeAlias

from proclint.analysis.states.cast import Cast
from proclint.analysis.states.truth import TRUE, Scene, Truth, all_hold
from proclint.catalogue import Action, Effect, Form, Shown, Sum, Whose

Table: TypeAlias = tuple[int, ...]
_MAY_HAVE_HAPPENED = "may-have-happened"


class Stage(NamedTuple):
    """Changes of some variables, by table from each old value to the mask of new ones, where `when` holds."""

    when: Truth
    tables: Mapping[int, Table]


class _Change(NamedTuple):
    when: Truth
    variable: int
    table: Table


def stages(effects: Iterable[Effect], scene: Scene, *, may_not: bool = False) -> tuple[Stage, ...]:
    """Give what some effects do, in an order in which nothing is read after it is written.

    With `may_not` each may have happened or not.
    """
    changes = [change for effect in effects for change in _changes(effect, scene)]
    at_once: dict[int, Table] = {}
    divided: list[_Change] = []
    for change in changes:
        own = _own_table(change, at_once.get(change.variable), scene.cast)
        if own is None or any(change.variable == other.variable for other in divided):
            if change.variable in at_once:
                # Of two changes of one variable the later holds: the one before it is not done at the end.
                divided.append(_Change(TRUE, change.variable, at_once.pop(change.variable)))
            divided.append(change)
        else:
            at_once[change.variable] = own
    found = [Stage(each.when, {each.variable: _kept(each.table, may_not=may_not)}) for each in _ordered(divided)]
    if at_once:
        found.append(Stage(TRUE, {name: _kept(table, may_not=may_not) for name, table in at_once.items()}))
    return tuple(found)


def made_by(action: Action, scene: Scene, answer: str) -> tuple[Stage, ...]:
    """Give what comes of a line that is done, with an answer or, where it is none of its answers, with the wished one."""
    return scene.once(("done", answer), lambda: _made_by(action, scene, answer))


def _made_by(action: Action, scene: Scene, answer: str) -> tuple[Stage, ...]:
    deed = scene.cast.catalogue.deed(action.verb)
    effects = deed.makes + (deed.answers.get(answer) or next(iter(deed.answers.values()), ()))
    shown = tuple(stage for each in deed.shows for stage in _shown(each, scene))
    changed = _list_changed(action, scene, {"no": "yes", "maybe": "yes", "yes": "yes"})
    return (*shown, *stages(effects, scene), *changed)


def made_by_failing(action: Action, scene: Scene, answer: str) -> tuple[Stage, ...]:
    """Give what comes of a line that failed, with an answer where its answers are told apart."""
    return scene.once(("failed", answer), lambda: _made_by_failing(action, scene, answer))


def _made_by_failing(action: Action, scene: Scene, answer: str) -> tuple[Stage, ...]:
    deed = scene.cast.catalogue.deed(action.verb)
    made = stages(deed.failure_makes + deed.answers.get(answer, ()), scene)
    if action.on_failure != _MAY_HAVE_HAPPENED:
        return made
    maybe = _list_changed(action, scene, {"no": "maybe", "maybe": "maybe", "yes": "yes"})
    return (*stages(deed.makes, scene, may_not=True), *made, *maybe)


def _list_changed(action: Action, scene: Scene, becomes: Mapping[str, str]) -> tuple[Stage, ...]:
    """Give that the vehicle's list was, or may have been, changed, where a line does that."""
    number = scene.cast.number.get("changed")
    if number is None or not action.writes:
        return ()
    table = tuple(scene.cast.mask(number, (becomes[value],)) for value in scene.cast.values["changed"])
    return (Stage(TRUE, {number: table}),)


def _shown(shown: Shown, scene: Scene) -> Iterator[Stage]:
    if not scene.says_all(shown.parameters):
        return
    when, cast = all_hold(shown.condition, scene), scene.cast
    if when.cases:
        for variable in scene.variables(shown.target):
            # How many there are does not change, and counting says no more than the file does; the way taken does.
            if variable not in cast.counted:
                yield Stage(when, {variable: (cast.possible(variable),) * cast.layout.sizes[variable]})


def _kept(table: Table, *, may_not: bool) -> Table:
    return tuple(mask | 1 << index for index, mask in enumerate(table)) if may_not else table


def _own_table(change: _Change, before: Table | None, cast: Cast) -> Table | None:
    """Give a table that does the same without asking anything but the variable itself, or nothing where there is none."""
    passed = 0
    for case in change.when.cases:
        if case.keys() - {change.variable}:
            return None
        passed |= case.get(change.variable, cast.full(change.variable))
    return tuple(
        mask if passed >> index & 1 else (before[index] if before is not None else 1 << index)
        for index, mask in enumerate(change.table)
    )


def _ordered(changes: list[_Change]) -> Iterator[_Change]:
    """Give those first that read what others write; in a ring, as they are written."""
    left = list(changes)
    while left:
        ready = next((each for each in left if not _is_read(each, left)), left[0])
        left.remove(ready)
        yield ready


def _is_read(change: _Change, others: list[_Change]) -> bool:
    """Whether another change still has to read the variable that a change writes."""
    return any(
        change.variable in case and other.variable != change.variable
        for other in others
        if other is not change
        for case in other.when.cases
    )


def _changes(effect: Effect, scene: Scene) -> Iterator[_Change]:
    if not scene.says_all(effect.parameters):
        return
    for each in scenes(effect.target.whose, scene):
        when = all_hold(effect.condition, each)
        # What hangs on a fact that nobody told is not claimed to happen.
        if not when.cases or not when.is_sure:
            continue
        for variable in each.variables(effect.target):
            table = _table(effect, variable, each)
            if table is not None:
                yield _Change(when, variable, table)


def scenes(whose: Whose, scene: Scene) -> Iterator[Scene]:
    """Give a scene for each key that `every` or `others` stands for, else the scene itself."""
    if whose in (Whose.EVERY, Whose.OTHERS):
        own = scene.words.get("key", "") if whose is Whose.OTHERS else ""
        yield from (scene.of_key(key) for key in scene.cast.keys if key != own)
    else:
        yield scene


def _table(effect: Effect, variable: int, scene: Scene) -> Table | None:
    """Give for each old value the mask of new ones; nothing where what it becomes is no value of the variable."""
    cast = scene.cast
    size = len(cast.values[cast.names[variable]])
    if effect.value is None:
        return (cast.mask(variable, effect.words),) * size
    if effect.forgets:
        return (cast.full(variable),) * size
    moved = _moved(effect.value, variable, scene)
    if moved is not None:
        return tuple(1 << min(max(index + moved, 0), size - 1) for index in range(size))
    operand = effect.value.alone
    word = scene.word(operand) if operand is not None else None
    if word is None:
        # It becomes what another variable is: any value, as far as this one knows.
        return (cast.full(variable),) * size
    mask = cast.mask(variable, (word,))
    return (mask,) * size if mask else None


def _moved(value: Sum, variable: int, scene: Scene) -> int | None:
    """Give by how much a count goes up or down, or nothing where it becomes something else."""
    second = value.second
    if second is None or second.form is not Form.NUMBER or scene.variables(value.first) != (variable,):
        return None
    return int(second.number) if value.sign == "+" else -int(second.number)
