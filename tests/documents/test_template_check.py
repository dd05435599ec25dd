"""A project's own templates are looked over: what they may use, slips with their places."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any, get_args, get_origin, get_type_hints, is_typeddict

import docx
import pytest

from dossier.commands import templates as command
from dossier.coverage.view import view
from dossier.documents.docx_template import sha256
from dossier.documents.template_check import checked, listed, ours, shown
from dossier.documents.template_fields import CONTEXTS, SHARED, fields_of
from dossier.errors import InputError
from tests.documents import example, wording


def _told(folder: Path) -> list[str]:
    return [str(slip) for slip in checked(folder) if slip.fault]


BATCHED = (
    "{% for line in rows.rows|batch(2) %}{% for r in line %}{{ r.cells[0].x }}"
    "{% endfor %}{% endfor %}"
)


def test_our_own_templates_have_no_slip(tmp_path: Path) -> None:
    for name, path in ours().items():
        (tmp_path / name).write_bytes(path.read_bytes())
    assert _told(tmp_path) == []
    assert {one.name for one in listed(tmp_path)} == set(ours())
    assert all(one.own for one in listed(tmp_path))
    assert not any(one.own for one in listed(None))
    assert set(ours()) <= {*CONTEXTS, *SHARED}


@pytest.mark.parametrize(
    ("body", "told"),
    [
        ("{{ head.nummer }}", "line 2: head.nummer: no such field; there are as_of, caution"),
        ("{{ nothing }}", "line 2: nothing: not among the data of this document"),
        ("{% for r in rows.rows %}{{ r.cell }}{% endfor %}", "line 2: rows.rows[].cell: no such"),
        ("{{ note.upper.x }}{{ note|shout }}", "line 2: |shout: no such filter"),
        ("{{ note.__class__ }}", "line 2: note.__class__: refused"),
        ("{% for %}", "line 2: cannot be read: "),
        (BATCHED, "rows.rows[].cells[] has no parts"),
    ],
)
def test_slips_of_a_page_are_told_with_their_line(tmp_path: Path, body: str, told: str) -> None:
    (tmp_path / "register.html").write_text(
        f'{{% extends "base.html" %}}\n{body}', encoding="utf-8"
    )
    assert any(told in one for one in _told(tmp_path)), _told(tmp_path)


def test_a_page_of_its_own_must_show_what_every_sheet_shows(tmp_path: Path) -> None:
    (tmp_path / "register.html").write_text("{{ head.number }}{{ note }}", encoding="utf-8")
    told = _told(tmp_path)
    assert [one.split(": ")[1].split(" ")[0] for one in told] == [
        "head.revision", "head.status", "head.signatures", "head.caution",
    ]  # fmt: skip
    notes = [str(slip) for slip in checked(tmp_path) if not slip.fault]
    assert notes == ["register.html: not printed: rows, strips"]


def test_slips_of_a_word_form_are_told_with_table_row_and_cell(tmp_path: Path) -> None:
    form = docx.Document()
    form.add_paragraph("No. {{ head.number }}")
    table = form.add_table(3, 2)
    table.rows[0].cells[1].text = "{{ head.revison }}"
    table.rows[1].cells[0].text = "{%tr for r in fillers.rows %}"
    table.rows[2].cells[1].text = "{{ r.cells[1] }} {{ r.colour }}"
    form.add_paragraph("{% endfor %} {{ heading }}")
    form.sections[0].header.paragraphs[0].text = "{{ head.projct }}"
    form.save(str(tmp_path / "procedure.docx"))
    told = [one for one in _told(tmp_path) if "is not printed" not in one]
    assert [one.split(": ")[0].removeprefix("procedure.docx, ") for one in told] == [
        "table 1, row 1, cell 2, paragraph 1",
        "table 1, row 3, cell 2, paragraph 1",
        "paragraph 2",
        "head of page, paragraph 1",
    ]


def test_a_slip_without_a_name_is_told_with_its_place_in_the_word_form(tmp_path: Path) -> None:
    form = docx.Document()
    for text in ("No. {{ head.number }}", "{% for %}", "the end"):
        form.add_paragraph(text)
    form.save(str(tmp_path / "procedure.docx"))
    (told,) = _told(tmp_path)
    assert told.startswith("procedure.docx, paragraph 2: cannot be read: ")


@pytest.mark.parametrize(
    "body",
    [
        "{% for one in content.values() %}{{ one.x }}{% endfor %}",
        "{% for name, one in content.items() %}{{ name }}{{ one.x }}{% endfor %}",
        "{{ content.welds.x }}",
    ],
)
def test_parts_under_names_of_their_own_are_followed(tmp_path: Path, body: str) -> None:
    (tmp_path / "printed.html").write_text(f'{{% extends "base.html" %}}\n{body}')
    (told,) = _told(tmp_path)
    assert told.endswith(".x: no such field; there are drawings, empty, rows")


def test_other_files_are_told(tmp_path: Path) -> None:
    (tmp_path / "own.html").write_text("x", encoding="utf-8")
    (tmp_path / "register.html").write_bytes("Prüfung".encode("latin-1"))
    (tmp_path / "cover.html").symlink_to("/etc/hostname")
    (tmp_path / "procedure.docx").write_bytes(b"no zip")
    told = {one.split(":")[0]: one for one in map(str, checked(tmp_path))}
    assert "no document uses" in told["own.html"]
    assert "UTF-8" in told["register.html"]
    assert "leads out" in told["cover.html"]
    assert "Word document" in told["procedure.docx"]


def test_the_command(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    import argparse

    parser = argparse.ArgumentParser()
    command.add(parser.add_subparsers())
    (tmp_path / "register.html").write_text("{{ nothing }}", encoding="utf-8")
    runs = {"list": [str(tmp_path)], "show": ["register.html"], "check": [str(tmp_path)]}
    codes = {}
    for action, rest in runs.items():
        arguments = parser.parse_args(["templates", action, *rest])
        codes[action] = arguments.run(arguments)
    said = capsys.readouterr().out
    assert codes == {"list": 0, "show": 0, "check": 1}
    assert sha256((tmp_path / "register.html").read_bytes()) in said
    assert "rows.rows[].cells[]" in said
    assert "1 templates, 6 faults, 1 notes" in said
    with pytest.raises(InputError, match="folder"):
        command.run(parser.parse_args(["templates", "check", str(tmp_path / "absent")]))


def test_an_unknown_template_has_no_fields() -> None:
    with pytest.raises(InputError, match="templates list"):
        fields_of("nothing.html")


def _fits(value: Any, kind: Any) -> bool:
    if is_typeddict(kind):
        hints = get_type_hints(kind)
        return set(value) == set(hints) and all(_fits(value[k], hints[k]) for k in hints)
    parts = get_args(kind)
    if get_origin(kind) is list:
        return isinstance(value, list) and all(_fits(one, parts[0]) for one in value)
    if get_origin(kind) is tuple:
        return len(value) == len(parts) and all(map(_fits, value, parts))
    if get_origin(kind) is dict:
        return all(_fits(one, parts[1]) for one in value.values())
    return isinstance(value, kind | int if kind is float else kind)


def test_what_documents_are_given_is_what_is_shown(monkeypatch: pytest.MonkeyPatch) -> None:
    seen = view(example.project(), example.AS_OF)
    found = wording.contexts(seen, example.findings(), monkeypatch)
    looked = {template for template, _ in found if template in CONTEXTS}
    assert len(looked) > 8
    for template, context in found:
        if template in CONTEXTS:
            held = json.loads(json.dumps(context, default=str))
            assert all(_fits(held[k], kind) for k, kind in fields_of(template).items()), template


def test_every_path_of_every_document_can_be_shown() -> None:
    for name in CONTEXTS:
        assert "head.number" in dict(shown(name))
