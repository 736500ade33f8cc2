"""What a text says that is an amount, in whatever unit and with however many noughts: `60 s` and `1 min` are one."""

import re
from decimal import Decimal

from proclint.catalogue import read_duration

_NUMBER = r"[0-9]+(?:\.[0-9]+)?"
_AMOUNT = re.compile(rf"({_NUMBER}(?:-{_NUMBER})*) ([A-Za-z]+)")


def meant(text: str) -> str:
    """Give an amount written in one way, and any other text as it is: what says the same is the same then."""
    time = read_duration(text)
    if time is not None:
        usual = time.least if time.least == time.most else time.usual
        return f"{time.least} {usual} {time.most} ms"
    found = _AMOUNT.fullmatch(text)
    if found is None:
        return text
    numbers = dict.fromkeys(str(Decimal(number).normalize()) for number in found[1].split("-"))
    return f"{'-'.join(numbers)} {found[2]}"
