# SPDX-License-Identifier: MIT
"""Values and tags as words of a message, in the units the vessel prefers.

A small copy of what the window does for its own fields: units and digits of the few quantities that
findings speak of.  Factors from the definitions of inch, US gallon, pound and standard gravity.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Literal, NamedTuple, TypeVar

Item = TypeVar("Item")


class _Shown(NamedTuple):
    """Unit, size of the unit in the document's, and the most decimals worth showing."""

    unit: str
    size: float
    decimals: int


_FOOT = 0.3048
_GRAVITY = 9.80665
_US_GPM = 231 * 0.0254**3 * 1000 / 60
_BTU = 1055.05585262  # J, International Table
_PSI = 0.45359237 * _GRAVITY / 0.0254**2 / 1000

_TABLE: dict[str, dict[str, _Shown]] = {
    "flow": {"si": _Shown("L/min", 1 / 60, 1), "us": _Shown("US gpm", _US_GPM, 2)},
    "pressure": {"si": _Shown("kPa", 1.0, 1), "us": _Shown("psi", _PSI, 2)},
    "length": {"si": _Shown("m", 1.0, 2), "us": _Shown("ft", _FOOT, 1)},
    "velocity": {"si": _Shown("m/s", 1.0, 2), "us": _Shown("ft/s", _FOOT, 2)},
    "gradient": {"si": _Shown("Pa/m", 1.0, 0), "us": _Shown("ft/100 ft", 10 * _GRAVITY, 2)},
    "thickness": {"si": _Shown("mm", 1e-3, 0), "us": _Shown("in", 0.0254, 2)},
    "heat": {"si": _Shown("kW", 1000.0, 2), "us": _Shown("BTU/h", _BTU / 3600, 0)},
    "volume": {"si": _Shown("L", 1.0, 0), "us": _Shown("US gal", _US_GPM * 60, 0)},
    "kv": {"si": _Shown("Kv", 1.0, 2), "us": _Shown("Cv", _US_GPM * 3.6 * (100 / _PSI) ** 0.5, 2)},
}


class Wording:
    """Values as text.

    Parameters
    ----------
    units : {"si", "us"}
    """

    def __init__(self, units: Literal["si", "us"]):
        self._units = units

    def _show(self, value: float, quantity: str, with_unit: bool = True) -> str:
        shown = _TABLE[quantity][self._units]
        text = _figure(value / shown.size, shown.decimals)
        if not with_unit:
            return text
        return f"{shown.unit} {text}" if quantity == "kv" else f"{text} {shown.unit}"

    def flow(self, flow_L_s: float) -> str:
        """Return a flow with its unit."""
        return self._show(flow_L_s, "flow")

    def flow_of(self, flow_L_s: float, design_L_s: float) -> str:
        """Return a flow and what it should be: ``2.1 L/min of 6.0``."""
        return f"{self.flow(flow_L_s)} of {self._show(design_L_s, 'flow', with_unit=False)}"

    def pressure(self, pressure_kPa: float) -> str:
        """Return a pressure with its unit."""
        return self._show(pressure_kPa, "pressure")

    def length(self, length_m: float) -> str:
        """Return a length, height or head with its unit, without needless zeros."""
        number, _, unit = self._show(length_m, "length").partition(" ")
        return f"{number.rstrip('0').rstrip('.') if '.' in number else number} {unit}"

    def velocity(self, velocity_m_s: float) -> str:
        """Return a velocity with its unit."""
        return self._show(velocity_m_s, "velocity")

    def gradient(self, loss_Pa_m: float) -> str:
        """Return a loss per length with its unit."""
        return self._show(loss_Pa_m, "gradient")

    def kv(self, kv_m3_h: float) -> str:
        """Return a flow coefficient with its name: ``Kv 1.2`` or ``Cv 1.39``."""
        return self._show(kv_m3_h, "kv")

    def thickness(self, thickness_m: float) -> str:
        """Return a thickness with its unit."""
        return self._show(thickness_m, "thickness")

    def heat(self, heat_W: float) -> str:
        """Return a flow of heat with its unit."""
        return self._show(heat_W, "heat")

    def volume(self, volume_L: float) -> str:
        """Return a volume with its unit."""
        return self._show(volume_L, "volume")

    def temperature(self, temp_C: float) -> str:
        """Return a temperature with its unit."""
        return f"{temp_C:.1f} °C" if self._units == "si" else f"{temp_C * 1.8 + 32:.1f} °F"

    def difference(self, kelvin: float) -> str:
        """Return a difference of temperatures with its unit."""
        return f"{_figure(kelvin, 1)} K" if self._units == "si" else f"{_figure(kelvin * 1.8, 1)} °F"


def percent(share: float) -> str:
    """Return a share of 1 as a percentage."""
    return f"{100 * share:.0f} %"


def listed(items: Sequence[Item], name: Callable[[Item], str] = str, most: int = 4) -> str:
    """Return names in a row: ``A``, ``A and B``, ``A, B and C``, ``A, B, C and 12 more``."""
    shown = [name(item) for item in items[: most if len(items) <= most else most - 1]]
    if len(items) > most:
        shown.append(f"{len(items) - most + 1} more")
    return shown[0] if len(shown) == 1 else f"{', '.join(shown[:-1])} and {shown[-1]}"


def counted(count: int, one: str, many: str) -> str:
    """Return a count with its noun."""
    return f"{count} {one if count == 1 else many}"


def _figure(value: float, decimals: int) -> str:
    """Return three significant digits within ``decimals``; a small value has one decimal more."""
    if abs(value) < 0.5 * 10.0 ** -(decimals + 1):
        return "0"
    wanted = min(decimals, max(0, 2 - _magnitude(value, 3)))
    least = min(decimals + 1, max(0, 1 - _magnitude(value, 2)))
    return f"{value:.{max(wanted, least)}f}"


def _magnitude(value: float, significant: int) -> int:
    """Return the power of ten of a value's first digit, once rounded to so many digits."""
    return int(f"{value:.{significant - 1}e}".partition("e")[2])
