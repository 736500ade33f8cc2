"""File names as relative URI references (RFC 3986), so that a report tells nothing of the machine."""

from collections.abc import Iterable
from itertools import takewhile
from typing import NamedTuple

HERE = "SRCROOT"
ELSEWHERE = "ELSEWHERE"
_UNRESERVED = frozenset(b"ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-._~/")
_NOT_BELOW = ("/", "..")

Parts = tuple[str, ...]


class Reference(NamedTuple):
    """A relative reference and the name of the folder that it starts from."""

    uri: str
    base: str = HERE


def references(files: Iterable[str], here: str) -> dict[str, Reference]:
    """Give each file name its reference.

    What is below the folder `here` starts from there; all else from the deepest folder that holds all of it.
    """
    base = _parts(here, ())
    paths = {file: _parts(file, base) for file in files}
    below = {file: path[len(base) :] for file, path in paths.items() if _is_below(path, base)}
    outside = {file: path for file, path in paths.items() if file not in below}
    shared = len(_shared([path[:-1] for path in outside.values()]))
    return {file: _reference(file, below, outside, shared) for file in paths}


def _reference(file: str, below: dict[str, Parts], outside: dict[str, Parts], shared: int) -> Reference:
    if file in below:
        return Reference(_encoded(below[file]))
    return Reference(_encoded(part for part in outside[file][shared:] if part not in _NOT_BELOW), ELSEWHERE)


def _parts(name: str, base: Parts) -> Parts:
    found = ["/"] if name.startswith("/") else list(base)
    for part in name.split("/"):
        if part == ".." and found and found[-1] not in _NOT_BELOW:
            found.pop()
        elif part not in ("", "."):
            found.append(part)
    return tuple(found)


def _is_below(path: Parts, base: Parts) -> bool:
    return path[: len(base)] == base and path[len(base) : len(base) + 1] not in (("/",), ("..",))


def _shared(paths: list[Parts]) -> Parts:
    together = takewhile(lambda parts: len(set(parts)) == 1, zip(*paths, strict=False))
    return tuple(parts[0] for parts in together)


def _encoded(parts: Iterable[str]) -> str:
    # A name that is no text keeps its bytes.
    written = "/".join(parts).encode("utf-8", "surrogateescape")
    return "".join(chr(byte) if byte in _UNRESERVED else f"%{byte:02X}" for byte in written)
