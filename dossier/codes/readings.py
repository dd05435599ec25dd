"""Named readings of a code: which one a project chose, and the strict default.

Where editions or sources disagree, a code module lists the readings it knows in a table
`CHOICES`: name -> (default, alternatives, meaning). The default is the strict one.
"""

from __future__ import annotations

from collections.abc import Mapping

from dossier.codes.face import Choices
from dossier.errors import InputError

# name -> (default, alternatives, meaning)
Readings = Mapping[str, tuple[str, tuple[str, ...], str]]


def reading(choices: Choices, known: Readings, name: str) -> str:
    """The reading that `choices` names, or the default of `known`.

    Raises InputError: a value that the table does not list.

    >>> table = {"join": ("strict", ("sum",), "how two deposits join")}
    >>> reading({}, table, "join"), reading({"join": "sum"}, table, "join")
    ('strict', 'sum')
    """
    default, alternatives, _ = known[name]
    value = choices.get(name, default)
    if value != default and value not in alternatives:
        allowed = ", ".join((default, *alternatives))
        raise InputError(name, found=repr(value), expected=f"one of: {allowed}")
    return value
