"""Folding one by one and then together gives what folding at once gives, along the whole chain of causes."""

import pytest

from proclint.apps.rule_set import known_rules
from proclint.engine import Reported
from proclint.engine.fold import fold
from proclint.results import Level, Result
from proclint.source import Place

RULE = next(rule for rule in known_rules() if rule.id == "way-to-nowhere")


def said(message: str, *, at: int, because: int | None = None, rule: str = "a", level: Level = Level.ERROR) -> Reported:
    """Make a result at an offset, with the offset of its cause."""
    places = [Place("a.yaml", (each,), None, (each, each + 1)) if each is not None else None for each in (at, because)]
    assert places[0] is not None
    return Reported(RULE._replace(id=rule), level, Result(message, places[0], subject=message, because=places[1]))


def folded(*each: Reported) -> dict[str, list[str]]:
    """Give each head with what is under it, in the order of the words."""
    return {one.result.message: sorted(result.message for result in one.also) for one in fold(each)}


CHAIN = (said("root", at=1), said("next", at=2, because=1, rule="b"), said("last", at=3, because=2, rule="c"))


def test_a_chain_of_causes_has_one_head() -> None:
    """What follows from what follows stands under the first cause."""
    assert {"root": ["last", "next"]} == folded(*reversed(CHAIN))


@pytest.mark.parametrize("cut", [(0, 1), (1, 2), (0, 2)])
def test_folding_twice_is_folding_once(cut: tuple[int, int]) -> None:
    """Two results folded first, and what comes of them folded with the third, give the same head and the same under it."""
    first = fold(CHAIN[number] for number in cut)
    rest = [each for number, each in enumerate(CHAIN) if number not in cut]
    assert {"root": ["last", "next"]} == folded(*first, *rest)


def test_a_result_of_the_same_rule_takes_in_what_follows_whatever_its_level() -> None:
    """A warning takes in a warning of its own rule that names it as its cause, and none of another rule."""
    head = said("head", at=1, level=Level.WARNING)
    same = said("same", at=2, because=1, level=Level.WARNING)
    other = said("other", at=3, because=1, rule="b", level=Level.WARNING)
    assert {"head": ["same"], "other": []} == folded(head, same, other)


def test_a_result_at_the_place_of_its_cause() -> None:
    """A result that stands where its cause stands goes under the error of the other rule there, and is not its own cause."""
    assert {"cause": ["here"]} == folded(said("cause", at=1, rule="b"), said("here", at=1, because=1))


def test_causes_in_a_ring_are_all_kept() -> None:
    """Results that name one another as their cause lose nobody."""
    one, two = said("one", at=1, because=2), said("two", at=2, because=1)
    kept = folded(one, two)
    assert {"one", "two"} == {*kept, *(message for under in kept.values() for message in under)}


def test_two_equal_results_stay_two() -> None:
    """A result that is found twice without a cause is told twice: folding takes nothing for granted."""
    assert 2 == len(fold([said("one", at=1), said("one", at=1)]))
