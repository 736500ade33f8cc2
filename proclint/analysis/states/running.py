"""A procedure run on all its ways, and each block once alone."""

from proclint.analysis.shelf import Shelf, Written
from proclint.analysis.states.findings import Finding, Findings, findings
from proclint.analysis.states.laying import Laid, lay
from proclint.analysis.states.steps import Layer
from proclint.model import Block


def run(written: Written, shelf: Shelf, *, is_whole: bool) -> Findings:
    """Run a procedure, or a block alone with stand-in keys, over all that can be known.

    Of what a block gives when it is run alone its callers give nothing again. A flow that is not whole, as it follows a block
    that is missing or itself, is not run.
    """
    flow = written.flow
    if not is_whole:
        return Findings()
    if isinstance(flow, Block):
        return _alone(flow, shelf)
    laid = lay(flow, written, shelf, Layer(shelf))
    if laid.is_proved:
        return Findings()
    return findings(laid, frozenset(each.key for block in shelf.followed(flow) for each in _alone(block, shelf).broken))


def _alone(block: Block, shelf: Shelf) -> Findings:
    key = ("run alone", block.id)
    found = shelf.kept.get(key)
    if not isinstance(found, Findings):
        laid = lay(block, shelf.written(block), shelf, Layer(shelf))
        found = Findings(tuple(each for each in findings(laid).broken if _is_of_itself(each, laid)))
        shelf.kept[key] = found
    return found


def _is_of_itself(finding: Finding, laid: Laid) -> bool:
    """Whether a block is to blame: it says in `before` what it counts on, and may leave the rest to its callers."""
    number = laid.cast.number[finding.demand.variable]
    is_left = number in laid.start[1] or not finding.demand.good
    return finding.is_own and finding.grade == "must" and not is_left
