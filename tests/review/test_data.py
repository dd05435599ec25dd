"""What the page holds: whole, small, the same each time, and nothing but text."""

from __future__ import annotations

import base64
import hashlib
import json
import re
import zlib
from dataclasses import replace
from datetime import date
from pathlib import Path
from typing import Any

import pytest

from dossier.codes.editions import welder_code
from dossier.codes.face import DEPOSIT
from dossier.coverage.audit_sample import draw
from dossier.coverage.joint_file import joint_file
from dossier.coverage.stages import stages_reached
from dossier.coverage.view import view
from dossier.documents.joint_history import history
from dossier.documents.sheet import columns, day, row, table
from dossier.documents.welder_matrix import joint_needs
from dossier.errors import InputError
from dossier.records.papers import Document
from dossier.records.verdicts import CLEAR, HOLD, NOTE, Finding
from dossier.records.weld import Weld
from dossier.records.welders import Certificate
from dossier.review import link, page
from dossier.review.evidence import evidence_paths, links_from
from dossier.review.histories import PARTS
from dossier.review.joints import OWN, TAIL, joint_columns, needles, worst_verdict
from dossier.review.pack import LETTERS, MARK, block, packed, plain_table, spelled
from dossier.review.things import things
from tests.review.conftest import SAMPLE, Checked
from tests.review.hostile import BREAKS_OUT, IMAGE

_BLOCK = re.compile(r'<script type="text/plain" id="data-([a-z0-9-]+)">([^<]*)</script>')


def opened(text: str) -> Any:
    return json.loads(zlib.decompress(base64.b64decode(text)))


def read_back(column: Any) -> list[str]:
    if isinstance(column, list):
        return column
    return [column["words"][LETTERS.index(letter)] for letter in column["letters"]]


@pytest.fixture(scope="module")
def blocks(sample_page: Path) -> dict[str, Any]:
    found = _BLOCK.findall(sample_page.read_text(encoding="utf-8"))
    return {name: opened(text) for name, text in found}


def test_a_block_opens_to_what_was_put_in() -> None:
    data = {"name": 'quoted " \\ <b> é خط', "rows": [1, None, 2.5]}
    assert opened(block(data)) == data


def test_words_spelled_by_letters_read_back() -> None:
    words = [f"word {n % 700}" for n in range(3000)]
    assert read_back(spelled(words)) == words
    assert spelled(["a", "b", "c"]) == ["a", "b", "c"]


def test_no_letter_is_escaped_in_the_block() -> None:
    assert json.dumps(LETTERS, ensure_ascii=False) == f'"{LETTERS}"'
    assert len(set(LETTERS)) == len(LETTERS)


def test_tables_are_turned_and_keep_marks_and_notes() -> None:
    heads = columns(("A", 1), ("B", 1))
    made = [
        table("T", heads, [row(["1", f"2{MARK}"], ["", "hold"])], "note"),
        table("T", heads, []),
    ]
    turned = packed(made, 2)
    assert turned == {"rows": [1, 0], "columns": [["1"], [f"2 {MARK}hold"]], "notes": ["note", ""]}


def test_a_conceded_finding_does_not_colour_its_joint() -> None:
    found = [Finding("a", HOLD, (), "", conceded_by="C-1"), Finding("b", NOTE, (), "")]
    assert worst_verdict(found) == NOTE


def test_every_column_is_as_long_as_the_register(blocks: dict[str, Any], sample: Checked) -> None:
    count = len(sample[0].project.joints)
    for name, column in blocks["core"]["joints"].items():
        assert len(column["at"] if isinstance(column, dict) else column) == count, name
    assert len(blocks["needles"]) == count
    assert len(blocks["findings"]["id"]) == len(sample[1])


def test_signed_confirmations_are_the_ticks_of_a_certificate(
    blocks: dict[str, Any], sample: Checked
) -> None:
    signed = {
        one.number: sorted([day(c.signed_on), c.by] for c in one.confirmations)
        for welder in sample[0].project.welders
        for one in welder.certificates
    }
    lanes = [lane for welder in blocks["people"]["welders"] for lane in welder["lanes"]]
    told = {lane["certificate"]: sorted(tick[:2] for tick in lane["ticks"]) for lane in lanes}
    assert told == signed
    assert any(told.values())


def test_the_day_of_a_joint_is_that_of_its_welding(sample: Checked) -> None:
    seen, _ = sample
    first, *others = (j for j in seen.project.joints if j.status == "welded")
    assert first.finished_at is not None
    for welded_on, told in ((date(2026, 4, 1), "2026-04-01"), (None, day(first.finished_at))):
        joints = (replace(first, welded_on=welded_on), *others)
        column = joint_columns(view(replace(seen.project, joints=joints), seen.as_of), {})["day"]
        assert column["words"][column["at"][0]] == told


def test_heats_count_the_items_that_name_them(sample: Checked) -> None:
    seen, _ = sample
    bare = tuple(replace(item, heat="") for item in seen.project.items)
    counts = [
        {row[0]: row[5] for row in things(view(replace(seen.project, items=items), seen.as_of))[
            "heats"]["rows"]}
        for items in (seen.project.items, bare)
    ]  # fmt: skip
    assert sum(counts[0].values()) == sum(1 for item in seen.project.items if item.heat)
    assert set(counts[1].values()) == {0}
    assert "" not in counts[1]


def test_columns_of_numbers_stand_to_the_right() -> None:
    heads = columns(("A", 1), ("B", 1, "right"))
    assert plain_table(table("T", heads, [row(["a", "1"])]))["right"] == [False, True]


def test_the_stages_of_a_joint_are_told_bit_by_bit(blocks: dict[str, Any], sample: Checked) -> None:
    seen, _ = sample
    told = blocks["core"]["joints"]["stages"]
    for joint, at in zip(seen.project.joints, told["at"], strict=True):
        reached = stages_reached(seen, joint_file(seen, joint))
        bits = [told["words"][at] >> place & 1 for place in range(len(reached))]
        assert bits == [int(done) for done in reached]
    assert len(told["words"]) > 2


def test_findings_stand_with_their_cures_and_their_evidence(
    blocks: dict[str, Any], sample: Checked
) -> None:
    told = blocks["findings"]
    cures = [told["cure"]["words"][at] for at in told["cure"]["at"]]
    shown = dict(zip(told["id"], zip(cures, told["evidence"], strict=True), strict=True))
    assert shown == {
        f.id: (f.cure, [[str(e.position or ""), e.document, e.page or 0] for e in f.evidence])
        for f in sample[1]
    }
    assert any(page for _, proofs in shown.values() for *_, page in proofs)


def test_what_a_certificate_lacks_is_what_its_code_does_not_clear(
    blocks: dict[str, Any], sample: Checked
) -> None:
    told = {(stamp, number, need) for stamp, number, need, _ in blocks["people"]["why"]}
    needs = joint_needs(sample[0])
    assert told == {
        (welder.stamp, held.number, f"N{place}")
        for welder in sample[0].project.welders
        for held in welder.certificates
        for place, need in enumerate(needs, start=1)
        if _lacks(held, need.weld)
    }
    # The thickness deposited is asked of all certificates of a welder together.
    assert not [why for *_, why in blocks["people"]["why"] if why.startswith(DEPOSIT)]


def _lacks(held: Certificate, weld: Weld) -> bool:
    try:
        reasons = welder_code(held.code).covers(held, weld, {})
    except InputError:
        return True
    return any(r.verdict > CLEAR for r in reasons if r.variable != DEPOSIT)


def test_films_and_reports_are_among_the_needles(sample: Checked) -> None:
    seen, _ = sample
    for joint, needle in zip(seen.project.joints, needles(seen), strict=True):
        tail = joint.number.partition("-")[2]
        names = needle.replace(OWN, joint.number).replace(TAIL, tail).split(" ")
        for report in joint_file(seen, joint).examinations:
            assert {report.report, *report.films} <= set(names)


def test_weights_are_those_of_the_audit_sample(blocks: dict[str, Any], sample: Checked) -> None:
    told = blocks["core"]["joints"]
    weights = {
        number: told["weight"]["words"][at]
        for number, at in zip(told["number"], told["weight"]["at"], strict=True)
        if told["weight"]["words"][at]
    }
    drawn = draw(sample[0], 1, 10_000)
    assert weights == {one.file.number: one.weight for one in drawn}


def test_histories_are_those_of_the_printed_sheet(blocks: dict[str, Any], sample: Checked) -> None:
    seen, findings = sample
    told = blocks["histories-0"]
    place = next(n for n, j in enumerate(seen.project.joints) if j.number == "ML-048")
    joint = seen.project.joints[place]
    own = [f for f in findings if f.about("joint") == joint.number]
    printed = history(seen, sorted(own, key=lambda f: -f.verdict), joint, place + 1)
    assert told["marks"][place] == printed["code"]["mark"]
    facts = {label: read_back(column)[place]
             for label, column in zip(told["labels"], told["facts"], strict=True)}  # fmt: skip
    assert facts == {fact["label"]: fact["value"] for fact in printed["identity"]}
    for name, part in zip(PARTS, told["parts"], strict=True):
        first = sum(part["rows"][:place])
        cells = [read_back(column) for column in part["columns"]]
        rows = [[column[first + n].split(MARK)[0] for column in cells]
                for n in range(part["rows"][place])]  # fmt: skip
        assert rows == [line["cells"] for line in printed[name]["rows"]], name


def test_the_same_records_give_the_same_bytes(hostile: Checked) -> None:
    assert page(*hostile) == page(*hostile)


def test_the_policy_allows_this_style_and_script_and_nothing_else(sample_page: Path) -> None:
    text = sample_page.read_text(encoding="utf-8")
    policy = re.search(r'Content-Security-Policy" content="([^"]+)"', text)
    assert policy is not None
    style = text.partition("<style>")[2].partition("</style>")[0]
    script = text.rpartition("<script>")[2].partition("</script>")[0]
    digests = [
        base64.b64encode(hashlib.sha256(part.encode()).digest()).decode()
        for part in (script, style)
    ]
    assert policy[1] == (
        f"default-src 'none'; script-src 'sha256-{digests[0]}'; style-src 'sha256-{digests[1]}'; "
        "img-src data:; base-uri 'none'; form-action 'none'"
    )


def test_nothing_outside_is_named(sample_page: Path) -> None:
    text = _BLOCK.sub("", sample_page.read_text(encoding="utf-8"))
    assert set(re.findall(r"https?://[^\"'\s]+", text)) == {"http://www.w3.org/2000/svg"}
    assert not re.search(r"\b(innerHTML|outerHTML|insertAdjacentHTML|document\.write|eval)\b", text)


def test_texts_of_records_stand_in_no_markup(hostile_page: Path) -> None:
    text = hostile_page.read_text(encoding="utf-8")
    assert IMAGE not in text
    assert BREAKS_OUT not in text
    assert text.count("window.harmed") == 1  # in the title, as text
    assert "&lt;/script&gt;&lt;script&gt;window.harmed = 1&lt;/script&gt;{data}" in text


def test_a_watched_page_may_ask_its_own_server_alone(hostile: Checked) -> None:
    text = page(*hostile, live="mark-1").decode()
    assert "connect-src 'self'" in text
    assert '<meta name="live" content="mark-1">' in text


def test_evidence_is_linked_only_inside_the_project(sample: Checked, tmp_path: Path) -> None:
    (tmp_path / "project").mkdir()
    (tmp_path / "outside.pdf").write_bytes(b"%PDF-1.7")
    (tmp_path / "project" / "inside.pdf").write_bytes(b"%PDF-1.7")
    files = {"D-1": "inside.pdf", "D-2": "../outside.pdf", "D-3": "missing.pdf", "D-4": "",
             "D-5": str(tmp_path / "outside.pdf"), "D-6": "."}  # fmt: skip
    documents = tuple(Document(number=n, title="", file=file) for n, file in files.items())
    seen = replace(sample[0], project=replace(sample[0].project, documents=documents))
    assert set(evidence_paths(seen, tmp_path / "project")) == {"D-1"}


def test_links_lead_from_the_page_to_the_file(sample: Checked, tmp_path: Path) -> None:
    paths = evidence_paths(sample[0], SAMPLE)
    links = links_from(SAMPLE / "out", paths)
    assert links
    assert all(href.startswith("../evidence/") and first == 1 for href, first in links.values())
    assert link("a b#c?d.pdf") == ("a%20b%23c%3Fd.pdf", 1)
    assert links_from(tmp_path, {"D": tmp_path / "javascript:x.pdf"}) == {
        "D": ("javascript%3Ax.pdf", 1)
    }
