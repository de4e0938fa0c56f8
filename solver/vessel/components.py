# SPDX-License-Identifier: MIT
"""Components: everything on the drawing that is not a run.

Each kind is a frozen struct.  Field names are the file's keys and carry the unit.  ``ports`` names
the ports of a component; runs join them.  ``through`` of a kind says which of its ports water
passes between; a kind without losses joins all its ports in one point.
"""

from __future__ import annotations

from typing import Annotated, ClassVar, Literal, NamedTuple, TypeAlias

from msgspec import Meta, Struct

from solver.vessel.fields import NonNegative, Percent, Point, Positive, Tag, Temperature

#: Change of a capacity or a power by temperature, in percent of the rated value per kelvin.
Slope: TypeAlias = Annotated[float, Meta(ge=-20, le=20)]
#: A fan's speed, of full.
FanSpeed: TypeAlias = Annotated[float, Meta(gt=0, le=100)]


class Component(
    Struct,
    frozen=True,
    forbid_unknown_fields=True,
    kw_only=True,
    omit_defaults=True,
    gc=False,
    tag_field="kind",
):
    """What every component has.

    ``at`` is its place on the drawing in drawing units, ``turn`` its rotation in quarter turns
    clockwise.  ``height_m`` is above its deck (above the waterline without a deck); None takes it
    from the neighbours and the rises between.  ``model`` names a row of the parts list.  What is
    ``locked`` is not moved, turned or removed.
    """

    tag: Tag
    name: str = ""
    at: Point = (0.0, 0.0)
    turn: Annotated[int, Meta(ge=0, le=3)] = 0
    deck: str = ""
    height_m: float | None = None
    model: str = ""
    locked: bool = False
    notes: str = ""

    PORTS: ClassVar[tuple[str, ...]] = ("inlet", "outlet")
    #: Ports that may stay unconnected without a finding.
    MAY_BE_OPEN: ClassVar[tuple[str, ...]] = ()

    @property
    def ports(self) -> tuple[str, ...]:
        """Names of the component's ports."""
        return self.PORTS


class PumpPoint(Struct, frozen=True, forbid_unknown_fields=True, omit_defaults=True):
    """One point of a pump's curve at rated speed; head in metres of the liquid pumped."""

    flow_L_s: NonNegative
    head_m: float
    efficiency_percent: Percent | None = None
    power_W: NonNegative | None = None
    npsh_required_m: NonNegative | None = None


class Pump(Component, frozen=True, kw_only=True):
    """What both kinds of pump have.

    The points' ``efficiency_percent`` is hydraulic, their ``power_W`` at the shaft.  A ``motor_in_water``
    is cooled by the water pumped, which then takes its losses too.
    """

    curve: Annotated[tuple[PumpPoint, ...], Meta(min_length=3)]
    speed_percent: Annotated[float, Meta(ge=0, le=150)] = 100.0
    running: bool = True
    rated_rpm: Positive = 2900.0
    motor_efficiency_percent: Annotated[float, Meta(ge=1, le=100)] = 80.0
    motor_in_water: bool = False


class CirculationPump(Pump, frozen=True, kw_only=True, tag="circulation_pump"):
    """Moves fresh water round the loop."""


class SeaWaterPump(Pump, frozen=True, kw_only=True, tag="sea_water_pump"):
    """Moves sea water from the through-hull through the condensers and overboard."""


class DropPoint(Struct, frozen=True, forbid_unknown_fields=True):
    """A measured pressure drop of a coil or heat exchanger."""

    flow_L_s: Positive
    drop_kPa: Positive


class CapacityPoint(Struct, frozen=True, forbid_unknown_fields=True):
    """What a chiller does at one leaving-water and one sea temperature, at full speed."""

    leaving_C: Temperature
    sea_C: Temperature
    capacity_kW: Positive
    power_kW: Positive


class Chiller(Component, frozen=True, kw_only=True, tag="chiller"):
    """Cools the loop, in heating warms it; its condenser is cooled by sea water.

    Capacity and compressor power hold at ``rated_leaving_C`` and ``rated_sea_C``; a kelvin changes them by
    the four slopes, unless ``capacity_points`` has a table.  Power left out is a quarter of the capacity.
    ``heating_capacity_kW`` of 0 says that it cannot heat.
    """

    capacity_kW: Positive
    design_flow_L_s: Positive
    rated_flow_L_s: Positive
    rated_drop_kPa: Positive
    drop_exponent: Annotated[float, Meta(ge=1, le=2)] = 1.8
    drop_points: tuple[DropPoint, ...] = ()
    minimum_flow_L_s: NonNegative = 0.0
    sea_rated_flow_L_s: Positive = 1.0
    sea_rated_drop_kPa: Positive = 20.0
    sea_drop_exponent: Annotated[float, Meta(ge=1, le=2)] = 1.8
    set_point_C: Temperature = 7.0
    heating_set_point_C: Temperature = 45.0
    running: bool = True
    power_kW: Positive | None = None
    rated_leaving_C: Temperature = 7.0
    rated_sea_C: Temperature = 32.0
    capacity_per_leaving_percent_K: Slope = 3.0
    capacity_per_sea_percent_K: Slope = -1.2
    power_per_leaving_percent_K: Slope = 0.6
    power_per_sea_percent_K: Slope = 2.2
    capacity_points: tuple[CapacityPoint, ...] = ()
    heating_capacity_kW: NonNegative | None = None
    heating_power_kW: Positive | None = None
    compressor_speed_percent: Annotated[float, Meta(ge=10, le=120)] = 100.0
    turn_down_percent: Annotated[float, Meta(ge=1, le=100)] = 100.0
    minimum_run_min: NonNegative = 3.0
    minimum_stop_min: NonNegative = 3.0
    dead_band_K: Annotated[float, Meta(ge=0.2, le=20)] = 2.0
    freezing_trip_C: Temperature = 3.0
    condensing_trip_C: Temperature = 55.0
    condenser_fouling_percent: Annotated[float, Meta(ge=0, le=99)] = 0.0

    PORTS: ClassVar[tuple[str, ...]] = ("water_in", "water_out", "sea_in", "sea_out")
    MAY_BE_OPEN: ClassVar[tuple[str, ...]] = ("sea_in", "sea_out")


class AirHandler(Component, frozen=True, kw_only=True, tag="air_handler"):
    """Cools a cabin: coil and fan.  The drop is rated at ``rated_flow_L_s``.

    Capacities hold at the rated entering air and water and at ``air_flow_L_s``, which left out follows
    from the capacity.  The thermostat sets the fan to the speed it needs, or shuts a valve in between.
    """

    design_flow_L_s: Positive
    rated_flow_L_s: Positive
    rated_drop_kPa: Positive
    drop_exponent: Annotated[float, Meta(ge=1, le=2)] = 1.8
    drop_points: tuple[DropPoint, ...] = ()
    capacity_total_kW: NonNegative = 0.0
    capacity_sensible_kW: NonNegative = 0.0
    cabins: tuple[str, ...] = ()
    air_flow_L_s: Positive | None = None
    rated_air_temp_C: Temperature = 27.0
    rated_air_rh_percent: Percent = 47.0
    rated_water_temp_C: Temperature = 7.0
    thermostat: Literal["none", "fan", "two_way_valve", "three_way_valve"] = "fan"
    fan_running: bool = True
    fan_speeds_percent: Annotated[tuple[FanSpeed, ...], Meta(min_length=1, max_length=6)] = (100.0,)
    fan_power_W: NonNegative = 0.0
    filter_clogging_percent: Annotated[float, Meta(ge=0, le=99)] = 0.0
    coil_fouling_percent: Annotated[float, Meta(ge=0, le=99)] = 0.0

    PORTS: ClassVar[tuple[str, ...]] = ("water_in", "water_out")


class Tee(Component, frozen=True, kw_only=True, tag="tee"):
    """Joins three runs.  ``k_run`` and ``k_branch`` replace the calculated coefficients."""

    k_run: NonNegative | None = None
    k_branch: NonNegative | None = None

    PORTS: ClassVar[tuple[str, ...]] = ("run_1", "run_2", "branch")


class Manifold(Component, frozen=True, kw_only=True, tag="manifold"):
    """A bar with ``port_count`` ports, named "1", "2" and so on."""

    port_count: Annotated[int, Meta(ge=2, le=60)] = 4

    @property
    def ports(self) -> tuple[str, ...]:
        return tuple(str(number) for number in range(1, self.port_count + 1))


class IsolatingValve(Component, frozen=True, kw_only=True, tag="isolating_valve"):
    """Opens and shuts.  Without ``kv_m3_h`` its loss is that of its style in the size of its runs."""

    style: Literal["ball", "gate", "butterfly", "globe"] = "ball"
    kv_m3_h: Positive | None = None
    opening_percent: Percent = 100.0


class KvPoint(NamedTuple):
    """A handwheel setting and the Kv there."""

    setting: float
    kv_m3_h: float


class RegulatingValve(Component, frozen=True, kw_only=True, tag="regulating_valve"):
    """Balancing valve: Kv against handwheel setting, interpolated monotonically."""

    kv_table: Annotated[tuple[KvPoint, ...], Meta(min_length=2)]
    setting: NonNegative


class CheckValve(Component, frozen=True, kw_only=True, tag="check_valve"):
    """Lets water pass from inlet to outlet only."""

    kv_m3_h: Positive
    cracking_kPa: NonNegative = 0.0


class ControlValve(Component, frozen=True, kw_only=True):
    """What 2-way and 3-way control valves have."""

    kvs_m3_h: Positive
    characteristic: Literal["linear", "equal_percentage"] = "equal_percentage"
    rangeability: Annotated[float, Meta(gt=1, le=1000)] = 50.0
    position_percent: Percent = 100.0


class TwoWayValve(ControlValve, frozen=True, kw_only=True, tag="two_way_valve"):
    """2-way control valve; shut tight at 0 %."""


class ThreeWayValve(ControlValve, frozen=True, kw_only=True, tag="three_way_valve"):
    """3-way control valve: ``position_percent`` opens ``through`` and shuts ``bypass``."""

    PORTS: ClassVar[tuple[str, ...]] = ("common", "through", "bypass")


class DifferentialBypass(Component, frozen=True, kw_only=True, tag="differential_bypass"):
    """Opens at ``set_kPa`` across it and is fully open ``band_kPa`` above."""

    set_kPa: Positive
    band_kPa: Positive = 5.0
    kv_m3_h: Positive


class ConstantFlowValve(Component, frozen=True, kw_only=True, tag="constant_flow_valve"):
    """Cartridge that holds ``flow_L_s`` while its drop lies between the two limits."""

    flow_L_s: Positive
    minimum_drop_kPa: Positive = 15.0
    maximum_drop_kPa: Positive = 200.0


class Strainer(Component, frozen=True, kw_only=True, tag="strainer"):
    """Kv when clean; ``clogging_percent`` is the blocked share of its mesh."""

    kv_m3_h: Positive
    clogging_percent: Annotated[float, Meta(ge=0, le=99.9)] = 0.0


class ExpansionVessel(Component, frozen=True, kw_only=True, tag="expansion_vessel"):
    """Holds the loop's pressure at its connection: the pressure reference of a closed circuit."""

    pressure_kPa: NonNegative = 100.0
    volume_L: Positive = 8.0
    precharge_kPa: NonNegative = 80.0

    PORTS: ClassVar[tuple[str, ...]] = ("connection",)


class AirSeparator(Component, frozen=True, kw_only=True, tag="air_separator"):
    """Takes air out of the water."""

    kv_m3_h: Positive


class AirVent(Component, frozen=True, kw_only=True, tag="air_vent"):
    """Lets air out at a high point; no loss."""

    MAY_BE_OPEN: ClassVar[tuple[str, ...]] = ("outlet",)


class BufferTank(Component, frozen=True, kw_only=True, tag="buffer_tank"):
    """A tank of two or four nozzles; each nozzle has ``nozzle_kv_m3_h``."""

    volume_L: Positive = 50.0
    port_count: Literal[2, 4] = 2
    nozzle_kv_m3_h: Positive = 20.0
    heat_gain_W_K: NonNegative = 0.0

    @property
    def ports(self) -> tuple[str, ...]:
        if self.port_count == 2:
            return ("inlet", "outlet")
        return ("primary_in", "primary_out", "secondary_in", "secondary_out")


class FillPoint(Component, frozen=True, kw_only=True, tag="fill_point"):
    """Where the loop is filled; shut in use."""

    PORTS: ClassVar[tuple[str, ...]] = ("connection",)


class Drain(Component, frozen=True, kw_only=True, tag="drain"):
    """Drain cock at a low point; shut in use, no loss."""

    MAY_BE_OPEN: ClassVar[tuple[str, ...]] = ("outlet",)


class FlexibleHose(Component, frozen=True, kw_only=True, tag="flexible_hose"):
    """Short hose at a machine; ``k`` counts its bends and ends."""

    bore_mm: Positive
    length_m: Positive = 0.5
    roughness_mm: NonNegative = 0.01
    k: NonNegative = 1.0


class ThroughHull(Component, frozen=True, kw_only=True, tag="through_hull"):
    """Sea inlet with its grating, at ``height_m`` below the waterline (negative)."""

    k: NonNegative = 1.5
    bore_mm: Positive = 25.0

    PORTS: ClassVar[tuple[str, ...]] = ("connection",)


class Overboard(Component, frozen=True, kw_only=True, tag="overboard"):
    """Sea outlet: at atmospheric pressure above the waterline, at the sea's below it."""

    PORTS: ClassVar[tuple[str, ...]] = ("connection",)


class PressureGauge(Component, frozen=True, kw_only=True, tag="pressure_gauge"):
    """Point to read a pressure; no loss."""

    MAY_BE_OPEN: ClassVar[tuple[str, ...]] = ("outlet",)


class TemperatureGauge(Component, frozen=True, kw_only=True, tag="temperature_gauge"):
    """Point to read a temperature; no loss."""

    MAY_BE_OPEN: ClassVar[tuple[str, ...]] = ("outlet",)


class FlowMeter(Component, frozen=True, kw_only=True, tag="flow_meter"):
    """Point to read a flow; no loss unless it has a Kv."""

    kv_m3_h: Positive | None = None


AnyComponent: TypeAlias = (
    CirculationPump
    | SeaWaterPump
    | Chiller
    | AirHandler
    | Tee
    | Manifold
    | IsolatingValve
    | RegulatingValve
    | CheckValve
    | TwoWayValve
    | ThreeWayValve
    | DifferentialBypass
    | ConstantFlowValve
    | Strainer
    | ExpansionVessel
    | AirSeparator
    | AirVent
    | BufferTank
    | FillPoint
    | Drain
    | FlexibleHose
    | ThroughHull
    | Overboard
    | PressureGauge
    | TemperatureGauge
    | FlowMeter
)

#: Kind's name in the file -> its struct.
KINDS: dict[str, type[Component]] = {kind.__struct_config__.tag: kind for kind in AnyComponent.__args__}


def kind_name(component: Component) -> str:
    """Return the kind's name as the file writes it, such as ``air_handler``."""
    return str(type(component).__struct_config__.tag)
