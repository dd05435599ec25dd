"""Outside judges on a built dossier: qpdf, poppler and LibreOffice must open what was made.

Usage: python .ci/judge.py OUT
"""

from __future__ import annotations

import shutil
import subprocess
import sys
import tempfile
from pathlib import Path


def judged(command: list[str]) -> str:
    """Output of a judge; leaves with its words when it objects."""
    run = subprocess.run(command, capture_output=True, text=True, check=False)  # noqa: S603
    if run.returncode:
        sys.exit(f"{' '.join(command)}\n{run.stdout}{run.stderr}")
    return run.stdout


def main(out: Path) -> None:
    """Judge every PDF, docx and xlsx below `out`."""
    for tool in ("qpdf", "pdfinfo", "pdftotext", "soffice"):
        if shutil.which(tool) is None:
            sys.exit(f"{tool} is not installed")
    pdfs = sorted(out.rglob("*.pdf"))
    office = sorted([*out.rglob("*.docx"), *out.rglob("*.xlsx")])
    if not pdfs or not office:
        sys.exit(f"{out}: nothing to judge")
    for pdf in pdfs:
        judged(["qpdf", "--check", str(pdf)])
        pages = int(judged(["pdfinfo", str(pdf)]).split("Pages:")[1].split()[0])
        if not judged(["pdftotext", str(pdf), "-"]).strip():
            sys.exit(f"{pdf}: no text on its {pages} pages")
        print(f"{pdf.relative_to(out)}: {pages} pages, sound")
    with tempfile.TemporaryDirectory() as folder:
        profile = f"-env:UserInstallation=file://{folder}/profile"
        command = ["soffice", profile, "--headless", "--convert-to", "pdf", "--outdir", folder]
        judged([*command, *map(str, office)])
        opened = {path.stem for path in Path(folder).glob("*.pdf")}
        unopened = [path.name for path in office if path.stem not in opened]
        if unopened:
            sys.exit(f"LibreOffice did not open: {', '.join(unopened)}")
        print(f"LibreOffice opened {len(office)} files")


if __name__ == "__main__":
    main(Path(sys.argv[1]))
