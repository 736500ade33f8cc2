"""What counts of a step when it is asked whether passing it makes good that another failed."""

from typing import NamedTuple, Self

from proclint.model import Step


class Does(NamedTuple):
    """What counts of a step when it is asked whether it makes good another: the block it follows, its tests and writes."""

    block: str
    tests: frozenset[str]
    writes: frozenset[str]

    @classmethod
    def of(cls, step: Step) -> Self:
        """Give what counts of a step."""
        actions = [line.action for line in step.lines]
        tests = frozenset([action.verb for action in actions if action.proves])
        writes = frozenset([action.verb for action in actions if action.writes])
        return cls(step.follow.block if step.follow is not None else "", tests, writes)

    @property
    def counts(self) -> bool:
        """Whether passing this step can make anything good."""
        return bool(self.block or self.tests or self.writes)

    def makes_good(self, failed: Self) -> bool:
        """Whether passing this step makes good that another failed: the same again or, after a write, any test."""
        if self.block or failed.block:
            return self.block == failed.block
        is_again = failed.tests <= self.tests and failed.writes <= self.writes
        return is_again or (not failed.tests and bool(self.tests))
