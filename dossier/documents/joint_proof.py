"""What carries a joint's record: where each row was read, who was qualified, the three tests."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from pathlib import PurePosixPath

from dossier.coverage.joint_file import JointFile
from dossier.coverage.record_tests import RecordTest, record_tests
from dossier.coverage.view import View
from dossier.coverage.welders import held_for, holder, in_force
from dossier.coverage.work import Work, work_of
from dossier.documents.amounts import amount
from dossier.documents.sheet import Row, Table, columns, row, table, words
from dossier.records.base import Paper, Record
from dossier.records.verdicts import CLEAR, worst
from dossier.units import System

TEST_NOTE = (
    "Traceable: linked to its originals. Verifiable: confirmed by a second, separate document. "
    "Complete: signed or dated, and nothing needed left blank."
)


def read_from(records: Sequence[Record | None]) -> tuple[list[str], str]:
    """The place of each record, and a note that names the file where they share one.

    >>> from dossier.records.position import Position
    >>> log = [Record(origin=Position("registers/log.csv", n)) for n in (2, 3)]
    >>> read_from(log)
    (['line 2', 'line 3'], 'Read from log.csv.')
    """
    files = {record.origin.file for record in records if record is not None}
    if len(files) == 1:
        note = f"Read from {PurePosixPath(files.pop()).name}."
        return [record.origin.place if record else "" for record in records], note
    return [placed(record) if record else "" for record in records], ""


def with_places(made: Table, records: Sequence[Record | None]) -> Table:
    """The table with a last column that tells where each of its rows was read.

    `records` are those of the rows, in their order.
    """
    places, told = read_from(records)
    widest = max((len(place) for place in places), default=0)
    share = min(max(widest, 10.5), 18)
    heads = columns(
        *((c["label"], c["width"], c["align"]) for c in made["columns"]), ("Read from", share)
    )
    rows = [
        row([*one["cells"], place], [*one["marks"], ""])
        for one, place in zip(made["rows"], places, strict=True)
    ]
    return table(made["title"], heads, rows, f"{made['note']} {told}".strip())


def placed(record: Record) -> str:
    """File and place of a record, without the folders above the file."""
    return f"{PurePosixPath(record.origin.file).name}, {record.origin.place}"


def page_of(paper: Paper | None) -> str:
    """The page that a record names as its proof."""
    return f"{paper.document}, page {paper.page}" if paper else ""


def qualified(seen: View, file: JointFile, system: System) -> Table:
    """Who welded what, with the certificates that he held for the process on those days."""
    heads = columns(("Welder", 7), ("Name", 17), ("Process", 7), ("Deposit", 9), ("Days", 13),
                    ("Certificate", 14), ("Covers it", 8), ("In force", 8),
                    ("Page", 17))  # fmt: skip
    rows = [one for work in work_of(seen, file) for one in _certificates(seen, work, system)]
    return table("Welders and their certificates", heads, rows)


def _certificates(seen: View, work: Work, system: System) -> Iterator[Row]:
    person = holder(seen, work)
    deposit = amount(work.weld.deposit_mm, "mm", system)
    days = words(dict.fromkeys(d.isoformat() for d in (work.days[:1] + work.days[-1:])))
    head = [work.welder, person.name if person else "not on record", work.weld.process,
            deposit, days]  # fmt: skip
    held = held_for(seen, work)
    if not held:
        yield row([*head, "none", "", "", ""], [*[""] * 5, "nonconformity", "", "", ""])
    for one in held:
        dated = [r for d in work.days for r in in_force(seen, work.welder, one.certificate, d)]
        valid = bool(work.days) and worst(dated) == CLEAR
        marks = ["good" if good else "hold" for good in (one.covers, valid)]
        cells = [*head, one.certificate.number, _yes(one.covers), _yes(valid),
                 page_of(one.certificate.document)]  # fmt: skip
        yield row(cells, [*[""] * 6, *marks, ""])


def _yes(true: bool) -> str:
    return "yes" if true else "no"


def consumables(seen: View, file: JointFile) -> Table:
    """The batches used, each with its certificate and the page of it."""
    heads = columns(("Batch", 14), ("Classification", 22), ("Certificate", 16), ("Type", 8),
                    ("Page", 20), ("Read from", 20))  # fmt: skip
    numbers = [made.batch for made in file.passes] + [repair.batch for repair in file.repairs]
    used = sorted({number for number in numbers if number})
    kept = [seen.known.batches.get(number) for number in used]
    places, note = read_from(kept)
    rows = []
    for number, batch, place in zip(used, kept, places, strict=True):
        if batch is None:
            rows.append(row([number, "not on record", "", "", "", ""], ["", "hold", *[""] * 4]))
            continue
        mark = "" if batch.certificate else "hold"
        rows.append(row([number, batch.classification, batch.certificate, batch.certificate_kind,
                         page_of(batch.document), place], ["", "", mark, "", "", ""]))  # fmt: skip
    return table("Consumables", heads, rows, note)


def tested(seen: View, file: JointFile) -> Table:
    """The three tests of the record with what each lacks."""
    heads = columns(("Record is", 12), ("", 8), ("Points looked at", 12, "right"), ("Missing", 68))
    rows = [_test(one) for one in record_tests(seen, file)]
    return table("Three tests of the record", heads, rows, TEST_NOTE)


def _test(one: RecordTest) -> Row:
    missing = "; ".join(dict.fromkeys(one.missing))
    mark = "good" if one.holds else "hold"
    return row([one.name, _yes(one.holds), str(len(one.points)), missing], ["", mark, "", ""])
