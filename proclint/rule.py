"""What a rule is, and how rules are found.

A rule is a generator function in a module of its own: the module's docstring is its page, the function's name its id,
the folder its group. It takes frozen things and yields results; it searches, reads and prints nothing itself.
"""

import importlib
import pkgutil
import sys
from collections.abc import Callable, Iterator
from enum import StrEnum
from types import ModuleType
from typing import Any, NamedTuple, TypeVar

from proclint.results import Harm, Level, Result

Check = Callable[..., Iterator[Result]]
_Check = TypeVar("_Check", bound=Check)


class Scope(StrEnum):
    """What a rule is given: a file as read, a step graph, a procedure only, or the whole library."""

    FILE = "file"
    FLOW = "flow"
    PROCEDURE = "procedure"
    LIBRARY = "library"


class Rule(NamedTuple):
    """A rule: its id, what it is given, the levels it may give (highest first) and what it guards.

    `never_accepted` holds where nobody may silence what it finds.
    """

    id: str
    scope: Scope
    levels: tuple[Level, ...]
    harm: Harm
    group: str
    page: str
    check: Check
    never_accepted: bool = False

    @property
    def title(self) -> str:
        """The first line of the page."""
        return self.page.strip().partition("\n")[0].rstrip(".")

    @property
    def level(self) -> Level:
        """The highest level, which a result has unless it says otherwise."""
        return self.levels[0]


class RuleProblem(Exception):
    """Raised for a rule that is not well formed; the message names its module and what to change."""


def file_rule(*levels: Level, harm: Harm, never_accepted: bool = False) -> Callable[[_Check], _Check]:
    """Make a rule of a function that takes a file as read (`FileStudy`)."""
    return _mark(Scope.FILE, levels, harm, never_accepted=never_accepted)


def flow_rule(*levels: Level, harm: Harm, never_accepted: bool = False) -> Callable[[_Check], _Check]:
    """Make a rule of a function that takes a procedure or block and what the analyses know of it (`Study`)."""
    return _mark(Scope.FLOW, levels, harm, never_accepted=never_accepted)


def procedure_rule(*levels: Level, harm: Harm, never_accepted: bool = False) -> Callable[[_Check], _Check]:
    """Make a rule of a function that takes a procedure and what the analyses know of it (`Study`)."""
    return _mark(Scope.PROCEDURE, levels, harm, never_accepted=never_accepted)


def library_rule(*levels: Level, harm: Harm, never_accepted: bool = False) -> Callable[[_Check], _Check]:
    """Make a rule of a function that takes what is known of all files together (`LibraryStudy`)."""
    return _mark(Scope.LIBRARY, levels, harm, never_accepted=never_accepted)


def _mark(scope: Scope, levels: tuple[Level, ...], harm: Harm, *, never_accepted: bool) -> Callable[[_Check], _Check]:
    def mark(check: _Check) -> _Check:
        check.__rule__ = (scope, levels, harm, never_accepted)  # type: ignore[attr-defined]
        return check

    return mark


def rules_in(package: ModuleType) -> tuple[Rule, ...]:
    """Find the rules defined in a package and below, by group and id.

    Raises RuleProblem for a module that holds none or two, whose id is not its file's name, or that has no page.
    """
    found = [_rule_of(module) for module in _modules(package)]
    return tuple(sorted(found, key=lambda rule: (rule.group, rule.id)))


def _modules(package: ModuleType) -> Iterator[ModuleType]:
    for info in pkgutil.walk_packages(package.__path__, package.__name__ + "."):
        if not info.ispkg:
            yield sys.modules.get(info.name) or importlib.import_module(info.name)


def _rule_of(module: ModuleType) -> Rule:
    own: list[Any] = [
        thing
        for thing in vars(module).values()
        if hasattr(thing, "__rule__") and getattr(thing, "__module__", "") == module.__name__
    ]
    name = module.__name__.rpartition(".")[2]
    if len(own) != 1:
        raise RuleProblem(f"{module.__name__} holds {len(own)} rules; a module holds one.")
    check = own[0]
    if check.__name__ != name:
        raise RuleProblem(f"{module.__name__}: the rule '{check.__name__}' does not bear the file's name.")
    if not (module.__doc__ or "").strip():
        raise RuleProblem(f"{module.__name__} has no page; its docstring is what a contributor reads.")
    scope, levels, harm, never_accepted = check.__rule__
    if not levels:
        raise RuleProblem(f"{module.__name__}: the rule names no level.")
    group = module.__name__.split(".")[-2]
    return Rule(name.replace("_", "-"), scope, levels, harm, group, module.__doc__ or "", check, never_accepted)
