"""Two versions of `library.yaml`, `sources.yaml` or `accepted.yaml`: what is checked less, and what is vouched for otherwise."""

from collections import Counter
from collections.abc import Iterator, Mapping

from proclint.compare import said
from proclint.compare.difference import Difference, Weight, What, in_order
from proclint.compare.tree import leaves, of_tree
from proclint.model import Acceptance, fields, read_acceptances
from proclint.source import Document, Place, Scalar

# From what is told least to what is told most.
_LEVELS = ("off", "note", "warning", "error")


def compare_settings(old: Document, new: Document) -> tuple[Difference, ...]:
    """Compare two versions of a library's settings, the most dangerous difference first."""
    return in_order((*_levels(old.at, new.at), *_failing(old.at, new.at), *_rest(old.at, new.at)))


def _levels(old: Place, new: Place) -> Iterator[Difference]:
    before, now = (dict(fields.parts_in(at, "levels")) for at in (old, new))
    for rule in dict.fromkeys((*before, *now)):
        places = before.get(rule), now.get(rule)
        texts = [fields.text(at.node) if at is not None else "" for at in places]
        if texts[0] != texts[1]:
            levels = [text or "the rule's own" for text in texts]
            text = f"The level of '{rule}' is {levels[1]}, before {levels[0]}."
            yield Difference(What.LEVEL, _of_levels(texts[0], texts[1]), *places, text)


def _of_levels(old: str, new: str) -> Weight:
    if old and new:
        return Weight.LOST if _LEVELS.index(new) < _LEVELS.index(old) else Weight.GAINED
    # A rule's own level is not known here; it is one at which it is told.
    return Weight.LOST if new == "off" else Weight.GAINED if old == "off" else Weight.OTHER


def _failing(old: Place, new: Place) -> Iterator[Difference]:
    before, now = (fields.text_of(at.node, "failing-level") or "error" for at in (old, new))
    if before != now:
        weight = Weight.LOST if _LEVELS.index(now) > _LEVELS.index(before) else Weight.GAINED
        text = f"A check fails from level {now} on, before from {before} on."
        yield Difference(What.LEVEL, weight, old / "failing-level", new / "failing-level", text)


def _rest(old: Place, new: Place) -> Iterator[Difference]:
    trust = [list(fields.texts_of(fields.field(each.node, "trust"))) for each in (old, new)]
    if trust[0] != trust[1]:
        texts = [said.words(each) if each else "as proclint has it" for each in trust]
        text = f"Sources are trusted in the order {texts[1]}; before, {texts[0]}."
        yield Difference(What.SETTING, Weight.OTHER, old / "trust", new / "trust", text)
    for name in ("name", "format", "limits", "vocabulary"):
        yield from of_tree(old / name, new / name, name.capitalize(), what=What.SETTING)


def compare_sources(old: Document, new: Document) -> tuple[Difference, ...]:
    """Compare two versions of the register of sources, the most dangerous difference first."""
    return in_order(_sources(_by_id(old), _by_id(new)))


def _by_id(document: Document) -> dict[str, Place]:
    return {fields.text_of(at.node, "id"): at for at in (document.at / "sources").items()}


def _sources(old: Mapping[str, Place], new: Mapping[str, Place]) -> Iterator[Difference]:
    for name, at in old.items():
        if name in new:
            yield from of_tree(at, new[name], f"Source '{name}'", what=What.SOURCE)
        else:
            yield Difference(What.SOURCE, Weight.LOST, at, None, f"The source '{name}' is gone from the register.")
    for name, at in new.items():
        if name not in old:
            yield Difference(What.SOURCE, Weight.GAINED, None, at, f"The source '{name}' is new in the register.")


def compare_acceptances(old: Document, new: Document) -> tuple[Difference, ...]:
    """Compare two versions of the accepted results, the most dangerous difference first."""
    return in_order(_acceptances(_by_what(old), _by_what(new)))


def _by_what(document: Document) -> dict[tuple[str, ...], Acceptance]:
    found: dict[tuple[str, ...], Acceptance] = {}
    seen: Counter[tuple[str, ...]] = Counter()
    for each in read_acceptances(document):
        key = (each.rule, each.subject, each.within, each.step)
        seen[key] += 1
        found[*key, str(seen[key])] = each
    return found


def _acceptances(old: Mapping[tuple[str, ...], Acceptance], new: Mapping[tuple[str, ...], Acceptance]) -> Iterator[Difference]:
    for key, each in old.items():
        if key in new:
            yield from _acceptance(each, new[key])
        else:
            text = f"{_accepted(each)} is no longer accepted."
            yield Difference(What.ACCEPTED, Weight.GAINED, each.at, None, text)
    for key, each in new.items():
        if key not in old:
            why = f"by {each.by or 'nobody'}, until {each.until or 'no day'}: {each.because or 'no reason'}"
            text = f"{_accepted(each)} is now accepted, {why.rstrip('.')}."
            yield Difference(What.ACCEPTED, Weight.LOST, None, each.at, text)


def _accepted(each: Acceptance) -> str:
    subject = f" ({each.subject})" if each.subject else ""
    where = f" at '{each.step}'" if each.step else ""
    return f"'{each.rule}'{subject} in '{each.within}'{where}"


def _acceptance(old: Acceptance, new: Acceptance) -> Iterator[Difference]:
    if old.until != new.until:
        weight = Weight.OTHER if not (old.until and new.until) else Weight.MORE if new.until > old.until else Weight.LESS
        text = f"{_accepted(new)} is accepted until {new.until or 'no day'}, before until {old.until or 'no day'}."
        yield Difference(What.ACCEPTED, weight, old.at, new.at, text)
    for name in ("because", "by", "on"):
        if next(leaves(old.at / name, new.at / name), None) is not None:
            texts = [_text(each.at / name) for each in (old, new)]
            text = f"{_accepted(new)}, {name}: '{texts[1]}', before '{texts[0]}'."
            yield Difference(What.ACCEPTED, Weight.UPKEEP, old.at, new.at, text)


def _text(at: Place) -> str:
    return at.node.text if isinstance(at.node, Scalar) else ""
