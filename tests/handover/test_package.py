"""The package: the same bytes from anywhere, proved by others, and no byte that may change."""

from __future__ import annotations

import base64
import csv
import io
import json
import os
import random
import re
import shutil
import subprocess
import sys
import zipfile
import zlib
from pathlib import Path
from xml.etree import ElementTree

import pytest
import yaml

from dossier.cli import main
from dossier.errors import ProjectError
from dossier.handover.bag import encoded, manifest, read_manifest
from dossier.handover.package import PackageError, write_package
from dossier.handover.proof_content import same_content
from dossier.handover.stored_zip import Stored, directory, local_header
from dossier.handover.verify import verify
from tests.handover import small
from tests.handover.conftest import Made

ROOT = Path(__file__).parents[2]
SEED = 20_260_630


def test_a_sound_package_proves_itself(package: Path) -> None:
    proof = verify(package)
    assert proof.as_text().endswith("The package proves itself.")
    states = {step.name: step.state for step in proof.steps}
    assert states.pop("signatures") == "left out"
    assert set(states.values()) == {"proved"}
    assert set(states) == {"checksums", "page numbers", "bookmarks", "register", "records",
                           "attachments", "derived files", "review page", "findings", "issue",
                           "papers", "files", "notes"}  # fmt: skip


def test_a_sound_zip_proves_itself_and_any_tool_opens_it(zipped: Path, package: Path) -> None:
    assert verify(zipped).holds
    with zipfile.ZipFile(zipped) as archive:
        assert archive.testzip() is None
        assert {info.compress_type for info in archive.infolist()} == {zipfile.ZIP_STORED}
        inside = {n.split("/", 1)[1]: archive.read(n) for n in archive.namelist()}
    assert inside == small.tree(package)


def test_other_tools_prove_it_too(package: Path) -> None:
    for name in ("manifest-sha256.txt", "tagmanifest-sha256.txt"):
        subprocess.run(["sha256sum", "--quiet", "--strict", "-c", name], cwd=package, check=True)
    subprocess.run(["sha512sum", "--quiet", "-c", "manifest-sha512.txt"], cwd=package, check=True)
    bagit = pytest.importorskip("bagit")
    bag = bagit.Bag(str(package))
    assert bag.version_info == (1, 0)
    bag.validate(processes=1)


@pytest.mark.skipif(not shutil.which("qpdf"), reason="qpdf is not installed")
def test_the_dossier_is_sound_by_other_readers(package: Path) -> None:
    path = str(package / "data" / "dossier.pdf")
    done = subprocess.run(["qpdf", "--check", path], capture_output=True, text=True, check=True)
    assert "No syntax or stream encoding errors found" in done.stdout
    told = subprocess.run(["pdfinfo", path], capture_output=True, text=True, check=True).stdout
    pages = json.loads((package / "data" / "issue.json").read_bytes())["files"][0]["pages"]
    assert f"Pages:           {pages}" in told


def test_the_same_bytes_from_other_folders_clocks_locales_and_hash_seeds(
    made: Made, zipped: Path, tmp_path: Path
) -> None:
    for number, (zone, locale, seed) in enumerate(
        [("Asia/Tokyo", "C", "1"), ("America/Lima", "C.UTF-8", "77")]
    ):
        place = tmp_path / f"clone {number}"
        project = Path(shutil.copytree(made.project, place / "p"))
        out, target = place / "out", place / "package.zip"
        env = {**os.environ, "TZ": zone, "LC_ALL": locale, "PYTHONHASHSEED": seed,
               "PYTHONPATH": str(ROOT)}  # fmt: skip
        for path in project.rglob("*"):
            os.utime(path, (10_000_000 + number, 10_000_000 + number))
        run = [sys.executable, "-m", "dossier.cli"]
        # The first renders all anew; the second proves that keys do not hang on the hash seed.
        store = place / "store" if number == 0 else tmp_path / "clone 0" / "store"
        build = [*run, "build", str(project), "--out", str(out), "--store", str(store)]
        subprocess.run(build, env=env, check=True, capture_output=True, cwd=place)
        pack = [*run, "package", str(project), "--built", str(out), "--out", str(target)]
        subprocess.run(pack, env=env, check=True, capture_output=True, cwd=place)
        assert target.read_bytes() == zipped.read_bytes()


def test_every_flipped_byte_of_a_folder_is_found_and_named(package: Path, tmp_path: Path) -> None:
    copy = Path(shutil.copytree(package, tmp_path / "package"))
    sizes = {name: len(data) for name, data in small.tree(copy).items()}
    dice = random.Random(SEED)  # noqa: S311 - not for secrets
    names, weights = list(sizes), list(sizes.values())
    for _ in range(150):
        name = dice.choices(names, weights)[0] if dice.random() < 0.5 else dice.choice(names)
        with (copy / name).open("r+b") as stream:
            at = dice.randrange(sizes[name])
            old = _flip(stream, at, 1 << dice.randrange(8))
            proof = verify(copy, deep=False)
            told = [str(trouble) for step in proof.steps for trouble in step.troubles]
            assert not proof.holds
            # A manifest is at fault where it stands alone against the other: its line names it.
            assert any(name in line for line in told), (name, at, told)
            stream.seek(at)
            stream.write(old)
            stream.flush()
    assert verify(copy, deep=False).holds


def _flip(stream: io.BufferedRandom, at: int, bit: int) -> bytes:
    stream.seek(at)
    old = stream.read(1)
    stream.seek(at)
    stream.write(bytes([old[0] ^ bit]))
    stream.flush()
    return old


def test_a_thousand_flipped_bytes_of_a_zip_are_found(zipped: Path, tmp_path: Path) -> None:
    """Flips everywhere: in the files, in the headers between them and in the directory."""
    copy = tmp_path / "p.zip"
    data = bytearray(zipped.read_bytes())
    with zipfile.ZipFile(zipped) as archive:
        infos = archive.infolist()
    ends = [info.header_offset for info in infos] + [archive.start_dir]
    dice = random.Random(SEED)  # noqa: S311 - not for secrets
    places = [dice.randrange(len(data)) for _ in range(500)]
    places += [at + dice.randrange(60) for at in dice.choices(ends, k=300)]
    places += [dice.randrange(archive.start_dir, len(data)) for _ in range(200)]
    missed = []
    for at in places:
        bit = 1 << dice.randrange(8)
        data[at] ^= bit
        copy.write_bytes(data)
        if not _found(copy):
            missed.append((at, bit))
        data[at] ^= bit
    assert missed == []


def _found(path: Path) -> bool:
    """Whether the proof of the bytes finds the damage; the first step that does is enough."""
    from dossier.handover.proof_bag import prove_bag
    from dossier.handover.verify import _opened

    with _opened(path) as (root, troubles):
        return bool(troubles) or root is None or bool(prove_bag(root).troubles)


@pytest.mark.parametrize("what", ["file taken out", "file put in", "manifest lost", "link put in"])
def test_what_is_missing_or_too_much_is_named(package: Path, tmp_path: Path, what: str) -> None:
    copy = Path(shutil.copytree(package, tmp_path / "package"))
    name = {"file taken out": "data/check.json", "file put in": "data/new.txt",
            "manifest lost": "manifest-sha512.txt", "link put in": "data/link"}[what]  # fmt: skip
    if what == "file put in":
        (copy / name).write_bytes(b"new")
    elif what == "link put in":
        (copy / name).symlink_to(copy / "bagit.txt")
    else:
        (copy / name).unlink()
    troubles = [str(t) for step in verify(copy, deep=False).steps for t in step.troubles]
    assert any(told.startswith(name) for told in troubles), troubles


def repacked(package: Path) -> None:
    """Renew bag-info.txt and all manifests, as somebody would who changes a package on purpose."""
    from dossier.handover.store import digest_of

    sizes = [path.stat().st_size for path in (package / "data").rglob("*") if path.is_file()]
    info = package / "bag-info.txt"
    oxum = f"Payload-Oxum: {sum(sizes)}.{len(sizes)}"
    info.write_text(re.sub("Payload-Oxum: .*", oxum, info.read_text(encoding="utf-8")), "utf-8")
    for path in [*package.glob("manifest-*"), *package.glob("tagmanifest-*")]:
        algorithm = path.stem.rpartition("-")[2]
        names = read_manifest(path.read_bytes())
        path.write_bytes(manifest({n: digest_of(package / n, algorithm) for n in names}))


@pytest.mark.parametrize(
    ("file", "old", "new", "step"),
    [
        ("data/check.json", b'"nonconformity"', b'"clear"', "findings"),
        ("data/project/passes.yaml", b"current_a: 110", b"current_a: 111", "attachments"),
        ("data/tables/passes.csv", b",110.0,", b",112.0,", "derived files"),
        ("data/project/passes.yaml", b"welder: W01", b"welder: W99", "findings"),
        ("data/project/welders.yaml", b"stamp:", b"stamq:", "records"),
        ("data/review.html", b"<title>", b"<title>x", "review page"),
        ("data/transmittal.xlsx", b"xl/workbook.xml", b"xl/workbook.xmm", "derived files"),
        ("data/issue.json", b'"page": 2,', b'"page": 4,', "register"),
        ("data/issue.json", b'"pages": ', b'"pages": 1', "page numbers"),
    ],
)
def test_a_package_changed_on_purpose_with_new_checksums_is_found_out(
    package: Path, tmp_path: Path, file: str, old: bytes, new: bytes, step: str
) -> None:
    copy = Path(shutil.copytree(package, tmp_path / "package"))
    text = (copy / file).read_bytes()
    assert old in text
    (copy / file).write_bytes(text.replace(old, new, 1))
    repacked(copy)
    proof = verify(copy)
    assert verify(copy, deep=False).holds  # the bytes alone do not tell
    assert step in {one.name for one in proof.steps if one.troubles}, proof.as_text()


def test_what_is_packed_by_another_library_says_the_same(package: Path, tmp_path: Path) -> None:
    page = (package / "data" / "review.html").read_bytes()
    again = page_repacked(page)
    assert again != page
    assert same_content("review.html", page, again)
    assert not same_content("review.html", page, again.replace(b"<title>", b"<title>x"))
    copy = Path(shutil.copytree(package, tmp_path / "package"))
    register = copy / "data" / "transmittal.xlsx"
    register.write_bytes(workbook_repacked(register.read_bytes()))
    repacked(copy)
    assert verify(copy).holds


def page_repacked(data: bytes) -> bytes:
    return re.sub(
        rb'(?<=">)[A-Za-z0-9+/=]{40,}(?=</script>)',
        lambda m: base64.b64encode(zlib.compress(zlib.decompress(base64.b64decode(m[0])), 1)),
        data,
    )


def workbook_repacked(data: bytes) -> bytes:
    out = io.BytesIO()
    with (
        zipfile.ZipFile(io.BytesIO(data)) as old,
        zipfile.ZipFile(out, "w", zipfile.ZIP_STORED) as new,
    ):
        for name in old.namelist():
            new.writestr(name, old.read(name))
    return out.getvalue()


def test_the_command_prints_text_or_json_and_its_exit_code_says_it(
    package: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["verify", str(package)]) == 0
    assert "The package proves itself." in capsys.readouterr().out
    copy = Path(shutil.copytree(package, tmp_path / "package"))
    (copy / "data" / "dossier.pdf").write_bytes(b"%PDF")
    assert main(["verify", str(copy), "--format", "json"]) == 1
    told = json.loads(capsys.readouterr().out)
    assert told["holds"] is False
    assert {"where": "data/dossier.pdf", "what": "sha256 is not that of manifest-sha256.txt"} in (
        told["steps"][0]["troubles"]
    )
    assert main(["verify", str(tmp_path / "nowhere")]) == 3


def test_a_package_is_never_overwritten_nor_made_from_other_records(
    made: Made, package: Path, tmp_path: Path
) -> None:
    with pytest.raises(PackageError, match="there already"):
        write_package(made.seen, made.findings, (made.project, made.out), package)
    with pytest.raises(PackageError, match="other records"):
        write_package(made.seen, [], (made.project, made.out), tmp_path / "p")
    with pytest.raises(PackageError, match="no built dossier"):
        write_package(made.seen, made.findings, (made.project, tmp_path), tmp_path / "p")
    assert list(tmp_path.iterdir()) == []
    with pytest.raises(ProjectError):
        verify(tmp_path / "nothing")


def test_tables_are_a_data_package_whose_rows_fit_its_schema(package: Path) -> None:
    tables = package / "data" / "tables"
    described = json.loads((tables / "datapackage.json").read_bytes())
    names = {one["name"] for one in described["resources"]}
    assert {"joints", "passes", "welders", "examinations"} <= names
    for one in described["resources"]:
        rows = list(csv.reader((tables / one["path"]).read_text(encoding="utf-8").splitlines()))
        fields = one["schema"]["fields"]
        assert rows[0] == [field["name"] for field in fields]
        assert all(field["title"] for field in fields)
        for row in rows[1:]:
            for value, field in zip(row, fields, strict=True):
                _fits(value, field["type"], field.get("constraints", {}).get("required", False))
    passes = next(one for one in described["resources"] if one["name"] == "passes")
    assert {link["fields"][0] for link in passes["schema"]["foreignKeys"]} == {"joint", "welder"}


def _fits(value: str, kind: str, required: bool) -> None:
    if value in ("", "n/a"):
        assert not required
        return
    read = {"number": float, "integer": int, "array": json.loads, "object": json.loads}
    read.get(kind, str)(value)
    assert kind != "boolean" or value in ("true", "false")


def test_frictionless_accepts_the_tables(package: Path) -> None:
    frictionless = pytest.importorskip("frictionless")
    report = frictionless.validate(str(package / "data" / "tables" / "datapackage.json"))
    assert report.valid, report.flatten(["type", "message"])


def test_joints_stand_on_the_map(package: Path) -> None:
    folder = package / "data" / "map"
    found = json.loads((folder / "joints.geojson").read_bytes())["features"]
    at = {f["properties"].get("number"): f["geometry"]["coordinates"] for f in found}
    assert at["ML-001"] == [10.01, 50.005]
    assert "ST-001" not in at  # its line has no route
    root = ElementTree.fromstring((folder / "joints.kml").read_bytes())  # noqa: S314 - our own
    space = {"k": "http://www.opengis.net/kml/2.2"}
    marks = {m.findtext("k:name", "", space): m for m in root.iterfind(".//k:Placemark", space)}
    assert marks["ML-001"].findtext(".//k:coordinates", "", space) == "10.01,50.005"


def test_the_transmittal_register_lists_every_document(package: Path) -> None:
    issue = json.loads((package / "data" / "issue.json").read_bytes())
    text = (package / "data" / "transmittal.csv").read_text(encoding="utf-8")
    rows = list(csv.DictReader(text.splitlines()))
    listed = [(row["document"], row["first_page"]) for row in rows if row["document"]]
    assert listed == [(d["number"], str(d["page"])) for d in issue["documents"]]
    sums = read_manifest((package / "manifest-sha256.txt").read_bytes())
    assert all(row["sha256"] == sums[f"data/{row['file']}"] for row in rows)


def test_names_with_signs_of_the_manifest_come_back() -> None:
    names = {"data/100%.txt": "a1", "data/two\nlines": "b2", "data/plain": "c3"}
    assert read_manifest(manifest(names)) == names
    assert encoded("a%0A") == "a%250A"


def test_sixty_four_bit_fields_stand_where_they_are_needed() -> None:
    small_one = Stored("a", 10, 1, 0)
    large = Stored("b", 5_000_000_000, 2, 41)
    after = Stored("c", 1, 3, 5_000_000_100)
    assert len(local_header(small_one)) == 31
    assert len(local_header(large)) == 31 + 20
    end = directory([small_one, large, after])
    assert end.count(b"PK\1\2") == 3
    assert b"PK\6\6" in end
    assert b"PK\6\7" in end


@pytest.mark.parametrize("kind", ["dossier.pdf", "procedures/*.pdf"])
def test_a_dossier_changed_after_the_build_is_not_packed(
    made: Made, tmp_path: Path, kind: str
) -> None:
    out, target = made.copy(tmp_path / "out"), tmp_path / "package"
    name = min(path.relative_to(out).as_posix() for path in out.glob(kind))
    whole = (out / name).read_bytes()
    (out / name).write_bytes(whole + b"\n% painted over\n")
    for _ in range(2):
        with pytest.raises(PackageError, match=f"{name} changed or went"):
            write_package(made.seen, made.findings, (made.project, out), target)
        (out / name).unlink(missing_ok=True)
    (out / name).write_bytes(whole)
    assert write_package(made.seen, made.findings, (made.project, out), target) == target


def test_records_and_papers_changed_after_the_build_are_not_packed(
    made: Made, tmp_path: Path
) -> None:
    project = Path(shutil.copytree(made.project, tmp_path / "project"))
    target = tmp_path / "package"
    small.change(project, "joints", "FW-001", "remarks", "written later")
    paper = project / "papers" / "mc.pdf"
    paper.write_bytes(paper.read_bytes() + b"\n% another certificate\n")
    seen, findings = small.read(project)
    with pytest.raises(PackageError, match=r": joints\.yaml, papers/mc\.pdf differ\. Build"):
        write_package(seen, findings, (project, made.out), target)
    register = project / "documents.yaml"
    papers = yaml.safe_load(register.read_text(encoding="utf-8"))
    fewer = [paper for paper in papers if paper["number"] != "D-001"]
    register.write_text(yaml.safe_dump(fewer), encoding="utf-8")
    seen, findings = small.read(project)
    with pytest.raises(PackageError, match=r": joints\.yaml, documents\.yaml differ\. Build"):
        write_package(seen, findings, (project, made.out), target)
    assert not target.exists()
