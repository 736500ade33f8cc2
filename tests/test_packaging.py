"""The wheel, built without network and installed elsewhere, does the main job."""

import os
import shutil
import subprocess
import sys
from pathlib import Path
from zipfile import ZipFile

import pytest

ROOT = Path(__file__).parents[1]
LIBRARY = ROOT / "procedures"
PROCEDURES = sorted(path for path in LIBRARY.glob("*/*.yaml") if path.parent.name not in {"blocks", "facts"})

pytestmark = pytest.mark.needs_build


@pytest.fixture(scope="module")
def wheel(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Build the wheel of this checkout."""
    folder = tmp_path_factory.mktemp("dist")
    run("build", "--wheel", "--no-isolation", "--outdir", str(folder), str(ROOT), cwd=folder)
    (built,) = folder.glob("proclint-*.whl")
    return built


@pytest.fixture(scope="module")
def installed(wheel: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Install the wheel alone into a folder of its own."""
    folder = tmp_path_factory.mktemp("installed")
    run(
        "pip",
        "install",
        "--quiet",
        "--no-deps",
        "--no-index",
        "--target",
        str(folder),
        str(wheel),
        cwd=folder,
    )
    return folder


@pytest.fixture(scope="module")
def elsewhere(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Give a folder that holds a copy of the library and nothing of the program."""
    folder = tmp_path_factory.mktemp("elsewhere")
    shutil.copytree(LIBRARY, folder / "procedures")
    return folder


def test_wheel_carries_everything_under_the_package(wheel: Path) -> None:
    """Every file of the package is in the wheel, with its data, and nothing else of the checkout is."""
    with ZipFile(wheel) as archive:
        names = {name for name in archive.namelist() if ".dist-info/" not in name}
    package = (path for path in (ROOT / "proclint").rglob("*") if path.is_file() and path.suffix != ".pyc")
    assert {path.relative_to(ROOT).as_posix() for path in package} == names


def test_installed_wheel_is_what_runs(installed: Path, elsewhere: Path) -> None:
    """The program that the other tests of this file run is the installed one, not the checkout."""
    said = python("-c", "import proclint; print(proclint.__file__)", home=installed, cwd=elsewhere)
    assert str(installed / "proclint" / "__init__.py") == said.strip()


def test_installed_wheel_examines_a_procedure(installed: Path, elsewhere: Path) -> None:
    """One procedure of the library is examined from another folder, is clean, and the answer names it."""
    path = PROCEDURES[0].relative_to(ROOT)
    said = python("-m", "proclint", "examine", str(path), home=installed, cwd=elsewhere)
    assert path.name in said


def test_installed_wheel_prints_a_page(installed: Path, elsewhere: Path) -> None:
    """A rule that is listed has a page, which names it and shows an example to follow."""
    name = next((ROOT / "proclint" / "rules").glob("*/[a-z]*.py")).stem.replace("_", "-")
    assert name in python("-m", "proclint", "rules", home=installed, cwd=elsewhere)
    page = python("-m", "proclint", "rules", name, home=installed, cwd=elsewhere)
    assert name in page
    assert "To follow:" in page


def run(module: str, *arguments: str, cwd: Path) -> None:
    """Run a Python module as a program; its own output is shown when it fails."""
    done = subprocess.run([sys.executable, "-m", module, *arguments], cwd=cwd, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stdout + done.stderr


def python(*arguments: str, home: Path, cwd: Path) -> str:
    """Run Python with a folder of modules before all others; give what it says on standard output."""
    environment = {**os.environ, "PYTHONPATH": str(home), "PYTHONDONTWRITEBYTECODE": "1"}
    done = subprocess.run(
        [sys.executable, "-P", *arguments],
        cwd=cwd,
        env=environment,
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stdout + done.stderr
    return done.stdout
