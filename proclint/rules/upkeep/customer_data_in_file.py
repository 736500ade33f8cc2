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

# This is read over the whole text of every file: each pattern begins with what is rare in a procedure, and is not even tried
# where the piece before it, part of all that it finds, is nowhere: looking for that is ten times faster.
_KINDS = (
    ("A mail address", "@", re.compile(r"@[\w-]+\.[a-z]{2,}\b")),
    ("A telephone number", "+", re.compile(r"\+[0-9][0-9 ()/-]{7,}[0-9]\b")),
    *(("A code", word, re.compile(rf"{word}(?: is|:|=)? ?['\"]?[0-9]{{4,8}}\b")) for word in ("ode", "CODE", "pin", "PIN")),
    ("A number plate", "late", re.compile(r"late(?<=[Pp]late)(?: is|:|=)? ?['\"]?(?=[A-Z0-9 -]*[0-9])[A-Z0-9][A-Z0-9 -]{3,9}\b")),
    ("A place on the map", ".", re.compile(r"\.[0-9]{4,}, ?-?[0-9]{1,3}\.[0-9]{4,}")),
)
# 17 characters without I, O and Q, the last four of them digits (ISO 3779).
_SIGNS, _LENGTH = "ABCDEFGHJKLMNPRSTUVWXYZ0123456789", 17
_CHASSIS_NUMBER = re.compile(rf"[0-9][0-9][0-9][0-9](?![A-Za-z0-9])(?<=[{_SIGNS}]{{{_LENGTH}}})")
# A text in which each of these signs is a 0 and no other sign is: a run of them is then looked for as one piece.
_AS_RUNS = {code: "0" if chr(code) in _SIGNS else " " for code in range(128)}


@file_rule(Level.ERROR, harm=Harm.DAMAGE, never_accepted=True)
def customer_data_in_file(file: FileStudy) -> Iterator[Result]:
    """Find what belongs to one customer; the result does not repeat it."""
    text = file.text.text
    found = [("A chassis number", span) for span in _chassis_numbers(text)]
    found += [(what, each.span()) for what, piece, pattern in _KINDS if piece in text for each in pattern.finditer(text)]
    for what, (start, end) in found:
        yield Result(
            f"{what} stands where everybody reads it.",
            at=file.place_at(start, end),
            change="Delete it, also from earlier versions; write 'the code from the authorised source' and the like.",
            subject=what.lower().removeprefix("a "),
        )


def _chassis_numbers(text: str) -> Iterator[tuple[int, int]]:
    if "0" * _LENGTH in text.translate(_AS_RUNS):
        for found in _CHASSIS_NUMBER.finditer(text):
            start, end = found.end() - _LENGTH, found.end()
            # It stands by itself and holds letters: a long number is none.
            if not text[:start][-1:].isalnum() and not text[start:end].isdigit():
                yield start, end
