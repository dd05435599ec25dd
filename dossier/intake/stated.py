"""The schema version that a file states, and the file written anew in another version."""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any

import yaml

from dossier.intake.entry_reader import entry_version
from dossier.intake.raw import Plain, Unreadable, refuse
from dossier.intake.read_yaml import node_of, read_object, read_text

Data = Mapping[str, object]
Step = Callable[[Data], Data]


def stated_version(path: Path, file: str) -> tuple[str, str]:
    """The version that a file states, "" where it states none, and the place of the statement.

    Raises ProjectError: the file is missing or cannot be read.
    """
    if not path.is_file():
        raise refuse(file, "", found="no such file", expected="a file of the project")
    ending = path.suffix.lower()
    if ending in (".yaml", ".yml"):
        node = node_of(read_text(path, file), file)
        for key, value in node.value if isinstance(node, yaml.MappingNode) else ():
            if key.value == "schema":
                return str(value.value), f"line {value.start_mark.line + 1}"
    if ending == ".json":
        data = _json(path, file)
        if isinstance(data, dict) and "schema" in data:
            return str(data["schema"]), ""
    if ending == ".xlsx":
        return entry_version(path, file)
    return "", ""


def _json(path: Path, file: str) -> Any:
    """The data of a JSON file, numbers as they are written: a heat 12E45 is no power of ten."""
    text = read_text(path, file)
    try:
        return json.loads(text, parse_float=Plain, parse_int=Plain, parse_constant=Plain)
    except (ValueError, RecursionError):
        raise refuse(file, "", found="text that is no JSON", expected="well-formed JSON") from None


class _Dumper(yaml.SafeDumper):
    """Writes text without quotes as it was without them, and in quotes what had them."""

    def increase_indent(self, flow: bool = False, indentless: bool = False) -> None:
        """Lists below a name are indented, as people write them."""
        del indentless
        super().increase_indent(flow, False)


_Dumper.add_representer(
    Plain, lambda dumper, text: dumper.represent_scalar("tag:yaml.org,2002:str", text)
)
_Dumper.add_representer(
    str, lambda dumper, text: dumper.represent_scalar("tag:yaml.org,2002:str", text, style='"')
)
_Dumper.yaml_implicit_resolvers = {}  # plain text stays without quotes


def _raised_yaml(path: Path, file: str, version: str, step: Step) -> str:
    text = read_text(path, file)
    head = []
    for line in text.splitlines(keepends=True):
        if not line.startswith("#"):
            break
        head.append(line)
    whole = dict(read_object(path, file).data)
    return "".join(head) + yaml.dump(
        _plain(_raised(whole, version, step), file),
        Dumper=_Dumper, allow_unicode=True, sort_keys=False, width=100,
    )  # fmt: skip


def _raised(whole: dict[str, Any], version: str, step: Step) -> dict[str, Any]:
    """The data of a file in the next version: its records, or all of the project file."""
    if whole.keys() <= {"schema", "records"}:
        whole["records"] = [step(record) for record in whole.get("records") or []]
    else:
        whole = dict(step(whole))
    return {**whole, "schema": version}


def _plain(value: Any, file: str) -> Any:
    """Data for the writer: names, figures and answers without quotes."""
    if isinstance(value, Mapping):
        return {Plain(key): _plain(inner, file) for key, inner in value.items()}
    if isinstance(value, list | tuple):
        return [_plain(inner, file) for inner in value]
    if isinstance(value, Unreadable):
        raise refuse(file, "", found=value, expected="values written out")
    if value is None or isinstance(value, bool):
        return Plain({None: "~", True: "true", False: "false"}[value])
    return value if isinstance(value, str) else Plain(value)


def _raised_json(path: Path, file: str, version: str, step: Step) -> str:
    whole = _json(path, file)
    if not isinstance(whole, dict):
        raise refuse(file, "", found="no fields", expected="schema and records")
    return _as_json(_raised(whole, version, step), "") + "\n"


def _as_json(value: Any, indent: str) -> str:
    """`value` as JSON text, a plain text (a number of the file) without quotes."""
    if isinstance(value, Plain):
        return value
    if not value or not isinstance(value, Mapping | list | tuple):
        return json.dumps(value, ensure_ascii=False)
    deeper = indent + "  "
    if isinstance(value, Mapping):
        pairs = ((f"{json.dumps(k, ensure_ascii=False)}: ", inner) for k, inner in value.items())
        opened, closed = "{}"
    else:
        pairs = (("", inner) for inner in value)
        opened, closed = "[]"
    parts = ",\n".join(f"{deeper}{name}{_as_json(inner, deeper)}" for name, inner in pairs)
    return f"{opened}\n{parts}\n{indent}{closed}"


RAISED: Mapping[str, Callable[[Path, str, str, Step], str]] = {
    ".yaml": _raised_yaml,
    ".yml": _raised_yaml,
    ".json": _raised_json,
}
