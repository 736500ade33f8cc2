"""The vocabulary is fixed, so that files written elsewhere load: nothing in it is lost or renamed."""

import pytest

from proclint.catalogue import standard

# One verb a line, with its forms; several forms are divided by " / ".
FORMS = """\
check-id
check-authorisation
open-log
close-log
count {group}
get-consent
tell-customer
mark-site
clear-cabin
secure-vehicle
fit-chocks
remove-chocks
set-park-brake
release-park-brake
move-selector {to}
push-vehicle
open {closure}
close {closure}
close-all
open-hood
close-hood
lower-window
raise-window
fasten-belt
unfasten-belt
sit-in
get-out
push {pedal}
let-up {pedal}
insert {key}
remove {key}
turn {key} {position}
leave {key} {position} {for}
press {switch} [{times} times [each {each}]] / press {key} {button} [{times} times [each {each}]]
keep {key} {button} {for}
put {key} {place} [{for}]
isolate {key}
start {key}
stop-engine
wait {for}
measure-battery {least}
connect-support {set}
disconnect-support
disconnect-12v {for}
connect-12v
plug tool
unplug tool
tap tool
select {system}
open-session
close-session
read {counter} as {name}
answer {choice}
enter-code {digits} digits
ask-authorised-source
wait-access [{key}]
wait-lockout
wait-rearm
erase {kinds} / erase {key}
learn {key} [{kind}]
look {variable}
test-functions {key}
try-limit {key}
try-blade {key}
check-part {key}
read-chip {key}
cut-blade {key}
fit-cell {key}
remove-trim {part}
refit-trim {part}
remove-cover {what}
open-module
save-data
restore-data
replace-module
hand-over keys
make-sure {variable} {value}
act {text}
"""

# One variable a line, with its values.
VALUES = """\
method: tool on-board
ignition-kind: keyed push-start twist-knob
gearbox: manual automatic
high-voltage: none mild hybrid electric
variant: A B C D
learn-mode: add replace-all
learn-kind: by-key key valet
ignition: off accessory on crank
cylinder: empty mechanical
seated: no part full
steering-lock: engaged free
engine: stopped cranking running silent-ready
selector: P R N D neutral gear
park-brake: set released
chocks: none fitted
brake-pedal: up down
clutch-pedal: up down
door-driver: open closed
door-passenger: open closed
doors-other: open closed
doors: open closed
tailgate: open closed
hood: open closed
window-driver: open closed
locks: locked unlocked driver-only
locks-click: none lock unlock lock-unlock
alarm: disarmed armed sounding
belt-driver: fastened open
inside: nobody technician adult child-or-animal
chime: silent sounding
on-lamp: lit dark
support: none connected
battery: critical low rested supported over
airbag-power: live down
tool: unplugged plugged
system-chosen: no yes wrong
session: none open held
access: locked waiting granted refused
waits-done: 0-9
wrong-codes: 0-10
code: none in-hand accepted rejected
prompt: none open
immobiliser: armed learning closing lockout fault not-arming
immobiliser-lamp: off solid slow-blink fast-blink
used: 0-16
cap: 0-16
free: 0-16
erased: no one all
learned: 0-16
read-back: no yes
here: 0-16
away: 0-16
kind: key valet remote fob
head: plain integrated separate-remote fob
place: cylinder hand pocket aside pouch far button backup outside absent
cell: good low none
cut: no yes
part: unchecked fits wrong
registered: no yes
buttons-learned: no yes
dropped: no yes
starts: untested works fails
buttons: untested works fails
passive: untested works fails
blade: untested works fails
limit: untested works fails
authority: unchecked identified proven refused
consent: none given refused
log: none open closed
ventilation: outdoors open-garage enclosed
traffic: off-road roadside live-lane
site: unmarked marked
module-data: not-saved saved
customer: not-told told
keys-held-by: technician customer
changed: no maybe yes
ignition-on-time: seconds
"""

# One hazard a line, with the signal word of its severity and likelihood.
HAZARDS = """\
unauthorised-key NOTICE
code-disclosure NOTICE
low-battery-write NOTICE
battery-gas-spark WARNING
support-overvoltage NOTICE
write-interrupted NOTICE
engine-run-enclosed DANGER
vehicle-rolls WARNING
crank-in-gear WARNING
moving-parts-hood WARNING
hybrid-silent-ready WARNING
hv-contact DANGER
srs-deployment WARNING
hot-parts CAUTION
pinch CAUTION
alarm-siren CAUTION
steering-lock-turning NOTICE
steering-lock-moving WARNING
keys-left-inside NOTICE
occupant-trapped WARNING
remotes-erased NOTICE
keys-erased-absent NOTICE
slots-full NOTICE
code-lockout NOTICE
wait-interrupted NOTICE
wrong-part-locked NOTICE
battery-drain NOTICE
data-loss-module NOTICE
roadside-traffic WARNING
alone-at-site WARNING
cutting-swarf WARNING
sharp-trim CAUTION
coin-cell WARNING
solder-esd CAUTION
implant-field WARNING
test-drive-cut-out WARNING
cylinder-force CAUTION
"""

# What fits where a word of a list is wanted, by kind.
WORDS = """\
kind: key valet remote fob
counter: key valet remote fob wrong-codes
kinds: keys valets remotes fobs
position: off accessory on crank
selector: P R N D neutral gear
place: hand pocket aside pouch far button backup outside
button: LOCK UNLOCK TAILGATE PANIC LOCK-and-UNLOCK
switch: START central-lock central-unlock hazard valet trip interior-light hood-switch service
pedal: brake clutch
closure: door-driver door-passenger doors-other doors tailgate
trim: column-cowl knee-panel steering-wheel seat dash-panel glove-box door-panel
choice: add replace-all erase-all erase-remotes kind-key kind-valet nothing
"""

# What fits where an expression decides, by kind.
EXPRESSIONS = {
    "key": r"[A-Z][0-9]{0,2}(\.missing)?",
    "group": r"[A-Z]",
    "name": r"[a-z][a-z0-9]*",
    "system": r"[A-Z]|[a-z][a-z0-9-]*",
    "value": r"[A-Za-z][A-Za-z0-9-]*",
    "number": r"[0-9]{1,3}",
    "volts": r"[0-9]{1,2}(\.[0-9])? V",
    "duration": r"[0-9]+(\.[0-9]+)?(-[0-9]+(\.[0-9]+)?){0,2} (s|min|h|d)",
    "text": r".+",
}


@pytest.mark.parametrize("forms", FORMS.splitlines())
def test_no_verb_or_form_is_renamed_or_lost(forms: str) -> None:
    """Every verb has just the forms that files elsewhere use."""
    verb = forms.partition(" ")[0]
    assert forms == " / ".join(map(str, standard().actions[verb].patterns))


@pytest.mark.parametrize("line", VALUES.splitlines())
def test_no_variable_or_value_is_renamed_or_lost(line: str) -> None:
    """Every variable has just the values that files elsewhere use."""
    name, _, values = line.partition(": ")
    variable = standard().variables[name]
    counted = "" if variable.numbers is None else "seconds" if name == "ignition-on-time" else "{}-{}"
    assert values == " ".join(variable.values) + counted.format(*(variable.numbers or ()))


@pytest.mark.parametrize("line", HAZARDS.splitlines())
def test_no_hazard_is_renamed_or_lost(line: str) -> None:
    """Every hazard bears its name and its signal word."""
    name, signal = line.split()
    assert signal == standard().hazards[name].signal


@pytest.mark.parametrize("line", WORDS.splitlines())
def test_no_word_of_a_parameter_is_renamed_or_lost(line: str) -> None:
    """Every kind of parameter takes just the words that files elsewhere use."""
    name, _, words = line.partition(": ")
    assert words == " ".join(standard().kinds[name].words)


@pytest.mark.parametrize("name", EXPRESSIONS)
def test_no_expression_of_a_parameter_changes(name: str) -> None:
    """Every kind of parameter takes just the texts that files elsewhere use."""
    assert EXPRESSIONS[name] == standard().kinds[name].matches


def test_there_is_no_verb_for_extracting_or_forcing() -> None:
    """Nothing in the catalogue takes a blade or a cylinder by force; the list above is all there is."""
    verbs = [forms.partition(" ")[0] for forms in FORMS.splitlines()]
    assert verbs == list(standard().actions)
    assert not [verb for verb in verbs if "extract" in verb or "force" in verb or "drill" in verb]
