# SPDX-License-Identifier: MIT
"""Parts of every kind and results of no solve, for tests of the drawing."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import msgspec
from PySide6.QtGui import QImage

from solver.results import AirHandlerFigures, LinkFigures, PumpFigures, Results
from solver.vessel.components import KINDS, Component, KvPoint, PumpPoint
from solver.vessel.run import End, Run
from solver.vessel.vessel import Vessel

_REQUIRED: dict[str, Any] = {
    "curve": tuple(PumpPoint(flow_L_s=flow, head_m=9.0 - flow**2) for flow in (0.0, 1.0, 2.0)),
    "capacity_kW": 20.0,
    "design_flow_L_s": 0.2,
    "rated_flow_L_s": 0.2,
    "rated_drop_kPa": 15.0,
    "kv_table": (KvPoint(0.0, 0.0), KvPoint(2.0, 1.0), KvPoint(4.0, 2.5)),
    "setting": 2.0,
    "kv_m3_h": 6.0,
    "kvs_m3_h": 4.0,
    "set_kPa": 60.0,
    "flow_L_s": 0.2,
    "bore_mm": 25.0,
}


def part(kind: str, tag: str = "X-1", **fields: Any) -> Component:
    """Return a component of a kind with plain values where it needs some."""
    struct = KINDS[kind]
    names = [field.name for field in msgspec.structs.fields(struct) if field.required]
    given = {name: _REQUIRED[name] for name in names if name in _REQUIRED}
    return struct(**{"tag": tag, **given, **fields})


def run(tag: str, start: tuple[str, str], end: tuple[str, str], **fields: Any) -> Run:
    """Return a run between two ports."""
    plain = {"series": "copper_en1057_thin", "size": "22x0.9", "length_m": 3.0, "service": "supply"}
    return Run(tag=tag, start=End(*start), end=End(*end), **{**plain, **fields})


def results(
    vessel: Vessel,
    flows_L_s: Mapping[str, float] | None = None,
    shares: Mapping[str, float] | None = None,
    **figures: float,
) -> Results:
    """Return results with a flow for each run, as no solve found them.

    ``figures`` go into every link: ``velocity_m_s``, ``loss_Pa_m``, ``start_kPa``, ``end_kPa``.
    """
    flows = {one.tag: 0.2 for one in vessel.runs} | dict(flows_L_s or {})
    plain = {"velocity_m_s": 0.8, "loss_Pa_m": 150.0, "start_kPa": 150.0, "end_kPa": 148.0} | figures
    return Results(
        vessel=vessel,
        solution=None,  # type: ignore[arg-type]
        method="newton",
        converged=True,
        iterations=7,
        mass_residual_kg_s=0.0,
        pressure_residual_Pa=0.0,
        links={
            tag: LinkFigures(
                tag=tag,
                flow_L_s=flow,
                reynolds=9000.0,
                friction_factor=0.03,
                loss_kPa=1.0,
                pipe_kPa=1.0,
                fittings_kPa=0.0,
                equipment_kPa=0.0,
                **plain,
            )
            for tag, flow in flows.items()
        },
        pumps={
            one.tag: PumpFigures(one.tag, 0.4, 6.0, 58.8, 100.0, 60.0, 80.0, 0.4, 0.5, 0.8, None, None)
            for one in vessel.components
            if hasattr(one, "curve")
        },
        air_handlers={
            tag: AirHandlerFigures(tag, 0.2 * share, 0.2, share, 12.0)
            for tag, share in (shares or {}).items()
        },
        port_kPa={(one.tag, port): 120.0 for one in vessel.components for port in one.ports},
        index_circuit=None,
        findings=(),
    )


def pixels(image: QImage) -> bytes:
    """Return the picture's content, for telling two apart."""
    return bytes(image.convertToFormat(QImage.Format.Format_RGB32).constBits())
