"""What the process that workers are forked from loads, so that none of them loads it again."""

from __future__ import annotations

import gc
from contextlib import suppress

from dossier.documents import pdf
from dossier.errors import MissingToolError

with suppress(MissingToolError):  # told by the first document that is rendered
    pdf.make_ready()
gc.collect()
gc.freeze()  # a chunk's collection leaves out what stays, and its memory stays shared
