"""Units of measurement: exact conversion, reading quantities as people write them, one printer.

Factors are exact rational numbers: the inch is 25.4 mm, the pound 0.45359237 kg and the standard
acceleration 9.80665 m/s2 by definition (NIST SP 811:2008, Appendix B; known by memory, checked
against an independent unit library in the tests). A value is converted as the decimal it was
written as, so 12.7 mm is exactly 0.5 in.
"""

from __future__ import annotations

import re
import unicodedata
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal
from fractions import Fraction
from functools import lru_cache
from math import inf, isfinite, isinf, isnan
from typing import Literal

from dossier.errors import InputError

System = Literal["SI", "US", "dual"]


@dataclass(frozen=True, slots=True)
class Unit:
    """A unit: what it measures, its size in the coherent SI unit, and how it is printed.

    `decimals` is the most that is printed unasked; `partner` is the unit of the other system
    ("" where both systems use the same one).
    """

    kind: str
    factor: Fraction
    decimals: int
    system: str = ""
    partner: str = ""
    offset: Fraction = Fraction(0)


_INCH = Fraction(254, 10000)
_FOOT = 12 * _INCH
_POUND = Fraction(45359237, 100000000)
_POUND_FORCE = _POUND * Fraction(980665, 100000)
_PSI = _POUND_FORCE / _INCH**2
_GALLON = 231 * _INCH**3
_CURIE = Fraction(37 * 10**9)
_F = Fraction


UNITS: dict[str, Unit] = {}


def _pair(kind: str, si: tuple[str, Fraction, int], us: tuple[str, Fraction, int] | str) -> None:
    """Enter an SI unit and its American partner; a partner that is entered already by name."""
    partner = us if isinstance(us, str) else us[0]
    UNITS[si[0]] = Unit(kind, si[1], si[2], "SI", partner)
    if not isinstance(us, str):
        UNITS[partner] = Unit(kind, us[1], us[2], "US", si[0])


_pair("length", ("mm", _F(1, 1000), 2), ("in", _INCH, 3))
_pair("length", ("cm", _F(1, 100), 2), "in")
_pair("length", ("m", _F(1), 3), ("ft", _FOOT, 2))
_pair("length", ("km", _F(1000), 3), ("mile", 5280 * _FOOT, 3))
_pair("length", ("µm", _F(1, 10**6), 1), ("mil", _INCH / 1000, 1))
_pair("area", ("mm2", _F(1, 10**6), 1), ("in2", _INCH**2, 3))
_pair("area", ("m2", _F(1), 2), ("ft2", _FOOT**2, 2))
_pair("volume", ("l", _F(1, 1000), 1), ("US gal", _GALLON, 1))
_pair("volume", ("m3", _F(1), 2), ("ft3", _FOOT**3, 1))
_pair("volume", ("cm3", _F(1, 10**6), 1), ("in3", _INCH**3, 2))
_pair("volume flow", ("l/min", _F(1, 60000), 1), ("ft3/h", _FOOT**3 / 3600, 1))
_pair("mass", ("kg", _F(1), 2), ("lb", _POUND, 2))
_pair("mass", ("g", _F(1, 1000), 1), ("oz", _POUND / 16, 2))
_pair("mass", ("t", _F(1000), 3), ("US ton", 2000 * _POUND, 3))
_pair("mass per length", ("kg/m", _F(1), 3), ("lb/ft", _POUND / _FOOT, 3))
_pair("mass rate", ("kg/h", _F(1, 3600), 2), ("lb/h", _POUND / 3600, 2))
_pair("density", ("g/cm3", _F(1000), 3), ("lb/in3", _POUND / _INCH**3, 4))
_pair("pressure", ("MPa", _F(10**6), 1), ("psi", _PSI, 1))
_pair("pressure", ("bar", _F(10**5), 1), "psi")
_pair("pressure", ("kPa", _F(1000), 1), "psi")
_pair("pressure", ("GPa", _F(10**9), 1), ("ksi", 1000 * _PSI, 1))
_pair("pressure", ("kgf/cm2", _F(980665, 10), 2), "psi")
_pair("force", ("N", _F(1), 0), ("lbf", _POUND_FORCE, 0))
_pair("force", ("kN", _F(1000), 1), ("kip", 1000 * _POUND_FORCE, 1))
_pair("energy", ("J", _F(1), 1), ("ft-lbf", _POUND_FORCE * _FOOT, 0))
_pair("heat input", ("kJ/mm", _F(10**6), 2), ("kJ/in", 1000 / _INCH, 1))
_pair("heat input", ("J/mm", _F(1000), 0), ("J/in", 1 / _INCH, 0))
_pair("heat input", ("kJ/cm", _F(10**5), 1), "kJ/in")
_pair("speed", ("mm/min", _F(1, 60000), 1), ("in/min", _INCH / 60, 1))
_pair("speed", ("mm/s", _F(1, 1000), 2), "in/min")
_pair("speed", ("cm/min", _F(1, 6000), 1), "in/min")
_pair("speed", ("m/min", _F(1, 60), 2), ("ft/min", _FOOT / 60, 1))
_pair("temperature rate", ("°C/h", _F(1, 3600), 0), ("°F/h", _F(5, 9) / 3600, 0))
_pair("temperature difference", ("°C difference", _F(1), 0), ("°F difference", _F(5, 9), 0))
_pair("activity", ("GBq", _F(10**9), 1), ("Ci", _CURIE, 2))
_pair("activity", ("TBq", _F(10**12), 3), "Ci")
_pair("activity", ("MBq", _F(10**6), 1), ("mCi", _CURIE / 1000, 2))
_pair("activity", ("Bq", _F(1), 0), "Ci")
_pair("dose equivalent", ("mSv", _F(1, 1000), 2), ("mrem", _F(1, 10**5), 2))
_pair("dose equivalent", ("µSv", _F(1, 10**6), 1), "mrem")
_pair("dose equivalent", ("Sv", _F(1), 3), ("rem", _F(1, 100), 2))
_pair("dose rate", ("µSv/h", _F(1, 10**6) / 3600, 1), ("mrem/h", _F(1, 10**5) / 3600, 2))
_pair("dose rate", ("mSv/h", _F(1, 1000) / 3600, 3), "mrem/h")
_pair("dose rate", ("Sv/h", _F(1, 3600), 3), ("rem/h", _F(1, 360000), 2))
_pair("absorbed dose", ("Gy", _F(1), 3), ("rad", _F(1, 100), 2))
_pair("exposure", ("C/kg", _F(1), 6), ("R", _F(258, 10**6), 3))
_pair("illuminance", ("lx", _F(1), 0), ("fc", 1 / _FOOT**2, 0))
UNITS |= {
    "°C": Unit("temperature", _F(1), 1, "SI", "°F", _F(27315, 100)),
    "°F": Unit("temperature", _F(5, 9), 1, "US", "°C", _F(45967, 180)),
    "K": Unit("temperature", _F(1), 2),
    "s": Unit("time", _F(1), 1),
    "min": Unit("time", _F(60), 1),
    "h": Unit("time", _F(3600), 2),
    "d": Unit("time", _F(86400), 1),
    "V": Unit("voltage", _F(1), 1),
    "kV": Unit("voltage", _F(1000), 2),
    "A": Unit("current", _F(1), 1),
    "W": Unit("power", _F(1), 0),
    "kW": Unit("power", _F(1000), 2),
    "kJ": Unit("energy", _F(1000), 2),
    "%": Unit("fraction", _F(1, 100), 3),
    "deg": Unit("plane angle", _F(1), 1),
    "HV": Unit("hardness, Vickers", _F(1), 0),
    "ml/100 g": Unit("diffusible hydrogen", _F(1), 1),
}

_ALIASES = {
    '"': "in", "''": "in", "inch": "in", "inches": "in", "'": "ft", "feet": "ft", "foot": "ft",
    "miles": "mile", "mi": "mile", "um": "µm", "micron": "µm", "microns": "µm", "mils": "mil",
    "thou": "mil", "mm^2": "mm2", "sq in": "in2", "L": "l", "litre": "l", "liter": "l",
    "litres": "l", "liters": "l", "gal": "US gal", "USgal": "US gal", "cu ft": "ft3", "m^3": "m3",
    "cfh": "ft3/h", "CFH": "ft3/h", "L/min": "l/min", "lpm": "l/min", "lbs": "lb",
    "tonne": "t", "N/mm2": "MPa", "N/mm^2": "MPa", "kJ/inch": "kJ/in",
    "J/inch": "J/in", "ipm": "in/min", "IPM": "in/min", "C": "°C", "degC": "°C", "deg C": "°C",
    "oC": "°C", "F": "°F", "degF": "°F", "deg F": "°F", "oF": "°F", "sec": "s", "hr": "h",
    "hrs": "h", "hours": "h", "hour": "h", "mins": "min", "minutes": "min", "seconds": "s",
    "day": "d", "days": "d", "µSv/hr": "µSv/h", "ml/100g": "ml/100 g",
    "°": "deg", "lbf/in2": "psi", "ft lb": "ft-lbf", "ft-lb": "ft-lbf",
    "ft.lbf": "ft-lbf", "volt": "V", "volts": "V", "amp": "A", "amps": "A",
}  # fmt: skip


def _key(text: str) -> str:
    """A unit's spelling with its accidents removed: look-alike letters, spaces around "/"."""
    text = unicodedata.normalize("NFKC", text.replace("º", "°").replace("²", "2").replace("³", "3"))
    text = text.replace("μ", "µ").replace("″", '"').replace("′", "'").replace("”", '"')
    return re.sub(r"\s*/\s*", "/", " ".join(text.split())).rstrip(".")


_SPELLED = {_key(name): name for name in UNITS} | {_key(a): name for a, name in _ALIASES.items()}
_CASELESS: dict[str, set[str]] = {}
for _spelling, _name in _SPELLED.items():
    _CASELESS.setdefault(_spelling.lower(), set()).add(_name)


@lru_cache(maxsize=512)
def unit_name(text: str) -> str:
    """The unit that `text` spells, under the name this module prints it by.

    Letter case counts only where it must (no two units here differ by case alone).
    Raises InputError: a unit that is not known.

    >>> unit_name("ipm"), unit_name("N/mm²"), unit_name("deg F"), unit_name("KJ / MM")
    ('in/min', 'MPa', '°F', 'kJ/mm')
    """
    key = _key(text)
    found = {_SPELLED[key]} if key in _SPELLED else _CASELESS.get(key.lower(), set())
    if len(found) != 1:
        raise InputError("unit", found=repr(text), expected="a known unit, such as mm, in or °C")
    return next(iter(found))


def _converted(value: Fraction, from_unit: str, to_unit: str) -> float:
    source, target = UNITS[unit_name(from_unit)], UNITS[unit_name(to_unit)]
    if source.kind != target.kind:
        raise InputError(
            "unit", found=f"{from_unit} ({source.kind})", expected=f"a unit of {target.kind}"
        )
    try:
        return float((value * source.factor + source.offset - target.offset) / target.factor)
    except OverflowError:
        raise InputError("quantity", found="a number beyond all measure", expected="less") from None


@lru_cache(maxsize=1024)
def convert(value: float, from_unit: str, to_unit: str) -> float:
    """`value` in `to_unit`. Exact factors; infinity ("no limit") stays infinity.

    Source: NIST SP 811:2008, Appendix B (memory; the factors are definitions).
    Raises InputError: an unknown unit, two units of different kinds, not a number.

    >>> convert(12.7, "mm", "in"), convert(250, "°F", "°C"), convert(1, "kJ/mm", "kJ/in")
    (0.5, 121.11111111111111, 25.4)
    """
    if isnan(value):
        raise InputError("value", found=value, expected="a number")
    converted = _converted(Fraction(str(0 if isinf(value) else value)), from_unit, to_unit)
    return value if isinf(value) else converted


_LONGEST = 100  # characters of a quantity
# A power of ten of four figures would be worked out in full, and fill the memory.
_DECIMAL = re.compile(r"(?:\d+(?:[.,]\d*)?|[.,]\d+)(?:[eE][+-]?\d{1,3})?")
_GROUPED = (  # thousands marked by comma, point or space; the last mark may be the decimal one
    re.compile(r"(\d{1,3}(?:,\d{3})+)(?:\.(\d+))?"),
    re.compile(r"(\d{1,3}(?:\.\d{3})+),(\d+)"),
    re.compile(r"(\d{1,3}(?:\.\d{3}){2,})()"),
    re.compile(r"(\d{1,3}(?: \d{3})+)(?:[.,](\d+))?"),
)
_MIXED = re.compile(r"(?:(\d+)[ -])?(\d+) ?/ ?(\d+)")
_QUANTITY = re.compile(r"([+-]?) ?([\d.,][\d.,/ -]*(?:(?<=\d)[eE][+-]?\d+)?)(.*)", re.DOTALL)


def _number(text: str) -> Fraction | None:
    """The value of an unsigned number as people write it; None if it is none."""
    if mixed := _MIXED.fullmatch(text):
        whole, over, under = (int(part or 0) for part in mixed.groups())
        return whole + Fraction(over, under) if under else None
    if re.fullmatch(r"[1-9]\d{0,2},\d{3}", text):
        thousands, decimal = text.replace(",", ""), text.replace(",", ".")
        raise InputError(
            "quantity",
            found=f"{text}, which may be either of two numbers",
            expected=f"{thousands} or {decimal}, without the comma",
        )
    if _DECIMAL.fullmatch(text):
        return Fraction(text.replace(",", "."))
    for pattern in _GROUPED:
        if grouped := pattern.fullmatch(text):
            whole_part, part = grouped.groups()
            return Fraction(re.sub(r"\D", "", whole_part) + "." + (part or "0"))
    return None


def _plain(text: str) -> str:
    """`text` on one line with plain minus signs, and vulgar fractions spelled out ("1½")."""
    for mark in "−–‐‑":
        text = text.replace(mark, "-")
    spelled = (
        f" {unicodedata.normalize('NFKC', c).replace(chr(0x2044), '/')}"
        if unicodedata.decomposition(c).startswith("<fraction>")
        else c
        for c in text
    )
    return " ".join("".join(spelled).split())


def parse_quantity(text: str | float, to: str = "mm", *, default: str | None = None) -> float:
    """The quantity that `text` spells, as a number of `to` units.

    A decimal comma, fractions of an inch and grouped thousands are read. A bare number is taken
    in the `default` unit and refused where none is declared; so is "1,270", which one half of
    the world reads as a thousand times what the other half does. A point is always decimal.
    Raises InputError: no number, no unit, an unknown unit, a unit of another kind, an ambiguity.

    >>> [parse_quantity(t) for t in ("0.5 in", "12,7 mm", "1 1/16 in", '1/2"', "1,270.5 mm")]
    [12.7, 12.7, 26.9875, 12.7, 1270.5]
    >>> parse_quantity("250 °F", to="°C"), parse_quantity("19,1", default="mm")
    (121.11111111111111, 19.1)
    """
    plain = _plain(text if isinstance(text, str) else str(text))
    if len(plain) > _LONGEST:
        raise InputError("quantity", found=f"{len(plain)} characters", expected="one number")
    match = _QUANTITY.fullmatch(plain)
    sign, figures, spelled = match.groups() if match else ("", "", plain)
    number = _number(figures.rstrip(" -"))
    if number is None:
        raise InputError("quantity", found=repr(text), expected="one number and its unit")
    unit = spelled.strip() or default
    if unit is None:
        raise InputError("quantity", found=repr(text), expected=f"a unit as well, such as {to}")
    return _converted(-number if sign == "-" else number, unit, to)


_EXACT = 1e15  # a float of that size has no decimals left


_WHOLE_FROM = {"psi": 1_000.0}  # common practice: strengths and test pressures, no tenths of them


def _decimals(name: str, value: float) -> int:
    """The usual decimals of a value in a unit."""
    return 0 if abs(value) >= _WHOLE_FROM.get(name, inf) else UNITS[name].decimals


def _decimal_text(value: float, decimals: int) -> str:
    if abs(value) >= _EXACT:
        return f"{value:.0f}"
    rounded = Decimal(str(value)).quantize(Decimal(1).scaleb(-decimals), ROUND_HALF_UP)
    return f"{abs(rounded) if rounded == 0 else rounded:f}"


def _figure(value: float, decimals: int) -> str:
    """`value` with at most so many decimals; more if it would print as zero without being it."""
    if value == inf:
        return "unlimited"
    if not isfinite(value):
        raise InputError("value", found=value, expected="a number")
    text = _decimal_text(value, decimals)
    if value and not float(text):
        text = _decimal_text(value, min(12, 1 - Decimal(str(value)).adjusted()))
    return text.rstrip("0").rstrip(".") if "." in text else text


@lru_cache(maxsize=1024)
def show(value: float | None, unit: str, system: System = "SI", digits: int | None = None) -> str:
    """A quantity in words for people: the only way a unit is printed.

    - `value` is in `unit`. "SI" and "US" print it in that system, converted if need be; "dual"
      prints it as it is and the other system in brackets.
    - At most the unit's usual decimals, halves away from zero, no trailing zeros, no exponent,
      no "-0". A value too small for that shows two figures, so that it never reads as zero.
    - `digits` asks for exactly so many decimals of `value` instead, zeros kept.
    - None is "not recorded"; infinity is "unlimited". A percentage and a degree of angle take
      no partner; "°" follows its number without a space.
    Raises InputError: an unknown unit, an unknown system, not a number.

    >>> show(12.7, "mm", "dual"), show(250, "°F"), show(None, "mm"), show(1.2, "kJ/mm", digits=2)
    ('12.7 mm (0.5 in)', '121.1 °C', 'not recorded', '1.20 kJ/mm')
    >>> show(0.5, "MPa", "dual"), show(290, "MPa", "dual")
    ('0.5 MPa (72.5 psi)', '290 MPa (42061 psi)')
    """
    name = unit_name(unit)
    if system not in ("SI", "US", "dual"):
        raise InputError("system", found=repr(system), expected="SI, US or dual")
    if value is None:
        return "not recorded"
    partner = UNITS[name].partner
    if system != "dual" and partner and UNITS[name].system != system:
        return _quantity(convert(value, name, partner), partner, digits)
    own = _quantity(value, name, digits)
    if system == "dual" and partner and value != inf:
        return f"{own} ({_quantity(convert(value, name, partner), partner, None)})"
    return own


def counted(number: int, one: str, many: str = "") -> str:
    """So many things in words; `many` is the plural where it is not `one` with an s.

    >>> counted(1, "joint"), counted(0, "joint"), counted(2, "weld pass", "weld passes")
    ('1 joint', '0 joints', '2 weld passes')
    """
    return f"{number} {one if number == 1 else many or f'{one}s'}"


@lru_cache(maxsize=1024)
def figure(value: float, unit: str) -> str:
    """The number alone, rounded as `show` prints it but to no fewer than three figures.

    A unit that is not known takes six figures.

    >>> figure(4.7752, "mm"), figure(0.479769, "kJ/mm"), figure(1.33, "MPa"), figure(7.0, "layers")
    ('4.78', '0.48', '1.33', '7')
    """
    try:
        decimals = _decimals(unit_name(unit), value)
    except InputError:
        return f"{value:.6g}"
    if value and isfinite(value):
        decimals = max(decimals, 2 - Decimal(str(value)).adjusted())
    return _figure(value, decimals)


def _quantity(value: float, name: str, digits: int | None) -> str:
    exact = digits is not None and isfinite(value)
    figure = _decimal_text(value, digits or 0) if exact else _figure(value, _decimals(name, value))
    if figure == "unlimited":
        return figure
    mark = {"deg": "°", "°C difference": " °C", "°F difference": " °F"}.get(name, f" {name}")
    return figure + mark
