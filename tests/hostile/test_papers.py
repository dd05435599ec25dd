"""Foreign PDFs with scripts, programs, players and hidden files: what acts is not bound in."""

from __future__ import annotations

import resource
import zlib
from collections.abc import Callable
from pathlib import Path

import pikepdf
import pypdfium2
import pytest
from pikepdf import Array, AttachedFileSpec, Dictionary, Name, Stream, String
from PIL import Image

from dossier.handover.merge import Inside, Pages, Titles, merge
from dossier.handover.papers import Paper, open_paper
from dossier.handover.store import Store
from dossier.records.papers import Document

WORDS = (
    b"JavaScript", b"harm()", b"MZ hidden", b"javascript:", b"file://", b"SubmitForm", b"Launch",
    b"RichMedia", b"/3D", b"/Screen", b"/Movie", b"/Sound", b"/XFA", b"ImportData", b"GoToR",
)  # fmt: skip
Make = Callable[[pikepdf.Pdf, pikepdf.Page], None]


def script() -> Dictionary:
    return Dictionary(S=Name.JavaScript, JS=String("harm()"))


def note(kind: str = "Link", **more: object) -> Dictionary:
    return Dictionary(Type=Name.Annot, Subtype=Name(f"/{kind}"), Rect=Array([0, 0, 9, 9]), **more)


def web(**more: object) -> Dictionary:
    return Dictionary(S=Name.URI, URI=String("https://example.org/a"), **more)


def of_the_document(pdf: pikepdf.Pdf, _page: pikepdf.Page) -> None:
    pdf.Root.OpenAction = script()
    pdf.Root.AA = Dictionary(WC=script())
    pdf.attachments["a.exe"] = b"MZ hidden"
    pdf.Root.Names.JavaScript = Dictionary(Names=Array([String("a"), script()]))
    pdf.Root.AcroForm = Dictionary(Fields=Array([]), XFA=Stream(pdf, b"<x>harm()</x>"))


def of_the_page(pdf: pikepdf.Pdf, page: pikepdf.Page) -> None:
    page.obj.AA = Dictionary(O=script())
    page.obj.AF = Array([AttachedFileSpec(pdf, b"MZ hidden", filename="x.exe").obj])
    page.obj.PresSteps = Dictionary(NA=script())


def after_a_link(_pdf: pikepdf.Pdf, page: pikepdf.Page) -> None:
    chain = Dictionary(S=Name.GoTo, D=String("x"), Next=Array([web(Next=script()), script()]))
    page.obj.Annots = Array([note(A=web(Next=script())), note(A=chain), note(PA=script())])


def other_actions(_pdf: pikepdf.Pdf, page: pikepdf.Page) -> None:
    kinds = ("Launch", "SubmitForm", "ImportData", "GoToR", "GoToE", "Rendition", "JavaScript")
    page.obj.Annots = Array([
        *(note(A=Dictionary(S=Name(f"/{kind}"), F=String("x.exe"))) for kind in kinds),
        note(A=Dictionary(S=Name.Named, N=Name.Quit)), note(A=Name.Strange), note(AA=Dictionary()),
    ])  # fmt: skip


def addresses(_pdf: pikepdf.Pdf, page: pikepdf.Page) -> None:
    page.obj.Annots = Array([
        note(A=Dictionary(S=Name.URI, URI=String(address)))
        for address in ("javascript:harm()", " JavaScript:harm()", "file:///etc/passwd", "\\\\x\\y")
    ])  # fmt: skip


def players(pdf: pikepdf.Pdf, page: pikepdf.Page) -> None:
    file = AttachedFileSpec(pdf, b"MZ hidden", filename="x.exe").obj
    clip = pdf.make_indirect(note("FileAttachment", FS=file))
    page.obj.Annots = Array([
        clip, note("Popup", Parent=clip), note("Text", IRT=clip), note("Text", FS=file),
        note("3D", **{"3DD": Dictionary(Type=Name("/3D"))}), note("Screen"), note("Sound"),
        note("RichMedia", RichMediaContent=Dictionary()), note("Movie", Movie=Dictionary()),
    ])  # fmt: skip


def form_field(pdf: pikepdf.Pdf, page: pikepdf.Page) -> None:
    field = pdf.make_indirect(Dictionary(FT=Name.Tx, T=String("t"), AA=Dictionary(K=script())))
    shown = pdf.make_indirect(note("Widget", Parent=field, A=script()))
    field.Kids = Array([shown])
    page.obj.Annots = Array([shown])
    pdf.Root.AcroForm = Dictionary(Fields=Array([field]))


def no_notes_at_all(_pdf: pikepdf.Pdf, page: pikepdf.Page) -> None:
    page.obj.Annots = Array([7, Name.X, String("s"), note(A=web())])


def notes_that_are_no_list(_pdf: pikepdf.Pdf, page: pikepdf.Page) -> None:
    page.obj.Annots = String("harm()")


def chain_without_end(pdf: pikepdf.Pdf, page: pikepdf.Page) -> None:
    action = pdf.make_indirect(web())
    action.Next = action
    page.obj.Annots = Array([note(A=action)])


MADE: tuple[Make, ...] = (
    of_the_document, of_the_page, after_a_link, other_actions, addresses, players, form_field,
    no_notes_at_all, notes_that_are_no_list, chain_without_end,
)  # fmt: skip


def written(folder: Path, make: Make) -> Path:
    with pikepdf.new() as pdf:
        make(pdf, pdf.add_blank_page(page_size=(595, 842)))
        pdf.save(folder / "a.pdf")
    return folder / "a.pdf"


def in_full(path: Path) -> bytes:
    """A file with every stream unpacked."""
    plain = path.with_suffix(".plain")
    with pikepdf.open(path) as pdf:
        pdf.save(
            plain, object_stream_mode=pikepdf.ObjectStreamMode.disable, compress_streams=False,
            stream_decode_level=pikepdf.StreamDecodeLevel.all,
        )  # fmt: skip
    return plain.read_bytes()


def bound(folder: Path) -> tuple[Paper, Path]:
    paper = open_paper(
        Document(number="D-1", title="T", file="a.pdf"), folder, Store(folder / "store", "")
    )
    with pikepdf.new() as pdf:
        pdf.add_blank_page()
        pdf.save(folder / "own.pdf")
    runs = [Pages(folder / "own.pdf", own=True), Pages(paper.path, own=False, label="D-1")]
    merge(runs, Titles("N", "T", "0", "", archival=False), Inside(), folder / "whole.pdf")
    return paper, folder / "whole.pdf"


@pytest.mark.filterwarnings("ignore::pikepdf.PikepdfWarning")  # of the files made here
@pytest.mark.parametrize("make", MADE)
def test_nothing_that_acts_is_bound_in(tmp_path: Path, make: Make) -> None:
    filed = written(tmp_path, make)
    before = filed.read_bytes()
    paper, whole = bound(tmp_path)
    assert paper.pages == 1
    found = in_full(whole)
    assert [word for word in WORDS if word in found] == []
    assert filed.read_bytes() == before  # the file as filed is evidence and stays


@pytest.mark.filterwarnings("ignore::pikepdf.PikepdfWarning")
def test_what_is_looked_for_is_there_before(tmp_path: Path) -> None:
    for make in (of_the_document, of_the_page, after_a_link, players, form_field):
        found = in_full(written(tmp_path, make))
        assert any(word in found for word in WORDS), make


def test_links_to_pages_and_the_web_stay(tmp_path: Path) -> None:
    def links(_pdf: pikepdf.Pdf, page: pikepdf.Page) -> None:
        page.obj.Annots = Array([
            note(A=web()), note(A=Dictionary(S=Name.URI, URI=String("mailto:a@example.org"))),
            note(A=Dictionary(S=Name.Named, N=Name.NextPage)), note("Stamp"), note("Highlight"),
        ])  # fmt: skip

    written(tmp_path, links)
    paper, _ = bound(tmp_path)
    assert paper.path == tmp_path / "a.pdf"  # not touched at all
    with pikepdf.open(paper.path) as pdf:
        assert ["/A" in one for one in pdf.pages[0].obj.Annots] == [True, True, True, False, False]


def bomb(pdf: pikepdf.Pdf, page: pikepdf.Page, data: bytes, times: int) -> None:
    filters = [Name.FlateDecode] * times
    page.obj.MediaBox = Array([0, 0, 2000, 3000])
    page.obj.Contents = Stream(pdf, data, Filter=Array(filters) if times > 1 else filters[0])
    image = Stream(pdf, bytes(4), Type=Name.XObject, Subtype=Name.Image, Width=2, Height=2,
                   ColorSpace=Name.DeviceGray, BitsPerComponent=8)  # fmt: skip
    page.obj.Resources = Dictionary(XObject=Dictionary(Im=pdf.make_indirect(image)))


@pytest.mark.parametrize("times", [1, 2])
def test_packed_emptiness_is_not_unpacked(tmp_path: Path, times: int) -> None:
    packed = zlib.compressobj(9)
    data = b"".join(packed.compress(bytes(1_000_000)) for _ in range(300)) + packed.flush()
    if times == 2:
        data = zlib.compress(data, 9)
    with pikepdf.new() as pdf:
        bomb(pdf, pdf.add_blank_page(), data, times)
        pdf.save(tmp_path / "a.pdf", compress_streams=False,
                 stream_decode_level=pikepdf.StreamDecodeLevel.none)  # fmt: skip
    before = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    document = Document(number="D-1", title="T", file="a.pdf")
    paper = open_paper(document, tmp_path, Store(tmp_path / "store", ""))
    assert paper.pages == (1 if times == 1 else 0)
    assert ("cannot be read" in paper.lacking) == (times == 2)
    if paper.pages:
        bound(tmp_path)
    assert resource.getrusage(resource.RUSAGE_SELF).ru_maxrss - before < 100_000  # kB


def drawn(path: Path, number: int) -> Image.Image:
    with pypdfium2.PdfDocument(path) as pdf:
        return pdf[number].render(scale=1).to_pil().convert("RGB")


SQUARE = b"q 1 0 0 rg 100 700 50 50 re f Q "
LEAKING = (
    b"q 0.1 0 0 0.1 0 0 cm q ", b"q q q 0 Tz 9 9 9 rg", b"Q Q 0.1 0 0 0.1 0 0 cm ",
    b"0 0 1 1 re W ", b"0 0 1 1 re W Q ", b"BT 3 Tr 9 Ts ", b"(never ended ", b"<41 ", b"[ 1 (a) ",
    b"<< /A 1 ", b"BI /W 9 /H 9 /BPC 8 /CS /G ID x", b"/OC /Off BDC ", b"0 0 m 500 0 l 500 15 l",
)  # fmt: skip


@pytest.mark.parametrize("leaking", LEAKING)
@pytest.mark.parametrize("parts", [1, 2])
def test_the_line_at_the_foot_stands_whatever_a_page_leaves_open(
    tmp_path: Path, leaking: bytes, parts: int
) -> None:
    def page_with(content: bytes) -> Make:
        def make(pdf: pikepdf.Pdf, page: pikepdf.Page) -> None:
            pieces = [pdf.make_stream(part) for part in (content[:40], content[40:])]
            page.obj.Contents = Array(pieces) if parts > 1 else pdf.make_stream(content)
            off = pdf.make_indirect(Dictionary(Type=Name.OCG, Name=String("off")))
            page.obj.Resources = Dictionary(Properties=Dictionary(Off=off))

        return make

    lines = []
    for content in (SQUARE, SQUARE + leaking):
        filed = written(tmp_path, page_with(content))
        before = drawn(filed, 0)
        _, whole = bound(tmp_path)
        after = drawn(whole, 1)
        assert after.crop((0, 0, 595, 800)).tobytes() == before.crop((0, 0, 595, 800)).tobytes()
        lines.append(after.crop((0, 842, 595, after.height)).tobytes())
    assert lines[0] == lines[1]
    assert min(lines[0]) < 128


def test_pages_that_share_what_leaks_keep_their_own_resources(tmp_path: Path) -> None:
    def make(pdf: pikepdf.Pdf, page: pikepdf.Page) -> None:
        shared = pdf.make_indirect(Stream(pdf, b"q /Im Do"))
        for index, one in enumerate((page, pdf.add_blank_page(page_size=(200, 300)))):
            image = Stream(pdf, b"q 1 0 0 rg 0 0 99 99 re f Q", Type=Name.XObject,
                           Subtype=Name.Form, BBox=Array([0, 0, 90 * index, 99]))  # fmt: skip
            one.obj.Resources = Dictionary(XObject=Dictionary(Im=pdf.make_indirect(image)))
            one.obj.Contents = shared

    filed = written(tmp_path, make)
    before = [drawn(filed, index) for index in (0, 1)]
    _, whole = bound(tmp_path)
    for index, size in enumerate(((0, 0, 595, 842), (0, 0, 200, 300))):
        assert drawn(whole, index + 1).crop(size).tobytes() == before[index].tobytes()


def test_a_page_that_ends_as_it_began_is_not_framed(tmp_path: Path) -> None:
    def make(pdf: pikepdf.Pdf, page: pikepdf.Page) -> None:
        page.obj.Contents = pdf.make_stream(
            b"q/X gs 1 0 0 1 9 9 cm % q (\n0 0 9 9 re W* n BT(a\\)(b)( q ))Tj[(Q)9<51 q>]TJ ET "
            b"/Span<</MCID 0/A(>>)>>BDC EMC BI /W 1 /H 1 /BPC 8 /CS /G ID q EI Q"
        )

    written(tmp_path, make)
    assert bound(tmp_path)[0].path == tmp_path / "a.pdf"
