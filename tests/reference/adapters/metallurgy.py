"""Adapters: units, heat input, carbon equivalents, preheat, cooling time, hydrogen, hardness."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

Inputs = Mapping[str, Any]

ADAPTERS: dict[str, Callable[[Inputs], dict[str, Any]]] = {}
