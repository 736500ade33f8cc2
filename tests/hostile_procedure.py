"""A contribution that means harm: each text in it holds what a terminal, a browser or a comment would obey."""

TEXT = (
    "</p></style><script>alert(1)</script><img src=x onerror=alert(1)> ![p](http://evil.example/p.png) [go](javascript:alert(1)) "
    "@everyone #1 www.evil.example https://evil.example ::error::gone `tick` *bold* _line_ | cell | <!-- --> &lt; \u202egnirts "
    "{name}"
)
PROCEDURE = """\
format: 1
id: corvane-halyard-add-key
title: {text}
task: add-key
method: tool
learning: add
takes: 10-15-30 min
version: 3
stage: field-proven
written: {{by: m-07, date: 2026-03-02}}
sources: [halyard-handbook]
vehicles:
  - {{make: Corvane, model: Halyard, years: 2013-2015, markets: [region-1], ignition-kind: keyed, gearbox: manual}}
keys:
  O: {{kind: key, registered: true, here: 1-2}}
  N: {{kind: key, registered: false, here: 1, cut: true}}
slots: {{key: 4}}
start: {{ignition: off, cylinder: empty, tool: unplugged}}
cautions:
  mat: {{signal: caution, hazard: {text}, consequence: {text}, avoid: {text}}}
windows:
  swap: {{at-most: 9 s, late: again}}
steps:
  ask-them: {{ask: {text}, ways: {{yes: power, no: stays}}}}
  power:
    caution: [mat]
    instruction: {text}
    do: [plug tool, insert O1, turn O1 on]
    fails: stays
  open: {{do: [open-session, {{do: {act}, by: technician, opens: swap}}, {{do: wait 2 s, closes: swap}}], fails: stays}}
  before: {{do: read key as n, ways: {{n <= 4: learn, otherwise: stays, fails: stays}}}}
  learn: {{do: learn N1, fails: again}}
  after: {{do: read key as m, ways: {{m = n + 1: shut, otherwise: half, fails: half}}}}
  shut: {{do: [close-session, turn O1 off, remove O1], then: added}}
fallbacks:
  again: {{tries: 1, do: wait 10-20 s, ways: {{done: learn, spent: half}}}}
endings:
  added: {{kind: success, tell: {text}}}
  stays: {{kind: as-found, tell: {text}}}
  half: {{kind: not-as-found, tell: {text}}}
"""


def procedure(text: str = TEXT) -> str:
    """Give a procedure with a text wherever a person may write one."""
    return PROCEDURE.format(text=_quoted(text), act=_quoted(f"act {text}"))


def _quoted(text: str) -> str:
    escaped = text.replace("\\", "\\\\").replace('"', '\\"')
    return f'"{escaped}"'
