"""What a template may use: the fields of each document's data, as its builder types them."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from types import MappingProxyType
from typing import Any, get_args, get_origin, get_type_hints, is_typeddict

from dossier.documents.certificate_sheet import CertificateSheet
from dossier.documents.claims import Claims
from dossier.documents.continuity_sheet import Continuity
from dossier.documents.findings import CheckReport
from dossier.documents.front import Completeness, Contents, Cover
from dossier.documents.joint_history import JointHistory
from dossier.documents.planning import Planning
from dossier.documents.printed import PRINTED
from dossier.documents.printed.face import Printed
from dossier.documents.procedure import ProcedureSheet
from dossier.documents.qualification import QualificationSheet
from dossier.documents.rates import RepairRates
from dossier.documents.registers import Register
from dossier.documents.revision_comparison import Comparison
from dossier.documents.sheet import Fact, Head
from dossier.documents.welder_matrix import WelderMatrix
from dossier.errors import InputError

# Template -> what it is given. A name without a type of its own is part of others.
CONTEXTS: Mapping[str, Any] = MappingProxyType(
    {
        "certificate_sheet.html": CertificateSheet,
        "check_report.html": CheckReport,
        "claims.html": Claims,
        "completeness.html": Completeness,
        "contents.html": Contents,
        "continuity_sheet.html": Continuity,
        "cover.html": Cover,
        "joint_history.html": JointHistory,
        "planning.html": Planning,
        "printed.html": Printed,
        "procedure.docx": ProcedureSheet,
        "procedure.html": ProcedureSheet,
        "qualification.docx": QualificationSheet,
        "qualification.html": QualificationSheet,
        "rates.html": RepairRates,
        "register.html": Register,
        "revision_comparison.html": Comparison,
        "welder_matrix.html": WelderMatrix,
        **{f"{name}.html": Printed for name in PRINTED},
        **{f"{name}.docx": Printed for name, kind in PRINTED.items() if kind.form},
    }
)
# Parts that others extend or import; they see the head of any document.
SHARED: Mapping[str, Any] = MappingProxyType(
    {
        "base.html": {"head": Head},
        "missing_paper.html": {"head": Head, "why": str, "facts": list[Fact]},
        "parts.html": {},
    }
)
# What every sheet shows, so that a page alone can be told from its neighbour.
NEEDED = ("head.number", "head.revision", "head.status", "head.signatures", "head.caution")


def fields_of(template: str) -> dict[str, Any]:
    """The fields that a template is given, with their types.

    Raises InputError: no document has a template of that name.

    >>> sorted(fields_of("register.html"))
    ['head', 'note', 'rows', 'strips']
    """
    if template in SHARED:
        return dict(SHARED[template])
    if template not in CONTEXTS:
        raise InputError("template", found=template, expected="a name that `templates list` gives")
    return get_type_hints(CONTEXTS[template])


def paths(fields: Mapping[str, Any], before: str = "") -> Iterator[tuple[str, str]]:
    """Every path into the data and what stands there.

    >>> dict(paths(fields_of("register.html")))["rows.rows[].cells[]"]
    'text'
    """
    for name, kind in fields.items():
        yield from _paths(f"{before}{name}", kind)


def _paths(path: str, kind: Any) -> Iterator[tuple[str, str]]:
    if is_typeddict(kind):
        yield from paths(get_type_hints(kind), f"{path}.")
    elif get_origin(kind) is list:
        yield from _paths(f"{path}[]", get_args(kind)[0])
    elif get_origin(kind) is dict:
        yield from _paths(f"{path}.*", get_args(kind)[1])
    elif get_origin(kind) is tuple:
        for place, part in enumerate(get_args(kind)):
            yield from _paths(f"{path}[{place}]", part)
    else:
        yield path, {str: "text", int: "number", float: "number"}.get(kind, str(kind))
