# SPDX-License-Identifier: MIT
"""The vessel: the document, an immutable value.

An edit is a function from vessel to vessel (``solver.vessel.edits``); undo keeps the old value.
"""

from __future__ import annotations

from functools import cached_property
from typing import Annotated, Literal

from msgspec import Meta, Struct, field

from solver.change import Change
from solver.vessel.cabin import Cabin, Degrees
from solver.vessel.components import AnyComponent
from solver.vessel.fields import NonNegative, Percent, Point, Positive, Tag, Temperature
from solver.vessel.heights import Heights, heights
from solver.vessel.joints import Joints
from solver.vessel.run import Run
from solver.vessel.spaces import Space

__all__ = [
    "FORMAT",
    "Cabin",
    "Conditions",
    "Deck",
    "Limits",
    "LoopLiquid",
    "Method",
    "Reading",
    "ReadingSet",
    "Scenario",
    "Space",
    "Underlay",
    "Vessel",
]

#: Number of the file format this program writes.
FORMAT = 1


class LoopLiquid(Struct, frozen=True, forbid_unknown_fields=True):
    """What flows in the loop, at one temperature for all of it."""

    kind: Literal["water", "propylene_glycol", "ethylene_glycol"] = "water"
    share_percent: Annotated[float, Meta(ge=0, le=60)] = 0.0
    share_by: Literal["mass", "volume"] = "volume"
    temp_C: Annotated[float, Meta(ge=-30, le=95)] = 9.5


class Conditions(Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    """A named set of weather, sea and sun.

    ``outdoor_temp_C`` is the warmest of the day, with the humidity then; at other hours it is cooler by a
    share of ``daily_range_K``.  ``hour`` is solar time: the sun is highest at 12.  ``heading_deg`` is that of
    the boat, clockwise from north; None takes the worst for each cabin.
    """

    name: str
    outdoor_temp_C: Temperature = 35.0
    outdoor_rh_percent: Percent = 70.0
    sea_temp_C: Annotated[float, Meta(ge=-2, le=40)] = 32.0
    sea_salinity_g_kg: Annotated[float, Meta(ge=0, le=42)] = 35.0
    mode: Literal["cooling", "heating"] = "cooling"
    latitude_deg: Annotated[float, Meta(ge=-90, le=90)] = 40.0
    month: Annotated[int, Meta(ge=1, le=12)] = 7
    day: Annotated[int, Meta(ge=1, le=31)] = 21
    hour: Annotated[float, Meta(ge=0, le=24)] = 15.0
    heading_deg: Degrees | None = None
    cloud_percent: Percent = 0.0
    daily_range_K: Annotated[float, Meta(ge=0, le=30)] = 0.0


class Deck(Struct, frozen=True, forbid_unknown_fields=True, omit_defaults=True):
    """A deck, its height above the waterline (negative below) and the scale it is drawn to."""

    name: str
    height_m: float = 0.0
    metres_per_unit: Positive | None = None


class Reading(Struct, frozen=True, forbid_unknown_fields=True, omit_defaults=True):
    """One measured value; ``quantity`` carries the unit, as in ``pressure_kPa``."""

    tag: Tag
    quantity: str
    value: float
    plus_minus: NonNegative = 0.0


class ReadingSet(Struct, frozen=True, forbid_unknown_fields=True, omit_defaults=True):
    """Readings taken on one day; ``date`` as YYYY-MM-DD."""

    date: Annotated[str, Meta(pattern=r"^\d{4}-\d{2}-\d{2}$", description="a date as YYYY-MM-DD")]
    readings: tuple[Reading, ...] = ()
    notes: str = ""


class Scenario(Struct, frozen=True, forbid_unknown_fields=True, omit_defaults=True):
    """Changes under one name: a chiller off, a valve shut, a fault."""

    name: str
    changes: tuple[Change, ...] = ()
    notes: str = ""


class Underlay(Struct, frozen=True, forbid_unknown_fields=True, kw_only=True, omit_defaults=True):
    """A picture under the drawing: a deck plan with its scale; ``page`` is that of a PDF."""

    file: str
    page: Annotated[int, Meta(ge=1, le=10000)] = 1
    deck: str = ""
    at: Point = (0.0, 0.0)
    metres_per_unit: Positive = 0.05
    units_per_pixel: Positive = 1.0
    opacity_percent: Percent = 40.0


class Limits(Struct, frozen=True, forbid_unknown_fields=True, kw_only=True, omit_defaults=True):
    """What findings judge by; defaults are common practice (docs/findings.md names the sources)."""

    velocity_min_m_s: NonNegative = 0.3
    velocity_max_m_s: Positive = 1.5
    sea_velocity_max_m_s: Positive = 2.5
    loss_max_Pa_m: Positive = 400.0
    share_min_percent: Percent = 90.0
    share_max_percent: Annotated[float, Meta(ge=100, le=1000)] = 115.0
    static_min_kPa: NonNegative = 30.0
    npsh_margin_m: NonNegative = 0.5
    starts_max_h: Positive = 6.0


class Method(Struct, frozen=True, forbid_unknown_fields=True, kw_only=True, omit_defaults=True):
    """How losses of fittings and tees are worked out."""

    fittings: Literal["crane", "hooper", "darby"] = "crane"
    tees: Literal["flow_split", "constant"] = "flow_split"


class Vessel(Struct, frozen=True, forbid_unknown_fields=True, kw_only=True, dict=True):
    """The whole document.

    Lookups by tag are worked out once per value and kept with it.
    """

    format: Annotated[int, Meta(ge=1)] = FORMAT
    name: str
    notes: str = ""
    units: Literal["si", "us"] = "si"
    loop_liquid: LoopLiquid = field(default_factory=LoopLiquid)
    conditions: Annotated[tuple[Conditions, ...], Meta(min_length=1)] = (Conditions(name="Summer"),)
    condition: str = ""
    decks: tuple[Deck, ...] = ()
    spaces: tuple[Space, ...] = ()
    cabins: tuple[Cabin, ...] = ()
    components: tuple[AnyComponent, ...] = ()
    runs: tuple[Run, ...] = ()
    readings: tuple[ReadingSet, ...] = ()
    scenarios: tuple[Scenario, ...] = ()
    underlays: tuple[Underlay, ...] = ()
    limits: Limits = field(default_factory=Limits)
    method: Method = field(default_factory=Method)
    parts_list: str = ""

    @cached_property
    def component_by_tag(self) -> dict[str, AnyComponent]:
        """Tag -> component."""
        return {component.tag: component for component in self.components}

    @cached_property
    def run_by_tag(self) -> dict[str, Run]:
        """Tag -> run."""
        return {run.tag: run for run in self.runs}

    @cached_property
    def runs_at(self) -> dict[tuple[str, str], tuple[Run, ...]]:
        """(tag, port) -> the runs that end there, in file order."""
        found: dict[tuple[str, str], tuple[Run, ...]] = {}
        for run in self.runs:
            found[run.start] = (*found.get(run.start, ()), run)
            found[run.end] = (*found.get(run.end, ()), run)
        return found

    @cached_property
    def joints(self) -> Joints:
        """How the parts hang together: points, links and the ports they end at."""
        return Joints(self)

    @cached_property
    def heights(self) -> Heights:
        """Height of every component above the waterline, worked out once."""
        return heights(self)

    @property
    def current_conditions(self) -> Conditions:
        """The conditions named by ``condition``, else the first."""
        for conditions in self.conditions:
            if conditions.name == self.condition:
                return conditions
        return self.conditions[0]
