"""Bytes to values that know where they stand."""

from proclint.source.limits import Limits
from proclint.source.place import Place
from proclint.source.read_csv import Cell, Table, read_csv
from proclint.source.read_yaml import Document, read_yaml
from proclint.source.text import SourceText, decode
from proclint.source.tree import Mapping, Node, Scalar, Sequence, plain
from proclint.source.trouble import Trouble

__all__ = [
    "Cell",
    "Document",
    "Limits",
    "Mapping",
    "Node",
    "Place",
    "Scalar",
    "Sequence",
    "SourceText",
    "Table",
    "Trouble",
    "decode",
    "plain",
    "read_csv",
    "read_yaml",
]
