"""Whether a document has the shape of its kind of file, and what does not fit, in plain words."""

from collections.abc import Iterable

from proclint.model.fault import Fault
from proclint.model.misfit import misfits
from proclint.model.schema import Json
from proclint.model.verdict import surely_fits, without_what_fits
from proclint.source import Document, Mapping, Node, Scalar

INTEGERS = frozenset({"format", "version", "here", "away", "years", "tries", "repeat"})
BOOLEANS = frozenset({"registered", "cut", "one-time"})
MAPPINGS_OF_INTEGERS = frozenset({"slots", "limits"})

_TYPED = INTEGERS | BOOLEANS | MAPPINGS_OF_INTEGERS
_TRUTH = {"true": True, "false": False}


def shape_faults(document: Document, kind: str) -> tuple[Fault, ...]:
    """Give what does not fit, in file order, one fault for each cause; nothing for a file that fits.

    `kind` is one of `procedure`, `block`, `library`, `sources`, `accepted`. A document that could not be read
    has troubles, and no shape.
    """
    if document.root is None:
        return ()
    instance = typed(document.root)
    if surely_fits(instance, kind):
        return ()
    left = without_what_fits(instance, kind)
    return misfits(document.at, left.value, kind, left.fitting)


def typed(node: Node, name: str = "") -> Json:
    """Give the tree as texts, lists and dicts.

    Where the schema wants a whole number or a boolean, by the field's name, a text that is one becomes one.
    """
    if type(node) is Scalar:
        return _typed_text(node.text, name) if name in _TYPED else node.text
    if type(node) is Mapping:
        if name in MAPPINGS_OF_INTEGERS:
            return {field: typed(value, "format") for field, (_, value) in node.pairs.items()}
        return _typed_pairs(node.pairs.items())
    return [item.text if type(item) is Scalar else typed(item) for item in node.items]


def _typed_pairs(pairs: Iterable[tuple[str, tuple[Scalar, Node]]]) -> dict[str, Json]:
    return {
        field: value.text if type(value) is Scalar and field not in _TYPED else typed(value, field) for field, (_, value) in pairs
    }


def _typed_text(text: str, name: str) -> Json:
    if name in BOOLEANS:
        return _TRUTH.get(text, text)
    is_number = name in INTEGERS and text.isascii() and text.isdigit() and (text[0] != "0" or text == "0")
    # A number too long to be one of ours stays a text: reading it would cost more than it is worth.
    return int(text) if is_number and len(text) <= 9 else text
