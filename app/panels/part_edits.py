# SPDX-License-Identifier: MIT
"""One field of the selected parts, changed: the edit functions of the property sheet."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

import msgspec

from app.panels.fields import Field
from solver.parts.pipe_sizes import pipe_series, pipe_size
from solver.vessel.checks import own_problems
from solver.vessel.components import RegulatingValve
from solver.vessel.edits import replace_component, set_field, set_run_size
from solver.vessel.parts import Part
from solver.vessel.parts_list import PartsList
from solver.vessel.run import Run
from solver.vessel.vessel import Vessel

#: Fields of a component that a new model leaves as they are.
_KEPT = (
    "cabins",
    "running",
    "speed_percent",
    "opening_percent",
    "position_percent",
    "clogging_percent",
    "setting",
    "fan_running",
    "filter_clogging_percent",
    "coil_fouling_percent",
    "condenser_fouling_percent",
    "compressor_speed_percent",
    "set_point_C",
    "heating_set_point_C",
)
#: Fields that a slider turns, and the ends of it.
_SPANS = {
    "speed_percent": (0.0, 120.0),
    "opening_percent": (0.0, 100.0),
    "position_percent": (0.0, 100.0),
    "clogging_percent": (0.0, 95.0),
    "filter_clogging_percent": (0.0, 95.0),
    "coil_fouling_percent": (0.0, 95.0),
    "condenser_fouling_percent": (0.0, 95.0),
    "compressor_speed_percent": (10.0, 120.0),
}


def parts_of(vessel: Vessel, tags: Iterable[str]) -> tuple[Part, ...]:
    """Return the parts with these tags; tags that are gone are left out."""
    cabins = {cabin.tag: cabin for cabin in vessel.cabins}
    components, runs = vessel.component_by_tag, vessel.run_by_tag
    found = (components.get(tag) or runs.get(tag) or cabins.get(tag) for tag in tags)
    return tuple(part for part in found if part is not None)


def slider_spans(parts: Sequence[Part], fields: Iterable[Field]) -> dict[str, tuple[float, float]]:
    """Return field's key -> ends of its slider, for the fields that have one."""
    spans = {field.key: _SPANS[field.key] for field in fields if field.key in _SPANS}
    valves = [part for part in parts if isinstance(part, RegulatingValve)]
    if valves and len(valves) == len(parts):
        settings = [point.setting for valve in valves for point in valve.kv_table]
        spans["setting"] = (min(settings), max(settings))
    return spans


def with_field(vessel: Vessel, tags: Sequence[str], field: Field, value: object) -> Vessel:
    """Return the vessel with a field of some parts set.

    A run whose series changes takes the size of the nearest bore in the new one.

    Raises
    ------
    EditError
        The value is not accepted.
    """
    if field.key == "series":
        return _with_series(vessel, tags, str(value))
    outer, _, inner = field.key.partition(".")
    if not inner:
        return set_field(vessel, tags, field.key, value)
    for part in parts_of(vessel, tags):
        whole = msgspec.structs.replace(getattr(part, outer), **{inner: value})
        vessel = set_field(vessel, (part.tag,), outer, whole)
    return vessel


def with_model(vessel: Vessel, tags: Sequence[str], model: str, parts_list: PartsList) -> Vessel:
    """Return the vessel with components made those of a model; how they are set stays where it can.

    Without a model they keep their figures and lose the name only.

    Raises
    ------
    EditError
        A run would be left without a port.
    """
    if not model:
        return set_field(vessel, tags, "model", "")
    for part in parts_of(vessel, tags):
        new = parts_list.make(model, part.tag)
        kept = {key: getattr(part, key) for key in _KEPT if hasattr(part, key) and hasattr(new, key)}
        as_set = msgspec.structs.replace(new, **kept)
        if next(own_problems(as_set), None) is not None:
            # Another valve may not have the old setting.
            kept.pop("setting", None)
            as_set = msgspec.structs.replace(new, **kept)
        vessel = replace_component(vessel, part.tag, as_set)
    return vessel


def _with_series(vessel: Vessel, tags: Sequence[str], series: str) -> Vessel:
    for part in parts_of(vessel, tags):
        if isinstance(part, Run):
            bore = pipe_size(part.series, part.size).bore_mm
            nearest = min(pipe_series(series).sizes, key=lambda each: abs(each.bore_mm - bore))
            vessel = set_run_size(vessel, (part.tag,), series, nearest.size)
    return vessel
