"""What the screen says stands in its own words.

'Agree to the message' cannot be found on a screen. Where YES keeps the remotes and the next question's YES erases them, the
letters are all there is to go by.

```yaml bad
steps:
  ask: {instruction: Confirm the message., do: tap tool, then: all-right}  # <- 'Confirm the message' cannot be found on the screen.
```

```yaml good
steps:
  ask: {instruction: "Tap OK at 'SAVE POWER? OK'.", do: tap tool, then: all-right}
```
"""

from collections.abc import Iterator

from proclint.analysis import Study
from proclint.model import Flow
from proclint.results import Harm, Level, Result
from proclint.rule import flow_rule


@flow_rule(Level.NOTE, harm=Harm.NO_KEY)
def prompt_not_quoted_verbatim(_: Flow, study: Study) -> Iterator[Result]:
    """Find prompts that are told in other words."""
    for each in study.words.paraphrases:
        yield Result(
            f"'{each.hit.text}' cannot be found on the screen.",
            at=each.hit.said.part(each.hit.start, each.hit.end),
            change=f"Write {each.word.write}.",
            why=f"It may mean: {'; '.join(each.word.readings)}.",
            subject=each.word.name,
        )
