"""No customer's data stands in a shared file.

A chassis number, a telephone number, a mail address or a place on the map belongs to one customer, and a code opens his
vehicle for ever. They are needed for one job and never again; the file is read by everybody.

```yaml bad
title: Add a key, as done on ZZ9PL4CEX8A000042  # <- A chassis number stands where everybody reads it.
```

```yaml good
title: Add a key
```
"""

import re
from collections.abc import Iterator

from proclint.analysis.file_study import FileStudy
from proclint.results import Harm, Level, Result
from proclint.rule import file_rule

# ISO 3779: 17 characters without I, O and Q, the last four digits.
_KINDS = (
    ("A chassis number", re.compile(r"\b(?=[A-Z0-9]*[A-Z])(?=[A-Z0-9]*[0-9])[A-HJ-NPR-Z0-9]{13}[0-9]{4}\b")),
    ("A mail address", re.compile(r"\b[\w.+-]+@[\w-]+\.[a-z]{2,}\b")),
    ("A telephone number", re.compile(r"(?<![\w.-])\+[0-9][0-9 ()/-]{7,}[0-9]\b")),
    ("A code", re.compile(r"\b(?:code|pin)(?: is|:|=)? ?['\"]?[0-9]{4,8}\b", re.IGNORECASE)),
    ("A number plate", re.compile(r"\bplate(?: is|:|=)? ?['\"]?(?=[A-Z0-9 -]*[0-9])[A-Z0-9][A-Z0-9 -]{3,9}\b")),
    ("A place on the map", re.compile(r"(?<![\d.])-?[0-9]{1,2}\.[0-9]{4,}, ?-?[0-9]{1,3}\.[0-9]{4,}")),
)


@file_rule(Level.ERROR, harm=Harm.DAMAGE)
def customer_data_in_file(file: FileStudy) -> Iterator[Result]:
    """Find what belongs to one customer; the result does not repeat it."""
    for what, pattern in _KINDS:
        for found in pattern.finditer(file.text.text):
            yield Result(
                f"{what} stands where everybody reads it.",
                at=file.place_at(*found.span()),
                change="Delete it, also from earlier versions; write 'the code from the authorised source' and the like.",
                subject=what.lower().removeprefix("a "),
            )
