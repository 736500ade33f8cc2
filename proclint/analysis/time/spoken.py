"""Times in words, whole milliseconds in."""

_MINUTE = 60_000
# Up to here a person counts in seconds.
_IN_SECONDS = 5 * _MINUTE


def spoken(ms: int) -> str:
    """Say a time as the format writes it: `1.5 s`, `240 s`, `12.5 min`; minutes to the tenth."""
    if abs(ms) <= _IN_SECONDS:
        return f"{_decimal(ms, 1000, 3)} s"
    return f"{_decimal(round_to_tenths(ms), 10, 1)} min"


def round_to_tenths(ms: int) -> int:
    """Give a time in tenths of a minute, the nearest, halves upwards."""
    return (ms * 10 + _MINUTE // 2) // _MINUTE


def _decimal(number: int, unit: int, places: int) -> str:
    whole, rest = divmod(abs(number), unit)
    part = f"{rest:0{places}}".rstrip("0")
    return f"{'-' if number < 0 else ''}{whole}{'.' if part else ''}{part}"
