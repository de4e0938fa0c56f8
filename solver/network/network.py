# SPDX-License-Identifier: MIT
"""A network as a value: nodes, links between them and the liquids in them, in SI units.

It can be built in code, without a vessel:

>>> from solver.network.network import Medium, Network, Node, pipe, pump
>>> from solver.parts.pump_curve import PumpCurve
>>> loop = Network(
...     nodes=(Node("suction", pressure=100e3), Node("far")),
...     links=(
...         pump("P-1", "suction", "far", PumpCurve.quadratic(10.0, 2.0e6, 2.0e-3)),
...         pipe("R-1", "far", "suction", length=40.0, bore=0.026, roughness=1.5e-6),
...     ),
...     media=(Medium(density=999.9, viscosity=1.386e-3),),
... )

Positive flow runs from a link's ``start`` to its ``end``.  Pressures are gauge; heights only shift
them, since every liquid of one circuit has one density.
"""

from __future__ import annotations

from functools import cached_property
from typing import NamedTuple, TypeAlias

import msgspec
from msgspec import Struct

from solver.change import Change
from solver.errors import PartError
from solver.parts.pump_curve import PumpCurve

GRAVITY = 9.80665


class Medium(NamedTuple):
    """A liquid at one temperature: density [kg/m3], viscosity [Pa s], vapour pressure [Pa]."""

    density: float
    viscosity: float
    vapour_pressure: float = 1200.0


class Node(Struct, frozen=True, gc=False):
    """A point where links meet.

    ``pressure`` [Pa gauge] holds the node's pressure; None leaves it to the solve.  ``outflow``
    [kg/s] leaves the network there.  ``height`` [m] is above the datum of all heights.
    """

    tag: str
    height: float = 0.0
    pressure: float | None = None
    outflow: float = 0.0


class Passive(Struct, frozen=True, kw_only=True, gc=False):
    """A link that only takes pressure: pipe, fittings, valve, coil or several of them in one.

    loss = factor * (friction + (k + k_reynolds/Re) * velocity head
    + KV_SQUARE * flow**2 / (density * kv**2) + coefficient * flow**exponent)

    ``bore`` [m] carries friction and velocity head, ``k_reverse`` replaces ``k`` in reverse flow,
    ``friction_factor`` > 0 replaces Colebrook, ``kv`` infinite means no valve, ``coefficient`` is
    in Pa/(kg/s)**exponent.  ``is_open`` False shuts the link.  The numeric fields come first and in
    the order of ``PASSIVE_FIELDS``, since compiling reads them as rows of an array.
    """

    length: float = 0.0
    bore: float = 0.0
    roughness: float = 0.0
    friction_factor: float = 0.0
    k: float = 0.0
    k_reverse: float = 0.0
    k_reynolds: float = 0.0
    kv: float = float("inf")
    coefficient: float = 0.0
    exponent: float = 2.0
    factor: float = 1.0
    is_open: bool = True
    medium: int = 0
    tag: str
    start: str
    end: str


#: Names of the numeric fields of a passive link, in order.
PASSIVE_FIELDS = Passive.__struct_fields__[:13]


class PumpLink(Struct, frozen=True, kw_only=True):
    """A pump: ``speed`` is the ratio to the curve's speed, ``head_factor`` scales the head."""

    tag: str
    start: str
    end: str
    curve: PumpCurve
    speed: float = 1.0
    head_factor: float = 1.0
    medium: int = 0


class OneWay(Struct, frozen=True, kw_only=True, gc=False):
    """A check valve or differential bypass: no flow until the drop exceeds ``threshold`` [Pa].

    Open, the drop is threshold + band * flow/full flow until ``band`` [Pa] above the threshold,
    and that of ``kv`` above; without a band it is threshold + the drop of ``kv``.
    """

    tag: str
    start: str
    end: str
    kv: float
    threshold: float = 0.0
    band: float = 0.0
    medium: int = 0


class Limiter(Struct, frozen=True, kw_only=True, gc=False):
    """A constant-flow cartridge: ``flow`` [kg/s] while its drop is from ``low`` to ``high`` [Pa]."""

    tag: str
    start: str
    end: str
    flow: float
    low: float
    high: float
    medium: int = 0


Link: TypeAlias = Passive | PumpLink | OneWay | Limiter


class TeeJoint(Struct, frozen=True, gc=False):
    """A tee: the links at its run ports and its branch, with the sign of flow INTO the tee.

    A leg without a link has tag "".  ``k_run`` and ``k_branch`` replace the calculated coefficients
    where they are not NaN.
    """

    tag: str
    legs: tuple[str, str, str]
    signs: tuple[int, int, int]
    k_run: float = float("nan")
    k_branch: float = float("nan")


def pipe(
    tag: str,
    start: str,
    end: str,
    *,
    length: float,
    bore: float,
    roughness: float = 0.0,
    k: float = 0.0,
    friction_factor: float = 0.0,
    medium: int = 0,
) -> Passive:
    """Return a straight pipe with the loss coefficient ``k`` of its fittings.

    Parameters
    ----------
    length, bore, roughness : float [m]
    k, friction_factor : float [-]
        A ``friction_factor`` (Darcy) above 0 is used instead of the Colebrook equation.
    """
    return Passive(
        tag=tag,
        start=start,
        end=end,
        length=length,
        bore=bore,
        roughness=roughness,
        k=k,
        k_reverse=k,
        friction_factor=friction_factor,
        medium=medium,
    )


def fitting(tag: str, start: str, end: str, *, k: float, bore: float, medium: int = 0) -> Passive:
    """Return a local loss ``k`` [-] on the velocity head in ``bore`` [m]."""
    return Passive(tag=tag, start=start, end=end, bore=bore, k=k, k_reverse=k, medium=medium)


def valve(tag: str, start: str, end: str, *, kv: float, medium: int = 0) -> Passive:
    """Return a valve of ``kv`` [m3/h]; Kv 0 shuts it."""
    return Passive(tag=tag, start=start, end=end, kv=kv or 1.0, is_open=kv > 0, medium=medium)


def power_law(
    tag: str, start: str, end: str, *, coefficient: float, exponent: float, medium: int = 0
) -> Passive:
    """Return a link with drop [Pa] = coefficient * flow [kg/s] ** exponent."""
    return Passive(tag=tag, start=start, end=end, coefficient=coefficient, exponent=exponent, medium=medium)


def pump(
    tag: str, start: str, end: str, curve: PumpCurve, *, speed: float = 1.0, medium: int = 0
) -> PumpLink:
    """Return a pump from ``start`` (suction) to ``end`` (discharge)."""
    return PumpLink(tag=tag, start=start, end=end, curve=curve, speed=speed, medium=medium)


def check_valve(
    tag: str, start: str, end: str, *, kv: float, cracking: float = 0.0, medium: int = 0
) -> OneWay:
    """Return a check valve of ``kv`` [m3/h] that opens at ``cracking`` [Pa]."""
    return OneWay(tag=tag, start=start, end=end, kv=kv, threshold=cracking, medium=medium)


class Network(Struct, frozen=True, kw_only=True, dict=True):
    """Nodes, links, tees and the liquids in them.

    ``lagged_tees`` uses tee coefficients of the flow split; without it they are constant.
    """

    nodes: tuple[Node, ...]
    links: tuple[Link, ...]
    media: tuple[Medium, ...]
    tees: tuple[TeeJoint, ...] = ()
    lagged_tees: bool = True

    @cached_property
    def link_by_tag(self) -> dict[str, Link]:
        """Tag -> link."""
        return {link.tag: link for link in self.links}

    def changed(self, changes: tuple[Change, ...]) -> Network:
        """Return the network with quantities of links changed; quantities are the links' fields.

        Raises
        ------
        PartError
            No link of that tag, or the link has no such quantity.
        """
        new = changed_links(self.link_by_tag, changes)
        return msgspec.structs.replace(self, links=tuple(new.get(link.tag, link) for link in self.links))


_NOT_FLOATS: dict[str, type[int]] = {"is_open": bool, "medium": int}


def changed_links(links: dict[str, Link], changes: tuple[Change, ...]) -> dict[str, Link]:
    """Return tag -> new link for the links that ``changes`` name.

    Raises
    ------
    PartError
        No link of that tag, or the link has no such quantity.
    """
    new: dict[str, Link] = {}
    for change in changes:
        link = new.get(change.tag) or links.get(change.tag)
        if link is None:
            raise PartError(f"no link is tagged {change.tag}", (change.tag,))
        old = getattr(link, change.quantity, None)
        if change.quantity not in link.__struct_fields__ or not isinstance(old, bool | int | float):
            raise PartError(f"{change.tag} has no quantity {change.quantity!r}", (change.tag,))
        value = _NOT_FLOATS.get(change.quantity, float)(change.applied_to(float(old)))
        new[change.tag] = msgspec.structs.replace(link, **{change.quantity: value})
    return new
