"""YAML -> records, with the line of every field.

Nodes are composed by PyYAML's C parser and turned into values here, because its own YAML 1.1
rules would corrupt welding data: NO is read as false, 010 as 8, 12:30 as 750, and of two equal
keys the first is dropped without a word. Here a value without quotes stays text until the schema
asks for a number, a date or an answer.
"""

from __future__ import annotations

import stat
from dataclasses import dataclass, field
from pathlib import Path

import yaml

from dossier.errors import Fault, ProjectError
from dossier.intake.raw import Plain, Raw, Read, Unreadable, clip, refuse
from dossier.intake.schemas import version_hint
from dossier.records.position import Position

_BLANKS = frozenset({"", "~", "null", "Null", "NULL"})
_TAGS = frozenset(f"tag:yaml.org,2002:{kind}" for kind in ("map", "seq", "str"))


class _Loader(yaml.CSafeLoader):
    """Composes nodes and resolves no plain value, so that a tag on one was written by hand."""

    yaml_implicit_resolvers: dict[str, list[tuple[str, object]]] = {}  # noqa: RUF012


def node_of(text: str, file: str) -> yaml.Node | None:
    """The root node of a YAML text; None when it is empty. Raises ProjectError: no YAML."""
    loader = _Loader(text)
    try:
        node: yaml.Node | None = loader.get_single_node()
    except yaml.MarkedYAMLError as error:
        mark = error.problem_mark or error.context_mark
        place = f"line {mark.line + 1}" if mark else ""
        found = f"text that is no YAML ({error.problem or error.context})"
        raise refuse(file, place, found=found, expected="one well-formed YAML document") from None
    except (yaml.YAMLError, RecursionError, ValueError) as error:
        found = str(error).splitlines()[0][:120] or type(error).__name__
        raise refuse(file, "", found=found, expected="well-formed YAML") from None
    finally:
        loader.dispose()
    return node


@dataclass(slots=True)
class _Values:
    """Values of the nodes of one file, and the lines they stand in."""

    file: str
    faults: list[Fault] = field(default_factory=list)
    seen: set[int] = field(default_factory=set)

    def fault(self, node: yaml.Node, path: str, found: str, expected: str, hint: str = "") -> None:
        line = node.start_mark.line + 1
        self.faults.append(Fault(self.file, f"line {line}", path, found, expected, hint))

    def value(self, node: yaml.Node, path: str, marks: dict[str, str]) -> object:
        if path:
            marks[path] = str(node.start_mark.line + 1)
        if id(node) in self.seen:
            # Written out, a few lines of aliases to aliases would fill any memory.
            return Unreadable("an alias (*) in place of the value")
        self.seen.add(id(node))
        if node.tag not in _TAGS:
            return Unreadable(f"the tag {clip(node.tag)}")
        if isinstance(node, yaml.MappingNode):
            return self._mapping(node, path, marks)
        if isinstance(node, yaml.SequenceNode):
            prefix = f"{path}." if path else ""
            return [self.value(n, f"{prefix}{i}", marks) for i, n in enumerate(node.value, 1)]
        if isinstance(node, yaml.ScalarNode) and not node.style:  # None or "": without quotes
            return None if node.value in _BLANKS else Plain(node.value)
        return str(node.value)

    def _mapping(
        self, node: yaml.MappingNode, path: str, marks: dict[str, str]
    ) -> dict[str, object]:
        data: dict[str, object] = {}
        for key, inner in node.value:
            if not isinstance(key, yaml.ScalarNode):
                self.fault(key, path, "a list or fields as a name", "a plain name")
                continue
            name = str(key.value)
            where = f"{path}.{name}" if path else name
            if name in data:
                first = marks.get(where, "?")
                self.fault(key, where, f"the same name again (first in line {first})", "it once")
                continue
            data[name] = self.value(inner, where, marks)
            marks[where] = str(key.start_mark.line + 1)
        return data


def read_bytes(path: Path, file: str) -> bytes:
    """The bytes of a file. Raises ProjectError: not there, not readable, a device or a pipe."""
    try:
        kind = path.stat().st_mode
        if not (stat.S_ISREG(kind) or stat.S_ISDIR(kind)):  # it might never end
            raise refuse(file, "", found="a device or a pipe", expected="a readable file")
        return path.read_bytes()
    except OSError as error:
        found = error.strerror or "nothing readable"
        raise refuse(file, "", found=found.lower(), expected="a readable file") from None


def read_text(path: Path, file: str, encoding: str = "utf-8-sig") -> str:
    """The text of a file. Raises ProjectError: not there, not readable, not in its encoding."""
    try:
        return read_bytes(path, file).decode(encoding)
    except UnicodeDecodeError as error:
        line = error.object[: error.start].count(b"\n") + 1
        found = f"bytes that are no {error.encoding}"
        hint = "Declare the encoding in project.yaml, or save the file as UTF-8."
        raise refuse(
            file, f"line {line}", found=found, expected="text in its encoding", hint=hint
        ) from None


def read_object(path: Path, file: str) -> Raw:
    """The one object that a YAML file holds. Raises ProjectError."""
    node = node_of(read_text(path, file), file)
    if not isinstance(node, yaml.MappingNode):
        raise refuse(file, "line 1", found="no fields", expected="fields, such as number: NL-07")
    job, marks = _Values(file), dict[str, str]()
    data = job.value(node, "", marks)
    if job.faults or not isinstance(data, dict):
        raise ProjectError(job.faults)
    return Raw(data, Position(file, node.start_mark.line + 1, fields=marks))


def read_records(path: Path, file: str, version: str) -> Read:
    """The records of a YAML register: a list, or `records` beside `schema`. Raises ProjectError."""
    node = node_of(read_text(path, file), file)
    job = _Values(file)
    raws: list[Raw] = []
    for part in _items(node, job, version):
        marks: dict[str, str] = {}
        data = job.value(part, "", marks)
        line = part.start_mark.line + 1
        if isinstance(data, dict):
            raws.append(Raw(data, Position(file, line, fields=marks)))
        else:
            job.fault(part, "", "no fields", "a record with its fields")
    return raws, job.faults


def _items(node: yaml.Node | None, job: _Values, version: str) -> list[yaml.Node]:
    if node is None or (isinstance(node, yaml.ScalarNode) and node.value in _BLANKS):
        return []
    if isinstance(node, yaml.MappingNode):
        parts = {str(key.value): inner for key, inner in node.value}
        stated = parts.get("schema")
        if stated is not None and stated.value != version:
            hint = version_hint(str(stated.value))
            job.fault(stated, "schema", clip(stated.value), f'"{version}"', hint)
        if parts.keys() == {"schema", "records"}:
            node = parts["records"]
    if isinstance(node, yaml.SequenceNode):
        return list(node.value)
    if node is None:
        return []
    job.fault(node, "", "no list", "a list of records, or schema and records")
    return []
