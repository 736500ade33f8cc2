"""All that tables, field reports and the register of a library say together: worked out when asked for, once."""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from functools import cached_property

from proclint.analysis.facts.boxes import Box, overlaps
from proclint.analysis.facts.claims import Application, Claim, ClaimReader, Statement
from proclint.analysis.facts.conflicts import Limits
from proclint.analysis.facts.overlaps import Index
from proclint.analysis.facts.reconcile import Conflict, Reconciled, Reconciler
from proclint.analysis.facts.register import is_of_reports, register_of, source_of
from proclint.analysis.facts.sources import Register
from proclint.analysis.facts.space import Space
from proclint.analysis.facts.tables import BadCell, FieldReports, NotKnown, TableClaims, read_reports, read_table
from proclint.analysis.facts.weigh import Fact, Weights, weigh
from proclint.catalogue import Attribute
from proclint.catalogue.relations import Relations, relations_between
from proclint.model import Registered
from proclint.source import Place, Table

# What hangs on the weighing.
_WEIGHED = frozenset({"facts", "_facts_index"})


@dataclass(frozen=True)
class Evidence:
    """The tables and the register of a library, its order of trust, and what follows from them.

    `trust` are kinds of source, the most trusted first. `believed` is a claim that is taken as true, whatever else is said.
    `asked` are vehicles, as boxes of its `space`, whose models alone are asked about; where it is nothing, all are.
    """

    tables: tuple[Table, ...]
    entries: tuple[Registered, ...]
    trust: tuple[str, ...]
    attributes: Mapping[str, Attribute]
    believed: Claim | None = None
    asked: tuple[Box, ...] | None = None

    def about(self, boxes: tuple[Box, ...]) -> "Evidence":
        """Give the evidence on the models of some vehicles: of all others nothing is held against each other or weighed."""
        other = replace(self, asked=boxes)
        # A box says something in its own space alone.
        vars(other)["space"] = self.space
        return other

    def believing(self, claim: Claim) -> "Evidence":
        """Give the same evidence with a claim taken as true; what does not hang on that is not worked out again."""
        other = replace(self, believed=claim)
        kept = {name: known for name, known in vars(self).items() if name not in _WEIGHED}
        vars(other).update({**kept, "believed": claim})
        return other

    @cached_property
    def space(self) -> Space:
        """The dimensions that boxes have."""
        return Space(self.attributes)

    @cached_property
    def relations(self) -> Relations:
        """What must hold between values."""
        return relations_between(self.attributes)

    @cached_property
    def reader(self) -> ClaimReader:
        """What reads claims."""
        return ClaimReader(self.relations, self.space)

    @cached_property
    def reconciler(self) -> Reconciler:
        """What holds claims against each other."""
        return Reconciler(self.relations, self.space, Limits())

    @cached_property
    def read(self) -> tuple[TableClaims, ...]:
        """What each table says, the field reports left out."""
        return tuple(read_table(each, source_of(each.text.name), self.reader) for each in self.tables if not _is_of_reports(each))

    @cached_property
    def reports(self) -> tuple[FieldReports, ...]:
        """What field reports say."""
        return tuple(read_reports(each, self.reader) for each in self.tables if _is_of_reports(each))

    @cached_property
    def _all(self) -> tuple[TableClaims, ...]:
        return (*self.read, *(each.said for each in self.reports))

    @property
    def bad(self) -> tuple[BadCell, ...]:
        """The cells without a meaning."""
        return tuple(cell for each in self._all for cell in each.bad)

    @property
    def all_claims(self) -> Iterator[Claim]:
        """All that is said, with what reports counted."""
        return (claim for each in self._all for claim in each.claims)

    @cached_property
    def claims(self) -> tuple[Claim, ...]:
        """What is said of attributes; what one report counted is left to be held against the tables by itself."""
        told = (claim for claim in self.all_claims if claim.statement.attribute in self.attributes)
        return tuple(claim for claim in told if self._is_asked(claim.box))

    def _is_asked(self, box: Box) -> bool:
        make, model = self.space.axis("make"), self.space.axis("model")
        return self.asked is None or any(box[make] & each[make] and box[model] & each[model] for each in self.asked)

    @cached_property
    def not_known(self) -> tuple[NotKnown, ...]:
        """What sources say that they do not know."""
        told = (each for table in self._all for each in table.not_known if each.attribute in self.attributes)
        return tuple(each for each in told if self._is_asked(each.application.box))

    @cached_property
    def register(self) -> Register:
        """The sources by their ids, each field report among them."""
        reporters = (who for each in self.reports for who in each.reporters)
        return register_of(self.entries, reporters, self.trust, self.space)

    @cached_property
    def reconciled(self) -> Reconciled:
        """All smallest contradictions among what is said, with what was counted at a vehicle held against the tables."""
        found = self.reconciler.reconcile(self.claims)
        counted = [self.counted(claims) for claims in self._counts()]
        conflicts = (*found.conflicts, *(clash for each in counted for clash in each.conflicts))
        undecided = (*found.undecided, *(open_ for each in counted for open_ in each.undecided))
        return Reconciled(conflicts, undecided)

    def _counts(self) -> Iterator[list[Claim]]:
        """Give what each field report counted."""
        for each in self.reports:
            by_line: dict[Application, list[Claim]] = {}
            for claim in each.said.claims:
                if claim.statement.attribute not in self.attributes and self._is_asked(claim.box):
                    by_line.setdefault(claim.application, []).append(claim)
            yield from by_line.values()

    def counted(self, own: list[Claim]) -> Reconciled:
        """Hold what one report counted against what tables say of the same vehicles."""
        near = [self.claims[number] for number in self._index.meeting(own[0].box)]
        found = self.reconciler.reconcile([*own, *near])
        mine = {id(claim) for claim in own}
        kept = (each for each in found.conflicts if any(id(claim) in mine for behind in each.claims for claim in behind))
        names = {claim.statement.attribute for claim in own}
        return Reconciled(tuple(kept), tuple(each for each in found.undecided if not names.isdisjoint(each.attributes)))

    @cached_property
    def _index(self) -> Index:
        return Index([claim.box for claim in self.claims], self.space)

    @property
    def is_whole(self) -> bool:
        """Whether every cell could be read, so that what no table says is said by none."""
        return not self.bad and not any(table.troubles for table in self.tables)

    def row_of(self, at: Place) -> int:
        """Give the row in its file of a place in a table, the header being row 1."""
        return next(table.text.line_column(at.start)[0] for table in self.tables if table.text.name == at.file)

    def claims_near(self, boxes: Iterable[Box]) -> tuple[Claim, ...]:
        """Give the claims of vehicles in some boxes, in their order."""
        numbers = {number for box in boxes for number in self._index.meeting(box)}
        return tuple(self.claims[number] for number in sorted(numbers))

    @property
    def conflicts(self) -> tuple[Conflict, ...]:
        """All smallest contradictions."""
        return self.reconciled.conflicts

    @cached_property
    def facts(self) -> tuple[Fact, ...]:
        """What is believed, with its standing and reasons."""
        weights = Weights(self.register, self.reconciler.consistency, self.space, self.conflicts, self.believed)
        told = (claim for claim in self.claims if not self.attributes[claim.statement.attribute].narrows)
        return weigh(told, self.not_known, weights)

    @cached_property
    def _facts_index(self) -> tuple[Index, tuple[Fact, ...]]:
        pairs = [(box, fact) for fact in self.facts for box in fact.boxes]
        return Index([box for box, _ in pairs], self.space), tuple(fact for _, fact in pairs)

    def facts_of(self, boxes: Iterable[Box]) -> tuple[Fact, ...]:
        """Give what is believed of vehicles in some boxes, in the order of the facts."""
        index, facts = self._facts_index
        near = dict.fromkeys(facts[number] for box in boxes for number in index.meeting(box))
        order = {id(fact): number for number, fact in enumerate(self.facts)}
        return tuple(sorted(near, key=lambda fact: order[id(fact)]))

    def facts_as_claims(self, boxes: tuple[Box, ...]) -> dict[Claim, Fact]:
        """Give what is believed of vehicles in some boxes as claims that a procedure can be held against."""
        found: dict[Claim, Fact] = {}
        for fact in self.facts_of(boxes):
            cell = fact.cell
            if fact.domain is not None and cell is not None:
                for box in fact.boxes:
                    # Only what meets can clash, and the rest of a model is asked about for nothing.
                    if any(overlaps(box, each) for each in boxes):
                        statement = Statement(fact.attribute, fact.domain)
                        found[Claim(statement, Application("facts", box, cell.at), cell.column, cell.text)] = fact
        return found


def _is_of_reports(table: Table) -> bool:
    return is_of_reports(table.text.name)
