"""One context builder per document and the renderers; given findings, it makes none."""

from dossier.documents.issue import procedure_sheets, register_files, welder_matrix_files
from dossier.documents.joint_history import joint_history_pdf
from dossier.documents.report_text import report_text as report_text

__all__ = [
    "joint_history_pdf",
    "procedure_sheets",
    "register_files",
    "report_text",
    "welder_matrix_files",
]
