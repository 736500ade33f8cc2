"""What must hold besides the needs of actions: it is read, it agrees with the catalogue, and it asks what it should."""

import copy
import json
import re
import subprocess
import sys
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path

import jsonschema_rs
import pytest
from jsonschema import Draft202012Validator

import proclint.model
from proclint.catalogue import (
    Atom,
    Catalogue,
    CatalogueProblem,
    DemandRow,
    Form,
    Item,
    Misread,
    NeedOf,
    Operand,
    Sum,
    Whose,
    extended,
    reading,
    standard,
)
from proclint.catalogue.contradictions import contradictions
from proclint.catalogue.packaged import FOLDER, Tree, packaged
from proclint.catalogue.row import Row

KINDS = ("success", "as-found", "not-as-found", "referred")


def needs() -> Iterator[tuple[str, str]]:
    """Give the verb of each need of each action, and the variable that it is about, with whose it is."""
    for verb in standard().actions:
        for item in standard().deed(verb).needs:
            is_told = all(operand.form is Form.TOLD for atom in item.atoms for operand in atom.left.operands)
            told = (*item.atoms, *item.condition) if is_told else item.atoms
            for operand in (operand for atom in told for operand in atom.left.operands):
                closures = standard().kinds["closure"].words if operand.form is Form.NAMED else ()
                yield from ((verb, name) for name in closures or (str(operand),))


@pytest.mark.parametrize(
    ("verb", "about", "rule"),
    [
        ("insert", "cylinder", "key-action-on-empty-cylinder"),
        ("insert", "{key}.cut", "precondition-not-met"),
        ("remove", "ignition", "key-removal-impossible"),
        ("remove", "selector", "key-removal-impossible"),
        ("turn", "ignition", "turn-to-current-state"),
        ("turn", "cylinder", "key-action-on-empty-cylinder"),
        ("leave", "ignition", "precondition-not-met"),
        ("open", "door-driver", "turn-to-current-state"),
        ("open", "locks", "precondition-not-met"),
        ("wait-access", "cylinder", "wrong-key-during-wait"),
        ("learn", "cylinder", "wrong-key-during-wait"),
        ("learn", "others.place", "other-fob-in-range"),
        ("learn", "access", "protected-write-without-access"),
        ("learn", "session", "session-assumed-after-power-down"),
        ("wait-rearm", "session", "precondition-not-met"),
        ("close-session", "session", "turn-to-current-state"),
        ("open-hood", "engine", "engine-state-wrong"),
        ("test-functions", "others.place", "verify-with-other-key-near"),
        ("test-functions", "{key}.place", "precondition-not-met"),
        ("check-authorisation", "authority", "precondition-not-met"),
        ("get-consent", "authority", "ownership-proof-missing"),
        ("an-action-of-a-library", "access", "protected-write-without-access"),
        ("an-action-of-a-library", "sunroof", "precondition-not-met"),
    ],
)
def test_a_broken_need_has_a_rule(verb: str, about: str, rule: str) -> None:
    """The first row that fits the action and the variable gives the rule, and the last row fits everything."""
    assert rule == standard().rule_of_need(verb, about)


def test_no_row_of_needs_is_idle() -> None:
    """Each row is the first that fits some need of some action: none is hidden behind another."""
    first = {next(row for row in standard().needs_of if row.fits(verb, about)) for verb, about in needs()}
    assert set(standard().needs_of) == first


def test_every_word_of_a_row_of_needs_is_used() -> None:
    """Each verb of a row has a need about one of its variables: a slip in one of them would make it idle."""
    seen = set(needs())
    for row in standard().needs_of:
        for verb in row.verbs:
            assert any(row.fits(verb, about) for at, about in seen if at == verb), (row.rule, verb)


def test_demands_are_written_back_as_they_were() -> None:
    """Reading loses nothing: each item is written back as the text from which it was read."""
    for row, demand in zip(standard().demand_rows, standard().demands, strict=True):
        assert row.must == tuple(map(str, demand.must))
        assert (row.rule, row.subject, row.kinds) == (demand.rule, demand.subject, demand.kinds)
        assert bool(demand.verbs) != bool(demand.kinds)


def test_demands_are_found_by_verb_and_kind() -> None:
    """What holds at an action or an ending is given by its verb or its kind, and is the same value each time."""
    start = [demand.rule for demand in standard().demands_at("start")]
    assert "start-without-brake-or-park" in start
    assert "left-open-at-end" not in start
    assert standard().demands_at("start") is standard().demands_at("start")
    for kind in KINDS:
        assert {"left-open-at-end"} <= {demand.rule for demand in standard().demands_at_ending(kind)}
    assert not [demand for demand in standard().demands_at_ending("success") if demand.rule == "ending-unsuitable-for-state"]


def test_an_open_prompt_stops_all_but_looking_and_answering() -> None:
    """With a prompt open nothing is done but the answer to it, or what only looks and waits."""
    (prompt,) = (demand for demand in standard().demands if demand.rule == "prompt-not-answered")
    assert {"answer", "look", "wait", "tap", "act"} == set(standard().actions) - set(prompt.verbs)


def test_an_action_of_a_library_answers_prompts_first_too() -> None:
    """What holds at any action holds at those that a library adds."""
    polish: Tree = {"patterns": ["polish"], "takes": "1-2-3 s", "say": "Polish."}
    larger = extended(standard(), {"actions": {"polish": polish}}, origin="library.yaml")
    assert ["prompt-not-answered", "chime-masks-signal"] == [demand.rule for demand in larger.demands_at("polish")]


def test_subjects_tell_rows_of_one_rule_apart() -> None:
    """What is left open is told by variable: each row has one of its own, and asks about that one."""
    rows = [row for row in standard().demand_rows if row.rule == "left-open-at-end"]
    subjects = [row.subject for row in rows]
    assert {"session", "tool", "support", "hood", "tailgate", "doors", "window-driver", "chocks", "prompt", "log"} <= set(
        subjects
    )
    assert len(subjects) == len(set(subjects))
    for row in rows:
        assert (row.subject,) == tuple(text.split()[0] for text in row.must)


def test_kinds_of_ending_are_those_of_the_format() -> None:
    """The kinds at which something is demanded are those that an ending can be of."""
    text = (Path(proclint.model.__file__).parent / "schemas" / "procedure.schema.json").read_text("utf-8")
    assert json.dumps(list(reading.KINDS_OF_ENDING)) in re.sub(r"\s+", " ", text).replace("[ ", "[").replace(" ]", "]")


def test_no_demand_is_read_before_it_is_asked_for() -> None:
    """A run that follows no states reads neither the file of demands nor the code that does."""
    code = (
        "import sys\nfrom proclint.catalogue import standard\nstandard().match('turn O1 on')\n"
        "print('proclint.catalogue.demands' in sys.modules, 'demand_rows' in vars(standard()))\n"
    )
    ran = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert "False False\n" == ran.stdout


# What is demanded, on plain states: every variable named in a case has one value.


@dataclass(frozen=True)
class State:
    """One value of each variable, the keys that are there, and the words of a line's parameters."""

    values: Mapping[str, str]
    keys: tuple[str, ...]
    words: Mapping[str, str]

    def value(self, operand: Operand, each: str) -> str:
        """Give the word that an operand stands for."""
        if operand.form in (Form.WORD, Form.NUMBER):
            return operand.name or str(operand.number)
        if operand.form is Form.FACT:
            return self.values[f"fact.{operand.name}"]
        if operand.form is Form.TOLD:
            return self.words[operand.name]
        owner = {
            Whose.TOLD: self.words.get(operand.owner, ""),
            Whose.ITS_KIND: self.values.get(f"{self.words.get('key')}.kind", ""),
            Whose.KIND: operand.owner,
            Whose.VEHICLE: "",
        }.get(operand.whose, each)
        return self.values[f"{owner}.{operand.name}".lstrip(".")]

    def holds(self, atoms: tuple[Atom, ...], each: str) -> bool:
        """Say whether all of some atoms hold."""
        for atom in atoms:
            left = self.sum(atom.left, each)
            right = atom.words if atom.right is None else (self.sum(atom.right, each),)
            if atom.operator in ("<", ">="):
                found = (int(left) < int(right[0])) == (atom.operator == "<")
            else:
                found = (left in right) != (atom.operator in ("!=", "not in"))
            if not found:
                return False
        return True

    def sum(self, side: Sum, each: str) -> str:
        """Give a side of a comparison: a word, or the sum of its numbers."""
        values = [self.value(operand, each) for operand in side.operands]
        return values[0] if len(values) == 1 else str(sum(map(int, values)))

    def keeps(self, item: Item) -> bool:
        """Say whether an item holds, for each key where it says so."""
        if not item.parameters <= self.words.keys():
            return True
        whose = {operand.whose for atom in (*item.atoms, *item.condition) for operand in atom.operands}
        each: tuple[str, ...] = self.keys if whose & {Whose.EVERY, Whose.OTHERS} else ("",)
        if Whose.OTHERS in whose:
            each = tuple(key for key in self.keys if key != self.words["key"])
        some = self.keys if Whose.SOME in whose else ()
        return all(
            any(self.holds(item.atoms, key) for key in some) if some else self.holds(item.atoms, one)
            for one in each
            if self.holds(item.condition, one)
        )


def read(text: str) -> dict[str, str]:
    """Read values such as `hood = open, O1.starts = fails`."""
    return dict(each.split(" = ") for each in text.split(", ") if each)


GOOD = read(
    "method = tool, ignition-kind = keyed, gearbox = automatic, learn-mode = add, authority = proven, consent = none, "
    "ignition = off, cylinder = empty, engine = stopped, selector = P, park-brake = set, chocks = none, brake-pedal = up, "
    "inside = nobody, ventilation = outdoors, immobiliser = armed, prompt = none, session = none, tool = unplugged, "
    "support = none, airbag-power = live, hood = closed, tailgate = closed, doors = closed, window-driver = closed, "
    "belt-driver = open, door-driver = closed, sign = other, log = closed, changed = yes, proof = tried, code = none, "
    "learn-kind = by-key, wrong-codes = 0, "
    "fact.engine-during-learn = stopped, fact.drops-remotes-on-add = false, fact.code-tries-to-lockout = 3, "
    "fact.first-learned-is-main = true, fact.valet-counts-in-key-cap = true"
)
A_KIND = read("erased = no, learned = 0, read-back = yes, counted = yes, cap = 5, used = 2")
A_KEY = read(
    "kind = key, head = plain, origin = original, place = hand, registered = yes, buttons-learned = yes, dropped = no, "
    "cut = yes, part = fits, starts = works, buttons = works, passive = works, blade = works, limit = works, tried = no"
)


def state(text: str, changes: str) -> State:
    """Give a state in which an original O1 and a new N1 both work, but for changes such as `hood = open, O1.starts = fails`."""
    line = standard().match(text)
    words = dict(getattr(line, "words", {}))
    values = dict(GOOD)
    values |= {f"{kind}.{name}": value for kind in ("key", "valet", "remote", "fob") for name, value in A_KIND.items()}
    values |= {f"{key}.{name}": value for key in ("O1", "N1") for name, value in A_KEY.items()} | {"N1.origin": "new"}
    values |= read(changes)
    if text.startswith("learn"):
        words.setdefault("kind", values[f"{words['key']}.kind"])
    return State(values, ("O1", "N1"), words)


def broken(text: str, changes: str) -> set[str]:
    """Give the rules under which something demanded is not so, before a line or at an ending of a kind."""
    found = state(text, changes)
    asked = standard().demands_at_ending(text) if text in KINDS else standard().demands_at(text.split(maxsplit=1)[0])
    return {demand.rule for demand in asked if not all(map(found.keeps, demand.must))}


NEW = "N1.registered = no, N1.starts = untested, changed = no"
LEFT_OPEN = ["ignition = on", "cylinder = O1", "session = open", "tool = plugged", "support = connected", "airbag-power = down"]
LEFT_OPEN += [
    "hood = open",
    "tailgate = open",
    "doors = open",
    "window-driver = open",
    "chocks = fitted",
    "prompt = open",
    "log = open",
]


# All cases: common practice, no source.
@pytest.mark.parametrize(
    ("text", "changes", "rules"),
    [
        ("learn N1", NEW, ""),
        ("learn N1", f"{NEW}, authority = identified", "ownership-proof-missing"),
        ("erase keys", "authority = unchecked", "ownership-proof-missing"),
        ("cut-blade N1", "authority = unchecked", "ownership-proof-missing"),
        ("enter-code 4 digits", "authority = refused", "ownership-proof-missing"),
        ("answer erase-all", "authority = unchecked", "ownership-proof-missing"),
        ("answer add", "authority = unchecked", ""),
        # A start.
        ("start O1", "", ""),
        ("start O1", "park-brake = released", "start-without-brake-or-park"),
        ("start O1", "selector = D", "start-without-brake-or-park"),
        ("start O1", "gearbox = manual, selector = gear", "start-without-brake-or-park"),
        ("start O1", "gearbox = manual, selector = neutral", ""),
        ("start O1", "ventilation = enclosed", "test-start-without-safeguards"),
        ("start N1", "immobiliser = learning", "verify-without-rearm"),
        ("start N1", "immobiliser = closing, changed = maybe", "verify-without-rearm"),
        ("start O1", "immobiliser = learning, changed = no", ""),
        ("start N1", "O1.kind = fob, N1.kind = fob, O1.place = pocket", "verify-with-other-key-near"),
        ("start N1", "O1.kind = fob, N1.kind = fob, O1.place = pouch", ""),
        ("start N1", "O1.kind = fob, N1.kind = fob, O1.place = pocket, O1.registered = no", ""),
        # The state of the engine, the vehicle and the air bag.
        ("press START 2 times", "brake-pedal = down", "engine-state-wrong"),
        ("press START 2 times", "", ""),
        ("press START", "brake-pedal = down, ignition = on", ""),
        ("learn N1", f"{NEW}, engine = running", "engine-state-wrong"),
        ("learn N1", f"{NEW}, engine = running, fact.engine-during-learn = running", ""),
        ("move-selector N", "park-brake = released", "precondition-not-met"),
        ("move-selector N", "park-brake = released, chocks = fitted", ""),
        ("move-selector P", "park-brake = released", ""),
        ("remove-trim column-cowl", "", "srs-work-without-power-down"),
        ("remove-trim column-cowl", "airbag-power = down", ""),
        ("remove-trim glove-box", "", ""),
        # Erasing, and keys that are away.
        ("erase keys", "N1.cut = no", "erase-without-new-key-ready"),
        ("erase keys", "N1.part = unchecked", "erase-without-new-key-ready"),
        ("erase keys", "O1.part = unchecked, O1.cut = no", ""),
        ("erase keys", "N1.kind = remote, N1.part = unchecked", ""),
        ("erase O1", "N1.cut = no", ""),
        ("erase fobs", "N1.kind = fob, N1.part = unchecked, N1.cut = no", "erase-without-new-key-ready"),
        ("erase keys", "O1.place = absent", "absent-keys-not-declared"),
        ("erase keys", "O1.place = absent, consent = given", ""),
        ("erase keys", "O1.place = absent, O1.kind = remote", ""),
        ("erase remotes", "O1.place = absent, O1.kind = remote", "absent-keys-not-declared"),
        ("erase O1", "O1.place = absent", ""),
        ("answer erase-remotes", "O1.place = absent, O1.kind = remote", "absent-keys-not-declared"),
        ("learn N1", f"{NEW}, learn-mode = replace-all, O1.place = absent", "absent-keys-not-declared"),
        ("learn N1", f"{NEW}, learn-mode = replace-all, O1.place = absent, key.learned = 1", ""),
        ("learn N1", f"{NEW}, O1.place = absent", ""),
        # Counts.
        ("learn N1", f"{NEW}, key.used = 5", "add-when-full"),
        ("learn N1", f"{NEW}, key.used = 5, key.cap = 0", ""),
        ("learn N1", f"{NEW}, key.used = 5, learn-mode = replace-all", ""),
        ("learn N1", f"{NEW}, learn-kind = key", ""),
        ("learn N1", f"{NEW}, learn-kind = valet", "slot-kind-confused"),
        ("learn N1", f"{NEW}, N1.kind = valet, learn-kind = key", "slot-kind-confused"),
        ("learn N1", f"{NEW}, N1.kind = valet, key.erased = all", "learn-order-matters"),
        ("learn N1", f"{NEW}, N1.kind = valet, key.erased = all, key.learned = 1", ""),
        ("learn N1", f"{NEW}, N1.kind = valet, key.erased = all, fact.first-learned-is-main = false", ""),
        ("learn N1", f"{NEW}, N1.kind = valet", ""),
        ("learn N1", f"{NEW}, N1.kind = valet, learn-mode = replace-all", "learn-order-matters"),
        ("learn N1", f"{NEW}, N1.kind = valet, learn-mode = replace-all, fact.valet-counts-in-key-cap = false", ""),
        ("learn N1", f"{NEW}, key.erased = all", ""),
        ("enter-code 4 digits", "wrong-codes = 1", ""),
        ("enter-code 4 digits", "wrong-codes = 2", "attempts-reach-lockout"),
        ("enter-code 4 digits", "wrong-codes = 2, fact.code-tries-to-lockout = 5", ""),
        ("learn N1", f"{NEW}, key.counted = no", "add-without-free-slot-check"),
        ("learn N1", f"{NEW}, key.counted = no, method = on-board", ""),
        ("learn N1", f"{NEW}, key.counted = no, learn-mode = replace-all", ""),
        ("learn N1", f"{NEW}, key.counted = no, key.erased = all", ""),
        ("learn O1", "key.counted = no", ""),
        ("learn N1", "N1.tried = unsure", "duplicate-learn-of-same-key"),
        ("learn N1", "N1.tried = no", ""),
        ("learn N1 remote", "remote.read-back = no", ""),
        ("learn O1", "key.read-back = no", ""),
        # Locks and prompts.
        ("press O1 LOCK", "O1.place = cylinder, N1.place = aside", "all-keys-inside-at-lock"),
        ("press O1 LOCK", "O1.place = cylinder, N1.place = aside, window-driver = open", ""),
        ("press O1 LOCK", "O1.place = cylinder, N1.place = aside, inside = technician", ""),
        ("press O1 LOCK", "O1.place = cylinder, N1.place = pocket", ""),
        ("press O1 LOCK", "O1.place = cylinder, N1.place = pocket, N1.kind = remote", "all-keys-inside-at-lock"),
        ("press O1 UNLOCK", "O1.place = cylinder, N1.place = aside", ""),
        ("press central-lock", "O1.place = backup, N1.place = button", "all-keys-inside-at-lock"),
        ("keep O1 LOCK 2 s", "O1.place = aside, N1.place = aside", "all-keys-inside-at-lock"),
        ("close door-driver", "O1.place = cylinder, N1.place = aside", "all-keys-inside-at-lock"),
        ("close-all", "O1.place = cylinder, N1.place = aside", "all-keys-inside-at-lock"),
        ("sit-in", "prompt = open", "prompt-not-answered"),
    ("cut-blade N1", "ignition = on, N1.cut = no", "ignition-on-time-without-support"),
    ("sit-in", "sign = tone, ignition = on", "chime-masks-signal"),
    ("sit-in", "sign = tone, ignition = on, belt-driver = fastened", ""),
    ("sit-in", "sign = tone, cylinder = O1, door-driver = open", "chime-masks-signal"),
    ("turn O1 on", "sign = tone, cylinder = O1", "chime-masks-signal"),
    ("turn O1 accessory", "sign = tone, cylinder = O1", ""),
    ("close door-driver", "sign = tone, cylinder = O1, door-driver = open", ""),
        ("answer add", "prompt = open", ""),
        # Endings.
        *((kind, "changed = no", "") for kind in KINDS),
        *((kind, f"{left}, changed = no", "left-open-at-end") for kind in KINDS for left in LEFT_OPEN),
        ("not-as-found", "immobiliser = learning", "left-open-at-end"),
        ("not-as-found", "immobiliser = not-arming, proof = impossible", ""),
        ("as-found", "", "ending-unsuitable-for-state"),
        ("as-found", "changed = maybe", "ending-unsuitable-for-state"),
        ("not-as-found", "proof = none", "proof-only-on-success"),
        ("not-as-found", "proof = none, changed = no", ""),
        ("referred", "proof = none, changed = maybe", "proof-only-on-success"),
        ("referred", "O1.registered = no, O1.dropped = yes, N1.registered = no", "ends-without-working-key"),
        ("referred", "O1.registered = no, O1.dropped = yes", ""),
        ("referred", "O1.registered = no, N1.registered = no", ""),
        # Proof.
        ("success", "O1.starts = untested", "original-key-not-verified"),
        ("success", "O1.starts = untested, changed = no", ""),
        ("success", "O1.starts = untested, O1.dropped = yes, O1.registered = no", "original-key-not-verified"),
        ("success", "O1.starts = untested, O1.dropped = yes, O1.registered = no, key.erased = one", "erased-key-not-proved-dead"),
        ("success", "O1.starts = fails, O1.dropped = yes, O1.registered = no, key.erased = one", ""),
        ("success", "O1.kind = remote, O1.buttons = untested, remote.learned = 1", "original-key-not-verified"),
        ("success", "O1.kind = remote, O1.buttons = untested", ""),
        ("success", "O1.kind = remote, O1.dropped = yes, O1.registered = no", "existing-remotes-not-represented"),
        (
            "success",
            "O1.head = integrated, O1.buttons-learned = no, learn-mode = replace-all, remote.learned = 1",
            "existing-remotes-not-represented",
        ),
        (
            "success",
            "O1.head = integrated, O1.buttons-learned = no, fact.drops-remotes-on-add = true",
            "existing-remotes-not-represented",
        ),
        ("success", "O1.head = integrated, O1.buttons-learned = no", ""),
        ("success", "N1.starts = untested", "new-key-functions-incomplete"),
        ("success", "N1.blade = untested", "new-key-functions-incomplete"),
        ("success", "N1.buttons = untested", ""),
        ("success", "N1.head = integrated, N1.buttons = untested", "new-key-functions-incomplete"),
        ("success", "N1.kind = remote, N1.starts = untested, N1.blade = untested", ""),
        ("success", "N1.kind = fob, N1.passive = untested", "new-key-functions-incomplete"),
        ("success", "N1.kind = valet, N1.limit = untested, valet.learned = 1", "valet-limit-not-tested"),
        ("success", "O1.kind = valet, O1.limit = untested", ""),
        ("success", "key.learned = 1, key.read-back = no", "key-count-not-read-back"),
        ("success", "key.learned = 1, key.read-back = no, method = on-board", ""),
        ("success", "key.read-back = no", ""),
        ("success", "fob.erased = all, fob.read-back = no", "key-count-not-read-back"),
        ("success", "fob.erased = all, fob.read-back = no, fob.cap = 0", ""),
    ],
)  # fmt: skip
def test_what_is_demanded(text: str, changes: str, rules: str) -> None:
    """Exactly what is named is missing in a state, at a line or at an ending; what is good practice is not."""
    assert set(filter(None, [rules])) == broken(text, changes)


def test_no_proof_hangs_on_a_facts_table() -> None:
    """Proof at the end is asked for where no facts table speaks of the vehicle, but for what such a table alone can say."""
    hanging = {
        demand.rule
        for demand in standard().demands
        for item in demand.must
        for atom in (*item.atoms, *item.condition)
        for operand in atom.operands
        if operand.form is Form.FACT
    }
    assert {
        "attempts-reach-lockout",
        "engine-state-wrong",
        "existing-remotes-not-represented",
        "learn-order-matters",
        "step-breaks-running-wait",
    } == hanging


def row(
    *,
    at: tuple[str, ...] = ("start",),
    but: tuple[str, ...] = (),
    kinds: tuple[str, ...] = (),
    must: tuple[str, ...] = ("hood = closed",),
) -> DemandRow:
    """Give a row that is good but for some fields."""
    return DemandRow("left-open-at-end", "", at, but, kinds, must)


MISREAD = [
    (row(at=("strat",)), "demands.0.at", "There is no action 'strat'. Did you mean 'start'?"),
    (row(at=(), but=("strat",)), "demands.0.but", "There is no action 'strat'. Did you mean 'start'?"),
    (row(must=("hoood = closed",)), "demands.0.must", "'hoood = closed' does not begin with a variable. Did you mean 'hood'?"),
    (row(must=("hood = ajar",)), "demands.0.must", "'ajar' is no value of 'hood'."),
    (row(must=("{key}.cut = yes",), at=()), "demands.0.must", "There is no parameter 'key'."),
    (
        row(must=("hood = closed if {key}.cut = yes",), at=("start", "close-hood")),
        "demands.0.must",
        "'hood = closed if {key}.cut = yes' would never be asked at 'close-hood', which has no parameter 'key'.",
    ),
    (
        row(must=("hood = closed if actor = vehicle",), at=(), kinds=("success",)),
        "demands.0.must",
        "'hood = closed if actor = vehicle' speaks of the line's actor, and an ending is no line.",
    ),
    (row(must=("others.cut = yes",), at=(), kinds=("success",)), "demands.0.must", "'others' are all keys but {key}"),
]


@pytest.mark.parametrize(("wrong", "key", "message"), MISREAD, ids=[message for _, _, message in MISREAD])
def test_rows_that_cannot_be_asked_are_found(wrong: DemandRow, key: str, message: str) -> None:
    """A row that names what there is not, or that would be skipped in silence, is found with its file and key."""
    catalogue = Catalogue()
    vars(catalogue)["demand_rows"] = (wrong,)
    found = [problem for problem in contradictions(catalogue) if problem.file == "demands.yaml"]
    assert [key] == [problem.key for problem in found]
    assert found[0].message.startswith(message)
    with pytest.raises(Misread, match=re.escape(message)):
        _ = catalogue.demands


@pytest.mark.parametrize(
    ("rows", "key", "message"),
    [
        (
            (NeedOf("a", ("strat",), ()), NeedOf("b", (), ())),
            "needs-of.0.actions",
            "There is no action 'strat'. Did you mean 'start'?",
        ),
        (
            (NeedOf("a", (), ("others.hoood",)), NeedOf("b", (), ())),
            "needs-of.0.about",
            "There is no variable 'hoood'. Did you mean 'hood'?",
        ),
        ((NeedOf("a", ("start",), ()),), "needs-of", "The last row must fit every need that is left."),
        ((NeedOf("a", (), ("hood",)),), "needs-of", "The last row must fit every need that is left."),
        ((), "needs-of", "The last row must fit every need that is left."),
    ],
)
def test_rows_of_needs_are_looked_at(rows: tuple[NeedOf, ...], key: str, message: str) -> None:
    """A row of needs that names what there is not, and a list that leaves needs without a rule, are found."""
    catalogue = Catalogue()
    vars(catalogue)["needs_of"] = rows
    assert [("demands.yaml", key, message)] == [(each.file, each.key, each.message) for each in contradictions(catalogue)]


@pytest.mark.parametrize(
    ("fields", "key", "message"),
    [
        ({"rule": ""}, "demands.0", "'rule' is missing."),
        ({"at": "start"}, "demands.0.at", "'start' is none of any action, ending."),
        ({"at": []}, "demands.0.at", "At least one belongs here."),
        ({"must": []}, "demands.0.must", "At least one belongs here."),
        ({"but": ["act"]}, "demands.0.but", "This belongs only to 'any action'."),
        ({"at": "ending", "but": ["act"]}, "demands.0.but", "This belongs only to 'any action'."),
        ({"kinds": ["success"]}, "demands.0.kinds", "This belongs only to 'ending'."),
        ({"at": "any action", "kinds": ["success"]}, "demands.0.kinds", "This belongs only to 'ending'."),
        ({"at": "ending", "kinds": ["good"]}, "demands.0.kinds", "'good' is none of success, as-found"),
        ({"level": "error"}, "demands.0.level", "There is no such field; there are"),
    ],
)
def test_rows_that_do_not_fit_are_refused(fields: dict[str, Tree], key: str, message: str) -> None:
    """A row with a field too many, too few or of another sort is refused with its key."""
    with pytest.raises(CatalogueProblem) as refused:
        reading.demand(Row("demands.yaml", "demands.0", {"rule": "a", "at": ["start"], "must": ["hood = closed"], **fields}))
    assert key == refused.value.key
    assert refused.value.message.startswith(message)


@pytest.mark.parametrize(
    ("topic", "number", "changes"),
    [
        ("needs-of", 0, {"rule": "No Name"}),
        ("needs-of", 0, {"about": ["every.place"]}),
        ("needs-of", 0, {"actions": []}),
        ("demands", 0, {"at": "start"}),
        ("demands", 0, {"at": []}),
        ("demands", 0, {"must": []}),
        ("demands", 0, {"but": ["answer"]}),
        ("demands", 0, {"kinds": ["success"]}),
        ("demands", -1, {"kinds": ["good"]}),
        ("demands", -1, {"but": ["answer"]}),
        ("demands", -1, {"level": "error"}),
    ],
)
def test_the_schema_refuses_what_does_not_fit(topic: str, number: int, changes: dict[str, object]) -> None:
    """One wrong value makes the file invalid, by two validators that share no code."""
    schema = json.loads((FOLDER / "schemas" / "demands.schema.json").read_text("utf-8"))
    spoilt = copy.deepcopy(dict(packaged("demands")))
    assert jsonschema_rs.is_valid(schema, spoilt)
    rows = spoilt[topic]
    assert isinstance(rows, list)
    rows[number] |= changes
    assert list(Draft202012Validator(schema).iter_errors(spoilt))
    assert not jsonschema_rs.is_valid(schema, spoilt)
