"""Where a text in quotes begins that the reader of a file took for longer than it was meant to be.

After a lost quotation mark all goes on as text until the next one, and the reader stumbles far below over what is behind that.
"""

import yaml

from proclint.source.events import events


def never_closed(error: yaml.MarkedYAMLError) -> int | None:
    """Give the offset of the quotation mark that is open at the end of the file, or nothing where none is."""
    opened = error.context_mark
    return opened.index if opened is not None and "unexpected end of stream" in str(error.problem) else None


def runs_on(text: str, at: int) -> tuple[int, int] | None:
    """Give the span of a text in quotes over several lines that ends on the line of `at`, where the reader gave up."""
    start, end = _last_in_quotes(text)
    is_long = "\n" in text[start:end] or "\r" in text[start:end]
    is_near = not any(line_end in text[end:at] for line_end in "\r\n")
    return (start, end) if is_long and is_near else None


def _last_in_quotes(text: str) -> tuple[int, int]:
    """Read a broken text once more, up to where it breaks."""
    span = (0, 0)
    get = events(text)
    try:
        while True:
            event = get()
            # Only a scalar has a style.
            if getattr(event, "style", None) in ("'", '"'):
                span = (event.start_mark.index, event.end_mark.index)
    except yaml.MarkedYAMLError:
        return span
