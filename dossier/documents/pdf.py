"""HTML to PDF by WeasyPrint: equal bytes for equal pages, nothing fetched from outside.

WeasyPrint takes half a second to import, so it is imported when the first page is rendered.
"""

from __future__ import annotations

import gc
import hashlib
import warnings
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from multiprocessing.util import Finalize
from pathlib import Path
from typing import Any
from urllib.parse import unquote, urlsplit

from dossier.errors import InputError, MissingToolError
from dossier.resources import shared

VARIANT = "pdf/a-3b"
ALONE = "pdf/a-3a"  # a file that is one document; it claims PDF/UA-1 too


@dataclass(frozen=True, slots=True)
class Rendered:
    """A PDF of several documents in a row, and how many pages each has."""

    data: bytes
    pages: tuple[int, ...]


@lru_cache(maxsize=1)
def _engine() -> tuple[Any, Any, Any]:
    """The strict fetcher, the font configuration and the parsed style sheet of this process.

    Raises MissingToolError: a library of the system is missing.
    """
    try:
        from weasyprint import CSS
    except OSError as error:
        raise MissingToolError(
            "a library of the system that lays out text", needed_for="PDF",
            remedy="apt-get install libpango-1.0-0 libpangoft2-1.0-0 libharfbuzz-subset0; "
            f"`dossier doctor` tells more. ({str(error).splitlines()[0]})",
        ) from None  # fmt: skip
    from weasyprint.text.fonts import FontConfiguration
    from weasyprint.urls import FatalURLFetchingError, URLFetcher

    folder = shared("templates").resolve()

    class Fetcher(URLFetcher):  # type: ignore[misc]
        """Admits data: and the files of the templates folder, and fails aloud on all else."""

        def fetch(self, url: str, headers: Any = None) -> Any:
            parts = urlsplit(url)
            inside = parts.scheme == "file" and not parts.netloc
            if inside:
                inside = Path(unquote(parts.path)).resolve().is_relative_to(folder)
            if parts.scheme != "data" and not inside:
                raise FatalURLFetchingError(f"a template may not read {url}")
            return super().fetch(url, headers)

    fetcher, fonts = Fetcher(allow_redirects=False), FontConfiguration()
    style = CSS(filename=str(folder / "pdf" / "style.css"), url_fetcher=fetcher, font_config=fonts)
    # The fonts lie in a folder for the time being. It goes with them, before the interpreter takes
    # itself apart, and in worker processes too, which end without `atexit`.
    Finalize(None, _engine.cache_clear, exitpriority=0)
    return fetcher, fonts, style


def make_ready() -> None:
    """Load the engine before it is wanted. Raises MissingToolError."""
    _engine()


def render(pages: Sequence[str], variant: str | None = VARIANT) -> Rendered:
    """One PDF of several HTML documents, each with its own page count.

    The identifier is made from the content and the dates come from the pages, so that equal pages
    give equal bytes. The garbage collector rests while a chunk is laid out (a quarter of the time
    otherwise goes into it) and collects once afterwards.
    Raises InputError: no page, or one that asks for a file that it may not read.
    """
    if not pages:
        raise InputError("pages", found="none", expected="at least one document to render")
    _engine()
    from weasyprint.urls import FatalURLFetchingError

    digest = hashlib.sha256("\0".join(pages).encode()).hexdigest()[:16].encode()
    running = gc.isenabled()
    gc.disable()
    with warnings.catch_warnings():
        # WeasyPrint leaves the colour profile open for the collector to close.
        warnings.filterwarnings("ignore", r".*\.icc", ResourceWarning)
        try:
            data, counts = _lay_out(pages, variant, digest)
        except FatalURLFetchingError as error:
            expected = "files of the folder of templates only"
            raise InputError("page", found=str(error), expected=expected) from error
        finally:
            gc.collect()
            if running:
                gc.enable()
    return Rendered(data, counts)


def render_document(page: str) -> bytes:
    """The PDF of one document, tagged: PDF/A-3a and PDF/UA-1.

    Tagging costs time and room, and a merged file cannot keep the claims, so that sheets bound into
    a dossier are made by `render`. Raises as `render` does.
    """
    return render([page], ALONE).data


def _lay_out(
    pages: Sequence[str], variant: str | None, digest: bytes
) -> tuple[bytes, tuple[int, ...]]:
    fetcher, fonts, style = _engine()
    from weasyprint import HTML

    from dossier.documents.accessible import claim_both, finish

    base = str(shared("templates") / "pdf") + "/"
    laid = [
        HTML(string=text, base_url=base, url_fetcher=fetcher).render(
            font_config=fonts, stylesheets=[style], pdf_variant=variant
        )
        for text in pages
    ]
    whole = laid[0].copy([page for document in laid for page in document.pages])
    if variant == ALONE:
        claim_both(whole.metadata)
    data: bytes = whole.write_pdf(finisher=finish, pdf_identifier=digest, pdf_variant=variant)
    return data, tuple(len(document.pages) for document in laid)
