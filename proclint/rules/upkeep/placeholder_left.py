"""Nothing is left to be filled in.

What stands as `TODO` or `??` in the file is guessed at the vehicle. A value that nobody knows is `unknown`, which is
honest and can be asked for.

```yaml bad
steps:
  press-it: {instruction: "Keep LOCK on O1 pressed for ?? s.", do: keep O1 LOCK 2-4 s, then: all-right}  # <- '??' is left to be guessed at the vehicle.
```

```yaml good
steps:
  press-it: {instruction: Keep LOCK on O1 pressed for 2 to 4 s., do: keep O1 LOCK 2-4 s, then: all-right}
```
"""

import re
from collections.abc import Iterator

from proclint.analysis.file_study import FileStudy
from proclint.results import Harm, Level, Result
from proclint.rule import file_rule

_PLACEHOLDER = re.compile(r"\b(?:TODO|FIXME|TBD|TBC|XXX|xx+)\b|\?\?+|\.\.\.\.+|___+")
_BRACKETED = re.compile(r"<[a-z ]+>")
# One of these is part of every mark, and looking for them is ten times faster.
_HINTS = ("TODO", "FIXME", "TBD", "TBC", "XXX", "xx", "??", "....", "___")


@file_rule(Level.ERROR, harm=Harm.NO_KEY)
def placeholder_left(file: FileStudy) -> Iterator[Result]:
    """Find marks that stand for something still to be written."""
    text = file.text.text
    found_words = _PLACEHOLDER.finditer(text) if any(hint in text for hint in _HINTS) else ()
    bracketed = _BRACKETED.finditer(text) if "<" in text else ()
    for found in (*found_words, *bracketed):
        yield Result(
            f"'{found[0]}' is left to be guessed at the vehicle.",
            at=file.place_at(*found.span()),
            change="Write the value with its source, or 'unknown'.",
            subject=found[0],
        )
