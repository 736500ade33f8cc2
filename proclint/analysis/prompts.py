"""What a screen asks for, read to the letter, against what is done there."""

from collections.abc import Iterator, Sequence
from typing import NamedTuple

from proclint.analysis.doings import Mention, mentions
from proclint.analysis.instructions import Bench, lines_of, words_by_kind
from proclint.analysis.shelf import Written
from proclint.catalogue.speech import Question
from proclint.model import Line, Procedure, Prompt, Step


class PromptFault(NamedTuple):
    """A prompt and what is done: `contradicts` it, or was done `before` it was asked for; `asked` and `done` say it in words."""

    kind: str
    step: Step
    prompt: Prompt
    asked: str
    done: str


def prompt_faults(written: Written, bench: Bench) -> Iterator[PromptFault]:
    """Find prompts without a note whose literal reading is not what is done; one result a prompt."""
    for each in written.steps.values():
        prompt = each.step.prompt
        if prompt is not None and not prompt.means:
            found = (*_of_doings(each.step, prompt, written, bench), *_of_answer(each.step, prompt, bench))
            yield from found[:1]


def _acts(step: Step) -> tuple[Line, ...]:
    return tuple(line for line in step.lines if line.verb != "answer")


def _of_doings(step: Step, prompt: Prompt, written: Written, bench: Bench) -> Iterator[PromptFault]:
    lines = _acts(step)
    before, after = _neighbours(step, written)
    asked = mentions(prompt.says.lower(), bench.catalogue)
    for mention in asked:
        done = lines_of(mention.doing, lines)
        words = prompt.says[mention.start : mention.end]
        if done:
            if _is_other(mention, done, bench):
                yield PromptFault("contradicts", step, prompt, words, _told(done))
        elif lines_of(mention.doing, before):
            yield PromptFault("before", step, prompt, words, _told(lines_of(mention.doing, before)))
        elif lines and not lines_of(mention.doing, after) and not any(line.verb in ("act", "make-sure") for line in lines):
            yield PromptFault("contradicts", step, prompt, words, _told(lines))
    if not asked:
        yield from _of_position(step, prompt, bench)


def _told(lines: Sequence[Line]) -> str:
    return "; ".join(line.text for line in lines)


def _neighbours(step: Step, written: Written) -> tuple[tuple[Line, ...], tuple[Line, ...]]:
    """Give the lines of the steps from which, and to which, the usual way leads."""
    here = written.steps[step.name]
    after = {exit_.target for exit_ in here.exits if not exit_.is_failing}
    before = [
        other.step
        for other in written.steps.values()
        if any(exit_.target == step.name and not exit_.is_failing for exit_ in other.exits)
    ]
    following = (written.steps[name].step for name in after if name in written.steps)
    return tuple(line for each in before for line in each.lines), tuple(line for each in following for line in each.lines)


def _is_other(mention: Mention, done: Sequence[Line], bench: Bench) -> bool:
    for kind, there in words_by_kind(done).items():
        told = mention.told.get(kind)
        if told and told.isdisjoint(there):
            return True
    return _is_other_key(mention, done, bench)


def _is_other_key(mention: Mention, done: Sequence[Line], bench: Bench) -> bool:
    """Whether the screen asks for a new key and a known one is taken, or the other way round."""
    if not isinstance(bench.flow, Procedure):
        return False
    groups = (bench.flow.keys.get(word[:1]) for word in words_by_kind(done).get("key", ()))
    known = {group.registered for group in groups if group is not None}
    names = bench.speech.screen_keys
    asked = {state == "known" for state, forms in names.items() if any(mention.says(form) for form in forms)}
    return bool(known and asked and not known & asked)


def _of_position(step: Step, prompt: Prompt, bench: Bench) -> Iterator[PromptFault]:
    """Hold positions that a screen names without a verb against where keys are turned."""
    lines = tuple(line for line in _acts(step) if "position" in line.words)
    there = words_by_kind(lines).get("position", set())
    asked = frozenset(prompt.says.lower().replace("-", " ").split()) & frozenset(bench.catalogue.kinds["position"].words)
    if there and asked and not asked & there:
        yield PromptFault("contradicts", step, prompt, prompt.says, _told(lines))


def _of_answer(step: Step, prompt: Prompt, bench: Bench) -> Iterator[PromptFault]:
    """Hold what the choices are said to do against what the question asks."""
    speech = bench.speech
    if not any(label.lower() in speech.screen_yes for label in prompt.choices):
        return
    asked = frozenset(prompt.says.lower().replace("?", " ").split())
    for question in speech.screen_questions:
        if asked.intersection(question.says):
            yield from _of_question(step, prompt, question, speech.screen_yes)


def _of_question(step: Step, prompt: Prompt, question: Question, agreeing: frozenset[str]) -> Iterator[PromptFault]:
    for label, effect in prompt.choices.items():
        if (label.lower() in agreeing) != (effect in question.yes):
            yield PromptFault("contradicts", step, prompt, prompt.says, f"{label}: {effect}")
            return
