"""Papers that their makers signed digitally: bound as they look, with no signature left in ours."""

from __future__ import annotations

import io
from pathlib import Path

import pikepdf
import pytest

pytest.importorskip("pyhanko")
from pikepdf import Name
from pyhanko.pdf_utils.incremental_writer import IncrementalPdfFileWriter
from pyhanko.sign import fields, signers
from pyhanko.sign.signers import PdfSignatureMetadata, SimpleSigner

from dossier.handover import How, build
from dossier.handover.package import write_package
from dossier.handover.verify import verify
from tests.handover import small
from tests.handover.signatories import PASSPHRASE, Keys
from tests.hostile.test_papers import bound, in_full

BOX = (100, 100, 300, 160)


def sign_as_maker(path: Path, folder: Path) -> None:
    """Sign a PDF visibly, as a mill does."""
    place = Keys(folder).places["P. Quill"]
    signer = SimpleSigner.load_pkcs12(  # type: ignore[no-untyped-call]
        str(place), passphrase=PASSPHRASE
    )
    out = IncrementalPdfFileWriter(io.BytesIO(path.read_bytes()))
    fields.append_signature_field(out, fields.SigFieldSpec("Mill", box=BOX))
    made = signers.sign_pdf(out, PdfSignatureMetadata(field_name="Mill"), signer=signer)
    path.write_bytes(made.getbuffer())


@pytest.mark.filterwarnings("ignore::pikepdf.PikepdfWarning")  # fields are lost on purpose
@pytest.mark.parametrize("inherited", [False, True])
def test_a_signed_paper_keeps_its_look_and_no_signature(tmp_path: Path, inherited: bool) -> None:
    with pikepdf.new() as pdf:
        pdf.add_blank_page(page_size=(595, 842))
        pdf.save(tmp_path / "a.pdf")
    sign_as_maker(tmp_path / "a.pdf", tmp_path)
    if inherited:  # the signature in a field of its own above the place where it shows
        with pikepdf.open(tmp_path / "a.pdf", allow_overwriting_input=True) as pdf:
            shown = pdf.pages[0].obj.Annots[0]
            above = pikepdf.Dictionary(FT=shown.FT, T=shown.T, V=shown.V)
            shown.Parent = pdf.make_indirect(above)
            del shown["/V"], shown["/FT"]
            pdf.save()
    filed = (tmp_path / "a.pdf").read_bytes()
    assert b"/ByteRange" in filed
    paper, whole = bound(tmp_path)
    assert paper.pages == 1
    assert b"/ByteRange" not in whole.read_bytes() + in_full(whole)
    with pikepdf.open(whole) as pdf:
        (shown,) = pdf.pages[1].obj.Annots
        assert shown.Subtype == Name.Widget
        assert [float(v) for v in shown.Rect] == list(BOX)
        assert shown.AP.N.read_bytes()
    assert (tmp_path / "a.pdf").read_bytes() == filed


def test_a_dossier_with_a_signed_paper_proves_itself(tmp_path: Path) -> None:
    project, out = small.write(tmp_path / "project"), tmp_path / "out"
    sign_as_maker(project / "papers" / "mc.pdf", tmp_path)
    seen, findings = small.read(project)
    build(seen, findings, project, out, how=How(workers=1, store=tmp_path / "store"))
    target = write_package(seen, findings, (project, out), tmp_path / "package")
    told = verify(target, deep=False).as_text()
    assert "the package carries none" in told
    assert "proves itself" in told
