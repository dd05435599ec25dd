"""Every formula of this folder by name, for people who ask one question at a time.

Nothing is listed twice: a formula is a public function whose arguments can be typed in and whose
docstring has a line that starts with "Formula:" or "Source:", or whose name ends in a unit. Its
title is the docstring's first line, its arguments (with units, from the endings of their names)
are its signature, and its caution is the CAUTION of its module.
"""

from __future__ import annotations

import dataclasses
import inspect
import re
import types
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from difflib import get_close_matches
from functools import cache
from typing import Any, Union, get_args, get_origin, get_type_hints

from dossier.calc import (
    carbon_equivalent,
    coating,
    consumables,
    control_charts,
    cooling_time,
    dose,
    groove_area,
    groove_section,
    hardness,
    heat_input,
    hydrogen,
    pipe,
    pipe_grades,
    pipe_sizes,
    preheat,
    pressure_test,
    proportions,
    radiography,
    sampling,
    set_cover,
    sources,
    stainless,
    weld_metal,
)
from dossier.errors import InputError
from dossier.records.procedures import Composition
from dossier.units import UNITS, parse_quantity

MODULES = (
    *(heat_input, carbon_equivalent, hydrogen, preheat, cooling_time, groove_area, groove_section),
    weld_metal,
    *(consumables, stainless, hardness, radiography, sources, dose, coating, pipe, pipe_grades),
    *(pipe_sizes, pressure_test, proportions, control_charts, sampling, set_cover),
)

# Ending of a name: its unit as `dossier.units` knows it, or as it is printed where it knows none.
_ENDINGS = {
    "mm2": "mm2", "mm": "mm", "in": "in", "m": "m", "m3": "m3", "mpa": "MPa", "psi": "psi",
    "c": "°C", "f": "°F", "kj_mm": "kJ/mm", "kj_in": "kJ/in", "j": "J", "j_mm": "J/mm",
    "mm_min": "mm/min", "mm_s": "mm/s", "kg": "kg", "g": "g", "lb": "lb", "kg_m": "kg/m",
    "lb_ft": "lb/ft", "kg_h": "kg/h", "g_cm3": "g/cm3", "kg_m3": "kg/m3", "s": "s",
    "min": "min", "minutes": "min", "h": "h", "d": "d", "v": "V", "a": "A", "w": "W", "n": "N",
    "pct": "%", "deg": "deg", "hv": "HV", "ml_100g": "ml/100 g", "gbq": "GBq", "ci": "Ci",
    "usv_h": "µSv/h", "r": "R", "r_m2_h_ci": "R m2/(h Ci)", "usv_m2_h_gbq": "µSv m2/(h GBq)",
    "kv_mm": "kV/mm", "n_per_cm": "N/cm", "min_per_h": "min/h", "cm3_m": "cm3/m",
    "per_100_m": "per 100 m", "per_root_mm": "V per root mm", "per_root_mil": "V per root mil",
    "per_mil": "V/mil", "percent_smys": "%", "minutes_by_factor": "min", "minutes_scaled": "min",
}  # fmt: skip

_LABELLED = re.compile(r"^\s*(?:Formula|Source): ", re.MULTILINE)
_YES, _NO = ("yes", "true", "1"), ("no", "false", "0")


@dataclass(frozen=True, slots=True)
class Argument:
    """One input of a formula: its name, unit ("" for a plain number or a word) and default."""

    name: str
    unit: str
    kind: type
    default: Any = inspect.Parameter.empty
    many: bool = False  # a list of values
    inside: tuple[str, type] | None = None  # the argument that is built from this one and others

    @property
    def required(self) -> bool:
        """Whether it must be given.

        >>> Argument("wall_mm", "mm", float).required
        True
        """
        return self.default is inspect.Parameter.empty

    def __str__(self) -> str:
        unit = f" [{self.unit}]" if self.unit else ""
        return f"{self.name}{unit}" if self.required else f"{self.name}{unit} = {self.default}"


@dataclass(frozen=True, slots=True)
class Formula:
    """One formula as its function tells it."""

    name: str
    title: str
    formula: str
    source: str
    caution: str
    arguments: tuple[Argument, ...]
    function: Callable[..., Any]


def unit_of(name: str) -> str:
    """The unit that the ending of a name tells; "" when it tells none.

    >>> unit_of("wall_mm"), unit_of("travel_mm_min"), unit_of("design_factor")
    ('mm', 'mm/min', '')
    """
    words = name.split("_")
    endings = ("_".join(words[start:]) for start in range(len(words)))
    return next((_ENDINGS[ending] for ending in endings if ending in _ENDINGS), "")


def _told(docstring: str, label: str) -> str:
    """The text behind "Formula:" or "Source:", up to the next label or the end of the paragraph."""
    end = r"^(?:Formula|Source|Limits|Caution|Raises)\b|Raises InputError|\n\s*\n|\Z"
    match = re.search(
        rf"^{label}: (.*?)(?={end})", inspect.cleandoc(docstring), re.DOTALL | re.MULTILINE
    )
    return " ".join(match.group(1).split()).rstrip(".;") if match else ""


def _plain_type(hint: Any) -> tuple[type, bool] | None:
    """The type a value is read as, and whether it is a list of them; None: not for typing in."""
    if get_origin(hint) in (Union, types.UnionType):
        hints = [part for part in get_args(hint) if part is not type(None)]
        return _plain_type(hints[0]) if len(hints) == 1 else None
    if get_origin(hint) is Sequence:
        inner = _plain_type(get_args(hint)[0])
        return (inner[0], True) if inner and not inner[1] else None
    return (hint, False) if hint in (float, int, str, bool) else None


def _arguments_of(function: Callable[..., Any]) -> tuple[Argument, ...] | None:
    """The arguments, those of a dataclass one by one; None where one cannot be typed in."""
    hints = get_type_hints(function)
    found: list[Argument] = []
    for name, parameter in inspect.signature(function).parameters.items():
        hint = hints[name]
        if dataclasses.is_dataclass(hint) and isinstance(hint, type):
            whole = parameter.default
            found += _fields_of(name, hint, whole)
        elif plain := _plain_type(hint):
            found.append(Argument(name, unit_of(name), plain[0], parameter.default, plain[1]))
        elif parameter.default is inspect.Parameter.empty:
            return None
    names = [argument.name for argument in found]
    return tuple(found) if len(set(names)) == len(names) else None


def _fields_of(name: str, record: type, whole: Any) -> list[Argument]:
    hints = get_type_hints(record)
    found = []
    for field in dataclasses.fields(record):
        plain = _plain_type(hints[field.name])
        if plain is None:
            continue
        default = field.default
        if whole is not inspect.Parameter.empty:
            default = getattr(whole, field.name)
        elif default is dataclasses.MISSING:
            default = inspect.Parameter.empty
        # The "c" of an analysis is carbon, not a temperature.
        unit = "%" if record is Composition else unit_of(field.name)
        found.append(Argument(field.name, unit, plain[0], default, plain[1], (name, record)))
    return found


@cache
def list_formulas() -> tuple[Formula, ...]:
    """Every formula that can be asked by name, module by module in the order of the work.

    >>> "hoop_stress_mpa" in [formula.name for formula in list_formulas()]
    True
    """
    found: dict[str, Formula] = {}
    for module in MODULES:
        short = module.__name__.rpartition(".")[2]
        for name, function in vars(module).items():
            own = inspect.isfunction(function) and function.__module__ == module.__name__
            docstring = function.__doc__ if own else None
            if name.startswith("_") or not docstring:
                continue
            if not (_LABELLED.search(docstring) or unit_of(name)):
                continue
            arguments = _arguments_of(function)
            if arguments is None:
                continue
            entry = name if name not in found else f"{short}.{name}"
            found[entry] = Formula(
                entry,
                inspect.cleandoc(docstring).partition("\n")[0].rstrip("."),
                _told(docstring, "Formula"),
                _told(docstring, "Source") or _told(module.__doc__ or "", "Source"),
                getattr(module, "CAUTION", ""),
                arguments,
                function,
            )
    return tuple(found.values())


def formula(name: str) -> Formula:
    """The formula of one name; hyphens count as underscores.

    Raises InputError for an unknown name, naming those that are near it.

    >>> formula("hoop-stress-mpa").formula
    'S = P D / (2 t)'
    """
    known = {entry.name: entry for entry in list_formulas()}
    wanted = name.replace("-", "_")
    if wanted not in known:
        near = get_close_matches(wanted, known, n=3, cutoff=0.4)
        hint = ", ".join(near) if near else "a name from the list"
        raise InputError("formula", found=name, expected=hint)
    return known[wanted]


def answer(name: str, values: Mapping[str, str]) -> dict[str, Any]:
    """What one formula answers for values as people write them ("wall_mm": "0.5 in").

    A value without a unit is taken in the unit of its argument. The reply holds `title`,
    `formula`, `inputs` (as they were used, defaults too), `result` with its `unit`, `source` and
    `caution`. Several results come as a mapping and carry their units in their names.

    Raises InputError for an unknown formula or argument, a missing one, a value that is not one,
    and whatever the formula itself refuses.

    >>> reply = answer("hoop_stress_mpa",
    ...     {"pressure_mpa": "100 bar", "outside_diameter_mm": "24 in", "wall_mm": "0.5in"})
    >>> reply["result"], reply["unit"]
    (240.0, 'MPa')
    """
    entry = formula(name)
    given = {key.replace("-", "_"): text for key, text in values.items()}
    wanted = {argument.name: argument for argument in entry.arguments}
    for key in given:
        if key not in wanted:
            expected = f"one of {', '.join(map(str, entry.arguments))}"
            raise InputError(f"argument of {entry.name}", found=key, expected=expected)
    used: dict[str, Any] = {}
    for key, argument in wanted.items():
        if key in given:
            used[key] = _read(argument, given[key])
        elif argument.required:
            raise InputError(str(argument), found="nothing", expected="a value")
        else:
            used[key] = argument.default
    result = entry.function(**_assembled(entry.arguments, used))
    return {
        "title": entry.title,
        "formula": entry.formula,
        "inputs": {
            key: _shown(wanted[key], value) for key, value in used.items() if value is not None
        },
        "result": _plain_result(result),
        "unit": unit_of(entry.function.__name__) if isinstance(result, int | float) else "",
        "source": entry.source,
        "caution": entry.caution,
    }


def _read(argument: Argument, text: str) -> Any:
    if argument.many:
        parts = [part for part in re.split(r"[;,\s]+", text.strip()) if part]
        return [_read(dataclasses.replace(argument, many=False), part) for part in parts]
    if argument.kind is str:
        return text.strip()
    if argument.kind is bool:
        word = text.strip().lower()
        if word not in (*_YES, *_NO):
            raise InputError(argument.name, found=text, expected="yes or no")
        return word in _YES
    number = _number(argument, text)
    if argument.kind is int:
        if number != int(number):
            raise InputError(argument.name, found=text, expected="a whole number")
        return int(number)
    return number


def _number(argument: Argument, text: str) -> float:
    try:
        if argument.unit in UNITS:
            return parse_quantity(text, argument.unit, default=argument.unit)
        # A plain number, or one in a unit that is only printed: read it by the same grammar.
        bare = text.strip().removesuffix(argument.unit) if argument.unit else text
        return parse_quantity(f"{bare.strip()} deg", "deg")
    except InputError as error:
        unit = f"a number in {argument.unit}" if argument.unit else "a plain number"
        raise InputError(argument.name, found=text, expected=f"{unit} ({error})") from error


def _assembled(arguments: Sequence[Argument], used: Mapping[str, Any]) -> dict[str, Any]:
    """The keyword arguments of the function: fields of a dataclass are put together."""
    whole: dict[str, Any] = {}
    parts: dict[str, tuple[type, dict[str, Any]]] = {}
    for argument in arguments:
        if argument.inside is None:
            whole[argument.name] = used[argument.name]
        else:
            name, record = argument.inside
            parts.setdefault(name, (record, {}))[1][argument.name] = used[argument.name]
    return whole | {name: record(**fields) for name, (record, fields) in parts.items()}


def _shown(argument: Argument, value: Any) -> str:
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, list):
        return ", ".join(_shown(dataclasses.replace(argument, unit=""), item) for item in value)
    text = f"{value:.10g}" if isinstance(value, float) else str(value)
    return f"{text} {argument.unit}".strip()


def _plain_result(result: Any) -> Any:
    if hasattr(result, "_asdict"):
        return dict(result._asdict())
    if dataclasses.is_dataclass(result) and not isinstance(result, type):
        return dataclasses.asdict(result)
    return result
