"""Every key, window, caution, hazard and source that a step names is declared.

A line about key `N2` in a file that brings one new key speaks of a key that nobody has in hand; a caution that the
catalogue does not know prints nothing.

```yaml bad
keys: {O: {kind: key, registered: true, here: 1}}
steps:
  turn-it: {do: turn P1 on, then: all-right}  # <- Nobody knows which key 'P1' is.
```

```yaml good
keys: {O: {kind: key, registered: true, here: 1}}
steps:
  turn-it: {do: [insert O1, turn O1 on], then: all-right}
```
"""

from collections.abc import Iterator
from difflib import get_close_matches

from proclint.analysis import Study
from proclint.analysis.usage import undeclared
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
}


@flow_rule(Level.ERROR, harm=Harm.NO_KEY, never_accepted=True)
def unknown_name(flow: Flow, study: Study) -> Iterator[Result]:
    """Find names that are used and declared nowhere."""
    for found in undeclared(flow, study.catalogue):
        near = get_close_matches(found.name, found.known, 1)
        rest = f"Declare '{found.name}', or use one of: {', '.join(found.known)}." if found.known else f"Declare '{found.name}'."
        yield Result(
            _SAID[found.what].format(found.name),
            at=found.at,
            change=f"Write '{near[0]}'." if near else rest,
            subject=found.name,
        )
