"""Times in words, whole milliseconds in."""

_MINUTE = 60_000
# Up to here a person counts in seconds.
_IN_SECONDS = 5 * _MINUTE


def spoken(ms: int) -> str:
    """Say a time as the format writes it: `1.5 s`, `110 s`, `4 min`, `12.5 min`; longer ones to the tenth of a minute."""
    if abs(ms) <= _IN_SECONDS and (abs(ms) <= _MINUTE or ms % _MINUTE):
        return f"{_decimal(ms, 1000, 3)} s"
    return f"{_decimal(round_to_tenths(ms), 10, 1)} min"


def round_to_tenths(ms: int) -> int:
    """Give a time in tenths of a minute, the nearest, halves upwards."""
    return (ms * 10 + _MINUTE // 2) // _MINUTE


def _decimal(number: int, unit: int, places: int) -> str:
    whole, rest = divmod(abs(number), unit)
    part = f"{rest:0{places}}".rstrip("0")
    return f"{'-' if number < 0 else ''}{whole}{'.' if part else ''}{part}"
