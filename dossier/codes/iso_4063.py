"""ISO 4063: reference numbers of welding processes (numbers of 2009, kept in 2023).

Only processes that can stand on a procedure sheet for steel are listed; names are shortened.
"""

from __future__ import annotations

from dossier.errors import InputError
from dossier.records.verdicts import Basis

EDITION = "ISO 4063:2009"
BASIS = Basis("ISO 4063", "2009", "Table 1")

# Nine names are secondary (111 to 141 of the reference list); the others are from memory.
PROCESSES = {
    "111": "manual metal arc welding",
    "112": "gravity arc welding with covered electrode",
    "114": "self-shielded tubular cored arc welding",
    "12": "submerged arc welding",
    "121": "submerged arc welding with solid wire",
    "122": "submerged arc welding with strip electrode",
    "124": "submerged arc welding with metallic powder addition",
    "125": "submerged arc welding with tubular cored electrode",
    "126": "submerged arc welding with cored strip electrode",
    "13": "gas-shielded metal arc welding",
    "131": "MIG welding with solid wire",
    "132": "MIG welding with flux cored electrode",
    "133": "MIG welding with metal cored electrode",
    "135": "MAG welding with solid wire",
    "136": "MAG welding with flux cored electrode",
    "138": "MAG welding with metal cored electrode",
    "14": "gas-shielded arc welding with non-consumable tungsten electrode",
    "141": "TIG welding with solid filler",
    "142": "autogenous TIG welding",
    "143": "TIG welding with tubular cored filler",
    "145": "TIG welding with reducing gas and solid filler",
    "146": "TIG welding with reducing gas and tubular cored filler",
    "15": "plasma arc welding",
    "151": "plasma MIG welding",
    "152": "powder plasma arc welding",
    "153": "plasma welding with transferred arc",
    "154": "plasma arc welding with non-transferred arc",
    "21": "resistance spot welding",
    "24": "flash welding",
    "3": "gas welding",
    "31": "oxyfuel gas welding",
    "311": "oxyacetylene welding",
    "312": "oxypropane welding",
    "42": "friction welding",
    "51": "electron beam welding",
    "52": "laser beam welding",
    "72": "electroslag welding",
    "73": "electrogas welding",
    "783": "drawn arc stud welding with ceramic ferrule or shielding gas",
}


def process_name(number: str) -> str:
    """The name of the process with this reference number.

    Source: ISO 4063:2009, Table 1 (secondary; names shortened). Raises InputError: unknown.

    >>> process_name("136")
    'MAG welding with flux cored electrode'
    """
    if number not in PROCESSES:
        raise InputError("process", found=repr(number), expected="a process number of ISO 4063")
    return PROCESSES[number]
