"""Processes, and which paragraphs of QW-402 to QW-410 bind each of them.

Pure tables. `essential`: a change needs a new test; `supplementary`: only where toughness is
required; `nonessential`: the WPS is amended, no new test.
"""

from __future__ import annotations

from dossier.codes.asme_ix.common import Edition
from dossier.errors import InputError

# ISO 4063 number -> letters of the trade.
PROCESSES = {
    "111": "SMAW",
    "12": "SAW", "121": "SAW", "122": "SAW", "124": "SAW", "125": "SAW", "126": "SAW",
    "13": "GMAW", "131": "GMAW", "133": "GMAW", "135": "GMAW", "138": "GMAW",
    "114": "FCAW", "132": "FCAW", "136": "FCAW",
    "14": "GTAW", "141": "GTAW", "142": "GTAW", "143": "GTAW", "145": "GTAW",
    "15": "PAW", "151": "PAW",
    "311": "OFW", "72": "ESW", "73": "EGW",
}  # fmt: skip


def process_name(process: str) -> str:
    """The process in the letters of Section IX; what is not an ISO 4063 number stays as it is.

    >>> process_name("111"), process_name("138"), process_name("gtaw")
    ('SMAW', 'GMAW', 'GTAW')
    """
    return PROCESSES.get(process, process.upper())


_E, _S, _N, _SN = "essential", "supplementary", "nonessential", "supplementary, nonessential"

# QW-402, 405 to 408, 410: from a chart of the 2019 edition; QW-403, 404, 409: partly memory.
_ARC = {
    "QW-402.1": _N, "QW-402.10": _N, "QW-402.11": _N,
    "QW-403.5": _S, "QW-403.6": _S, "QW-403.8": _E, "QW-403.11": _E,
    "QW-404.4": _E, "QW-404.5": _E, "QW-404.30": _E, "QW-404.33": _N,
    "QW-405.1": _N, "QW-406.1": _E, "QW-406.3": _S, "QW-407.1": _E, "QW-407.2": _S,
    "QW-409.1": _S, "QW-409.4": _SN, "QW-409.8": _N,
    "QW-410.1": _N, "QW-410.5": _N, "QW-410.6": _N, "QW-410.9": _SN, "QW-410.25": _N,
    "QW-410.26": _N, "QW-410.64": _E,
}  # fmt: skip
_SMAW = _ARC | {
    "QW-402.4": _N, "QW-403.9": _E, "QW-404.6": _N, "QW-404.7": _S, "QW-404.12": _S,
    "QW-405.3": _N, "QW-406.2": _N,
}  # fmt: skip
_SAW = _ARC | {
    "QW-402.4": _N, "QW-403.9": _E, "QW-404.6": _N, "QW-404.9": _E, "QW-404.10": _E,
    "QW-404.24": _E, "QW-404.27": _E, "QW-404.29": _N, "QW-404.34": _E, "QW-404.35": _SN,
    "QW-404.36": _E, "QW-406.2": _N, "QW-410.7": _N, "QW-410.8": _N, "QW-410.10": _SN,
    "QW-410.15": _N,
}  # fmt: skip
_GMAW = _ARC | {
    "QW-402.4": _N, "QW-403.9": _E, "QW-403.10": _E, "QW-404.6": _N, "QW-404.12": _S,
    "QW-404.23": _E, "QW-404.24": _E, "QW-404.27": _E, "QW-404.32": _E, "QW-405.3": _N,
    "QW-406.2": _N, "QW-408.1": _N, "QW-408.2": _E, "QW-408.3": _N, "QW-408.5": _N,
    "QW-408.9": _E, "QW-408.10": _E, "QW-409.2": _E, "QW-410.3": _N, "QW-410.7": _N,
    "QW-410.8": _N, "QW-410.10": _SN, "QW-410.15": _N,
}  # fmt: skip
_GTAW = _ARC | {
    "QW-402.5": _N, "QW-404.3": _N, "QW-404.12": _S, "QW-404.14": _E, "QW-404.22": _N,
    "QW-404.23": _E, "QW-404.50": _N, "QW-405.3": _N, "QW-408.1": _N, "QW-408.2": _E,
    "QW-408.3": _N, "QW-408.5": _N, "QW-408.9": _E, "QW-408.10": _E, "QW-409.3": _N,
    "QW-409.12": _N, "QW-410.3": _N, "QW-410.7": _N, "QW-410.10": _SN, "QW-410.11": _E,
    "QW-410.15": _N,
}  # fmt: skip
_PROCEDURE = {"SMAW": _SMAW, "SAW": _SAW, "GMAW": _GMAW, "FCAW": _GMAW, "GTAW": _GTAW}

_WELDER = {
    "SMAW": "402.4 403.16 403.18 404.15 404.30 405.1 405.3",
    "SAW": "403.16 403.18 404.15 404.30 405.1",
    "GMAW": "402.4 403.16 403.18 404.15 404.30 404.32 405.1 405.3 408.8 409.2",
    "GTAW": "402.4 403.16 403.18 404.14 404.15 404.22 404.23 404.30 405.1 405.3 408.8 409.4",
    "PAW": "402.4 403.16 403.18 404.14 404.15 404.22 404.30 405.1 405.3 408.8",
}
_WELDER["FCAW"] = _WELDER["GMAW"]


def procedure_variables(process: str, edition: Edition) -> dict[str, str]:
    """Paragraph -> kind, for a procedure welded with `process`.

    Source: Section IX, Tables QW-253 to QW-256 (secondary; kinds of QW-403, 404 and 409 partly
    memory). QW-405.2 stands for gas metal-arc welding to the 2017 edition (read); for the other
    manual processes of that edition it is memory. Raises InputError: a process without a table.

    >>> procedure_variables("111", Edition("2019", False))["QW-406.1"]
    'essential'
    """
    name = process_name(process)
    if name not in _PROCEDURE:
        raise InputError("process", found=process, expected="one of " + ", ".join(_PROCEDURE))
    old = edition.uphill_is_supplementary and name != "SAW"
    return _PROCEDURE[name] | ({"QW-405.2": _S} if old else {})


def welder_variables(process: str) -> frozenset[str]:
    """Paragraphs that bind the qualification of a welder for `process`, manual or semiautomatic.

    Source: Section IX, Tables QW-353 to QW-357 (SMAW and SAW read; the others memory).
    Raises InputError: a process without a table here.

    >>> "QW-405.3" in welder_variables("121")
    False
    """
    name = process_name(process)
    if name not in _WELDER:
        raise InputError("process", found=process, expected="one of " + ", ".join(_WELDER))
    return frozenset(f"QW-{number}" for number in _WELDER[name].split())
