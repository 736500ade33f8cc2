"""The event stream of the YAML reader: libyaml's where it is there, else that of its twin in Python.

Where both read a text they give the same events. The twin refuses tabs in more places, as before a comment.
"""

from collections.abc import Callable
from typing import Any, TypeAlias

import yaml

# Each kind of event has fields of its own, and it is told by `type(event) is`: the fastest way there is.
Event: TypeAlias = Any


def events(text: str) -> Callable[[], Event]:
    """Give a function that gives the next event, and raises MarkedYAMLError where the text is not YAML.

    A character that YAML keeps out of a file raises ReaderError or UnicodeEncodeError, here or later.
    """
    if not hasattr(yaml, "CBaseLoader"):
        return _checked_events(text)
    get: Callable[[], Event] = yaml.CBaseLoader(text).get_event
    return get


def _checked_events(text: str) -> Callable[[], Event]:
    """Give the events of the twin, refusing as libyaml does an escape that names no character."""
    reader = yaml.BaseLoader(text)
    next_event: Callable[[], Event] = reader.get_event

    def get() -> Event:
        try:
            event = next_event()
            getattr(event, "value", "").encode()
        except (ValueError, OverflowError) as error:
            said = "found invalid Unicode character escape code"
            raise yaml.MarkedYAMLError(problem=said, problem_mark=reader.get_mark()) from error
        return event

    return get
