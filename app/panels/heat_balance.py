# SPDX-License-Identifier: MIT
"""Where each kW goes, as boxes and streams between them: no Qt, ready to be drawn or written as a table.

Heat goes from left to right.  In cooling: cabins, fans, pipes and pumps into the loop's water, from it into
the chillers, with the compressors' power into the sea.  In heating the other way round.
"""

from __future__ import annotations

from typing import Literal, NamedTuple

from app.translation import tr
from solver.results import HeatOf, HeatResults

#: Heat that is not worth a box [W].
_LEAST_W = 0.5
#: Chillers are drawn one by one up to so many.
_MOST_CHILLERS = 5

Colour = Literal["fresh", "sea", "soft"]


class Box(NamedTuple):
    """A place heat passes: its key, name, column from the left, heat through it, and the part it is."""

    key: str
    name: str
    column: int
    heat_W: float
    colour: Colour
    tag: str = ""


class Stream(NamedTuple):
    """Heat from one box to another."""

    start: str
    end: str
    heat_W: float
    colour: Colour


class HeatPicture(NamedTuple):
    """All boxes and streams, in order from the top, and the sums."""

    boxes: tuple[Box, ...]
    streams: tuple[Stream, ...]
    into_water_W: float
    out_of_water_W: float
    compressors_W: float
    sea_W: float
    error_share: float
    heating: bool


def item_name(name: HeatOf) -> str:
    """Return what an item of the balance is called."""
    return {
        "cabins": tr("Cabins"),
        "fans": tr("Fans"),
        "rated_air": tr("Air handlers without a cabin"),
        "pipes": tr("Pipes"),
        "pumps": tr("Pumps"),
        "tanks": tr("Tanks"),
        "chillers": tr("Chillers"),
    }[name]


def heat_picture(heat: HeatResults, *, heating: bool) -> HeatPicture:
    """Return the picture of a balance."""
    balance = heat.energy_balance
    sign = -1.0 if heating else 1.0
    # Columns as heat passes them; in heating the chillers come first.
    columns = {"source": 0, "water": 1, "chiller": 2, "end": 3}
    if heating:
        columns = {"source": 3, "water": 2, "chiller": 1, "end": 0}
    boxes = [Box("water", tr("Loop water"), columns["water"], balance.into_water_W, "fresh")]
    streams: list[Stream] = []
    for item in balance.flows:
        if item.name == "chillers" or abs(item.heat_W) < _LEAST_W:
            continue
        with_the_rest = sign * item.heat_W > 0
        # What goes against the rest stands on the chillers' side of the water.
        column = columns["source"] if with_the_rest else columns["chiller"]
        boxes.append(Box(item.name, item_name(item.name), column, abs(item.heat_W), "fresh"))
        start, end = _way(item.name, "water", back=item.heat_W < 0)
        streams.append(Stream(start, end, abs(item.heat_W), "fresh"))
    chillers = _chillers(heat)
    for key, (name, duty_W, sea_W, tag) in chillers.items():
        boxes.append(Box(key, name, columns["chiller"], duty_W, "fresh", tag))
        streams.append(Stream(*_way("water", key, back=heating), duty_W, "fresh"))
        through = duty_W if not heating else sea_W
        streams.append(Stream(*_way(key, "sea", back=heating), through, "sea"))
    sea_W, power_W = abs(balance.into_sea_W), balance.compressors_W
    if sea_W >= _LEAST_W:
        boxes.append(Box("sea", tr("Sea"), columns["end"], sea_W, "sea"))
    if power_W >= _LEAST_W and chillers:
        column = columns["end"] if heating else columns["chiller"]
        boxes.append(Box("compressors", tr("Compressors"), column, power_W, "soft"))
        if heating:
            for key, (_name, duty_W, drawn_W, _tag) in chillers.items():
                streams.append(Stream("compressors", key, duty_W - drawn_W, "soft"))
        else:
            streams.append(Stream("compressors", "sea", power_W, "soft"))
    return HeatPicture(
        tuple(boxes),
        tuple(stream for stream in streams if stream.heat_W >= _LEAST_W),
        balance.into_water_W,
        balance.out_of_water_W,
        power_W,
        balance.into_sea_W,
        balance.error_share,
        heating,
    )


def _way(start: str, end: str, *, back: bool) -> tuple[str, str]:
    return (end, start) if back else (start, end)


def _chillers(heat: HeatResults) -> dict[str, tuple[str, float, float, str]]:
    """Return key -> name, heat to or from the water, heat to or from the sea, tag, of those that work."""
    working = {
        tag: (tag, 1000 * abs(each.duty_kW), 1000 * abs(each.into_sea_kW), tag)
        for tag, each in heat.chillers.items()
        if 1000 * abs(each.duty_kW) >= _LEAST_W
    }
    if len(working) <= _MOST_CHILLERS:
        return working
    name = tr("{0} chillers").format(len(working))
    duty, sea = (sum(each[at] for each in working.values()) for at in (1, 2))  # type: ignore[misc]
    return {"chillers": (name, float(duty), float(sea), "")}
