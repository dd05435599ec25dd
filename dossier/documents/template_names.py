"""Which names a template uses, followed through its loops to the data that they stand for."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from typing import Any, get_args, get_origin, get_type_hints, is_typeddict

from jinja2 import Environment, nodes

ANY: Any = object()  # data of which nothing is known: taken as it is
_KEPT = frozenset({"list", "sort", "reverse", "unique", "default", "d"})  # filters that keep kinds
_GIVEN = frozenset({"_", "range", "dict", "namespace", "loop", "self", "super", "caller", "varargs",
                    "kwargs", "lipsum", "cycler", "joiner"})  # fmt: skip


@dataclass(frozen=True, slots=True)
class Unknown:
    """A name that leads nowhere: its line in the template, and why."""

    line: int
    name: str
    why: str


@dataclass(slots=True)
class Walk:
    """One reading of a template: what it used, and what it named in vain."""

    environment: Environment
    imported: frozenset[str] = frozenset()  # by the templates that this one extends
    used: set[str] = field(default_factory=set)
    unknown: list[Unknown] = field(default_factory=list)

    def read(self, tree: nodes.Template, given: Mapping[str, Any]) -> None:
        """Follow every name of the template; `given` are the fields of its data."""
        scope = {name: (kind, name) for name, kind in given.items()}
        macros = [one.name for one in tree.find_all(nodes.Macro)]
        scope |= dict.fromkeys((*macros, *_GIVEN, *self.imported), (ANY, ""))
        self._body(tree.body, scope)

    def _body(self, body: list[nodes.Node], scope: dict[str, Any]) -> None:
        for one in body:
            self._node(one, scope)

    def _node(self, node: nodes.Node, scope: dict[str, Any]) -> None:
        if isinstance(node, nodes.For):
            inner = dict(scope)
            self._bind(node.target, self._item(self._kind(node.iter, scope)), inner)
            if node.test is not None:
                self._kind(node.test, inner)
            self._body(node.body, inner)
            self._body(node.else_, dict(scope))
        elif isinstance(node, nodes.Assign):
            self._bind(node.target, self._kind(node.node, scope), scope)
        elif isinstance(node, nodes.Macro | nodes.CallBlock):
            arguments = {one.name: (ANY, "") for one in node.args}
            for inner_node in (*node.defaults, *([node.call] if hasattr(node, "call") else [])):
                self._kind(inner_node, scope)
            self._body(node.body, {**scope, **arguments})
        elif isinstance(node, nodes.Import | nodes.FromImport):
            self._imported(node, scope)
        elif isinstance(node, nodes.Expr):
            self._kind(node, scope)
        else:
            inner = scope if isinstance(node, nodes.If | nodes.Output) else dict(scope)
            for child in node.iter_child_nodes():
                self._node(child, inner)

    @staticmethod
    def _imported(node: nodes.Import | nodes.FromImport, scope: dict[str, Any]) -> None:
        names = [node.target] if isinstance(node, nodes.Import) else node.names
        for one in names:
            scope[one if isinstance(one, str) else one[1]] = (ANY, "")

    def _bind(self, target: nodes.Node, found: tuple[Any, str], scope: dict[str, Any]) -> None:
        if isinstance(target, nodes.Name):
            scope[target.name] = found
        elif isinstance(target, nodes.Tuple):
            kind, path = found
            parts = get_args(kind) if get_origin(kind) is tuple else ()
            for place, one in enumerate(target.items):
                part = parts[place] if place < len(parts) else ANY
                self._bind(one, (part, f"{path}[{place}]"), scope)

    @staticmethod
    def _item(found: tuple[Any, str]) -> tuple[Any, str]:
        kind, path = found
        if get_origin(kind) is list:
            inner = get_args(kind)[0]
            # A list in batches: only the inner list is one of the data.
            return inner, path if get_origin(inner) is list else f"{path}[]"
        return ANY, path

    def _kind(self, node: nodes.Node, scope: dict[str, Any]) -> tuple[Any, str]:
        """What an expression stands for, and its path in the data ("" where it has none)."""
        if isinstance(node, nodes.Name):
            return self._name(node, scope)
        if isinstance(node, nodes.Getattr):
            return self._part(node, node.attr, self._kind(node.node, scope))
        if isinstance(node, nodes.Getitem):
            held = self._kind(node.node, scope)
            if isinstance(node.arg, nodes.Const) and isinstance(node.arg.value, str):
                return self._part(node, node.arg.value, held)
            self._kind(node.arg, scope)
            return self._item(held)
        if isinstance(node, nodes.Call):
            return self._call(node, scope)
        if isinstance(node, nodes.Filter):
            return self._filtered(node, scope)
        for child in node.iter_child_nodes():
            self._kind(child, scope)
        return ANY, ""

    def _name(self, node: nodes.Name, scope: dict[str, Any]) -> tuple[Any, str]:
        if node.name not in scope:
            self._told(node, node.name, "not among the data of this document")
            return ANY, ""
        kind, path = scope[node.name]
        self.used.add(path)
        return kind, path

    def _part(self, node: nodes.Node, name: str, held: tuple[Any, str]) -> tuple[Any, str]:
        kind, path = held
        if name.startswith("_"):
            self._told(
                node, f"{path}.{name}", "refused: names with _ in front lead out of the data"
            )
        elif is_typeddict(kind):
            hints = get_type_hints(kind)
            if name in hints:
                self.used.add(f"{path}.{name}")
                return hints[name], f"{path}.{name}"
            known = ", ".join(sorted(hints))
            self._told(node, f"{path}.{name}", f"no such field; there are {known}")
        elif get_origin(kind) is dict and name not in ("values", "items", "keys", "get"):
            return get_args(kind)[1], f"{path}.*"
        elif kind in (str, int, float) and not hasattr(kind, name):
            self._told(node, f"{path}.{name}", f"{path} has no parts")
        return ANY, path

    def _call(self, node: nodes.Call, scope: dict[str, Any]) -> tuple[Any, str]:
        for one in (*node.args, *node.kwargs):
            self._kind(one, scope)
        called = node.node
        if isinstance(called, nodes.Getattr) and called.attr in ("values", "items"):
            kind, path = self._kind(called.node, scope)
            if get_origin(kind) is dict:
                inner = get_args(kind)[1]
                item = inner if called.attr == "values" else tuple[str, inner]  # type: ignore[valid-type]
                return list[item], f"{path}.*"  # type: ignore[valid-type]
        self._kind(called, scope)
        return ANY, ""

    def _filtered(self, node: nodes.Filter, scope: dict[str, Any]) -> tuple[Any, str]:
        for one in (*node.args, *node.kwargs):
            self._kind(one, scope)
        held = self._kind(node.node, scope) if node.node is not None else (ANY, "")
        if node.name not in self.environment.filters:
            self._told(node, f"|{node.name}", "no such filter")
        if node.name in ("batch", "slice") and get_origin(held[0]) is list:
            return list[held[0]], held[1]  # type: ignore[valid-type]
        if node.name in ("first", "last"):
            return self._item(held)
        return held if node.name in _KEPT else (ANY, "")

    def _told(self, node: nodes.Node, name: str, why: str) -> None:
        self.unknown.append(Unknown(node.lineno, name.lstrip("."), why))


def imports(tree: nodes.Template) -> Iterator[str]:
    """Names under which a template has others at hand."""
    for node in tree.find_all(nodes.Import):
        yield node.target


def extended(tree: nodes.Template) -> Iterator[str]:
    """Names of the templates that this one extends."""
    for node in tree.find_all(nodes.Extends):
        if isinstance(node.template, nodes.Const):
            yield str(node.template.value)
