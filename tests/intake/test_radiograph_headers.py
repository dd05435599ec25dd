"""Headers of digital radiographs against the records, on files made here."""

from __future__ import annotations

import hashlib
import warnings
from pathlib import Path

import pytest

from dossier.checks import run
from dossier.coverage.view import view
from dossier.intake import load_project, radiograph_headers
from dossier.records.verdicts import Finding
from tests.projects.test_projects import changed, read, written

pydicom = pytest.importorskip("pydicom")
CLEAN = Path(__file__).parents[1] / "projects" / "clean.yaml"


def image(path: Path, **entries: object) -> None:
    """A DICONDE file with a small image and these header entries."""
    from pydicom.dataset import Dataset, FileMetaDataset
    from pydicom.uid import ExplicitVRLittleEndian, generate_uid

    meta = FileMetaDataset()
    meta.MediaStorageSOPClassUID = "1.2.840.10008.5.1.4.1.1.1.1"
    meta.MediaStorageSOPInstanceUID = generate_uid(entropy_srcs=[path.name])
    meta.TransferSyntaxUID = ExplicitVRLittleEndian
    held = Dataset()
    held.file_meta = meta
    held.SOPClassUID, held.SOPInstanceUID = (
        meta.MediaStorageSOPClassUID, meta.MediaStorageSOPInstanceUID,
    )  # fmt: skip
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        for name, value in entries.items():
            setattr(held, name, value)
    held.Rows = held.Columns = 8
    held.BitsAllocated = held.BitsStored = 16
    held.HighBit, held.PixelRepresentation, held.SamplesPerPixel = 15, 0, 1
    held.PhotometricInterpretation = "MONOCHROME2"
    held.PixelData = bytes(128)
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        held.save_as(path, enforce_file_format=True)


def prepared(folder: Path) -> Path:
    """The sound project with one digital radiograph of the joint ST-001."""
    changes = [
        {"in": "documents", "add": {"number": "D-9", "title": "Image", "file": "evidence/rt.dcm"}},
        {
            "in": "examinations",
            "where": {"report": "RT-3"},
            "set": {"document": {"document": "D-9"}},
        },
    ]
    written(changed(read(CLEAN), changes), folder)
    (folder / "evidence").mkdir(exist_ok=True)
    return folder / "evidence" / "rt.dcm"


def findings(folder: Path) -> list[Finding]:
    return [f for f in run(view(load_project(folder))) if f.check == "radiograph-header"]


def reasons(folder: Path) -> list[tuple[str, str, str]]:
    return [(r.variable, r.found, r.permitted) for f in findings(folder) for r in f.reasons]


def day_of_rt3() -> str:
    return next(str(e["examined_at"])[:10] for e in read(CLEAN)["examinations"]
                if e["report"] == "RT-3")  # fmt: skip


def test_a_header_that_agrees_gives_nothing_and_stays_as_it_is(tmp_path: Path) -> None:
    path = prepared(tmp_path)
    image(
        path, PatientName="ST-001", PatientID="", MaterialThickness="8.1",
        AcquisitionDate=day_of_rt3().replace("-", ""),
    )  # fmt: skip
    before = hashlib.sha256(path.read_bytes()).hexdigest()
    (header,) = load_project(tmp_path).radiographs
    assert (header.component, str(header.exposed_on), header.wall_mm) == (
        "ST-001", day_of_rt3(), 8.1,
    )  # fmt: skip
    assert reasons(tmp_path) == []
    assert hashlib.sha256(path.read_bytes()).hexdigest() == before


def test_another_joint_day_and_wall(tmp_path: Path) -> None:
    path = prepared(tmp_path)
    image(path, PatientName="ML-001", PatientID="X", MaterialThickness="40", StudyDate="20260101")
    found = reasons(tmp_path)
    assert [(variable, text) for variable, text, _ in found] == [
        ("component", "X or ML-001"),
        ("day", "2026-01-01"),
        ("wall", "40 mm"),
    ]
    (finding,) = findings(tmp_path)
    assert dict(finding.subject) == {"joint": "ST-001", "document": "D-9"}
    assert str(finding.verdict) == "hold"


def test_no_entries_and_no_header(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = prepared(tmp_path)
    image(path)
    assert reasons(tmp_path) == [("component", "not entered", "ST-001")]
    path.write_bytes(b"no such header" * 40)
    assert reasons(tmp_path)[0][1] == "no DICOM header"
    path.write_bytes(b"")
    assert reasons(tmp_path)[0][1] == "no DICOM header"
    monkeypatch.setattr(radiograph_headers, "find_spec", lambda _name: None)
    assert "not installed" in reasons(tmp_path)[0][1]
    path.unlink()
    assert reasons(tmp_path)[0][1] == "no such file"


def test_a_damaged_file_raises_nothing(tmp_path: Path) -> None:
    path = prepared(tmp_path)
    image(path, PatientName="ST-001", StudyDate="2026AB01", MaterialThickness="7.1")
    sound = path.read_bytes()
    for cut in (140, 200, 300, 400):
        path.write_bytes(sound[:cut])
        assert len(load_project(tmp_path).radiographs) == 1
    for place in range(132, 420, 7):
        path.write_bytes(sound[:place] + b"\xff\xff\xff" + sound[place + 3 :])
        assert len(load_project(tmp_path).radiographs) == 1
