"""How long `proclint gate --since HEAD~1` takes on the shipped library, as a multiple of `proclint examine`, both cold.

Run it as `python benchmarks/gate.py`. Times are of the processor, those of git included, so that other work on the machine does
not count. The bar is 1.5 for a contribution that changes one procedure. Where a block changes that all procedures follow, all are
examined in both versions, and there is no bar.
"""

import resource
import shutil
import subprocess
import sys
import tempfile
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
ON = "2026-11-25"
# What a contribution changes: the file, a text in it, and what stands there then.
CHANGES = {
    "nothing": ("README", "", "Read me."),
    "a procedure": ("procedures/brindlow/marrow-add-key.yaml", "wait 5-10 s", "wait 10-15 s"),
    "the largest procedure": (
        "procedures/varnholt/lode-all-keys-lost-by-code.yaml",
        "wait 30-40 s\n      - insert N1",
        "wait 40-50 s\n      - insert N1",
    ),
    "a block of a few": ("procedures/blocks/no-answer.yaml", "wait 20-30 s", "wait 30-40 s"),
    "a block of all": (
        "procedures/blocks/close-out.yaml",
        "make-sure ignition off, make-sure cylinder empty, ",
        "make-sure cylinder empty, ",
    ),
}


def seconds(folder: Path, *arguments: str) -> float:
    """Give the processor time that a call of proclint takes, and what it calls."""
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    command = [sys.executable, "-m", "proclint", *arguments, "--on", ON]
    subprocess.run(command, cwd=folder, env={"PYTHONPATH": str(ROOT), "PATH": "/usr/bin:/bin"}, capture_output=True, check=False)
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    return after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime


def git(folder: Path, *arguments: str) -> None:
    """Call git."""
    subprocess.run(["git", "-C", str(folder), "-c", "user.name=m", "-c", "user.email=m@example.org", *arguments], check=True)


def main() -> None:
    """Print all ratios."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        shutil.copytree(ROOT / "procedures", folder / "procedures")
        git(folder, "init", "--quiet")
        git(folder, "add", "--all")
        git(folder, "commit", "--quiet", "--message", "The library")
        examined = seconds(folder, "examine")
        print(f"examine: {examined:.1f} s")
        for what, (file, old, new) in CHANGES.items():
            path = folder / file
            text = path.read_text(encoding="utf-8") if old else ""
            if old and text.count(old) != 1:
                sys.exit(f"{file}: '{old}' has to stand there once.")
            path.write_text(text.replace(old, new) if old else new, encoding="utf-8")
            git(folder, "add", "--all")
            git(folder, "commit", "--quiet", "--message", what)
            taken = seconds(folder, "gate", "--since", "HEAD~1")
            print(f"gate, {what} changed: {taken:.1f} s, x{taken / examined:.2f} of examine", flush=True)


if __name__ == "__main__":
    main()
