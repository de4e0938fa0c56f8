# SPDX-License-Identifier: MIT
"""The one notion of change: a tag, a quantity, and a new value, factor or difference.

Sliders, scenarios, faults, cures, uncertain lengths and sensitivities all speak it.  A vessel takes
changes (``solver.vessel.changes``) and so does a compiled network, without being compiled again.
"""

from __future__ import annotations

from typing import Literal

import msgspec


class Change(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """One quantity of one part, set, scaled or shifted.

    Parameters
    ----------
    tag : str
        The part.
    quantity : str
        The field's name, its unit in it (``speed_percent``, ``length_m``, ``clogging_percent``).
    value : float or str
        New value, factor or difference; text for a choice such as a pipe size.
    how : {"set", "scale", "add"}
        What is done with the value.

    Examples
    --------
    >>> Change("P-1", "speed_percent", 80.0)
    Change(tag='P-1', quantity='speed_percent', value=80.0, how='set')
    >>> Change("R-31", "length_m", 1.15, "scale").applied_to(10.0)
    11.5
    """

    tag: str
    quantity: str
    value: float | str
    how: Literal["set", "scale", "add"] = "set"

    def applied_to(self, old: float) -> float:
        """Return the quantity after the change, given what it was."""
        value = float(self.value)
        if self.how == "scale":
            return old * value
        if self.how == "add":
            return old + value
        return value
