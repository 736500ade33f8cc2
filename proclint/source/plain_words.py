"""What a YAML reader says where it gives up, in words for those who write procedures."""

import re

# What libyaml or its twin in Python says, what it means, and what a contributor can do about it.
_PLAIN_WORDS = {
    "mapping values are not allowed": (
        "A colon stands where no second one may.",
        "Put the value in quotes, or check the indent.",
    ),
    "cannot start any token": (
        "A character that YAML keeps for itself begins this value.",
        "Put the value in quotes.",
    ),
    "could not find expected ':'": (
        "A line here has no colon after its name.",
        "Write 'name: value', and check the indent.",
    ),
    "expected key|expected <block end>": (
        "The indent changes here, or a quote or bracket is left over.",
        "Line the names up.",
    ),
    "expected ',' or": (
        "A bracket that was opened is not closed here.",
        "Close it, or put a comma between the values.",
    ),
    "expected '-'": (
        "This line does not line up with the list above it.",
        "Line the dashes up.",
    ),
    "sequence entries are not allowed": (
        "A dash begins a list where none may begin.",
        "Begin the list on a line of its own.",
    ),
    "document (indicator|separator)": (
        "A line of dashes or dots stands inside a text in quotes.",
        "Close the quotation mark, or indent the line.",
    ),
    "escape|hexdecimal": (
        "A backslash in double quotes begins what YAML does not know.",
        "Write it twice, or use single quotes.",
    ),
    "alphabetic or numeric": (
        "A value without quotes begins with * or &.",
        "Put the value in quotes.",
    ),
    "expected (the )?node content": (
        "A value is missing here, or a bracket is left over.",
        "Write the value, or delete the bracket.",
    ),
    "expected '?<document start>": (
        "Text is left over after the end of what the file holds.",
        "Check the indent, or delete it.",
    ),
}
_TAB = ("A tab stands where only spaces may.", "Use spaces to indent.")
# An anchor may stand before the tag, and a comment between them.
_TAG = re.compile(r"(?:&\S+(?:\s|#.*)*)?(!(?:<[^>]*>|[^\s,\[\]{}]*))")
_TAB_INDENT = re.compile(" *\t")
# Compiled where it is needed, which is hardly ever: it takes as long as all others of this program together.
_NOT_PRINTABLE = "[^\t\n\r\x20-\x7e\x85\xa0-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]|\\Z"


def in_plain_words(text: str, at: int, said: str) -> tuple[int, str, str]:
    """Give offset, message and change for what the reader said of the text at an offset."""
    tab = _tab_to_blame(text, at, said)
    if tab >= 0:
        return tab, *_TAB
    for pattern, words in _PLAIN_WORDS.items():
        if re.search(pattern, said):
            return at, *words
    message = f"From here on this is not YAML ({said})."
    return at, message, "Check the lines just above: indent, colons, quotes, brackets."


def _tab_to_blame(text: str, at: int, said: str) -> int:
    """Give the offset of the tab that is the cause, or -1."""
    if text[at : at + 1] == "\t" or "tab character" in said:
        return at
    # Indented by a tab, a line goes on with the text above it, and the reader stumbles over its colon.
    line_start = max(text.rfind("\n", 0, at), text.rfind("\r", 0, at)) + 1
    indent = _TAB_INDENT.match(text, line_start)
    return indent.end() - 1 if indent and "mapping values" in said else -1


def where_not_printable(text: str) -> tuple[int, int]:
    """Give the span of the first character that YAML 1.2.2, section 5.1, keeps out, or of the end."""
    return next(re.finditer(_NOT_PRINTABLE, text)).span()


def tag_as_written(text: str, at: int) -> str:
    """Give the tag of a value as its author wrote it; `at` is where what stands before the value begins."""
    found = _TAG.match(text, at)
    assert found is not None
    return found[1]
