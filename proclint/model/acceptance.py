"""Results that a person took, as `accepted.yaml` says (SARIF: suppressions)."""

from typing import NamedTuple

from proclint.model import fields
from proclint.source import Document, Place


class Acceptance(NamedTuple):
    """One accepted result: which rule and subject, in which file, at which step, why, by whom, from and until when.

    `within` is the id of a procedure, block or source; `step`, in a table a model or a column, may be empty, and then the whole
    of it is meant. Days are ISO 8601.
    """

    at: Place
    rule: str
    subject: str
    within: str
    step: str
    because: str
    by: str
    on: str
    until: str

    def meets(self, rule: str, subject: str, owner: str, path: tuple[str | int, ...]) -> bool:
        """Whether this acceptance speaks of a result of that rule and subject at that path of that file."""
        if (self.rule, self.within) != (rule, owner) or self.subject not in ("", subject):
            return False
        return not self.step or self.step in path


def read_acceptances(document: Document) -> tuple[Acceptance, ...]:
    """Read an `accepted.yaml` whose shape holds."""
    return tuple(_acceptance(place) for place in document.at.items())


def _acceptance(at: Place) -> Acceptance:
    rule, subject, within, step, because, by, on, until = (
        fields.text_of(at.node, name) for name in ("rule", "subject", "in", "at", "because", "by", "on", "until")
    )
    return Acceptance(at, rule, subject, within, step, because, by, on, until)
