"""Places as SARIF 2.1.0 locations, and texts as its messages.

Here offsets become lines and columns: both from 1, in code points, the end exclusive (3.30.2).
"""

from collections.abc import Iterator, Mapping
from typing import NamedTuple

from proclint.engine import Report
from proclint.render.as_json import Json
from proclint.render.uri import Reference, references
from proclint.source import Place, SourceText

Object = dict[str, Json]


def message(text: str) -> Object:
    """Give a message object: braces doubled (3.11.5), and nothing that reads as a link (3.11.6)."""
    return {"text": text.replace("{", "{{").replace("}", "}}").replace("](", "] (")}


def sentences(*texts: str) -> str:
    """Join texts to sentences, each with its full stop."""
    return " ".join(text if text.endswith((".", "?", "!")) else f"{text}." for text in texts if text)


class Places(NamedTuple):
    """The files of a report: their texts, references, and numbers in the list of artifacts."""

    texts: Mapping[str, SourceText]
    references: Mapping[str, Reference]
    numbers: Mapping[str, int]

    def artifact(self, file: str) -> Object:
        """Give an artifactLocation (3.4)."""
        return {**self.address(file), **({"index": self.numbers[file]} if file in self.numbers else {})}

    def address(self, file: str) -> Object:
        """Give an artifactLocation without its number, as the list of artifacts itself has it."""
        reference = self.references[file]
        return {"uri": reference.uri, "uriBaseId": reference.base}

    def location(self, at: Place, said: str = "") -> Object:
        """Give a location (3.28), with a message if there is something to say."""
        physical: Object = {"artifactLocation": self.artifact(at.file)}
        # What is said of a file as a whole, or of one whose text is not there, has no region.
        if at.file in self.texts and at.end > 0:
            physical["region"] = self.region(at)
        return {"physicalLocation": physical, **({"message": message(said)} if said else {})}

    def region(self, at: Place) -> Object:
        """Give a region (3.30)."""
        text = self.texts[at.file]
        (start_line, start_column), (end_line, end_column) = _spot(text, at.start), _spot(text, at.end)
        return {
            "startLine": start_line,
            "startColumn": start_column,
            "endLine": end_line,
            "endColumn": end_column,
        }


def _spot(text: SourceText, offset: int) -> tuple[int, int]:
    line, column = text.line_column(offset)
    if column > 1 or offset == 0 or offset < len(text.text):
        return line, column
    # Behind the last line end is no line; the end of a file is counted on its last one (3.30.2, example 8).
    line, column = text.line_column(offset - 1)
    return line, column + 1


def places_of(report: Report, here: str) -> Places:
    """Give the places of a report made in the folder `here`."""
    files = dict.fromkeys((*report.files, *sorted(set(_named(report)))))
    numbers = {file: number for number, file in enumerate(dict.fromkeys(report.files))}
    return Places(report.texts, references(files, here), numbers)


def _named(report: Report) -> Iterator[str]:
    yield from report.texts
    yield from (part.file for part in report.not_checked)
    yield from (fault.file for fault in report.own_faults if fault.file)
    for each in (*report.results, *report.accepted, *(report.since.absent if report.since is not None else ())):
        result = each.result
        yield result.at.file
        yield from (note.at.file for note in result.notes)
        yield from (stop.at.file for stop in result.trace)
        yield from (edit.at.file for fix in result.fixes for edit in fix.edits)
        yield from (other.at.file for other in each.also)
        yield from (result.because.file,) if result.because is not None else ()
        yield from (each.acceptance.at.file,) if each.acceptance is not None else ()
