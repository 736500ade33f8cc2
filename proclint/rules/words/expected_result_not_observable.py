"""What is expected can be seen, heard or read.

That the module has stored a key happens inside it. What shows it is a lamp, a click or a line on the screen, and only that
tells a technician whether to go on.

```yaml bad
steps:
  open: {do: {do: open-session, expect: the module knows the tool, within: 30 s}, then: all-right, fails: silent}  # <- Nobody can see, hear or read 'knows'.
endings:
  all-right: {kind: success, tell: It works.}
  silent: {kind: as-found, tell: The vehicle did not answer.}
```

```yaml good
steps:
  open: {do: {do: open-session, expect: the key menu opens, within: 30 s}, then: all-right, fails: again}
fallbacks:
  again: {tries: 1, do: [wait 30 s, {do: open-session, expect: the key menu opens, within: 30 s}], then: all-right, fails: silent}
endings:
  all-right: {kind: success, tell: It works.}
  silent: {kind: as-found, tell: The vehicle did not answer.}
```
"""

from collections.abc import Iterator

from proclint.analysis import Study
from proclint.model import Flow
from proclint.results import Harm, Level, Result
from proclint.rule import flow_rule


@flow_rule(Level.WARNING, harm=Harm.NO_KEY)
def expected_result_not_observable(_: Flow, study: Study) -> Iterator[Result]:
    """Find expected results that happen where nobody looks."""
    for each in study.words.unclear("hidden"):
        yield Result(
            f"Nobody can see, hear or read '{each.hit.text}'.",
            at=each.hit.said.part(each.hit.start, each.hit.end),
            change=f"Write {each.word.write}.",
            why=f"It may mean: {'; '.join(each.word.readings)}.",
            subject=each.word.name,
        )
