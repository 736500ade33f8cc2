"""One vehicle by its make, model, year and market, and what of a library is about it."""

import re
from collections.abc import Iterable
from typing import NamedTuple

from proclint.analysis.facts.boxes import Box, overlaps
from proclint.analysis.facts.space import Space
from proclint.analysis.file_study import study_file
from proclint.catalogue import Catalogue
from proclint.catalogue.domains import Unfit
from proclint.engine.inputs import Input
from proclint.model import Procedure
from proclint.settings import UsageProblem

_FORM = "Write make, model, year and, if you like, market: 'Corvane Halyard 2015 region-1'."
_WRITTEN = re.compile(r"(?P<make>\S+) +(?P<model>\S.*?)(?: +(?P<years>[0-9]{4}))?(?: +(?P<markets>[a-z]\S*))?")


class Vehicle(NamedTuple):
    """A vehicle as it was asked for, and as a row of a facts table would narrow it."""

    text: str
    said: tuple[tuple[str, str], ...]

    def box(self, space: Space) -> Box:
        """Give the box of it. Raises UsageProblem for a year that does not exist."""
        box = space.box(dict(self.said))
        if isinstance(box, Unfit):
            raise UsageProblem(f"--vehicle: '{box.found}' is not {box.expected}.", _FORM)
        return box


def read_vehicle(text: str) -> Vehicle:
    """Read `Corvane Halyard 2015 region-1`. Raises UsageProblem for what is none."""
    found = _WRITTEN.fullmatch(text.strip())
    if found is None:
        raise UsageProblem(f"--vehicle: '{text}' names no vehicle.", _FORM)
    return Vehicle(text.strip(), tuple((name, said) for name, said in found.groupdict().items() if said))


def about(vehicle: Vehicle, inputs: Iterable[Input], catalogue: Catalogue, *, on: str) -> tuple[Input, ...]:
    """Give the files with the procedures that do not apply to a vehicle, and all that is no procedure, as context.

    Raises UsageProblem where no procedure applies.
    """
    given = tuple(inputs)
    space = Space(catalogue.attributes)
    box = vehicle.box(space)
    meant = {each.name for each in given if not each.is_context and _is_about(each, catalogue, box, space, on=on)}
    if not meant:
        raise UsageProblem(f"--vehicle: no procedure applies to '{vehicle.text}'.", _FORM)
    return tuple(each if each.name in meant else each._replace(is_context=True) for each in given)


def _is_about(each: Input, catalogue: Catalogue, box: Box, space: Space, *, on: str) -> bool:
    if each.kind != "steps":
        return False
    flow = study_file(each.name, each.content, each.kind, catalogue, on=on).flow
    if not isinstance(flow, Procedure):
        return False
    found = (space.box_of(vehicles, flow.method) for vehicles in flow.vehicles)
    return any(overlaps(box, other) for other in found if not isinstance(other, Unfit))
