"""Units of rule expressions, as exponents over base units. Scaled units (kA, mA) are their own base: nothing converts
silently, so comparing kA with A is a build error."""

from __future__ import annotations

Unit = tuple[tuple[str, int], ...]

ONE: Unit = ()
_DERIVED = {"W": {"V": 1, "A": 1}, "ohm": {"V": 1, "A": -1}, "kWh": {"kWh": 1}}
KNOWN = (
    "1",
    "A",
    "V",
    "W",
    "ohm",
    "kA",
    "mA",
    "mm2",
    "mm",
    "m",
    "percent",
    "C",
    "h",
    "s",
    "ms",
    "Mohm",
    "Nm",
    "modules",
    "uF",
    "l",
    "Hz",
    "hp",
    "ft",
    "in3",
    "kWh",
    "min",
    "deg",
    "m3",
    "m3/h",
    "mV/A/m",
)


def parse(name: str) -> Unit:
    """The exponents of a unit's name. Raises `KeyError` for a unit the project does not know."""
    if name not in KNOWN:
        raise KeyError(name)
    if name == "1":
        return ONE
    return tuple(sorted(_DERIVED.get(name, {name: 1}).items()))


def combine(a: Unit, b: Unit, sign: int) -> Unit:
    """The unit of a product (sign 1) or quotient (sign -1)."""
    powers = dict(a)
    for base, power in b:
        powers[base] = powers.get(base, 0) + sign * power
    return tuple(sorted((base, power) for base, power in powers.items() if power))


def name_of(unit: Unit) -> str:
    for name in KNOWN:
        if parse(name) == unit:
            return name
    return "·".join(f"{base}^{power}" if power != 1 else base for base, power in unit)
