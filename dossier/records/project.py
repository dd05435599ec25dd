"""The project: its identity, its requirements, and all registers together."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date

from dossier.records.base import Record
from dossier.records.construction import Coating, Lowering, PressureTest
from dossier.records.doubts import Doubt
from dossier.records.examinations import Examination, Examiner, Instrument
from dossier.records.joints import Joint, Line, Pass, Repair
from dossier.records.materials import Batch, Item, MaterialCertificate
from dossier.records.papers import Concession, Document, Nonconformity
from dossier.records.procedures import Pqr, Procedure, Span
from dossier.records.radiographs import Radiograph
from dossier.records.scans import Scan
from dossier.records.treatment import HardnessTest, HeatTreatmentRecord
from dossier.records.welders import Welder


@dataclass(frozen=True, slots=True, kw_only=True)
class Numbering:
    """The project's grammar of joint numbers: a regular expression with named groups.

    Groups: `series` and `sequence` (together the base), `event` and `order`. `events` gives the
    meaning of each event mark, `void` the numbers that were never used, with the reason.
    """

    pattern: str
    events: Mapping[str, str] = field(default_factory=dict)
    void: Mapping[str, str] = field(default_factory=dict)
    example: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Examined:
    """What must be examined on joints of one kind: method and share of the circumference."""

    kinds: tuple[str, ...]
    methods: tuple[str, ...]  # each of these is needed; "RT/UT" either of two
    percent: float = 100.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Technique:
    """How welds of some types may be examined by one method; what is left empty is not bound."""

    method: str
    weld_types: tuple[str, ...] = ()
    procedures: tuple[str, ...] = ()
    techniques: tuple[str, ...] = ()
    density: Span | None = None
    iqi_recorded: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Progressive:
    """Progressive sampling: a rejected weld asks for more welds of the same welder.

    A lot is what one welder made on one line in one `period` ("all", "month" or "week").
    """

    lines: tuple[str, ...] = ()  # () every line
    methods: tuple[str, ...] = ("RT", "UT")
    period: str = "all"
    other_welder: str = "own lot"  # a tracer that fails in another welder's part; "same lot"


@dataclass(frozen=True, slots=True, kw_only=True)
class Patterns:
    """Bounds of what is credible; beyond them the records are looked at again."""

    speed_max_kmh: float | None = None  # of a welder from joint to joint
    welds_per_shift_max: int | None = None  # joints of one welder in one day
    films_per_shift_max: int | None = None  # of one examiner in one day
    no_work_days: tuple[date, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Needed:
    """Fields of a register that must be answered for joints of these kinds: filled, or n/a."""

    register: str
    fields: tuple[str, ...]
    kinds: tuple[str, ...] = ()  # none: every kind of joint


@dataclass(frozen=True, slots=True, kw_only=True)
class Requirements:
    """The project's own limits; None where the project sets none.

    Each is a limit of this project, not of a standard, and is printed as such.
    """

    root_to_hot_max_min: float | None = None
    hot_to_next_max_min: float | None = None
    examination_delay_h: float | None = None
    delay_applies_to: tuple[str, ...] = ("RT", "UT", "MT", "PT")
    examined: tuple[Examined, ...] = ()
    repairs_per_place_max: int | None = None
    holiday_rule: str = ""  # named rule of the test voltage
    holiday_kv: float | None = None
    dew_point_margin_c: float | None = None
    humidity_max_percent: float | None = None
    coating_steel_c: Span | None = None  # temperature of the steel when coated
    cover_rule: str = ""  # named rule of the least cover
    cover_min_m: float | None = None  # the project's own; goes before the rule
    pressure_test_rule: str = ""  # named rule of pressure, time, medium and record of a test
    hi_lo_max_mm: float | None = None
    transition_record: bool = False  # unequal walls need a record of how they were matched
    baking_valid_h: float | None = None  # longest time from issue to use of a basic electrode
    baking_c: Span | None = None
    baking_holding_h: Span | None = None
    hardness_after_pwht: bool = False  # every heat-treated joint is hardness tested
    procedure_roles: tuple[str, ...] = ()  # signatures that every WPS must carry
    test_examiner: bool = False  # welder and procedure tests name their examiner
    needed_fields: tuple[Needed, ...] = ()
    certificate_kind: str = ""  # least EN 10204 type of material certificates
    repair_needs_repair_wps: bool = True
    examiner_level_min: int = 2
    near_vision_months: int = 12
    techniques: tuple[Technique, ...] = ()
    progressive: Progressive | None = None
    patterns: Patterns = Patterns()
    basis: str = "project specification"  # title of the document that sets these limits


@dataclass(frozen=True, slots=True, kw_only=True)
class Signatory:
    """Who signs which box of the issued documents."""

    role: str
    name: str = ""
    post: str = ""
    organisation: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Revision:
    """One issue of the dossier: its mark, day, purpose, and who stood for it."""

    revision: str
    issued_on: date | None = None
    purpose: str = ""  # "for review", "for approval", "as built", ...
    prepared: str = ""
    checked: str = ""
    approved: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class RoutePoint:
    """A point of a line's route: WGS 84 longitude and latitude, and the KP there."""

    lon_deg: float
    lat_deg: float
    kp_m: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Route:
    """Where a line runs: points in the order of the KP; joints lie straight between them."""

    line: str
    points: tuple[RoutePoint, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Look:
    """How the documents look: the firm that issues them, its logo, colour and typeface."""

    company: tuple[str, ...] = ()  # name and address, a line each
    logo: str = ""  # PNG or JPEG below the project folder
    colour: str = "#145a6b"  # of headings and rules; dark enough to be read on white
    typeface: str = "sans"  # "sans" or "serif", both bundled


@dataclass(frozen=True, slots=True, kw_only=True)
class Settings(Record):
    """`project.yaml`: identity and rules of the project."""

    number: str
    title: str
    client: str
    contractor: str
    location: str = ""
    contract: str = ""
    as_of: date | None = None  # cut-off day; None: the latest day in the records
    units: str = "SI"
    language: str = "en"
    paper: str = "A4"
    look: Look = Look()
    numbering: Numbering
    document_number: str = "{project}-{kind}-{sequence:04d}"
    revision: str = "0"
    revisions: tuple[Revision, ...] = ()  # earlier issues and this one
    volumes: str = "pipeline"
    routes: tuple[Route, ...] = ()
    requirements: Requirements = Requirements()
    signatories: tuple[Signatory, ...] = ()
    choices: Mapping[str, str] = field(default_factory=dict)  # named readings of the codes


@dataclass(frozen=True, slots=True, kw_only=True)
class Project:
    """All records of one project, in the order of their registers, and how they were read.

    `doubts` are fields read in another form than written, `readings` what was found out about
    whole files (encoding, delimiter), `radiographs` the headers of digital radiographs, `scans`
    what was found of the evidence files, `logo` the picture that the settings name.
    """

    settings: Settings
    lines: tuple[Line, ...] = ()
    joints: tuple[Joint, ...] = ()
    passes: tuple[Pass, ...] = ()
    procedures: tuple[Procedure, ...] = ()
    pqrs: tuple[Pqr, ...] = ()
    welders: tuple[Welder, ...] = ()
    items: tuple[Item, ...] = ()
    material_certificates: tuple[MaterialCertificate, ...] = ()
    batches: tuple[Batch, ...] = ()
    examinations: tuple[Examination, ...] = ()
    examiners: tuple[Examiner, ...] = ()
    repairs: tuple[Repair, ...] = ()
    heat_treatments: tuple[HeatTreatmentRecord, ...] = ()
    hardness_tests: tuple[HardnessTest, ...] = ()
    coatings: tuple[Coating, ...] = ()
    lowerings: tuple[Lowering, ...] = ()
    pressure_tests: tuple[PressureTest, ...] = ()
    instruments: tuple[Instrument, ...] = ()
    concessions: tuple[Concession, ...] = ()
    nonconformities: tuple[Nonconformity, ...] = ()
    documents: tuple[Document, ...] = ()
    doubts: tuple[Doubt, ...] = ()
    readings: tuple[str, ...] = ()
    radiographs: tuple[Radiograph, ...] = ()
    scans: tuple[Scan, ...] = ()
    logo: bytes = b""
