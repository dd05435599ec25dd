"""One register file outside of any project -> its records."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from dossier.errors import Fault, ProjectError
from dossier.intake import read_json, read_yaml
from dossier.intake.build import build
from dossier.intake.load import record_type, twice
from dossier.intake.raw import Raw, refuse
from dossier.intake.registers import read_register
from dossier.intake.schemas import REGISTERS, VERSION, schema
from dossier.intake.shape import shape
from dossier.intake.sources import Source
from dossier.records.base import Record

ENDINGS = (".yaml", ".yml", ".json", ".jsonl")


def load_register(path: Path) -> tuple[Record, ...]:
    """The records of one YAML, JSON or JSON lines file, without a project around it.

    The register is told by the name of the file ("welders.yaml", "pqrs.json"), else by the fields
    of its records. Raises ProjectError with every fault of the file.
    """
    file = str(path)
    if not path.is_file():
        raise refuse(file, "", found="no such file", expected="the file of a register")
    raws, faults = _raws(path)
    if not raws:
        if faults:
            raise ProjectError(faults)
        return ()
    register = _recognised(path, raws)
    records, told = read_register([Source(register, file, path, "")])
    faults = [*told.faults, *twice(register, records)]
    if faults:
        raise ProjectError(faults)
    kind = record_type(register)
    return tuple(build(kind, r.data, r.origin, r.not_applicable) for r in records)


def _raws(path: Path) -> tuple[list[Raw], list[Fault]]:
    ending = path.suffix.lower()
    if ending in (".yaml", ".yml"):
        raws, faults = read_yaml.read_records(path, str(path), VERSION)
    elif ending == ".json":
        raws, faults = read_json.read_records(path, str(path), VERSION)
    elif ending == ".jsonl":
        raws, faults = read_json.read_lines(path, str(path))
    else:
        raise refuse(str(path), "", found=f"the ending {ending}", expected=", ".join(ENDINGS))
    return list(raws), faults


def _recognised(path: Path, raws: Sequence[Raw]) -> str:
    """The register that the file is named after, else the one whose fields its records have."""
    used = {name for raw in raws for name in raw.data}
    named = path.stem.replace("-", "_").casefold()

    def fits(register: str) -> tuple[int, int]:
        form = shape(register)
        missed = len(form.required - used) + len(used - set(form.fields))
        return -missed, len(used & set(form.fields))

    register = named if named in REGISTERS else max(REGISTERS, key=fits)
    strange = 2 * len(used & set(shape(register).fields)) < len(used)
    if register == "joints" or (strange and register != named):
        examples = (f"{name} ({', '.join(schema(name)['required'])})" for name in REGISTERS[3:6])
        raise refuse(
            str(path),
            raws[0].origin.place,
            # A joint number says nothing without the grammar of its project.
            found="joints" if register == "joints" else f"the fields {', '.join(sorted(used)[:6])}",
            expected=f"a register that stands alone, such as {', '.join(examples)}",
        )
    return register
