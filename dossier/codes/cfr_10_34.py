"""10 CFR 34: who, what and how of industrial radiography (United States).

The site licence and state rules may ask more. CAUTION (module constant) belongs on every sheet
that rests on these rules.
"""

from __future__ import annotations

from dossier.calc.cautions import caution
from dossier.calc.guards import not_negative
from dossier.errors import InputError
from dossier.records.verdicts import CLEAR, NONCONFORMITY, Basis, Range, Reason, Verdict

CAUTION = caution("radiation")

CREW = Basis("10 CFR 34", "", "34.41(a)", known="read")
SURVEY = Basis("10 CFR 34", "", "34.49(b)", known="read")
SURVEILLANCE = Basis("10 CFR 34", "", "34.51", known="read")
POSTING = Basis("10 CFR 34", "", "34.53", known="read")
DOSIMETER = Basis("10 CFR 34", "", "34.47(d)", known="secondary")

_SITES = ("temporary_jobsite", "permanent_installation")
_DIRECT_READING_MREM = 200.0  # full scale of the direct-reading dosimeter


def _site(site: str) -> bool:
    if site not in _SITES:
        raise InputError("site", found=site, expected=f"one of {', '.join(_SITES)}")
    return site == _SITES[0]


def _must(met: bool) -> Verdict:
    return CLEAR if met else NONCONFORMITY


def crew_needed(site: str) -> int:
    """Qualified people who must be present while a source is exposed.

    Two at a temporary job site: the second watches and can help at once. Caution: the licence
    and local law may ask for more.

    Source: 10 CFR 34.41(a) (read). Raises InputError for an unknown site.

    >>> crew_needed("temporary_jobsite"), crew_needed("permanent_installation")
    (2, 1)
    """
    return 2 if _site(site) else 1


def crew(site: str, qualified_people: int) -> Reason:
    """The reason for the number of qualified people present. Caution: the licence governs.

    Source: 10 CFR 34.41(a) (read). Raises InputError for an unknown site.

    >>> str(crew("temporary_jobsite", 1).verdict)
    'nonconformity'
    """
    needed = Range(crew_needed(site), float("inf"), CREW, unit="people")
    return needed.judge("qualified people present", qualified_people)


def surveillance(
    site: str, *, continuous_direct_visual: bool, every_entry_locked: bool = False
) -> Reason:
    """The reason for how the area is watched during an exposure.

    Someone watches without a break, except at a permanent installation with every entry locked
    or protected. Caution: the licence governs.

    Source: 10 CFR 34.51 (read). Raises InputError for an unknown site.

    >>> str(surveillance("temporary_jobsite", continuous_direct_visual=False).verdict)
    'nonconformity'
    """
    locked = not _site(site) and every_entry_locked
    found = "watched" if continuous_direct_visual else "locked" if locked else "not watched"
    return Reason(
        *("surveillance", found, "continuous direct visual surveillance", SURVEILLANCE),
        _must(continuous_direct_visual or locked),
    )


def posting_required() -> bool:
    """Whether areas of a radiographic job must be posted: always.

    The exception of 10 CFR 20.1903 for attended work below 8 hours does not hold for radiography.
    Caution: the licence governs.

    Source: 10 CFR 34.53 (read).

    >>> posting_required()
    True
    """
    return True


def survey(*, survey_after_exposure: bool) -> Reason:
    """The reason for the survey after an exposure, before film or equipment is touched.

    Device and guide tube are surveyed on approach after every exposure. Caution: the meter, not
    the crank, tells where the source is.

    Source: 10 CFR 34.49(b) (read).

    >>> str(survey(survey_after_exposure=False).verdict)
    'nonconformity'
    """
    found = "made" if survey_after_exposure else "not made"
    return Reason("survey", found, "after every exposure", SURVEY, _must(survey_after_exposure))


def dosimeter(direct_reading_mrem: float) -> Reason:
    """The reason for a direct-reading dosimeter of 0 to 200 mrem.

    Off scale means: stop work, send the badge for processing at once, and no work with sources
    until the dose is known. Caution: the radiation safety officer decides.

    Source: 10 CFR 34.47(d) (secondary; the end of the rule from memory).
    Raises InputError for a negative reading.

    >>> str(dosimeter(210.0).verdict), str(dosimeter(199.0).verdict)
    ('nonconformity', 'clear')
    """
    reading = not_negative("direct_reading_mrem", direct_reading_mrem)
    on_scale = Range(0.0, _DIRECT_READING_MREM, DOSIMETER, unit="mrem")
    return on_scale.judge("direct-reading dosimeter", reading)
