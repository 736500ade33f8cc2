"""What equipment or vehicle does shows somehow, and the file says how.

A write takes its seconds whether it works or not. Whoever is not told what to look for goes on after a failure as after a success.

```yaml bad
steps:
  learn-it: {do: learn N1, then: all-right, fails: unknown-key}  # <- Nobody is told how to see that 'learn N1' worked.
endings:
  all-right: {kind: success, tell: It works.}
  unknown-key: {kind: not-as-found, tell: The new key is not known to work.}
```

```yaml good
steps:
  learn-it: {do: learn N1, expect: the screen shows KEYS 2, within: 10 s, then: all-right, fails: unknown-key}
endings:
  all-right: {kind: success, tell: It works.}
  unknown-key: {kind: not-as-found, tell: The new key is not known to work.}
```
"""

from collections.abc import Iterator

from proclint.analysis import Study
from proclint.model import Flow
from proclint.results import Harm, Level, Result
from proclint.rule import flow_rule


@flow_rule(Level.WARNING, harm=Harm.NO_KEY)
def expected_result_missing(_: Flow, study: Study) -> Iterator[Result]:
    """Find lines of equipment or vehicle that can fail and name no sign."""
    for step, line in study.words.unsigned:
        yield Result(
            f"Nobody is told how to see that '{line.text}' worked.",
            at=line.at,
            change="Write 'expect:' with what is seen, heard or read, and 'within:'.",
            subject=step.name,
        )
