"""Conditions under which a record is asked for, by the name that a volume preset uses."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from types import MappingProxyType

from dossier.records.project import Project


def _welded(project: Project) -> bool:
    return any(joint.status in ("welded", "cut out") for joint in project.joints)


def _rejected(project: Project) -> bool:
    return bool(project.repairs)


def _method(*methods: str) -> Callable[[Project], bool]:
    def asked(project: Project) -> bool:
        wanted = (m for e in project.settings.requirements.examined for m in e.methods)
        made = (e.method for e in project.examinations)
        named = {part for text in (*wanted, *made) for part in text.split("/")}
        return bool(named & set(methods))

    return asked


def _under(regulation: str) -> Callable[[Project], bool]:
    return lambda project: any(line.regulation == regulation for line in project.lines)


def _coated(project: Project) -> bool:
    needs = project.settings.requirements
    return bool(project.coatings or needs.holiday_rule or needs.holiday_kv)


def _heated(project: Project) -> bool:
    return bool(project.heat_treatments)


def _hardness(project: Project) -> bool:
    asked = project.settings.requirements.hardness_after_pwht and _heated(project)
    return bool(project.hardness_tests or asked)


def _measured(project: Project) -> bool:
    return bool(project.instruments) or any(one.instrument for one in project.passes)


CONDITIONS: Mapping[str, Callable[[Project], bool]] = MappingProxyType(
    {
        "always": lambda _: True,
        "anything is welded": _welded,
        "anything was repaired": _rejected,
        "radiography is used": _method("RT"),
        "ultrasound is used": _method("UT"),
        "coating is asked for": _coated,
        "anything was lowered": lambda project: bool(project.lowerings),
        "heat treatment was done": _heated,
        "hardness is asked for": _hardness,
        "instruments are used": _measured,
        "there are nonconformities": lambda project: bool(project.nonconformities),
        "there are concessions": lambda project: bool(project.concessions),
        "a line is under 49 CFR 192": _under("49 CFR 192"),
        "a line is under 49 CFR 195": _under("49 CFR 195"),
    }
)
