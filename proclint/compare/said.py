"""How values are said: times, counts, lists, names."""

from collections.abc import Iterable

from proclint.catalogue import Duration

_UNITS = ((86_400_000, "d"), (3_600_000, "h"), (60_000, "min"), (1000, "s"))


def time(milliseconds: int) -> str:
    """Say a time in the largest unit in which it is whole, in seconds where it is in none."""
    for size, unit in _UNITS:
        if milliseconds and milliseconds % size == 0:
            return f"{milliseconds // size} {unit}"
    return f"{milliseconds / 1000:g} s"


def duration(given: Duration | None) -> str:
    """Say a duration, in seconds, or that none is written."""
    if given is None:
        return "nothing written"
    numbers = dict.fromkeys(number for number in (given.least, given.usual, given.most) if number is not None)
    return f"{'-'.join(f'{number / 1000:g}' for number in numbers)} s"


def span(given: tuple[int, int]) -> str:
    """Say a count or a range of them."""
    return str(given[0]) if given[0] == given[1] else f"{given[0]}-{given[1]}"


def names(given: Iterable[str]) -> str:
    """Say names in single quotes."""
    return ", ".join(f"'{name}'" for name in given) or "nothing"


def words(given: Iterable[str]) -> str:
    """Say words one after the other."""
    return ", ".join(given) or "nothing"


def listed(text: str, *, none: str = "nothing") -> str:
    """Say a text in single quotes, or that there is none."""
    return f"'{text}'" if text else none
