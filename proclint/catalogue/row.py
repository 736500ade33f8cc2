"""One entry of a catalogue's file, read field by field; what does not fit is refused with file and key."""

from collections.abc import Iterator, Mapping
from typing import NamedTuple

from proclint.catalogue.packaged import Tree
from proclint.catalogue.problem import CatalogueProblem
from proclint.catalogue.units import Duration, read_duration


class Row(NamedTuple):
    """The fields of the entry that stands in `file` at `key`."""

    file: str
    key: str
    fields: Mapping[str, Tree]

    def problem(self, field: str, message: str) -> CatalogueProblem:
        """Give the problem of one field, to be raised."""
        return CatalogueProblem(self.file, self._below(field), message)

    def _below(self, field: str) -> str:
        return f"{self.key}.{field}" if self.key else field

    def inside(self, field: str) -> "Row":
        """Give the fields that stand under a field. Raises CatalogueProblem where a text or a list does."""
        value = self.fields.get(field, {})
        if isinstance(value, Mapping):
            return Row(self.file, self._below(field), value)
        raise self.problem(field, "Names with their values belong here.")

    def rows(self) -> Iterator[tuple[str, "Row"]]:
        """Give each name with the fields under it."""
        return ((name, self.inside(name)) for name in self.fields)

    def only(self, known: frozenset[str]) -> None:
        """Refuse fields that are not known. Raises CatalogueProblem."""
        if not self.fields.keys() <= known:
            unknown = min(self.fields.keys() - known)
            raise self.problem(unknown, f"There is no such field; there are {', '.join(sorted(known))}.")

    def list_of_rows(self, field: str) -> Iterator["Row"]:
        """Give the rows of a list. Raises CatalogueProblem where an item has no fields."""
        for number, item in enumerate(self.fields.get(field, ())):
            if not isinstance(item, Mapping):
                raise self.problem(f"{field}.{number}", "Fields with their values belong here.")
            yield Row(self.file, f"{self._below(field)}.{number}", item)

    def text(self, field: str, otherwise: str = "") -> str:
        """Give a text. Raises CatalogueProblem for anything else."""
        value = self.fields.get(field, otherwise)
        if isinstance(value, str):
            return value
        raise self.problem(field, "A text belongs here.")

    def needed(self, field: str) -> str:
        """Give a text that must be there. Raises CatalogueProblem where it is not."""
        if self.fields.get(field):
            return self.text(field)
        raise CatalogueProblem(self.file, self.key, f"'{field}' is missing.")

    def one_of(self, field: str, words: tuple[str, ...], otherwise: str = "") -> str:
        """Give one of some words. Raises CatalogueProblem for any other."""
        word = self.text(field, otherwise)
        if word in words:
            return word
        raise self.problem(field, f"'{word}' is none of {', '.join(words)}.")

    def flag(self, field: str) -> bool:
        """Give whether the field says yes."""
        return self.one_of(field, ("yes", "no"), "no") == "yes"

    def texts(self, field: str) -> tuple[str, ...]:
        """Give a list of texts. Raises CatalogueProblem for anything else."""
        value = self.fields.get(field, ())
        items = () if isinstance(value, str | Mapping) else value
        texts = tuple(item for item in items if isinstance(item, str))
        if len(texts) == len(value):
            return texts
        raise self.problem(field, "A list of texts belongs here.")

    def duration(self, field: str) -> Duration:
        """Give a time. Raises CatalogueProblem for what is none."""
        found = read_duration(self.text(field))
        if found is not None:
            return found
        raise self.problem(field, f"'{self.text(field)}' is no time such as 0.5-1-2 s.")
