"""Evidence files of every bad kind: put in order where that is possible, told where it is not."""

from __future__ import annotations

import io
import shutil
import zlib
from pathlib import Path

import pikepdf
import pytest
from pikepdf import Array, Dictionary, Name, Stream
from PIL import Image, ImageFile

from dossier.handover import build
from dossier.handover.package import write_package
from dossier.handover.papers import Paper, open_paper
from dossier.handover.store import Store
from dossier.handover.verify import verify
from dossier.records.papers import Document
from tests.handover import small
from tests.handover.conftest import Made


def opened(folder: Path, file: str, pages: int | None = None) -> Paper:
    store = Store(folder / ".store", "")
    document = Document(number="D-1", title="T", file=file, pages=pages)
    first = open_paper(document, folder, store)
    assert open_paper(document, folder, store) == first  # from the store as from the file
    return first


def one_page(path: Path, **entries: object) -> pikepdf.Page:
    """A PDF of one A4 page with further entries."""
    with pikepdf.new() as pdf:
        page = pdf.add_blank_page(page_size=(595, 842))
        for name, value in entries.items():
            page.obj[f"/{name}"] = value
        pdf.save(path)
    return page


_HELD: list[pikepdf.Pdf] = []  # a page lives no longer than its file is open


def page_of(paper: Paper) -> pikepdf.Page:
    _HELD[:] = [pikepdf.open(paper.path)]
    return _HELD[0].pages[0]


@pytest.mark.parametrize("mode", ["1", "L", "RGB", "P", "RGBA", "CMYK", "I;16", "LA"])
@pytest.mark.parametrize("ending", ["png", "tif"])
def test_pictures_of_every_kind_become_a_page_of_their_size(
    tmp_path: Path, mode: str, ending: str
) -> None:
    if ending == "png" and mode == "CMYK":
        return
    Image.new(mode, (600, 300)).save(tmp_path / f"a.{ending}", dpi=(150, 150))
    paper = opened(tmp_path, f"a.{ending}")
    assert (paper.pages, paper.lacking, paper.archival) == (1, "", True)
    page = page_of(paper)
    assert [round(float(v)) for v in page.mediabox] == [0, 0, 288, 144]
    image = page.resources.XObject.Scan
    assert str(image.ColorSpace) in ("/DeviceGray", "/DeviceRGB")
    assert pikepdf.PdfImage(image).as_pil_image().size == (600, 300)


def test_a_jpeg_goes_in_byte_for_byte_and_is_turned_as_its_camera_says(tmp_path: Path) -> None:
    exif = Image.Exif()
    exif[0x0112] = 6
    Image.new("RGB", (400, 200), "red").save(tmp_path / "a.jpg", dpi=(100, 100), exif=exif)
    page = page_of(opened(tmp_path, "a.jpg"))
    assert page.resources.XObject.Scan.read_raw_bytes() == (tmp_path / "a.jpg").read_bytes()
    assert page.rotation == 90


def test_what_is_transparent_becomes_white(tmp_path: Path) -> None:
    Image.new("RGBA", (10, 10), (255, 0, 0, 0)).save(tmp_path / "a.png")
    image = pikepdf.PdfImage(page_of(opened(tmp_path, "a.png")).resources.XObject.Scan)
    assert image.as_pil_image().getpixel((0, 0)) == (255, 255, 255)


def test_every_frame_of_a_picture_is_a_page(tmp_path: Path) -> None:
    frames = [Image.new("L", (100, 100), shade) for shade in (0, 100, 200)]
    frames[0].save(tmp_path / "a.tif", save_all=True, append_images=frames[1:])
    assert opened(tmp_path, "a.tif").pages == 3


def test_a_picture_too_large_to_be_true_is_told(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    Image.new("L", (300, 300)).save(tmp_path / "a.png")
    monkeypatch.setattr(Image, "MAX_IMAGE_PIXELS", 50_000)
    assert "cannot be read (DecompressionBombWarning)" in opened(tmp_path, "a.png").lacking


@pytest.mark.parametrize("name", ["a.png", "a.jpg", "a.tif", "a.pdf"])
@pytest.mark.parametrize("data", [b"", b"\x89PNG\r\n\x1a\n", b"%PDF-1.7\n%%EOF", b"II*\0junk"])
def test_a_broken_file_is_told_and_never_a_crash(tmp_path: Path, name: str, data: bytes) -> None:
    (tmp_path / name).write_bytes(data)
    paper = opened(tmp_path, name)
    assert paper.pages == 0
    assert "cannot be read" in paper.lacking or "no page" in paper.lacking


@pytest.mark.parametrize("lenient", [False, True])  # as the PDF engine leaves the picture library
@pytest.mark.parametrize("ending", ["png", "jpg", "tif"])
@pytest.mark.parametrize("share", [0.25, 0.5, 0.98])
def test_a_picture_cut_short_is_told(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, lenient: bool, ending: str, share: float
) -> None:
    monkeypatch.setattr(ImageFile, "LOAD_TRUNCATED_IMAGES", lenient)
    filed = tmp_path / f"a.{ending}"
    Image.effect_noise((400, 400), 50).save(filed)
    whole = filed.read_bytes()
    filed.write_bytes(whole[: int(len(whole) * share)])
    assert "cannot be read" in opened(tmp_path, filed.name).lacking


@pytest.mark.parametrize("progressive", [False, True])
def test_a_whole_jpeg_of_a_camera_is_bound(tmp_path: Path, progressive: bool) -> None:
    noise = Image.effect_noise((300, 200), 50).convert("RGB")
    noise.save(tmp_path / "a.jpg", progressive=progressive)
    (tmp_path / "a.jpg").write_bytes((tmp_path / "a.jpg").read_bytes() + bytes(100))
    paper = opened(tmp_path, "a.jpg")
    assert (paper.pages, paper.lacking) == (1, "")


def three_scans(path: Path) -> bytes:
    scans = [Image.effect_noise((200, 300), 60).convert("L") for _ in range(3)]
    scans[0].save(path, "PDF", save_all=True, append_images=scans[1:])
    return path.read_bytes()


@pytest.mark.parametrize("share", [0.5, 0.75, 0.97, 0.999])
def test_a_pdf_cut_short_is_told_and_not_bound_with_fewer_pages(
    tmp_path: Path, share: float
) -> None:
    whole = three_scans(tmp_path / "a.pdf")
    (tmp_path / "a.pdf").write_bytes(whole[: int(len(whole) * share)])
    assert opened(tmp_path, "a.pdf").lacking == ("the file a.pdf is damaged: pages may be lacking")


def test_a_rebuilt_pdf_is_bound_where_the_register_names_its_pages(tmp_path: Path) -> None:
    whole = three_scans(tmp_path / "a.pdf")
    (tmp_path / "a.pdf").write_bytes(whole.replace(b"startxref\n", b"startxref\n9"))
    told = [(opened(tmp_path, "a.pdf", pages).lacking, pages) for pages in (3, None, 4, 3)]
    damaged = "the file a.pdf is damaged: pages may be lacking"
    assert told == [("", 3), (damaged, None), (damaged, 4), ("", 3)]


def test_a_pdf_whose_pictures_are_cut_away_is_told_though_its_pages_are_there(
    tmp_path: Path,
) -> None:
    with pikepdf.new() as pdf:
        for _ in range(2):
            page = pdf.add_blank_page(page_size=(200, 300))
            page.obj.Contents = pdf.make_stream(bytes(5000))
        pdf.save(
            tmp_path / "a.pdf", compress_streams=False,
            object_stream_mode=pikepdf.ObjectStreamMode.disable,
        )  # fmt: skip
    whole = (tmp_path / "a.pdf").read_bytes()
    (tmp_path / "a.pdf").write_bytes(whole[: whole.rindex(b"endstream") - 2000])
    assert "is damaged" in opened(tmp_path, "a.pdf", 2).lacking


@pytest.mark.parametrize(
    ("old", "new"),
    [(b"\nxref", b"\r\nxref"), (b"%%EOF", b""), (b"/Size 1", b"/Size 9"), (b"", b"junk\n")],
)
def test_a_scan_of_careless_software_is_bound_and_so_is_one_of_any_name(
    tmp_path: Path, old: bytes, new: bytes
) -> None:
    whole = three_scans(tmp_path / "file is damaged EOF.pdf")
    (tmp_path / "file is damaged EOF.pdf").write_bytes(whole.replace(old, new, 1))
    paper = opened(tmp_path, "file is damaged EOF.pdf")
    assert (paper.pages, paper.lacking) == (3, "")


def test_the_same_bytes_are_read_as_their_ending_says(tmp_path: Path) -> None:
    Image.new("L", (100, 100)).save(tmp_path / "a.png")
    (tmp_path / "b.pdf").write_bytes((tmp_path / "a.png").read_bytes())
    assert opened(tmp_path, "a.png").pages == 1
    assert "cannot be read" in opened(tmp_path, "b.pdf").lacking


def test_a_sound_page_is_not_touched(tmp_path: Path) -> None:
    one_page(tmp_path / "a.pdf", Rotate=270)
    paper = opened(tmp_path, "a.pdf")
    assert paper.path == tmp_path / "a.pdf"
    assert (paper.pages, paper.archival) == (1, False)


@pytest.mark.parametrize(("turn", "right"), [(45, 0), (89, 90), (-91, 270), (725, 0)])
def test_a_page_turned_askew_is_set_right(tmp_path: Path, turn: int, right: int) -> None:
    one_page(tmp_path / "a.pdf", Rotate=turn)
    assert page_of(opened(tmp_path, "a.pdf")).rotation == right


@pytest.mark.parametrize("box", [[0, 0, 0, 0], [10, 10, 10.5, 900]])
def test_a_page_of_no_size_becomes_a4(tmp_path: Path, box: list[float]) -> None:
    one_page(tmp_path / "a.pdf", MediaBox=Array(box))
    assert [round(float(v)) for v in page_of(opened(tmp_path, "a.pdf")).mediabox] == [
        0,
        0,
        595,
        842,
    ]


@pytest.mark.parametrize("crop", [[0, 0, 0, 0], [10, 10, 300, 10.5], [700, 0, 900, 842], [0, 0, 5]])
@pytest.mark.parametrize("above", [True, False])  # the tree of pages hands it down
def test_a_crop_to_nothing_is_none(tmp_path: Path, crop: list[float], above: bool) -> None:
    with pikepdf.new() as pdf:
        page = pdf.add_blank_page(page_size=(595, 842))
        (pdf.Root.Pages if above else page.obj).CropBox = Array(crop)
        pdf.save(tmp_path / "a.pdf")
    page = page_of(opened(tmp_path, "a.pdf"))
    assert [float(v) for v in page.cropbox] == [0, 0, 595, 842]


def test_a_crop_to_a_part_stays(tmp_path: Path) -> None:
    one_page(tmp_path / "a.pdf", CropBox=Array([300, 400, 100, 200]))
    assert opened(tmp_path, "a.pdf").path == tmp_path / "a.pdf"


def _scan(path: Path, space: Name, data: bytes, packing: Name, size: tuple[int, int]) -> None:
    with pikepdf.new() as pdf:
        image = Stream(
            pdf, data, Type=Name.XObject, Subtype=Name.Image, Width=100, Height=140,
            ColorSpace=space, BitsPerComponent=8, Filter=packing,
        )  # fmt: skip
        page = Dictionary(
            Type=Name.Page, MediaBox=Array([0, 0, *size]),
            Resources=Dictionary(XObject=Dictionary(Im=pdf.make_indirect(image))),
            Contents=Stream(pdf, f"q {size[0]} 0 0 {size[1]} 0 0 cm /Im Do Q".encode()),
        )  # fmt: skip
        pdf.pages.append(pikepdf.Page(pdf.make_indirect(page)))
        pdf.save(path)


def _jpeg(mode: str) -> bytes:
    out = io.BytesIO()
    Image.new(mode, (100, 140)).save(out, "JPEG")
    return out.getvalue()


@pytest.mark.parametrize("packed", ["jpeg", "flate"])
def test_cmyk_becomes_rgb(tmp_path: Path, packed: str) -> None:
    raw = zlib.compress(Image.new("CMYK", (100, 140)).tobytes())
    data, packing = (_jpeg("CMYK"), Name.DCTDecode) if packed == "jpeg" else (raw, Name.FlateDecode)
    _scan(tmp_path / "a.pdf", Name.DeviceCMYK, data, packing, (300, 420))
    image = page_of(opened(tmp_path, "a.pdf")).resources.XObject.Im
    assert image.ColorSpace == Name.DeviceRGB
    assert pikepdf.PdfImage(image).as_pil_image().convert("RGB").getpixel((5, 5)) == (255, 255, 255)


def test_a_scan_stored_without_its_size_is_fitted_onto_a4(tmp_path: Path) -> None:
    _scan(tmp_path / "a.pdf", Name.DeviceGray, _jpeg("L"), Name.DCTDecode, (2480, 3508))
    box = [round(float(v)) for v in page_of(opened(tmp_path, "a.pdf")).mediabox]
    assert box == [0, 0, 595, 842]


def test_a_large_drawing_keeps_its_size(tmp_path: Path) -> None:
    with pikepdf.new() as pdf:
        pdf.add_blank_page(page_size=(2384, 3370))
        pdf.save(tmp_path / "a.pdf")
    assert opened(tmp_path, "a.pdf").path == tmp_path / "a.pdf"


def test_scripts_and_started_programs_go_and_links_stay(tmp_path: Path) -> None:
    def note(kind: str, **more: object) -> Dictionary:
        action = Dictionary(S=Name(f"/{kind}"), **more)
        return Dictionary(Type=Name.Annot, Subtype=Name.Link, Rect=Array([0, 0, 9, 9]), A=action)

    notes = [note("JavaScript", JS="app.alert(1)"), note("Launch", F="x.exe"),
             note("URI", URI="https://example.org")]  # fmt: skip
    one_page(tmp_path / "a.pdf", Annots=Array(notes), AA=Dictionary(O=Dictionary(S=Name.Named)))
    page = page_of(opened(tmp_path, "a.pdf"))
    assert "/AA" not in page.obj
    assert ["/A" in note for note in page.obj.Annots] == [False, False, True]


def test_a_file_spelled_in_two_ways_is_one_file_of_a_package_that_proves_itself(
    made: Made, tmp_path: Path
) -> None:
    project = Path(shutil.copytree(made.project, tmp_path / "project"))
    small.change(project, "documents", "D-001", "file", "./papers/mc.pdf")
    small.change(project, "documents", "D-002", "file", "papers//./rt.pdf")
    small.change(project, "documents", "D-003", "file", "papers/mc.pdf")
    settings = project / "project.yaml"
    plain = settings.read_text(encoding="utf-8")
    settings.write_text(plain.replace(": joints.yaml", ": .//joints.yaml"), encoding="utf-8")
    assert settings.read_text(encoding="utf-8") != plain
    seen, findings = small.read(project)
    build(seen, findings, project, tmp_path / "out", how=made.how())
    package = write_package(seen, findings, (project, tmp_path / "out"), tmp_path / "package")
    papers = package / "data" / "project" / "papers"
    assert sorted(path.name for path in papers.iterdir()) == ["mc.pdf", "rt.pdf"]
    assert verify(package).holds
