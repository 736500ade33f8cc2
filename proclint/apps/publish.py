"""Writes the published schemas: `python -m proclint.apps.publish [FOLDER]`, by default into `schemas/`."""

import sys
from pathlib import Path

from proclint.catalogue import checked, standard
from proclint.model.publish import published


def main(folder: Path) -> None:
    """Write each published schema into a folder. Raises CatalogueProblem where the catalogue contradicts itself."""
    folder.mkdir(parents=True, exist_ok=True)
    for name, text in published(checked(standard())).items():
        (folder / name).write_text(text, encoding="utf-8")


if __name__ == "__main__":
    main(Path(*sys.argv[1:2] or ["schemas"]))
