# SPDX-License-Identifier: MIT
"""An air handler with its branch: what it is made of, and where its parts stand.

The air handler looks with its ports towards the mains.  Its supply column stands on the one port, its
return column on the other, valves one behind the other; both end at one level.
"""

from __future__ import annotations

from typing import Annotated, Any, Literal, NamedTuple, TypeAlias

import msgspec
from msgspec import Meta, Struct, field

from solver.errors import EditError
from solver.vessel.accepted import one_of, shown
from solver.vessel.components import (
    AirHandler,
    AnyComponent,
    Component,
    ConstantFlowValve,
    FlexibleHose,
    IsolatingValve,
    RegulatingValve,
    Strainer,
    TwoWayValve,
)
from solver.vessel.edits.cutting import half_length
from solver.vessel.edits.joining import RunDefaults
from solver.vessel.fields import Point, Positive
from solver.vessel.footprint import Rect, port_offsets, turned
from solver.vessel.parts_list import PartsList, read_parts_list
from solver.vessel.routing.obstacles import blocked

Piece: TypeAlias = Literal["isolating", "strainer", "hose", "two_way", "regulating"]
PIECES: tuple[Piece, ...] = ("isolating", "strainer", "hose", "two_way", "regulating")

#: From the air handler's port to the first part [units].
_FIRST_GAP = 20.0
#: Direction from the air handler to the mains -> its turn.
TURN_TOWARDS: dict[Point, int] = {(0.0, 1.0): 0, (-1.0, 0.0): 1, (0.0, -1.0): 2, (1.0, 0.0): 3}


Spacing: TypeAlias = Annotated[float, Meta(ge=0, le=100)]


class BranchSettings(Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    """What a branch is made of; the same for the next until it is changed.

    Components are patterns: their tag and place are replaced, all else is kept.

    Parameters
    ----------
    air_handler : AirHandler
        The pattern of the air handler.
    isolating, strainer, hose, two_way, regulating : component, optional
        Patterns of the other parts; None leaves one out.
    supply_order, return_order : tuple of str
        The parts in the direction of flow: from the supply main to the air handler, and from there to the
        return main.  What has no pattern is passed over.
    pipe : RunDefaults
        Pipe and insulation.
    length_m : float, optional
        Length of the supply pipe and of the return pipe each [m]; off the drawing if not given.
    height_m : float, optional
        Height of the air handler above its deck [m].
    spacing : float
        From part to part of a column [units].
    """

    air_handler: AirHandler
    isolating: IsolatingValve | None = IsolatingValve(tag="IV")
    strainer: Strainer | None = None
    hose: FlexibleHose | None = None
    two_way: TwoWayValve | None = None
    regulating: RegulatingValve | ConstantFlowValve | None = None
    supply_order: tuple[Piece, ...] = ("isolating", "strainer", "hose")
    return_order: tuple[Piece, ...] = ("hose", "two_way", "regulating", "isolating")
    pipe: RunDefaults = field(default_factory=RunDefaults)
    length_m: Positive | None = None
    height_m: float | None = None
    spacing: Spacing = 10.0


def first_settings(parts: PartsList | None = None) -> BranchSettings:
    """Return settings to begin with: an air handler of 3.5 kW, ball valves, a regulating valve of DN 15.

    Parameters
    ----------
    parts : PartsList, optional
        The list that models are taken from; where it has not those, its middle ones.
    """
    parts = parts or read_parts_list()

    def pattern(kind: str, model: str) -> Any:
        rows = parts.of_kind(kind)
        known = [row for row in rows if row.model == model] or list(rows[len(rows) // 2 : len(rows) // 2 + 1])
        return parts.make(known[0].model, known[0].model[:1]) if known else None

    air_handler = pattern("air_handler", "Air handler 3.5 kW")
    if air_handler is None:
        air_handler = AirHandler(tag="AH", design_flow_L_s=0.15, rated_flow_L_s=0.15, rated_drop_kPa=11.0)
    return BranchSettings(
        air_handler=air_handler,
        isolating=pattern("isolating_valve", "Ball valve") or IsolatingValve(tag="IV"),
        regulating=pattern("regulating_valve", "Regulating valve DN 15"),
        pipe=RunDefaults(size="20x2.0"),
    )


class Standing(NamedTuple):
    """A pattern and where it stands, seen from the air handler, whose ports look down."""

    pattern: AnyComponent
    at: Point
    turn: int


class Layout(NamedTuple):
    """The parts of the two columns in the direction of flow, and how far they reach towards the mains."""

    supply: tuple[Standing, ...]
    back: tuple[Standing, ...]
    reach: float


def layout(settings: BranchSettings) -> Layout:
    """Return where the parts of a branch stand.

    Raises
    ------
    EditError
        An order names a part twice or one that is not known.
    """
    ports = port_offsets(settings.air_handler)
    supply = list(reversed(_patterns(settings, settings.supply_order, "supply_order")))
    back = _patterns(settings, settings.return_order, "return_order")
    spacing = settings.spacing
    level = max(_length(supply, spacing), _length(back, spacing))
    port = ports["water_in"][1]
    # Up to the air handler on the supply side, away from it on the other.
    supply_column = _column(supply, ports["water_in"], 3, level, spacing)
    back_column = _column(back, ports["water_out"], 1, level, spacing)
    return Layout(tuple(reversed(supply_column)), tuple(back_column), port + level)


def _patterns(settings: BranchSettings, order: tuple[str, ...], name: str) -> list[AnyComponent]:
    for number, piece in enumerate(order):
        if piece not in PIECES:
            accepted = one_of(PIECES, piece)
            raise EditError(f"{name} of the branch: found {shown(piece)}; accepted: {accepted}")
        if piece in order[:number]:
            raise EditError(f"{name} of the branch: {piece} is given twice")
    found = (getattr(settings, piece) for piece in order)
    return [pattern for pattern in found if pattern is not None]


def _length(column: list[AnyComponent], spacing: float) -> float:
    if not column:
        return 0.0
    return _FIRST_GAP + 2 * sum(map(_half, column)) + spacing * (len(column) - 1)


def _half(component: Component) -> float:
    return half_length(component) or 0.0


def _column(
    column: list[AnyComponent], port: Point, turn: int, level: float, spacing: float
) -> list[Standing]:
    """Return parts one behind the other from a port on; the last one ends at the level."""
    standing, y = [], port[1] + _FIRST_GAP
    for number, pattern in enumerate(column):
        half = _half(pattern)
        if number == len(column) - 1:
            y = port[1] + level - 2 * half
        standing.append(Standing(pattern, (port[0], y + half), turn))
        y += 2 * half + spacing
    return standing


def placed(standing: Standing, at: Point, turn: int, **fields: Any) -> AnyComponent:
    """Return a part of a branch whose air handler stands at a point, turned."""
    x, y = turned(standing.at, turn)
    place = (at[0] + x, at[1] + y)
    own: AnyComponent = msgspec.structs.replace(
        standing.pattern, at=place, turn=(standing.turn + turn) % 4, locked=False, **fields
    )
    return own


def area(settings: BranchSettings, at: Point, turn: int) -> Rect:
    """Return what a branch covers on the drawing."""
    parts = layout(settings)
    air_handler = msgspec.structs.replace(settings.air_handler, at=at, turn=turn)
    boxes = [blocked(air_handler)]
    boxes += [blocked(placed(standing, at, turn)) for standing in (*parts.supply, *parts.back)]
    return Rect(
        min(box.left for box in boxes),
        min(box.top for box in boxes),
        max(box.right for box in boxes),
        max(box.bottom for box in boxes),
    )
