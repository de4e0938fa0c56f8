# SPDX-License-Identifier: MIT
"""Runs: one pipe run between two ports.

Parts of a vessel hold no cycles, so the garbage collector need not walk them (``gc=False``): a ship has
tens of thousands.
"""

from __future__ import annotations

from typing import Annotated, Literal, NamedTuple

from msgspec import Meta, Struct

from solver.vessel.fields import NonNegative, Percent, Point, Positive, Tag, Temperature

#: Of one kind in one line; more are a slip.
MOST_FITTINGS = 1000


class End(NamedTuple):
    """Where a run ends: a port of a component.  Written ``["AH-7", "water_in"]`` in the file."""

    tag: Tag
    port: str


class Fitting(Struct, frozen=True, forbid_unknown_fields=True):
    """Fittings of one kind on a run; ``kind`` is a name of the fittings table."""

    kind: str
    count: Annotated[int, Meta(ge=1, le=MOST_FITTINGS)] = 1


class Insulation(Struct, frozen=True, forbid_unknown_fields=True):
    """Insulation of a run; kept for the heat calculation."""

    material: str = "closed-cell foam"
    thickness_mm: NonNegative = 13.0
    conductivity_W_mK: Positive = 0.038


class Run(Struct, frozen=True, forbid_unknown_fields=True, kw_only=True, omit_defaults=True, gc=False):
    """One pipe run between two ports.  Positive flow goes from ``start`` to ``end``.

    ``rise_m`` is the height gained from start to end; None takes it from the heights of the parts
    at its ends.  ``length_known`` says how the length is known, and ``length_plus_minus_percent``
    how well: a length off the ``drawing`` follows it by the scale of its deck, an ``assumed`` one by an
    assumed scale until the deck has one.  ``fittings_known`` says whether its bends are counted on the
    drawing.  ``routed`` bends were found by the program, which may find others; bends that are not are
    pinned by the user.
    """

    tag: Tag
    start: End
    end: End
    series: str
    size: str
    length_m: Positive
    length_known: Literal["measured", "drawing", "guessed", "assumed"] = "measured"
    length_plus_minus_percent: Percent = 0.0
    rise_m: float | None = None
    fittings: tuple[Fitting, ...] = ()
    fittings_known: Literal["typed", "drawing"] = "typed"
    extra_k: NonNegative = 0.0
    insulation: Insulation | None = None
    surroundings: str = ""
    surroundings_temp_C: Temperature | None = None
    service: Literal["supply", "return", "sea", ""] = ""
    bends: tuple[Point, ...] = ()
    routed: bool = False
    locked: bool = False
    notes: str = ""
