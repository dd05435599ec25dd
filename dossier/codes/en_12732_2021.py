"""EN 12732:2021: welding of steel pipework for gas supply, its scope by temperature."""

from __future__ import annotations

from dossier.records.verdicts import Basis, Range

EDITION = "EN 12732:2021"
GAS_SUPPLY = Basis("EN 12732", "2021", "1", "read")


def gas_supply_temperature_range() -> Range:
    """Design temperatures inside the scope of welding gas supply steel pipework, in °C.

    Source: EN 12732:2021, 1 (read).

    >>> 120.0 in gas_supply_temperature_range(), 121.0 in gas_supply_temperature_range()
    (True, False)
    """
    return Range(-40.0, 120.0, GAS_SUPPLY, "°C")
