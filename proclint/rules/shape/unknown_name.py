"""Every key, window, caution, hazard and source that a step names is declared.

A line about key `N2` in a file that brings one new key speaks of a key that nobody has in hand; a caution that the
catalogue does not know prints nothing.

```yaml bad
keys: {O: {kind: key, registered: true, here: 1}}
steps:
  turn-it: {do: turn P1 on, then: all-right}  # <- Nobody knows which key 'P1' is.
```

```yaml bad
steps:
  which: {do: look variant, ways: {A: all-right, otherwise: all-right}}  # <- Nobody can see the variant: none is declared.
```

```yaml good
keys: {O: {kind: key, registered: true, here: 1}}
steps:
  turn-it: {do: [insert O1, turn O1 on], then: all-right}
```
"""

from collections.abc import Iterator

from proclint.analysis import Study
from proclint.analysis.usage import Undeclared, undeclared
from proclint.analysis.variants import untold
from proclint.catalogue.nearest import nearest
from proclint.model import Flow
from proclint.results import Harm, Level, Result
from proclint.rule import flow_rule

_SAID = {
    "key": "Nobody knows which key '{}' is.",
    "window": "No window '{}' is declared, so nothing is timed.",
    "caution": "The caution '{}' is not known, so nobody reads it.",
    "count": "Nobody has read '{}' here.",
    "variable": "Nobody knows what '{}' is.",
    "value": "It can never be '{}'.",
    "word": "'{}' is a word, and no count ever equals it.",
    "condition": "Nobody can tell when '{}' holds.",
    "variant": "Nothing says how variant '{}' is told from the others.",
    "variants": "Nobody can see the {}: none is declared.",
}


_CHANGE = {
    "word": "Compare it with a number or a count that was read.",
    "condition": "Write a condition such as 'O.here >= 2' or 'gearbox = manual'.",
    "variants": "Write 'variants:' at the vehicles, each with how it is told from the others.",
}


@flow_rule(Level.ERROR, harm=Harm.NO_KEY, never_accepted=True)
def unknown_name(flow: Flow, study: Study) -> Iterator[Result]:
    """Find names that are used and declared nowhere, and words in the place of counts."""
    for found in (*undeclared(flow, study.catalogue), *untold(flow, study.catalogue)):
        message = _SAID[found.what].format(found.name)
        yield Result(message, at=found.at, change=_CHANGE.get(found.what) or _change(found), subject=found.name)


def _change(found: Undeclared) -> str:
    near = nearest(found.name, found.known)
    rest = f", or use one of: {', '.join(found.known)}" if found.known else ""
    return f"Write '{near}'." if near else f"Declare '{found.name}'{rest}."
