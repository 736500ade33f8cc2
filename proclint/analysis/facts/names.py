"""Names of models that are written in more than one way."""

from collections.abc import Iterable, Iterator
from typing import NamedTuple

from proclint.analysis.facts.against import Stating
from proclint.analysis.facts.evidence import Evidence
from proclint.source import Place

# A shorter name has too many neighbours.
_LONG_ENOUGH = 5


class NearNames(NamedTuple):
    """A name of a model, with its make, that looks like another one which stands earlier, and where both stand."""

    name: str
    at: Place
    other: str
    other_at: Place


def near_names(evidence: Evidence, jobs: Iterable[Stating]) -> Iterator[NearNames]:
    """Give the names of models of tables and procedures that differ by one letter, or by spaces, hyphens and capitals.

    Of two the one that stands in fewer files is the one that looks wrong, else the later one.
    """
    first: dict[str, Place] = {}
    files: dict[str, set[str]] = {}
    for name, at in _names(evidence, jobs):
        first.setdefault(name, at)
        files.setdefault(name, set()).add(at.file)
    known: list[str] = []
    for name in sorted(first, key=lambda name: -len(files[name])):
        near = next((other for other in known if _is_near(name, other)), None)
        if near is not None:
            yield NearNames(name, first[name], near, first[near])
        known.append(name)


def _names(evidence: Evidence, jobs: Iterable[Stating]) -> Iterator[tuple[str, Place]]:
    for table in evidence.tables:
        names = [cell.text for cell in table.header]
        if "make" in names and "model" in names:
            make, model = names.index("make"), names.index("model")
            rows: dict[tuple[str, str], int] = {}
            for number, row in enumerate(table.texts):
                rows.setdefault((row[make], row[model]), number)
            yield from ((f"{key[0]} {key[1]}", table.place(number, model)) for key, number in rows.items() if all(key))
    for each in jobs:
        for vehicles in each.job.vehicles:
            yield f"{vehicles.make} {vehicles.model}", vehicles.at / "model"


def _is_near(one: str, other: str) -> bool:
    short, long = sorted((_bare(one), _bare(other)), key=len)
    if len(short) < _LONG_ENOUGH or len(long) - len(short) > 1:
        return False
    same = next((index for index, sign in enumerate(short) if sign != long[index]), len(short))
    rest = short[same + 1 :] if len(short) == len(long) else short[same:]
    return rest == long[same + 1 :] and not _numbered(one, other)


def _bare(name: str) -> str:
    return "".join(sign for sign in name.casefold() if sign.isalnum())


def _numbered(one: str, other: str) -> bool:
    """Whether two names differ in their numbers: these are two models."""
    return [sign for sign in one if sign.isdigit()] != [sign for sign in other if sign.isdigit()]
