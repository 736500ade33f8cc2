"""How long a check takes, as multiples of merely parsing the same bytes and of starting Python.

Run it as `python benchmarks/bar.py`. It makes 1,000 variants of the library's procedures with a fixed seed,
of every three one as it is, one with a line dropped and one with a line mistyped, and examines them on one core: by the rules
that need no more than form, graph and upkeep, which have a bar, and by all rules.
"""

import gc
import importlib.util
import os
import random
import subprocess
import sys
import time
from collections.abc import Callable
from functools import partial
from pathlib import Path
from statistics import median

import yaml

from proclint.analysis import Shelf
from proclint.analysis.facts.known_facts import facts_in
from proclint.analysis.file_study import study_file
from proclint.apps.files import gather
from proclint.apps.rule_set import known_rules
from proclint.catalogue import standard
from proclint.engine.examine import examine_file
from proclint.engine.laying import Bench
from proclint.model import Block
from proclint.settings import Settings

ROOT = Path(__file__).resolve().parent.parent
ON = "2026-11-25"
SEED, VARIANTS, RUNS, AT_A_TIME = 20261125, 1000, 15, 20
# The rules that the bar is for.
PLAIN = frozenset({"shape", "graph", "upkeep"})


def variants(texts: list[str]) -> list[bytes]:
    """Give variants of texts, every third as it is and the others with one line changed."""
    chance = random.Random(SEED)
    return [_variant(texts[number % len(texts)], number, chance) for number in range(VARIANTS)]


def _variant(text: str, number: int, chance: random.Random) -> bytes:
    lines = text.split("\n")
    at = chance.randrange(len(lines) // 3, len(lines))
    if number % 3 == 1:
        del lines[at]
    elif number % 3 == 2:
        lines[at] = lines[at].replace("fails:", "ways:", 1).replace("tries: ", "tires: ", 1).replace(" s", "s", 1)
    return "\n".join(lines).encode()


def seconds(work: Callable[[], object], clock: Callable[[], float] = time.process_time) -> float:
    """Time a piece of work once, by this process's clock: so what else the computer does takes nothing away."""
    began = clock()
    work()
    return clock() - began


def parse(data: list[bytes]) -> None:
    """Run the C event parser over texts and do nothing else."""
    for each in data:
        parser = yaml.CBaseLoader(each)
        try:
            while type(parser.get_event()) is not yaml.StreamEndEvent:
                pass
        except yaml.YAMLError:
            continue


def examine(data: list[bytes], bench: Bench) -> int:
    """Examine texts one by one; give how many have a result."""
    found = 0
    for number, each in enumerate(data):
        study = study_file(f"{number}.yaml", each, "steps", bench.shelf.catalogue, on=ON)
        found += bool(examine_file(study, bench).results)
    return found


def bench_of_library() -> tuple[Bench, list[str]]:
    """Give what files are checked against, and the texts of the library's procedures."""
    catalogue = standard()
    inputs = [each for each in gather((ROOT / "procedures",)) if each.data is not None]
    studies = [study_file(each.name, each.content, each.kind, catalogue, on=ON) for each in inputs]
    blocks = {study.flow.id: study.flow for study in studies if isinstance(study.flow, Block)}
    facts = facts_in([study.table for study in studies if study.table is not None], catalogue.attributes)
    texts = [study.text.text for study in studies if study.kind == "procedure"]
    return Bench(Shelf(blocks, catalogue, facts_of=facts), known_rules(), Settings(), ON), texts


def start_up() -> None:
    """Print the time of the version and of one file from shell to answer, as multiples of bare Python.

    Modules are compiled, as an installation leaves them: by a first call that is not timed, whatever the shell says of that.
    """
    one = str(ROOT / "procedures" / "corvane" / "halyard-relearn-remotes.yaml")
    calls = {
        "python -c pass": ["-c", "pass"],
        "proclint --version": ["-m", "proclint", "--version"],
        "proclint examine FILE": ["-m", "proclint", "examine", one],
    }
    compiled = {name: value for name, value in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"}
    subprocess.run([sys.executable, *calls["proclint examine FILE"]], env=compiled, capture_output=True, check=True)
    taken: dict[str, list[float]] = {name: [] for name in calls}
    for _ in range(RUNS):
        for name, arguments in calls.items():
            call = partial(subprocess.run, [sys.executable, *arguments], env=compiled, capture_output=True, check=False)
            taken[name].append(seconds(call, time.perf_counter))
    bare = median(taken["python -c pass"])
    for name, times in taken.items():
        print(f"{name}: median of {RUNS} {median(times) * 1000:.0f} ms, x{median(times) / bare:.1f}")


def ratios(what: str, data: list[bytes], bench: Bench) -> None:
    """Print what examining texts by some rules takes, as a multiple of parsing them; what is loaded once is loaded before."""
    share = examine(data, bench) / len(data)
    taken = []
    for _ in range(3):
        parsed = examined = 0.0
        # In turn, a few at a time: what else the computer does then slows both alike.
        for at in range(0, len(data), AT_A_TIME):
            some = data[at : at + AT_A_TIME]
            parsed += seconds(partial(parse, some))
            examined += seconds(partial(examine, some, bench))
        taken.append(examined / parsed)
    fast = "with" if importlib.util.find_spec("jsonschema_rs") else "without"
    print(f"{len(data)} variants, {what} ({len(bench.rules)}), {share:.0%} with a result, {fast} jsonschema-rs:")
    print(f"  x{median(taken):.1f} of bare C events")


def main() -> None:
    """Print all ratios."""
    bench, texts = bench_of_library()
    data = variants(texts)
    # As `proclint examine` does.
    gc.disable()
    plain = bench._replace(rules=tuple(rule for rule in bench.rules if rule.group in PLAIN))
    ratios("rules of shape, graph and upkeep", data, plain)
    ratios("all rules", data, bench)
    start_up()


if __name__ == "__main__":
    main()
