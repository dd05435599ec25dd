"""Text to value. Each reader here takes what a person wrote and says plainly what it cannot take.

An ambiguity is refused, never guessed: 03/04/2026 without a declared order of day and month, or
1,270 without a declared decimal mark.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date, datetime
from math import isfinite

from dossier.errors import InputError
from dossier.intake.raw import clip
from dossier.units import convert, parse_quantity

NOT_APPLICABLE = frozenset({"n/a", "n.a.", "n. a.", "not applicable"})
_YES_NO = {"true": True, "yes": True, "y": True, "false": False, "no": False, "n": False}
_MONTHS = ("jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec")


@dataclass(frozen=True, slots=True)
class Writing:
    """How a file writes its values: what `project.yaml` declares about one source.

    `decimal` is "." or ","; `date_order` "dmy", "mdy" or "ymd"; "" is not declared. `separator`
    splits lists in one cell; "" where lists are written as lists. `units` and `words` are by field.
    """

    decimal: str = ""
    date_order: str = ""
    separator: str = ""
    units: Mapping[str, str] = field(default_factory=dict)
    words: Mapping[str, Mapping[str, str]] = field(default_factory=dict)
    letters: str = "latin"  # script of marks and numbers


def is_not_applicable(text: str) -> bool:
    """Whether `text` answers that the question does not apply.

    >>> is_not_applicable("N/A"), is_not_applicable("0"), is_not_applicable("")
    (True, False, False)
    """
    return text.strip().lower() in NOT_APPLICABLE


_FIGURE = re.compile(r"[+-]?(?:[0-9]+\.?[0-9]*|\.[0-9]+)(?:[eE][+-]?[0-9]+)?")
_CHAINAGE = re.compile(r"([0-9]+)\+([0-9]{3}(?:[.,][0-9]+)?)")
_LEADING = re.compile(r"([+-]?[0-9][0-9.,\s]*)(.*)", re.DOTALL)


def number(text: str, unit: str, written_in: str = "", decimal: str = "") -> float:
    """The number that `text` spells, in `unit` ("" for a bare number).

    `written_in` is the unit that the file states such values in; `decimal` its decimal mark. A
    kilometre point in metres may be written 12+450. Raises InputError: no number, an ambiguity,
    an unknown unit or one of another kind.

    >>> number("12,7", "mm", decimal=","), number("0.5 in", "mm"), number("12+450", "m")
    (12.7, 12.7, 12450.0)
    """
    text = text.strip()
    if unit == "m" and (chainage := _CHAINAGE.fullmatch(text)):
        return 1000 * float(chainage[1]) + float(chainage[2].replace(",", "."))
    if decimal:
        text = _with_point(text, decimal)
    if _FIGURE.fullmatch(text):
        value = float(text)
        if isfinite(value):
            return convert(value, written_in, unit) if written_in and written_in != unit else value
    elif unit:
        return _quantity(text, unit, written_in or unit)
    elif re.fullmatch(r"[0-9][0-9., ]*", text):
        return _quantity(text, "%", "%")
    raise InputError("value", found=clip(text), expected=f"a number{f' of {unit}' if unit else ''}")


def _quantity(text: str, unit: str, written_in: str) -> float:
    try:
        return parse_quantity(text, unit, default=written_in)
    except InputError as error:
        raise InputError("value", found=clip(text), expected=error.expected) from None


def _with_point(text: str, decimal: str) -> str:
    """`text` with its declared decimal mark turned into a point and its thousands closed up."""
    match = _LEADING.fullmatch(text)
    if not match:
        return text
    figure = match[1].rstrip()
    rest = text[len(figure) :]
    other = "," if decimal == "." else "."
    if other in figure:
        mark, group = re.escape(decimal), re.escape(other)
        if not re.fullmatch(rf"[+-]?[0-9]{{1,3}}(?:{group}[0-9]{{3}})+(?:{mark}[0-9]+)?", figure):
            raise InputError(
                "value", found=clip(text), expected=f'a number with the decimal mark "{decimal}"'
            )
    return figure.replace(other, "").replace(decimal, ".") + rest


def whole_number(text: str, decimal: str = "") -> int:
    """The whole number that `text` spells. Raises InputError: no number, or not a whole one.

    >>> whole_number("07"), whole_number("2.0")
    (7, 2)
    """
    expected = "a whole number"
    if not re.fullmatch(r"[+-]?[0-9]+(?:[.,]0+)?", text.strip()) or len(text) > 30:
        raise InputError("value", found=clip(text), expected=expected)
    value = number(text, "", decimal=decimal)
    if value != int(value):
        raise InputError("value", found=clip(text), expected=expected)
    return int(value)


def yes_or_no(text: str) -> bool:
    """The answer that `text` spells. Raises InputError: any other word.

    >>> yes_or_no("Yes"), yes_or_no("false")
    (True, False)
    """
    answer = _YES_NO.get(text.strip().lower())
    if answer is None:
        raise InputError("value", found=clip(text), expected="yes or no (true or false)")
    return answer


_ISO_DATE = re.compile(r"([0-9]{4})-([0-9]{2})-([0-9]{2})")
_PARTS = re.compile(r"([0-9]{1,4})([./ -])([0-9]{1,2})\2([0-9]{1,4})")
_NAMED = re.compile(r"([0-9]{1,2})[ .-]+([A-Za-z]{3})[a-z]*[ .-]+([0-9]{4})")


def iso_date(text: str, order: str = "") -> str:
    """The date that `text` spells, as ISO 8601 text. ISO dates are read whatever the `order`.

    Raises InputError: no date, no such day, a year of two figures, day and month undeclared.

    >>> iso_date("2026-05-03"), iso_date("3.5.2026", "dmy"), iso_date("3 May 2026")
    ('2026-05-03', '2026-05-03', '2026-05-03')
    """
    text = text.strip()
    if iso := _ISO_DATE.fullmatch(text):
        year, month, day = (int(part) for part in iso.groups())
    elif named := _NAMED.fullmatch(text):
        day, year = int(named[1]), int(named[3])
        month = _MONTHS.index(named[2].lower()) + 1 if named[2].lower() in _MONTHS else 0
    elif parts := _PARTS.fullmatch(text):
        year, month, day = _ordered((parts[1], parts[3], parts[4]), text, order)
    else:
        raise InputError("value", found=clip(text), expected="a date such as 2026-05-03")
    try:
        return date(year, month, day).isoformat()
    except ValueError:
        raise InputError("value", found=clip(text), expected="a day that exists") from None


def _ordered(parts: tuple[str, str, str], text: str, order: str) -> tuple[int, int, int]:
    if not order:
        raise InputError(
            "value",
            found=f"{clip(text)}, of which the order of day and month is not declared",
            expected="a date such as 2026-05-03, or date_order in project.yaml",
        )
    named = dict(zip(order, parts, strict=True))
    if len(named["y"]) != 4:
        raise InputError("value", found=clip(text), expected="a year of four figures")
    return int(named["y"]), int(named["m"]), int(named["d"])


_CLOCK = re.compile(r"(.*?)[T ] ?([0-9]{1,2}):([0-9]{2})(?::([0-9]{2})(?:\.0+)?)?", re.DOTALL)


def iso_time(text: str, order: str = "") -> str:
    """The local date and time that `text` spells, as ISO 8601 text.

    Raises InputError: no time of day, no date, a zone (times are local to the project).

    >>> iso_time("2026-05-03 14:05"), iso_time("03/05/2026 9:30", "dmy")
    ('2026-05-03T14:05', '2026-05-03T09:30')
    """
    text = text.strip()
    match = _CLOCK.fullmatch(text)
    if not match:
        hint = "local time without a zone" if re.search(r":[0-9]{2}.*[Z+-]", text) else "date and"
        expected = f"{hint} time such as 2026-05-03T14:05" if hint == "date and" else hint
        raise InputError("value", found=clip(text), expected=expected)
    day, hour, minute, second = match.groups()
    try:
        clock = datetime.fromisoformat(
            f"{iso_date(day, order)}T{hour.zfill(2)}:{minute}:{second or '00'}"
        )
    except InputError:
        raise
    except ValueError:
        raise InputError("value", found=clip(text), expected="a time of day that exists") from None
    return clock.isoformat(timespec="seconds" if second and second != "00" else "minutes")
