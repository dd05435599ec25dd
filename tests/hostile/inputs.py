"""Bad inputs of every kind that is read, made from a seed: the same seed, the same input.

A target takes an empty folder and a source of chance. It returns when the input was taken, and
raises an error of the project when it was refused; any other error is a fault of the tool.
"""

from __future__ import annotations

import csv
import io
import json
import string
from collections.abc import Callable
from pathlib import Path
from typing import Any

from tests.hostile.spoiling import (
    NASTY,
    PIECES,
    Chance,
    nudge,
    sound,
    spoil,
    text,
    value,
    write_spoilt,
)
from tests.trial import CLEAN, read

Target = Callable[[Path, Chance], None]


def loaded_and_checked(folder: Path) -> Any:
    from dossier.checks import run
    from dossier.coverage.view import view
    from dossier.intake import load_project

    seen = view(load_project(folder))
    return seen, run(seen)


def whole_project(folder: Path, chance: Chance) -> None:
    """A sound project with one to four places spoilt: read, checked, told."""
    from dossier.documents.finding_list import findings_as_data
    from dossier.documents.report_text import report_text

    registers = sound()
    for _ in range(chance.randint(1, 4)):
        chance.choice((spoil, nudge, nudge, nudge))(registers, chance)
    write_spoilt(folder, chance, registers)
    seen, findings = loaded_and_checked(folder)
    json.dumps(findings_as_data(seen.project.settings, seen.as_of, findings))
    report_text(seen.project.settings, seen.as_of, findings)


def every_document(folder: Path, chance: Chance) -> None:
    """The same, with the contexts of all documents, the tables and the page made of it."""
    from dossier.handover.sections import CONTENTS, source
    from dossier.handover.tables import tables
    from dossier.review import page

    registers = sound()
    for _ in range(chance.randint(1, 3)):
        nudge(registers, chance)
    write_spoilt(folder, chance, registers)
    seen, findings = loaded_and_checked(folder)
    of = source(seen, findings, None)
    for make in CONTENTS.values():
        list(make(of))
    tables(seen.project)
    page(seen, findings, {})


def settings_file(folder: Path, chance: Chance) -> None:
    """`project.yaml` with the settings of the sample spoilt."""
    from dossier.intake import load_project

    sample = read(CLEAN.parent.parent.parent / "sample_project" / "project.yaml")
    sample["registers"] = {}
    for _ in range(chance.randint(1, 3)):
        spoil(sample, chance)
    (folder / "project.yaml").write_text(json.dumps(sample), encoding="utf-8")
    load_project(folder)


def anything_as_file(folder: Path, chance: Chance) -> None:
    """Text or bytes of anything as a file of a register."""
    from dossier.intake import load_project

    ending = chance.choice(["yaml", "json", "jsonl", "csv", "xlsx"])
    content = text(chance, 80).encode("utf-8", "surrogatepass")
    if chance.random() < 0.2:
        content = chance.randbytes(chance.randrange(200))
    (folder / f"j.{ending}").write_bytes(content)
    head = {**sound()["project"], "registers": {chance.choice(["joints", "welders", "joint_files"]):
                                                f"j.{ending}"}}  # fmt: skip
    (folder / "project.yaml").write_text(json.dumps(head), encoding="utf-8")
    load_project(folder)


_DECLARED = (
    "file", "sheet", "header_row", "header_rows", "delimiter", "encoding", "columns", "constants",
    "together", "unfold", "repeat", "units", "values", "decimal", "date_order", "separator", "skip",
    "merged", "hidden", "as_above", "letters",
)  # fmt: skip
_FIELDS = ("number", "line", "hi_lo_mm", "welded_on", "kp_m", "remarks", "Joint", "Datum", "")


def column_map(folder: Path, chance: Chance) -> None:
    """How a table is written, declared in every wrong way."""
    from dossier.intake import load_project

    def some() -> Any:
        kind = chance.randrange(4)
        names = [chance.choice(_FIELDS) for _ in range(chance.randrange(4))]
        if kind == 0:
            return {name: value(chance) for name in names}
        if kind == 1:
            return {name: chance.choice(_FIELDS) for name in names}
        return names if kind == 2 else value(chance)

    declared = {name: some() for name in chance.sample(_DECLARED, chance.randrange(1, 5))}
    declared["file"] = "j.csv" if chance.random() < 0.9 else value(chance)
    rows = [[chance.choice(_FIELDS) for _ in range(4)], *[[str(value(chance)) for _ in range(4)]
            for _ in range(chance.randrange(4))]]  # fmt: skip
    out = io.StringIO()
    csv.writer(out, delimiter=chance.choice(",;\t|")).writerows(rows)
    encoding = chance.choice(["utf-8", "utf-16-le", "cp1252"])
    (folder / "j.csv").write_bytes(out.getvalue().encode(encoding, "replace"))
    head = {**sound()["project"], "registers": {"joints": declared}}
    (folder / "project.yaml").write_text(json.dumps(head), encoding="utf-8")
    load_project(folder)


_REGEX = (
    "(?P<series>", "(?P<sequence>", "(?P<part>", "(?P<event>", "(?P<order>", "(", ")", "[", "]",
    "+", "*", "?", "{2}", "{1,}", "{99999}", "|", r"\d", r"\w", ".", "A", "-", "^", "$", r"\b",
    "(?:", "(?=", "(?<=", r"\1", "(?i)", "(?P=series)", "[A-Z]+", "[0-9]+", "\\", "é", "\x00",
)  # fmt: skip


def number_grammar(_folder: Path, chance: Chance) -> None:
    """A grammar of joint numbers of any pieces, and numbers of any."""
    from dossier.intake.numbering import reader
    from dossier.records.project import Numbering

    pieces = [chance.choice(_REGEX) for _ in range(chance.randrange(1, 9))]
    pattern = "".join(pieces)
    if chance.random() < 0.7:
        pattern = f"(?P<series>[A-Z]+)-(?P<sequence>[0-9]+){pattern}"
    read_number = reader(Numbering(pattern=pattern, events={"R": "repair"}))
    for number in ("ML-117", "AAA-117R2", text(chance), "A" * 30, "A-" + "1" * 300):
        try:
            read_number(number)
        except ValueError as error:  # InputError is one; a refused number ends nothing
            if type(error).__module__ != "dossier.errors":
                _refused_by_patterns(error)


def _refused_by_patterns(error: ValueError) -> None:
    from dossier.errors import InputError

    if not isinstance(error, InputError):
        raise error


_WRITTEN = (
    "0", "-1", "12.7", "12,7", "1,270", "1.270,5", "1 1/16", "1/0", "½", "1e3", "1e999",
    "1e99999999", "-1e-99999999", "9" * 99, "9" * 5000, ".5", "5.", "1e", "١٢", "+-3", "1 2 3",
    "12+450",
)  # fmt: skip


def quantity(_folder: Path, chance: Chance) -> None:
    """A cell that should hold a number, a date, a time or an answer."""
    from dossier.intake import values
    from dossier.units import UNITS, figure, parse_quantity, show

    written = str(chance.choice(NASTY)) if chance.random() < 0.4 else text(chance, 12)
    unit = chance.choice(["", *UNITS])
    if chance.random() < 0.4:
        written = f"{chance.choice(_WRITTEN)}{chance.choice(['', ' '])}{chance.choice([*UNITS])}"
    kind = chance.randrange(6)
    if kind == 0:
        values.number(written, unit, chance.choice(["", *UNITS]), chance.choice(["", ".", ","]))
    elif kind == 1:
        values.whole_number(written, chance.choice(["", ".", ","]))
    elif kind == 2:
        values.iso_date(written, chance.choice(["", "dmy", "mdy", "ymd"]))
    elif kind == 3:
        values.iso_time(written, chance.choice(["", "dmy", "mdy", "ymd"]))
    elif kind == 4:
        values.yes_or_no(written)
    else:
        found = parse_quantity(written, unit or "mm", default=chance.choice([None, *UNITS]))
        show(found, unit or "mm", chance.choice(["SI", "US", "dual"]))  # type: ignore[arg-type]
        figure(found, unit or "mm")


_DESIGNATIONS = (
    "ISO 9606-1 111 P BW FM1 B s10 PA ss nb",
    "EN ISO 9606-1 141/111 T BW FM5 S/B s8(3/5) D60 H-L045",
    "ISO 2560-A: E 42 4 B 42 H5", "E8010-P1", "ER70S-6", "AWS A5.1: E7018-1H4R", "E316L-16",
    "ISO 14341-A: G 42 4 M G3Si1", "PJ/PH", "6G", "1.2", "L360",
)  # fmt: skip


def designation(_folder: Path, chance: Chance) -> None:
    """Designations of welders' tests, fillers and positions with a few characters changed."""
    from dossier.codes.consumables import read_filler
    from dossier.codes.iso_6947 import position
    from dossier.codes.iso_9606_1_2012.designation import read_designation

    written = list(chance.choice(_DESIGNATIONS))
    for _ in range(chance.randint(1, 4)):
        place = chance.randrange(len(written) + 1)
        written[place : place + chance.randrange(3)] = chance.choice([*PIECES, *string.printable])
    chance.choice([read_filler, position, read_designation])("".join(written))


_TEMPLATE = (
    "{{ head.number }}", "{{ ", " }}", "{% for a in range(9) %}", "{% endfor %}", "{% if head %}",
    "{% endif %}", "{{ ''.__class__.__mro__ }}", "{{ head.__class__ }}", "{{ 1/0 }}", "{{ 'a'+1 }}",
    "{{ [1][9] }}", "{{ head|attr('__class__') }}", "{% include '/etc/passwd' %}", "{{ _('x') }}",
    "{% set x = 1 %}", "{% macro m() %}{{ m() }}{% endmacro %}{{ m() }}", "{{ 'x'*9**9 }}",
    "{{ '%s'|format(1,2) }}", "{{ head|svg }}", "{{ range(10**9)|list|length }}", "<b>", "{#",
    "#}",
    "{{ '{0.__class__}'.format(head) }}", "{{ lipsum() }}", "{% import 'os' as x %}",
    "{{ nothing }}",
    "{{ 10**10**6 }}", "{{ cycler.__init__ }}", "{% raw %}", "{{ head.items() }}", "{{ 9**9**9 }}",
)  # fmt: skip


def template(folder: Path, chance: Chance) -> None:
    """A page of a stranger made of pieces that try things."""
    from dossier.documents.pages import page

    body = "".join(chance.choice(_TEMPLATE) for _ in range(chance.randint(1, 5)))
    (folder / "own.html").write_text(body, encoding="utf-8")
    look = {"language": "en", "paper": "A4", "colour": "#000000"}
    page("own.html", {"head": {"number": "X-1", "look": look}}, folder)


def volume_preset(folder: Path, chance: Chance) -> None:
    """The order of volumes as a project brings it along."""
    from dossier.handover.sections import CONTENTS
    from dossier.handover.volumes import load_volumes

    part = {"title": "B", "content": "joint-register", "papers": ["*"], "needed": [
        {"record": "R", "papers": ["p"], "asked_by": ["Contract", "x:Y"],
         "when": "always"}]}  # fmt: skip
    preset = {"volumes": [{"title": "A", "sections": [part]}]}
    for _ in range(chance.randint(1, 4)):
        spoil(preset, chance)
    content = json.dumps(preset) if chance.random() < 0.8 else text(chance, 60)
    (folder / "templates" / "volumes").mkdir(parents=True)
    path = folder / "templates" / "volumes" / "own.yaml"
    path.write_bytes(content.encode("utf-8", "surrogatepass"))
    load_volumes("own", folder, frozenset(CONTENTS))


def number_pattern(_folder: Path, chance: Chance) -> None:
    """The pattern of document numbers."""
    from dataclasses import replace

    from dossier.documents.sheet import document_number
    from dossier.records.project import Numbering, Settings

    plain = Settings(
        number="P", title="", client="", contractor="", numbering=Numbering(pattern="")
    )
    pieces = ("{project}", "{kind}", "{sequence}", "{sequence:04d}", "{", "}", ":", "!r",
              ".__class__", "{0}", "{}", "{sequence:0999999999d}", "{project:>9999999}", "[0]",
              "x", "{{", "é")  # fmt: skip
    written = "".join(chance.choice(pieces) for _ in range(chance.randint(1, 5)))
    assert len(document_number(replace(plain, document_number=written), "WPS", 7)) < 1000


def earlier_issue(folder: Path, chance: Chance) -> None:
    """`issue.json` and `check.json` of an earlier issue, as `--since` reads them."""
    from dossier.handover.changes import read_issue

    issue: Any = {"format": 1, "revision": "A", "as_of": "2026-01-01", "joints": [
        {"number": "J", "status": "welded", "verdict": "clear"}], "documents": [
        {"number": "D", "title": "T", "revision": "0", "digest": "x", "volume": "V"}]}  # fmt: skip
    found = {"id": "a", "sentence": "s", "verdict": "hold", "conceded_by": ""}
    check: Any = {"findings": [found]}
    for data in (issue, check):
        for _ in range(chance.randrange(3)):
            spoil(data, chance)
    (folder / "issue.json").write_text(json.dumps(issue), encoding="utf-8")
    (folder / "check.json").write_text(json.dumps(check), encoding="utf-8")
    if chance.random() < 0.2:
        content = text(chance).encode("utf-8", "surrogatepass")
        (folder / "issue.json").write_bytes(content)
    read_issue(folder)


_PAPERS: dict[str, bytes] = {}


def _paper(kind: str) -> bytes:
    if not _PAPERS:
        import pikepdf
        from PIL import Image

        out = io.BytesIO()
        with pikepdf.new() as pdf:
            for _ in range(2):
                pdf.add_blank_page(page_size=(300, 400)).obj.Annots = pikepdf.Array([
                    pikepdf.Dictionary(Type=pikepdf.Name.Annot, Subtype=pikepdf.Name.Link,
                                       A=pikepdf.Dictionary(S=pikepdf.Name.URI))])  # fmt: skip
            pdf.save(out, object_stream_mode=pikepdf.ObjectStreamMode.disable)
        _PAPERS["pdf"] = out.getvalue()
        for ending, form in (("png", "PNG"), ("jpg", "JPEG"), ("tif", "TIFF")):
            out = io.BytesIO()
            Image.effect_noise((40, 30), 40).save(out, form)
            _PAPERS[ending] = out.getvalue()
    return _PAPERS[kind]


def evidence(folder: Path, chance: Chance) -> None:
    """A scan with bytes changed: told as unreadable, or bound in without an error."""
    from dossier.handover.merge import Inside, Pages, Titles, merge
    from dossier.handover.papers import open_paper
    from dossier.handover.store import Store
    from dossier.intake.scans import scan
    from dossier.records.papers import Document

    kind = chance.choice(["pdf", "pdf", "pdf", "png", "jpg", "tif"])
    data = bytearray(_paper(kind))
    for _ in range(chance.randint(1, 6)):
        place = chance.randrange(len(data))
        data[place : place + chance.randrange(1, 4)] = chance.choice(
            [b"", b"0", b"9" * 12, b"/", b"<<", b">>", b"[", b"null", b"-", chance.randbytes(2)]
        )
    (folder / f"scan.{kind}").write_bytes(data)
    document = Document(number="D-1", title="T", file=f"scan.{kind}")
    scan(folder, document)
    paper = open_paper(document, folder, Store(folder / "store", ""))
    if not paper.pages:
        assert paper.lacking
        return
    (folder / "own.pdf").write_bytes(_paper("pdf"))
    runs = [Pages(folder / "own.pdf", own=True), Pages(paper.path, own=False, label="D-1")]
    titles = Titles("N", "T", "0", "", archival=False)
    assert merge(runs, titles, Inside(), folder / "whole.pdf") == 2 + paper.pages


def calculation(_folder: Path, chance: Chance) -> None:
    """A formula of the command line with any figures."""
    from dossier.calc.catalogue import list_formulas

    chosen = chance.choice(list_formulas())
    given = [f"{one.name}={value(chance)}" for one in chosen.arguments if chance.random() < 0.9]
    _asked(["calc", chosen.name, *given, *([text(chance, 6)] if chance.random() < 0.1 else [])])


def _asked(words: list[str]) -> None:
    from contextlib import redirect_stderr, redirect_stdout

    from dossier.cli import main

    with redirect_stdout(io.StringIO()), redirect_stderr(io.StringIO()):
        try:
            code = main(words)
        except SystemExit as left:  # argparse
            code = int(left.code or 0)
    assert code in (0, 1, 2, 3), code


def proposal(folder: Path, chance: Chance) -> None:
    """A column map proposed for a table of anything."""
    from dossier.intake.propose import propose

    out = io.StringIO()
    heads = ("Weld No", "Welder", "WPS", "Date", "Heat", "Wall", "Ø", "", "Amps", "Joint")
    rows = [[chance.choice(heads) for _ in range(6)] for _ in range(2)]
    rows += [[str(value(chance)) for _ in range(6)] for _ in range(chance.randrange(5))]
    csv.writer(out, delimiter=chance.choice(",;\t")).writerows(rows)
    (folder / "log.csv").write_bytes(out.getvalue().encode("utf-8", "surrogatepass"))
    propose(folder / "log.csv")


TARGETS: dict[str, Target] = {
    target.__name__: target
    for target in (
        whole_project, every_document, settings_file, anything_as_file, column_map, number_grammar,
        quantity, designation, template, volume_preset, number_pattern, earlier_issue, evidence,
        calculation, proposal,
    )
}  # fmt: skip
