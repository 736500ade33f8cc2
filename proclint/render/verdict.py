"""Whether the gate opens, in one sentence."""

from proclint.engine import Report


def verdict(report: Report) -> str:
    """Say whether the gate opens, and what keeps it shut."""
    failing = sum(map(report.is_failing, report.results))
    new = "new " if report.since is not None else ""
    level = f"at or above {report.failing_level.value}"
    if failing:
        return f"The gate stays shut: {failing} {new}result{'' if failing == 1 else 's'} {level}."
    return f"The gate opens: nothing {new}{level}."
