"""How long it takes to hold claims against each other, as multiples of merely reading the same tables with `csv`.

Run it as `python benchmarks/facts.py`. It makes tables of ten sources with a fixed seed, where one value in a hundred is
another than the vehicle has, and goes from their text to every smallest conflict, on one core.
"""

import csv
import gc
import io
import random
import resource
import time
from collections import Counter
from collections.abc import Callable

from proclint.analysis.facts.claims import Claim, ClaimReader
from proclint.analysis.facts.conflicts import Limits
from proclint.analysis.facts.reconcile import Reconciled, Reconciler
from proclint.analysis.facts.space import Space
from proclint.analysis.facts.tables import read_table
from proclint.catalogue import standard
from proclint.catalogue.relations import relations_between
from proclint.source import SourceText, read_csv
from proclint.source.limits import Limits as FileLimits

SEED, SOURCES, RUNS = 20261125, 10, 5
VALUES = {
    "key-cap": ("4", "5", "6", "8"),
    "remote-cap": ("3", "4", "5"),
    "minimum-keys-to-close": ("1", "2"),
    "minimum-keys-to-start": ("1",),
    "security-wait": ("0", "420", "600", "840"),
    "security-wait-count": ("0", "1", "3"),
    "chip-family": ("crypto-40", "crypto-80", "crypto-128"),
    "head-kind": ("plain", "integrated", "separate-remote"),
    "rearm": ("30", "45", "30-60"),
    "code-tries-to-lockout": ("3", "5"),
    "cutout": ("3", "4", "5"),
    "add-mode": ("add", "tool-choice"),
    "code": ("none", "required"),
    "code-length": ("4", "5", "6|8"),
    "frequency": ("315", "433.92", "315|433.92"),
    "session-timeout": ("300", "360", "600"),
}
NARROWING = ("make", "model", "years", "build", "markets", "ignition-kind", "gearbox", "high-voltage", "variant", "method")
ABOUT = ("tell", "on", "note")


def tables(claims: int, models: int) -> list[str]:
    """Give the text of each source's table; a row has ten values."""
    chance = random.Random(SEED)
    truth = {model: {name: chance.choice(values) for name, values in VALUES.items()} for model in range(models)}
    return [_table(claims // 10 // SOURCES, truth, chance) for _ in range(SOURCES)]


def _table(rows: int, truth: dict[int, dict[str, str]], chance: random.Random) -> str:
    written = io.StringIO(newline="")
    writer = csv.writer(written)
    writer.writerow([*NARROWING, *ABOUT, *VALUES])
    for _ in range(rows):
        model, first = chance.randrange(len(truth)), chance.randrange(1995, 2025)
        markets = "|".join(sorted(chance.sample(("region-1", "region-2", "region-3"), chance.randint(1, 2))))
        box = (f"make-{model % 20}", f"model-{model}", f"{first}-{first + chance.randint(1, 6)}", "", markets, "keyed")
        said = set(chance.sample(sorted(VALUES), 10))
        cells = [_cell(name, truth[model], chance) if name in said else "" for name in VALUES]
        gearbox = chance.choice(("manual", "manual|automatic"))
        writer.writerow([*box, gearbox, "none", "", "", "", "", "read at a vehicle", *cells])
    return written.getvalue()


def _cell(name: str, truth: dict[str, str], chance: random.Random) -> str:
    return chance.choice(VALUES[name]) if chance.random() < 0.01 else truth[name]


def bare(texts: list[str]) -> None:
    """Read tables with the standard library and do nothing else."""
    for text in texts:
        for _ in csv.reader(io.StringIO(text, newline="")):
            pass


def whole(texts: list[str]) -> Reconciled:
    """Go from the text of tables to every smallest conflict."""
    attributes = standard().attributes
    space, relations = Space(attributes), relations_between(attributes)
    reader = ClaimReader(relations, space)
    claims: list[Claim] = []
    for number, text in enumerate(texts):
        table = read_csv(SourceText(f"facts/{number}.csv", text), FileLimits())
        claims += read_table(table, str(number), reader).claims
    return Reconciler(relations, space, Limits()).reconcile(claims)


def seconds(work: Callable[[], object]) -> float:
    """Time a piece of work: the least of some runs, in seconds of this process."""
    taken = []
    for _ in range(RUNS):
        gc.collect()
        began = time.process_time()
        work()
        taken.append(time.process_time() - began)
    return min(taken)


def main() -> None:
    """Print the ratio and what was found, for growing numbers of claims and for few models."""
    # As `proclint` does; and what is loaded once is loaded before.
    gc.disable()
    whole(tables(1_000, 50))
    for claims, models in ((10_000, 50), (30_000, 150), (100_000, 500), (100_000, 50)):
        texts = tables(claims, models)
        base, taken = seconds(lambda: bare(texts)), seconds(lambda: whole(texts))  # noqa: B023
        found = whole(texts)
        sizes = Counter(len(conflict.statements) for conflict in found.conflicts)
        shown = ", ".join(f"{count} of {size}" for size, count in sorted(sizes.items()))
        print(f"{claims} claims, {claims // 10} applications, {models} models: {taken:.2f} s, x{taken / base:.1f} of csv.reader;")
        print(f"  smallest conflicts: {shown}; {len(found.undecided)} undecided")
    print(f"most memory: {resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024:.0f} MiB")


if __name__ == "__main__":
    main()
