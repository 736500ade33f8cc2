"""A job that outlasts the battery is done with support.

Late in a long job the voltage falls, and a write that fails for it leaves a dead module. Where the battery alone does not last for the usual
time of the job, support is no matter of choice.

```yaml bad
# file facts/halyard-handbook.csv
make,model,years,battery-lasts
Corvane,Halyard,2013-2017,40
# file example.yaml
takes: 30-90-120 min  # <- The battery alone lasts for 40 min, and the job for longer.
```

```yaml good
# file facts/halyard-handbook.csv
make,model,years,battery-lasts
Corvane,Halyard,2013-2017,40
# file example.yaml
takes: 10-30-60 min
```
"""

from collections.abc import Iterator

from proclint.analysis.library import LibraryStudy
from proclint.results import Harm, Level, Result
from proclint.rule import library_rule
from proclint.telling.contradictions import against_table, held_against


@library_rule(Level.NOTE, harm=Harm.TIME)
def job_longer_than_support(library: LibraryStudy) -> Iterator[Result]:
    """Find jobs that usually take longer than the battery lasts, and that have no support on every way."""
    for found, said in held_against(library, relations=("job-within-battery",)):
        result = against_table(
            found,
            library.evidence,
            f"The battery alone lasts for {said} min, and the job for longer.",
            change="Connect support before the first write, on every way.",
            about="job-takes",
        )
        # A note stays one, however the fact stands.
        yield result._replace(level=Level.NOTE)
