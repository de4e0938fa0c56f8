# SPDX-License-Identifier: MIT
"""The difference of two solved states over the drawing: flow after against flow before."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import NamedTuple

from app.overlay.colour_scale import ColourScale, Limits
from app.overlay.flow_arrows import STILL_L_S
from app.overlay.quantities import Overlay
from app.units import System, show
from solver.results import Results
from solver.vessel.vessel import Vessel

NAME = "difference"
#: The least half range of the map, and the steps its ends are rounded to.
_LEAST, _STEP = 0.1, 0.1
#: Changes beyond this share take the colour of the end.
_MOST = 1.0


class Comparison(NamedTuple):
    """Two solved states, and what each is called."""

    before: Results
    after: Results
    before_name: str
    after_name: str


@dataclass(frozen=True, eq=False)
class DifferenceOverlay(Overlay):
    """Change of flow as a share of the flow before; ``shares`` are the shares of design flow in words."""

    shares: Mapping[str, str] = field(default_factory=dict)

    def text(self, tag: str) -> str:
        """Return a part's change with its sign, and for an air handler its share before and after."""
        value = self.values.get(tag)
        if value is None:
            return self.shares.get(tag, "")
        return f"{signed_share(value)}  {self.shares.get(tag, '')}".rstrip()


def signed_share(value: float) -> str:
    """Return a change as a whole percentage with its sign.

    Examples
    --------
    >>> signed_share(0.123), signed_share(-0.05), signed_share(0.0001)
    ('+12 %', '-5 %', '0 %')
    """
    percent = round(100 * value)
    return f"{percent:+d} %" if percent else "0 %"


def change_of(before_L_s: float, after_L_s: float) -> float | None:
    """Return the change of a flow as a share of what it was; None where nothing flowed before."""
    if abs(before_L_s) < STILL_L_S:
        return None
    return (abs(after_L_s) - abs(before_L_s)) / abs(before_L_s)


def shares_in_words(comparison: Comparison, tag: str, system: System) -> str:
    """Return an air handler's share of design flow before and after, such as ``59 → 71 %``."""
    texts = []
    for results in (comparison.before, comparison.after):
        figures = results.air_handlers.get(tag)
        share = None if figures is None else round(figures.share_of_design, 2)
        texts.append(show(share, "fraction", system))
    return f"{texts[0].removesuffix(' %')} → {texts[1]}"


def difference_overlay(comparison: Comparison, vessel: Vessel, system: System, *, dark: bool) -> Overlay:
    """Return the overlay of a comparison on a drawing.

    Parameters
    ----------
    comparison : Comparison
    vessel : Vessel
        What is drawn.
    system : {"si", "us"}
    dark : bool
        For dark paper.
    """
    before, after = comparison.before, comparison.after
    values: dict[str, float] = {}
    for tag in (*(run.tag for run in vessel.runs), *after.air_handlers):
        if tag in before.links and tag in after.links:
            change = change_of(before.links[tag].flow_L_s, after.links[tag].flow_L_s)
            if change is not None:
                values[tag] = change
    largest = max((abs(value) for value in values.values()), default=0.0)
    end = min(max(_LEAST, math.ceil(largest / _STEP - 1e-9) * _STEP), _MOST)
    flows = [abs(after.links[tag].flow_L_s) for tag in values]
    most = max(flows, default=0.0) or 1.0
    return DifferenceOverlay(
        name=NAME,
        title="Change of flow",
        quantity="fraction",
        values=values,
        scale=ColourScale("deviation", -end, end, dark=dark),
        limits=Limits(),
        sea_limits=Limits(),
        system=system,
        flow_shares=[flow / most for flow in flows],
        beyond=frozenset(),
        shares={tag: shares_in_words(comparison, tag, system) for tag in after.air_handlers},
    )
