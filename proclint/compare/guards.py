"""Which lines and steps guard, prove or write: what it means that one of them is gone or new.

A guard is an action that makes true what the catalogue demands before some action, or that ends a hazard; a proof is one that
can show a key to work.
"""

from collections.abc import Iterator
from functools import lru_cache

from proclint.analysis import Shelf
from proclint.catalogue import Atom, Catalogue, Effect, Form
from proclint.compare.difference import Weight, What, of_presence
from proclint.model import Line, Step

# What a choice or a way of learning does after which keys that worked before no longer do.
DROPPING = frozenset({"replace-all", "erase-all", "erase-remotes"})


def is_guard(line: Line, catalogue: Catalogue) -> bool:
    """Whether a line guards what comes behind it or proves what was done."""
    return line.action.proves or guards(line, catalogue)


def guards(line: Line, catalogue: Catalogue) -> bool:
    """Whether a line makes true what is demanded before some action."""
    if line.action.takes == "make-sure":
        reached = (line.words.get("variable", ""), line.words.get("value", ""))
        return reached in _demanded(catalogue) | _ending(catalogue)
    return line.verb in guard_verbs(catalogue)


def what_of(line: Line, catalogue: Catalogue) -> What:
    """Say what is gone or new with a line."""
    if line.action.proves:
        return What.PROOF
    return What.GUARD if guards(line, catalogue) else What.ACTION


def weight_of(line: Line, catalogue: Catalogue, *, is_gone: bool) -> Weight:
    """Weigh a line that is gone or new."""
    return of_presence(is_guard=is_guard(line, catalogue), adds=line.action.writes, is_gone=is_gone)


def weight_of_step(step: Step, shelf: Shelf, *, is_gone: bool) -> Weight:
    """Weigh a step that is gone or new, with the block that it follows."""
    lines = tuple(lines_of(step, shelf))
    guarding = bool(step.cautions) or any(is_guard(line, shelf.catalogue) for line in lines)
    return of_presence(is_guard=guarding, adds=any(line.action.writes for line in lines), is_gone=is_gone)


def lines_of(step: Step, shelf: Shelf) -> Iterator[Line]:
    """Give the lines of a step and of the blocks that it follows."""
    yield from step.lines
    waiting = [step.follow.block] if step.follow is not None else []
    for name in waiting:
        block = shelf.blocks.get(name)
        for inner in block.steps.values() if block is not None else ():
            yield from inner.lines
            if inner.follow is not None and inner.follow.block not in waiting:
                waiting.append(inner.follow.block)


@lru_cache(maxsize=8)
def guard_verbs(catalogue: Catalogue) -> frozenset[str]:
    """Give the verbs whose action makes true what is demanded before some action, or is the one thing that ends a hazard."""
    return frozenset(verb for verb in catalogue.actions if any(_guards(each, catalogue) for each in _effects(verb, catalogue)))


def _effects(verb: str, catalogue: Catalogue) -> Iterator[Effect]:
    deed = catalogue.deed(verb)
    for effects in (deed.makes, *deed.answers.values()):
        yield from effects


def _guards(effect: Effect, catalogue: Catalogue) -> bool:
    value = effect.value.alone if effect.value is not None else None
    if value is None or value.form is not Form.WORD:
        return False
    made = (effect.target.name, value.name)
    # With some words of the line excepted it still is what the action is for; only with some of them it is not.
    is_wide = all(atom.operator == "!=" for atom in effect.condition)
    return (made in _demanded(catalogue) and is_wide) or (made in _ending(catalogue) and not effect.condition)


@lru_cache(maxsize=8)
def _demanded(catalogue: Catalogue) -> frozenset[tuple[str, str]]:
    """Give each variable with a word that is demanded of it before some action."""
    atoms = (atom for demand in catalogue.demands if demand.verbs for item in demand.must for atom in item.atoms)
    return frozenset(pair for atom in atoms for pair in _pairs(atom))


@lru_cache(maxsize=8)
def _ending(catalogue: Catalogue) -> frozenset[tuple[str, str]]:
    """Give each variable with the word that alone ends a hazard."""
    ends = (catalogue.peril(name).discharged_by for name in catalogue.hazards)
    return frozenset(pair for each in ends if [1] == list(map(len, each)) for pair in _pairs(each[0][0]))


def _pairs(atom: Atom) -> Iterator[tuple[str, str]]:
    left, right = atom.left.alone, atom.right.alone if atom.right is not None else None
    # That every prompt is answered is held by the steps' own order.
    if left is None or left.form is not Form.VARIABLE or left.name == "prompt":
        return
    if atom.operator == "in":
        yield from ((left.name, word) for word in atom.words)
    elif atom.operator == "=" and right is not None and right.form is Form.WORD:
        yield left.name, right.name
