"""Cautions that printed sheets carry where the work can hurt someone.

Each text is our own and defers to the law of the place, the licence and licensed practice. A
document is tested by the ids it carries, not by wording, so a project may reword a text.

Source: common practice of the trade; the rules that the texts lean on are named beside the
functions that use them (10 CFR 20, 10 CFR 34, 10 CFR 73, 29 CFR 1910.146, ASME PCC-2).
"""

from __future__ import annotations

from types import MappingProxyType

from dossier.errors import InputError

CAUTIONS = MappingProxyType(
    {
        "licence": "Gamma and X-ray work is done only by people and firms licensed for it. The "
        "radiation safety officer of the licence and the law of the place decide; this sheet "
        "does not.",
        "numbers-not-plan": "These are arithmetic results, not a radiation safety plan and not a "
        "permit to expose.",
        "survey-governs": "Barriers stand where the calibrated survey meter says, during the first "
        "exposure and after every change. A calculated distance is only where to begin.",
        "two-people": "At a temporary site two qualified people attend every exposure and watch "
        "the area without a break, or as the stricter local rule asks.",
        "iqi-decides": "The image decides: a film on which the required wire or hole is not seen "
        "is rejected, whatever was calculated.",
        "edition": "Figures belong to the edition named. Confirm it against the contract before "
        "the first shot.",
        "no-wall-credit": "The distance counts no wall, ground or building as shielding, and no "
        "scatter either. Scatter can make the true rate higher.",
        "collimator-failure": "A collimator can slip or be left off. Know the distance without it "
        "and be able to clear that area.",
        "gamma-source": "A gamma source cannot be switched off. Keep the emergency procedure, "
        "tools and the number of the radiation safety officer at hand.",
        "beam-on-hour": "An hour with less beam is any sixty minutes in a row, not the hour of the "
        "clock. The distance for a beam that is on all hour stands beside it.",
        "source-security": "Places and times of sources above the security threshold are kept out "
        "of documents that travel freely.",
        "high-voltage": "The holiday detector carries a voltage that can injure or kill. Only "
        "trained people use it, earthed and gloved as its maker and the site rules ask.",
        "gas-free": "A spark is the aim of the test. The air must be proved free of gas and vapour "
        "before and while testing, under a permit where the site asks one.",
        "no-cardiac-device": "Nobody with a pacemaker or another implanted device works with or "
        "near the detector.",
        "voltage-source": "The test voltage comes from the rule named and the thickness measured. "
        "Too little finds nothing, too much breaks sound coating; the maker of the coating and "
        "the project have the last word.",
        "stored-energy": "A section under test stores energy that kills when it fails, far more "
        "with gas or trapped air than with water. Distances, barriers and rates come from the "
        "approved test plan of a competent engineer and local law.",
        "test-boundary": "Nobody enters the boundary while pressure rises or is held; nothing is "
        "tightened, struck or repaired under pressure.",
        "weakest-part": "The lowest-rated valve, fitting, hose, flange and the head of water set "
        "the limit, not the pipe alone.",
        "hot-work": "Welding, cutting and preheating need the hot work permit of the site: air "
        "tested, fuel removed, fire watch kept on after the work ends.",
        "hot-pipe": "Preheated and heat-treated metal burns without looking hot; fumes, arc "
        "light and electric shock are hazards of their own. Local rules govern.",
        "lifting": "Lifting and lowering follow a lift plan by a competent person, inside the "
        "rated load of crane and gear. Nobody stands under or between pipe and ditch.",
        "confined-space": "A pipe, tank or deep ditch may be a confined space: no entry without "
        "the permit, tested air, an attendant and rescue arranged. Argon and nitrogen suffocate "
        "without warning.",
        "excavation": "A ditch can fall in. A competent person as local law defines one decides on "
        "slope, shoring and access before anyone enters.",
    }
)

SUBJECTS = MappingProxyType(
    {
        "radiation": ("licence", "numbers-not-plan", "survey-governs"),
        "pressure": ("stored-energy", "test-boundary", "weakest-part"),
        "hot work": ("hot-work", "hot-pipe"),
        "lifting": ("lifting",),
        "coating voltage": ("high-voltage", "gas-free", "no-cardiac-device", "voltage-source"),
        "confined space": ("confined-space",),
        "excavation": ("excavation",),
    }
)

# Which cautions each printed sheet must carry, in printing order.
DOCUMENTS = MappingProxyType(
    {
        "rt_technique_sheet": (
            *("licence", "numbers-not-plan", "survey-governs"),
            *("two-people", "iqi-decides", "edition"),
        ),
        "boundary_distance_sheet": (
            *("licence", "numbers-not-plan", "survey-governs", "no-wall-credit"),
            *("collimator-failure", "gamma-source", "beam-on-hour", "source-security"),
        ),
        "holiday_report": SUBJECTS["coating voltage"],
        "pressure_test_sheet": SUBJECTS["pressure"],
        "welding_procedure_sheet": SUBJECTS["hot work"],
        "lowering_record": (*SUBJECTS["lifting"], *SUBJECTS["excavation"]),
        "fit_up_sheet": (*SUBJECTS["hot work"], *SUBJECTS["lifting"]),
        "daily_welding_sheet": SUBJECTS["hot work"],
        "repair_ledger": SUBJECTS["hot work"],
        "heat_treatment_register": SUBJECTS["hot work"],
    }
)


def caution(subject: str) -> str:
    """The caution on one subject of work, as one paragraph.

    `subject` is one of SUBJECTS ("radiation", "pressure", "hot work", ...). Raises InputError
    for any other.

    >>> caution("confined space").split(":")[0]
    'A pipe, tank or deep ditch may be a confined space'
    """
    if subject not in SUBJECTS:
        raise InputError("subject", found=subject, expected=f"one of {', '.join(SUBJECTS)}")
    return " ".join(CAUTIONS[key] for key in SUBJECTS[subject])


def caution_ids(document: str) -> tuple[str, ...]:
    """The ids of the cautions that one kind of document must carry, in printing order.

    Raises InputError for a kind that is not in DOCUMENTS. Source: common practice.

    >>> caution_ids("holiday_report")
    ('high-voltage', 'gas-free', 'no-cardiac-device', 'voltage-source')
    """
    if document not in DOCUMENTS:
        raise InputError("document", found=document, expected=f"one of {', '.join(DOCUMENTS)}")
    return DOCUMENTS[document]


def caution_texts(document: str) -> dict[str, str]:
    """Id and text of every caution that one kind of document must carry, in printing order.

    >>> list(caution_texts("pressure_test_sheet"))
    ['stored-energy', 'test-boundary', 'weakest-part']
    """
    return {key: CAUTIONS[key] for key in caution_ids(document)}
