"""The dimensions that boxes have, and boxes from words and back."""

import re
from collections.abc import Iterator, Mapping
from typing import final

from proclint.analysis.facts.boxes import Box, lowest, run
from proclint.catalogue.domains import Unfit
from proclint.catalogue.entries import Attribute
from proclint.catalogue.nearest import nearest
from proclint.model import Vehicles

# Whoever does not know of which vehicles a row speaks leaves the cell empty, or the row out.
NO_NAMES = ("", "unknown")

_YEARS = re.compile(r"([0-9]{4})(?:-([0-9]{4}))?")
_MONTH = r"([0-9]{4})-(0[1-9]|1[0-2])"
_MONTHS = re.compile(rf"{_MONTH}(?:/{_MONTH})?")


@final
class Space:
    """The dimensions that boxes have, and the bit of each value.

    Names get a bit when they are first met, so boxes of two spaces have nothing to do with each other, and none leaves
    its process; what does is the text it was made of.
    """

    __slots__ = ("_attributes", "_bits", "_first", "_masks", "_sizes", "dimensions", "everything")

    def __init__(self, attributes: Mapping[str, Attribute]) -> None:
        """Take the attributes that narrow; `years` says which model years there are."""
        self._attributes = {name: each for name, each in attributes.items() if each.narrows}
        self._first, last = _range_of_years(attributes)
        self._bits: dict[str, dict[str, int]] = {name: {} for name in self._attributes}
        for name, attribute in self._attributes.items():
            for word in attribute.words:
                self._bit(name, word)
        # A vehicle is built at most a year before its model year or after.
        self._sizes = {"years": last - self._first + 1, "months": 12 * (last - self._first + 3)}
        self.dimensions = tuple(self._attributes)
        self.everything: Box = tuple(_all(each, self._sizes) for each in self._attributes.values())
        self._masks: dict[tuple[str, str], int | Unfit] = {}

    def box(self, said: Mapping[str, str]) -> Box | Unfit:
        """Give the box of what is said of dimensions, as in a facts table; what is empty or missing means all."""
        masks = list(self.everything)
        for index, name in enumerate(self.dimensions):
            text = said.get(name, "")
            if text:
                mask = self.mask(name, text)
                if isinstance(mask, Unfit):
                    return mask
                masks[index] = mask
        return tuple(masks)

    def box_of(self, vehicles: Vehicles, method: str = "") -> Box | Unfit:
        """Give the box of the vehicles of a procedure that is done by a method."""
        said = {
            "make": vehicles.make,
            "model": vehicles.model,
            "years": f"{vehicles.years[0]}-{vehicles.years[1]}",
            "build": vehicles.build,
            "markets": "|".join(vehicles.markets),
            "ignition-kind": vehicles.ignition_kind,
            "gearbox": "|".join(vehicles.gearbox),
            "high-voltage": "|".join(vehicles.high_voltage),
            "variant": "|".join(vehicles.variants),
            "method": method,
        }
        return self.box(said)

    def mask(self, dimension: str, text: str) -> int | Unfit:
        """Give the set that a text says of a dimension."""
        key = (dimension, text)
        if key not in self._masks:
            self._masks[key] = self._read(self._attributes[dimension], text)
        return self._masks[key]

    def words(self, box: Box) -> dict[str, str]:
        """Say in words what a box narrows, dimension by dimension."""
        narrowed = (each for each in zip(self.dimensions, box, self.everything, strict=True) if each[1] != each[2])
        return {name: self._in_words(self._attributes[name], mask) for name, mask, _ in narrowed}

    def first_month(self, box: Box) -> str:
        """Give the month, as 2012-09, in which the first vehicle of a box can have been built.

        Where no months are said it is the first of the year before the first model year.
        """
        months, every = (each[self.axis("build")] for each in (box, self.everything))
        return self._month(lowest(months) if months != every else 12 * lowest(box[self.axis("years")]))

    def axis(self, dimension: str) -> int:
        """Give the index of a dimension."""
        return self.dimensions.index(dimension)

    def _bit(self, dimension: str, word: str) -> int:
        bits = self._bits[dimension]
        return bits.setdefault(word, len(bits))

    def _read(self, attribute: Attribute, text: str) -> int | Unfit:
        if attribute.type == "years":
            return self._years(text, self._sizes["years"])
        if attribute.type == "months":
            return self._months(text, self._sizes["months"])
        mask = 0
        for word in (item.strip() for item in text.split("|")):
            if word in NO_NAMES or (attribute.words and word not in attribute.words):
                expected = ", ".join(attribute.words) or "a name"
                return Unfit("unknown-word", word, expected, nearest(word, attribute.words))
            mask |= 1 << self._bit(attribute.name, word)
        return mask

    def _years(self, text: str, count: int) -> int | Unfit:
        found = _YEARS.fullmatch(text)
        if found is None:
            return Unfit("no-years", text, "a model year such as 2015, or two such as 2013-2017")
        least, most = int(found[1]), int(found[2] or found[1])
        if least > most:
            return Unfit("wrong-way-round", text, "the first year before the last", f"{most}-{least}")
        if least < self._first or most >= self._first + count:
            return Unfit("out-of-range", text, f"model years from {self._first} to {self._first + count - 1}")
        return run(least - self._first, most - self._first)

    def _months(self, text: str, count: int) -> int | Unfit:
        found = _MONTHS.fullmatch(text)
        if found is None:
            return Unfit("no-months", text, "a month such as 2015-09, or two such as 2015-09/2017-03")
        start = 12 * (self._first - 1)
        least = 12 * int(found[1]) + int(found[2]) - 1 - start
        most = least if found[3] is None else 12 * int(found[3]) + int(found[4]) - 1 - start
        if least > most:
            return Unfit("wrong-way-round", text, "the first month before the last", "/".join(reversed(text.split("/"))))
        if least < 0 or most >= count:
            return Unfit("out-of-range", text, f"months from {self._month(0)} to {self._month(count - 1)}")
        return run(least, most)

    def _month(self, bit: int) -> str:
        year, month = divmod(bit + 12 * (self._first - 1), 12)
        return f"{year}-{month + 1:02}"

    def _in_words(self, attribute: Attribute, mask: int) -> str:
        if attribute.type == "years":
            return ", ".join(_range(str(self._first + a), str(self._first + b), "-") for a, b in _runs(mask))
        if attribute.type == "months":
            return ", ".join(_range(self._month(a), self._month(b), "/") for a, b in _runs(mask))
        named = sorted(word for word, bit in self._bits[attribute.name].items() if (mask >= 0) == bool(mask >> bit & 1))
        return "|".join(named) if mask >= 0 else f"all but {'|'.join(named)}"


def _range_of_years(attributes: Mapping[str, Attribute]) -> tuple[int, int]:
    years = attributes["years"]
    assert years.least is not None
    assert years.most is not None
    return int(years.least), int(years.most)


def _all(attribute: Attribute, sizes: Mapping[str, int]) -> int:
    if attribute.type in sizes:
        return run(0, sizes[attribute.type] - 1)
    return run(0, len(attribute.words) - 1) if attribute.words else -1


def _runs(mask: int) -> Iterator[tuple[int, int]]:
    """Give the runs of bits of a set that has a last one."""
    while mask:
        first = lowest(mask)
        length = lowest(~(mask >> first))
        yield first, first + length - 1
        mask &= ~run(first, first + length - 1)


def _range(first: str, last: str, dash: str) -> str:
    return first if first == last else f"{first}{dash}{last}"
