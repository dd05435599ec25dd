"""Files to records: readers, schema validation, joint numbering."""

from dossier.intake.load import load_project
from dossier.intake.one_register import load_register

__all__ = ["load_project", "load_register"]
