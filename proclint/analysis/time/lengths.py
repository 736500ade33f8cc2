"""How long something takes: in the quickest, the usual and the slowest case, and at worst for each hand.

Times are whole milliseconds. What a person does lasts as long as his hand takes, and he may always take longer, but for what
is to be kept for a stated time. What vehicle or equipment does lasts anything from its least to its most, whoever stands
there.
"""

from collections.abc import Iterable
from enum import IntEnum
from typing import NamedTuple, TypeAlias

from proclint.catalogue import Duration

# How many of something there are, least and most.
Count: TypeAlias = tuple[int, int]
ONE: Count = (1, 1)


class Hand(IntEnum):
    """How quick the person is."""

    QUICKEST = 0
    TYPICAL = 1
    SLOWEST = 2


HANDS = tuple(Hand)


class Length(NamedTuple):
    """How long something takes.

    `least`, `usual` and `most` are for whoever only adds up. `worst` is for whoever has to be in time: how long it lasts for each
    hand when all that is not the hand's goes as slowly as it can. It `is_given` where vehicle or equipment decides. `cap` is the
    longest that a person may take. It is not `is_told` where only the caller of a block could say it.
    """

    least: int
    usual: int
    most: int
    worst: tuple[int, int, int]
    is_given: bool = False
    cap: int | None = None
    is_told: bool = True

    def times(self, count: Count) -> "Length":
        """Give how long it takes so many times, one after the other."""
        if count == ONE:
            return self
        few, many = count
        quick, usual, slow = self.worst
        return self._replace(
            least=self.least * few,
            usual=self.usual * (few + many) // 2,
            most=self.most * many,
            worst=(quick * many, usual * many, slow * many),
            cap=None if self.cap is None else self.cap * many,
        )

    @property
    def or_nothing(self) -> "Length":
        """Give how long it takes where it may be left out."""
        return self._replace(least=0)

    def less(self, other: "Length") -> "Length":
        """Give what is left of it when something else in it is done; never below nothing."""
        quick, usual, slow = (max(mine - taken, 0) for mine, taken in zip(self.worst, other.worst, strict=True))
        least, middle, most = (
            max(mine - taken, 0)
            for mine, taken in ((self.least, other.least), (self.usual, other.usual), (self.most, other.most))
        )
        return self._replace(least=least, usual=middle, most=most, worst=(quick, usual, slow), cap=None)


def by_hand(time: Duration, *, usual: int | None = None, is_kept: bool = False) -> Length:
    """Give a time that a person takes; one that `is_kept` must not be longer than its most."""
    middle = _middle(time, usual)
    cap = time.most if is_kept else None
    return Length(time.least, middle, time.most, (time.least, middle, time.most), cap=cap)


def given(time: Duration, *, usual: int | None = None) -> Length:
    """Give a time that vehicle or equipment takes."""
    return Length(time.least, _middle(time, usual), time.most, (time.most,) * 3, is_given=True)


def _middle(time: Duration, usual: int | None) -> int:
    """Give the usual time: as written, else the one of the catalogue held inside the range, else the middle."""
    if time.usual is not None:
        return time.usual
    return (time.least + time.most) // 2 if usual is None else max(time.least, min(time.most, usual))


NOTHING = by_hand(Duration(0, 0, 0))
UNTOLD = NOTHING._replace(is_told=False)


def total(lengths: Iterable[Length]) -> Length:
    """Give how long several things take, one after the other; given if others decide all of it."""
    several = tuple(lengths)
    if len(several) == 1:
        return several[0]
    quick, usual, slow = (sum(each.worst[hand] for each in several) for hand in HANDS)
    return Length(
        sum(each.least for each in several),
        sum(each.usual for each in several),
        sum(each.most for each in several),
        (quick, usual, slow),
        is_given=bool(several) and all(each.is_given for each in several),
        is_told=all(each.is_told for each in several),
    )
