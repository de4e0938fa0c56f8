# SPDX-License-Identifier: MIT
"""The only place that turns a drawing into a network.

A point of the drawing (a port, or ports without a loss between them) becomes a node; a run or a way
through a component becomes a link of the same tag.  Document units become SI here.
"""

from __future__ import annotations

from functools import cached_property, lru_cache

import numpy as np

from solver.errors import LiquidError, NotSolvableError, PartError
from solver.media.liquid import mass_share, properties, vapour_pressure
from solver.network.network import (
    GRAVITY,
    Limiter,
    Link,
    Medium,
    Network,
    Node,
    OneWay,
    Passive,
    PumpLink,
    TeeJoint,
)
from solver.parts.fittings import EXIT_K, NOZZLE_ENTRANCE_K, fitting_loss, reducer
from solver.parts.pipe_sizes import pipe_size
from solver.parts.pump_curve import PumpCurve
from solver.parts.rated_drop import in_liquid, power_law
from solver.parts.valves import (
    control_valve_kv,
    kv_to_k,
    regulating_valve_kv,
    throttled_kv,
)
from solver.vessel.components import (
    AirHandler,
    AirSeparator,
    AnyComponent,
    BufferTank,
    CheckValve,
    Chiller,
    ConstantFlowValve,
    DifferentialBypass,
    ExpansionVessel,
    FlexibleHose,
    FlowMeter,
    IsolatingValve,
    Manifold,
    Overboard,
    Pump,
    PumpPoint,
    RegulatingValve,
    SeaWaterPump,
    Strainer,
    Tee,
    ThreeWayValve,
    ThroughHull,
    TwoWayValve,
)
from solver.vessel.heights import heights
from solver.vessel.joints import Joints
from solver.vessel.run import End, Run
from solver.vessel.vessel import Vessel
from solver.vessel.ways import one_point, ways

LOOP, SEA = 0, 1
_STYLE_FITTING = {
    "ball": "ball_valve",
    "gate": "gate_valve",
    "butterfly": "butterfly_valve",
    "globe": "globe_valve",
}


class Drawing:
    """A vessel on its way to a network: its points, circuits and liquids.

    Parameters
    ----------
    vessel : Vessel

    Raises
    ------
    PartError
        A size, fitting or table of a part makes no sense.
    NotSolvableError
        The liquid is frozen or outside its tables.
    """

    def __init__(self, vessel: Vessel):
        self.vessel = vessel
        self.joints: Joints = vessel.joints
        self.node_tags = self._node_tags()
        self.circuit: list[int] = self.joints.circuits.tolist()
        self.media = _media(vessel)
        self.sea_circuits = {
            self.circuit[self.joints.point_of[component.tag, component.ports[0]]]
            for component in vessel.components
            if isinstance(component, ThroughHull | Overboard | SeaWaterPump)
        }

    def _node_tags(self) -> list[str]:
        tags = [""] * self.joints.point_count
        for (tag, port), point in self.joints.point_of.items():
            if not tags[point]:
                tags[point] = f"{tag}/{port}"
        return tags

    @cached_property
    def bore_at(self) -> dict[tuple[str, str], float]:
        """(tag, port) -> bore [m] of the run there."""
        bores: dict[tuple[str, str], float] = {}
        for run in self.vessel.runs:
            bores[run.start] = bores[run.end] = self.size_of(run)[0]
        return bores

    def size_of(self, run: Run) -> tuple[float, float]:
        """Return bore and roughness of a run [m]."""
        try:
            size = pipe_size(run.series, run.size)
        except PartError as error:
            raise PartError(f"{run.tag}: {error}", (run.tag,)) from None
        return size.bore_mm * 1e-3, size.roughness_mm * 1e-3

    def medium_of(self, point: int) -> int:
        """Return which liquid is at a point."""
        return SEA if self.circuit[point] in self.sea_circuits else LOOP

    def network(self) -> Network:
        """Return the network.

        Raises
        ------
        PartError
            A part's data make no sense.
        """
        joints, tags = self.joints, self.node_tags
        links: list[Link] = []
        used = [False] * joints.point_count
        for number, run in enumerate(self.vessel.runs):
            start, end = joints.start[number], joints.end[number]
            used[start] = used[end] = True
            links.append(self.run_link(run, tags[start], tags[end], self.medium_of(start)))
        number = len(self.vessel.runs)
        nodes_beyond: list[Node] = []
        held: dict[int, float] = {}
        for component in self.vessel.components:
            count = len(ways(component))
            for place in range(number, number + count):
                start, end = joints.start[place], joints.end[place]
                if used[start] or used[end]:
                    used[start] = used[end] = True
                    links.append(
                        self.component_link(
                            component, joints.tags[place], tags[start], tags[end], self.medium_of(start)
                        )
                    )
            number += count
            self._hold(component, held, nodes_beyond, links)
        nodes = self._nodes(used, held)
        return Network(
            nodes=(*nodes, *nodes_beyond),
            links=tuple(links),
            media=self.media,
            tees=tuple(self._tees()),
            lagged_tees=self.vessel.method.tees == "flow_split",
        )

    def _nodes(self, used: list[bool], held: dict[int, float]) -> list[Node]:
        height = self.height_of_point
        return [
            Node(tag, height[point], held.get(point))
            for point, tag in enumerate(self.node_tags)
            if used[point]
        ]

    @cached_property
    def height_of_point(self) -> list[float]:
        """Height of each point above the waterline [m]."""
        of = heights(self.vessel).by_tag
        found = [0.0] * self.joints.point_count
        for (tag, _), point in self.joints.point_of.items():
            found[point] = of[tag]
        return found

    def _hold(
        self, component: AnyComponent, held: dict[int, float], beyond: list[Node], links: list[Link]
    ) -> None:
        """Add the pressures that expansion vessels and the sea hold."""
        if not isinstance(component, ExpansionVessel | ThroughHull | Overboard):
            return
        end = End(component.tag, component.ports[0])
        if end not in self.vessel.runs_at:
            return
        point = self.joints.point_of[end]
        height = self.height_of_point[point]
        if isinstance(component, ExpansionVessel):
            held[point] = component.pressure_kPa * 1e3
            return
        outside = max(-height, 0.0) * self.media[SEA].density * GRAVITY
        if isinstance(component, Overboard):
            held[point] = outside
            return
        sea = f"{component.tag}/sea"
        beyond.append(Node(sea, height, outside))
        links.append(
            Passive(
                tag=component.tag,
                start=sea,
                end=self.node_tags[point],
                bore=component.bore_mm * 1e-3,
                k=component.k,
                k_reverse=EXIT_K,
                medium=SEA,
            )
        )

    def run_link(self, run: Run, start: str, end: str, medium: int) -> Passive:
        """Return a run as a link."""
        bore, roughness = self.size_of(run)
        k, k_reynolds = run.extra_k, 0.0
        for fitting in run.fittings:
            try:
                constant, by_reynolds = fitting_loss(fitting.kind, self.vessel.method.fittings, bore)
            except PartError as error:
                raise PartError(f"{run.tag}: {error}", (run.tag,)) from None
            k += fitting.count * constant
            k_reynolds += fitting.count * by_reynolds
        forward, reverse, kv = self._end_losses(run, bore)
        return Passive(
            tag=run.tag,
            start=start,
            end=end,
            length=run.length_m,
            bore=bore,
            roughness=roughness,
            k=k + forward,
            k_reverse=k + reverse,
            k_reynolds=k_reynolds,
            kv=kv,
            medium=medium,
        )

    def _end_losses(self, run: Run, bore: float) -> tuple[float, float, float]:
        """Return what the ends of a run add: K forward, K reverse, Kv of tank nozzles."""
        forward = reverse = 0.0
        conductance = 0.0
        components = self.vessel.component_by_tag
        for place, sign in ((run.start, -1), (run.end, 1)):
            component = components[place.tag]
            if isinstance(component, Manifold):
                into, out = EXIT_K, NOZZLE_ENTRANCE_K
            elif isinstance(component, BufferTank):
                conductance += component.nozzle_kv_m3_h**-2
                continue
            elif isinstance(component, Overboard):
                into, out = EXIT_K, NOZZLE_ENTRANCE_K
            else:
                neighbour = self._straight_on(component, place)
                if neighbour is None or neighbour <= bore * (1 + 1e-6):
                    continue
                # The change of size counts with the smaller of the two runs.
                out, into = reducer(neighbour, bore)
            forward += into if sign > 0 else out
            reverse += out if sign > 0 else into
        return forward, reverse, conductance**-0.5 if conductance else float("inf")

    def _straight_on(self, component: AnyComponent, place: End) -> float | None:
        """Return the bore of the run straight on through a joint without a loss of its own."""
        if isinstance(component, Tee):
            other = {"run_1": "run_2", "run_2": "run_1"}.get(place.port)
        elif len(one_point(component)) == 2:
            other = next(port for port in component.ports if port != place.port)
        else:
            return None
        return self.bore_at.get((component.tag, other)) if other else None

    def component_link(self, component: AnyComponent, tag: str, start: str, end: str, medium: int) -> Link:
        """Return one way through a component as a link."""
        ends = {"tag": tag, "start": start, "end": end, "medium": medium}
        try:
            if isinstance(component, Pump):
                return PumpLink(
                    **ends,
                    curve=pump_curve(component.curve, self.media[medium].density),
                    speed=component.speed_percent / 100 if component.running else 0.0,
                )
            if isinstance(component, CheckValve):
                return OneWay(**ends, kv=component.kv_m3_h, threshold=component.cracking_kPa * 1e3)
            if isinstance(component, DifferentialBypass):
                return OneWay(
                    **ends,
                    kv=component.kv_m3_h,
                    threshold=component.set_kPa * 1e3,
                    band=component.band_kPa * 1e3,
                )
            if isinstance(component, ConstantFlowValve):
                return Limiter(
                    **ends,
                    flow=component.flow_L_s * 1e-3 * self.media[medium].density,
                    low=component.minimum_drop_kPa * 1e3,
                    high=max(component.maximum_drop_kPa, component.minimum_drop_kPa * 1.01) * 1e3,
                )
            return Passive(**ends, **self._passive(component, tag, self.media[medium]))
        except PartError as error:
            raise PartError(f"{component.tag}: {error}", (component.tag,)) from None

    def _passive(self, component: AnyComponent, tag: str, liquid: Medium) -> dict[str, float | bool]:
        match component:
            case AirHandler() | Chiller():
                coefficient, exponent = _rated(component, tag)
                in_this = in_liquid(coefficient, exponent, liquid.density, liquid.viscosity)
                return {"coefficient": in_this, "exponent": exponent}
            case IsolatingValve():
                return _by_kv(throttled_kv(self._full_kv(component), component.opening_percent / 100))
            case RegulatingValve():
                return _by_kv(regulating_valve_kv(component.kv_table, component.setting))
            case TwoWayValve() | ThreeWayValve():
                position = component.position_percent / 100
                if tag.endswith(":bypass"):
                    position = 1.0 - position
                return _by_kv(
                    control_valve_kv(
                        component.kvs_m3_h, position, component.characteristic, component.rangeability
                    )
                )
            case Strainer():
                return _by_kv(component.kv_m3_h * (1 - component.clogging_percent / 100))
            case AirSeparator():
                return _by_kv(component.kv_m3_h)
            case FlowMeter():
                return _by_kv(component.kv_m3_h or float("inf"))
            case FlexibleHose():
                return {
                    "length": component.length_m,
                    "bore": component.bore_mm * 1e-3,
                    "roughness": component.roughness_mm * 1e-3,
                    "k": component.k,
                    "k_reverse": component.k,
                }
        raise PartError(f"a {type(component).__name__} has no way through it", (component.tag,))

    def _full_kv(self, valve: IsolatingValve) -> float:
        if valve.kv_m3_h is not None:
            return valve.kv_m3_h
        bores = [
            self.bore_at[tag_port] for port in valve.ports if (tag_port := (valve.tag, port)) in self.bore_at
        ]
        bore = min(bores)
        k, _ = fitting_loss(_STYLE_FITTING[valve.style], "crane", bore)
        # K and Kv are two names of one loss; kv_to_k(1, bore)/Kv**2 = K.
        return float((kv_to_k(1.0, bore) / k) ** 0.5)

    def _tees(self) -> list[TeeJoint]:
        tees = []
        runs_at = self.vessel.runs_at
        for component in self.vessel.components:
            if not isinstance(component, Tee):
                continue
            legs, signs = [], []
            for port in component.PORTS:
                end = End(component.tag, port)
                runs = runs_at.get(end, ())
                legs.append(runs[0].tag if runs else "")
                signs.append(1 if runs and runs[0].end == end else -1)
            if any(legs):
                tees.append(
                    TeeJoint(
                        component.tag,
                        (legs[0], legs[1], legs[2]),
                        (signs[0], signs[1], signs[2]),
                        np.nan if component.k_run is None else component.k_run,
                        np.nan if component.k_branch is None else component.k_branch,
                    )
                )
        return tees


def _by_kv(kv: float) -> dict[str, float | bool]:
    return {"kv": kv} if kv > 0 else {"kv": 1.0, "is_open": False}


def _rated(component: AirHandler | Chiller, tag: str) -> tuple[float, float]:
    if isinstance(component, Chiller) and tag.endswith(":sea"):
        return power_law(
            component.sea_rated_flow_L_s, component.sea_rated_drop_kPa, component.sea_drop_exponent
        )
    points = tuple((point.flow_L_s, point.drop_kPa) for point in component.drop_points)
    return power_law(component.rated_flow_L_s, component.rated_drop_kPa, component.drop_exponent, points)


@lru_cache(maxsize=1024)
def pump_curve(points: tuple[PumpPoint, ...], density: float) -> PumpCurve:
    """Return a pump's curve from the document's points; ``density`` turns power into efficiency."""
    flow = [point.flow_L_s * 1e-3 for point in points]
    head = [point.head_m for point in points]
    efficiency = [_efficiency(point, density) for point in points]
    npsh = [point.npsh_required_m for point in points]
    return PumpCurve(
        flow,
        head,
        efficiency if all(value is not None for value in efficiency) else None,  # type: ignore[arg-type]
        npsh if all(value is not None for value in npsh) else None,  # type: ignore[arg-type]
    )


def _efficiency(point: PumpPoint, density: float) -> float | None:
    if point.efficiency_percent is not None:
        return point.efficiency_percent / 100
    if point.power_W is None:
        return None
    hydraulic = density * GRAVITY * point.flow_L_s * 1e-3 * point.head_m
    return hydraulic / point.power_W if point.power_W > 0 else 0.0


@lru_cache(maxsize=256)
def _medium(kind: str, share: float, temp_C: float) -> Medium:
    state = properties(kind, temp_C, share)
    return Medium(state.density, state.viscosity, vapour_pressure(temp_C))


def _media(vessel: Vessel) -> tuple[Medium, Medium]:
    """Return the loop's liquid and the sea's."""
    liquid, conditions = vessel.loop_liquid, vessel.current_conditions
    share = liquid.share_percent / 100
    try:
        if share and liquid.kind != "water" and liquid.share_by == "volume":
            share = mass_share(liquid.kind, share)
        loop = _medium(liquid.kind, 0.0 if liquid.kind == "water" else share, liquid.temp_C)
        sea = _medium("sea_water", conditions.sea_salinity_g_kg / 1000, conditions.sea_temp_C)
    except LiquidError as error:
        raise NotSolvableError(str(error)) from None
    return loop, sea


def network_changes(old: Network, new: Network) -> dict[str, Link]:
    """Return the links of ``new`` that differ from those of ``old``, by tag."""
    return {
        link.tag: link
        for before, link in zip(old.links, new.links, strict=True)
        if before is not link and before != link
    }


def to_network(vessel: Vessel) -> Network:
    """Return the network of a vessel.

    Raises
    ------
    PartError
        A part's data make no sense.
    NotSolvableError
        The liquid is frozen or outside its tables.
    """
    return Drawing(vessel).network()
