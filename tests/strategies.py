# SPDX-License-Identifier: MIT
"""Random vessels for property tests: small, of any kinds, and valid.

``vessels()`` draws components of random kinds with random fields in their range, joined by runs
between free ports, with decks, cabins, readings and scenarios that name parts that are there.  They
are meant for the document (files, edits), not for the solve: most have no answer.
"""

from __future__ import annotations

from typing import Any

import msgspec
from hypothesis import strategies as st
from msgspec import inspect

from solver.change import Change
from solver.parts.constructions import CONSTRUCTIONS
from solver.parts.fittings import FITTING_KINDS
from solver.parts.pipe_sizes import SERIES, pipe_series
from solver.vessel.accepted import fields_of
from solver.vessel.cabin import GLASS, USUAL, Surface
from solver.vessel.components import (
    KINDS,
    AnyComponent,
    Component,
    DropPoint,
    KvPoint,
    PumpPoint,
    kind_name,
)
from solver.vessel.edits import PREFIXES
from solver.vessel.quantities import quantities
from solver.vessel.run import End, Fitting, Run
from solver.vessel.spaces import USUAL_SPACES, plain_name
from solver.vessel.vessel import (
    Cabin,
    Conditions,
    Deck,
    Limits,
    LoopLiquid,
    Method,
    Reading,
    ReadingSet,
    Scenario,
    Space,
    Underlay,
    Vessel,
)

#: No field of the strategies goes beyond this, so that edits have room to add.
_LARGEST = 1e6

names = st.text(st.characters(codec="utf-8", exclude_categories=("Cc", "Cs")), min_size=1, max_size=12)
texts = st.text(st.characters(codec="utf-8", exclude_categories=("Cc", "Cs")) | st.just("\n"), max_size=20)
points = st.tuples(st.floats(-_LARGEST, _LARGEST), st.floats(-_LARGEST, _LARGEST))


def values(kind: inspect.Type) -> st.SearchStrategy[Any]:
    """Return values that a field of this type accepts, taken by itself."""
    match kind:
        case inspect.Metadata():
            return values(kind.type)
        case inspect.FloatType():
            return st.floats(
                -_LARGEST if kind.ge is None and kind.gt is None else float(kind.ge or kind.gt or 0.0),
                _LARGEST if kind.le is None else float(kind.le),
                exclude_min=kind.gt is not None,
                allow_subnormal=False,
            )
        case inspect.IntType():
            return st.integers(kind.ge, kind.le)
        case inspect.StrType():
            return texts
        case inspect.BoolType():
            return st.booleans()
        case inspect.NoneType():
            return st.none()
        case inspect.LiteralType():
            return st.sampled_from(kind.values)
        case inspect.TupleType():
            return st.tuples(*map(values, kind.item_types))
        case inspect.NamedTupleType():
            return st.builds(kind.cls, *(values(field.type) for field in kind.fields))
        case inspect.VarTupleType():
            return st.lists(values(kind.item_type), max_size=3).map(tuple)
        case inspect.StructType():
            return structs(kind.cls)
        case inspect.UnionType():
            return st.one_of(*map(values, kind.types))
    raise TypeError(kind)


def structs(kind: type[Any], /, **given: st.SearchStrategy[Any]) -> st.SearchStrategy[Any]:
    """Return structs of a kind with each field drawn from its range, or as given."""
    required, optional = {}, {}
    types = fields_of(kind)
    for field in msgspec.structs.fields(kind):
        target = required if field.required or field.name in given else optional
        target[field.name] = given[field.name] if field.name in given else values(types[field.name])
    return st.fixed_dictionaries(required, optional=optional).map(lambda fields: kind(**fields))


def _rounded(low: float, high: float) -> st.SearchStrategy[float]:
    """Return numbers that differ by a thousandth or not at all."""
    return st.floats(low, high).map(lambda number: round(number, 3))


@st.composite
def _curves(draw: st.DrawFn) -> tuple[PumpPoint, ...]:
    flows = sorted(draw(st.lists(_rounded(0, 100), min_size=3, max_size=6, unique=True)))
    heads = [draw(st.floats(0.1, 100)), *(draw(st.floats(-10, 100)) for _ in flows[1:])]
    return tuple(PumpPoint(flow, head) for flow, head in zip(flows, heads, strict=True))


@st.composite
def _kv_tables(draw: st.DrawFn) -> tuple[KvPoint, ...]:
    settings = sorted(draw(st.lists(_rounded(0, 20), min_size=2, max_size=6, unique=True)))
    kvs = sorted(draw(st.lists(st.floats(0.01, 200), min_size=len(settings), max_size=len(settings))))
    return tuple(map(KvPoint, settings, kvs))


_DROP_POINTS = st.lists(
    st.builds(DropPoint, _rounded(0.01, 10), st.floats(0.1, 100)),
    max_size=3,
    unique_by=lambda point: point.flow_L_s,
).map(tuple)


@st.composite
def components(
    draw: st.DrawFn,
    tag: str,
    kind: type[Component],
    decks: tuple[str, ...] = (),
    cabins: tuple[str, ...] = (),
) -> AnyComponent:
    """Draw a valid component of a kind, on one of the decks and serving some of the cabins."""
    given: dict[str, st.SearchStrategy[Any]] = {
        "tag": st.just(tag),
        "deck": st.sampled_from(("", *decks)),
    }
    fields = kind.__struct_fields__
    if "curve" in fields:
        given["curve"] = _curves()
    if "drop_points" in fields:
        given["drop_points"] = _DROP_POINTS
    if "cabins" in fields:
        given["cabins"] = st.lists(st.sampled_from(cabins), unique=True).map(tuple) if cabins else st.just(())
    if "kv_table" in fields:
        table = draw(_kv_tables())
        given["kv_table"] = st.just(table)
        given["setting"] = st.floats(0, table[-1].setting)
    if "maximum_drop_kPa" in fields:
        given["minimum_drop_kPa"] = st.floats(1, 50)
        given["maximum_drop_kPa"] = st.floats(51, 500)
    if "port_count" in fields and kind is KINDS["manifold"]:
        given["port_count"] = st.integers(2, 6)
    return draw(structs(kind, **given))


@st.composite
def runs(draw: st.DrawFn, tag: str, start: End, end: End) -> Run:
    """Draw a valid run between two ports."""
    series = draw(st.sampled_from(SERIES))
    fittings = st.lists(
        st.builds(Fitting, st.sampled_from(list(FITTING_KINDS)), st.integers(1, 9)), max_size=3
    )
    return draw(
        structs(
            Run,
            tag=st.just(tag),
            start=st.just(start),
            end=st.just(end),
            series=st.just(series),
            size=st.sampled_from([size.size for size in pipe_series(series).sizes]),
            length_m=st.floats(0.001, 200),
            fittings=fittings.map(tuple),
        )
    )


@st.composite
def surfaces(draw: st.DrawFn, spaces: tuple[str, ...] = ()) -> Surface:
    """Draw a valid surface of a cabin, with a usual space or one of ``spaces`` beyond it."""
    kind = draw(st.sampled_from(list(USUAL)))
    fitting = [name for name, made in CONSTRUCTIONS.items() if (made.solar_gain > 0.0) == (kind in GLASS)]
    return draw(
        structs(
            Surface,
            kind=st.just(kind),
            construction=st.sampled_from(("", *fitting)),
            other_side=st.sampled_from(("", *USUAL_SPACES, *spaces)),
        )
    )


def conditions(name: st.SearchStrategy[str]) -> st.SearchStrategy[Conditions]:
    """Return conditions of a day that every month has."""
    return structs(Conditions, name=name, day=st.integers(1, 28))


@st.composite
def vessels(draw: st.DrawFn, max_components: int = 6) -> Vessel:
    """Draw a valid vessel."""
    decks = draw(st.lists(structs(Deck, name=names), max_size=3, unique_by=lambda deck: deck.name))
    deck_names = tuple(deck.name for deck in decks)
    on_deck = st.sampled_from(("", *deck_names))
    spaces = draw(
        st.lists(
            structs(Space, name=names.filter(plain_name)),
            max_size=2,
            unique_by=lambda space: plain_name(space.name),
        )
    )
    beyond = tuple(space.name for space in spaces)
    cabins = tuple(
        draw(
            structs(
                Cabin,
                tag=st.just(f"C-{number}"),
                deck=on_deck,
                surfaces=st.lists(surfaces(beyond), max_size=3).map(tuple),
            )
        )
        for number in range(draw(st.integers(0, 2)))
    )
    parts: list[AnyComponent] = []
    for number in range(draw(st.integers(0, max_components))):
        kind = draw(st.sampled_from(list(KINDS.values())))
        tag = f"{PREFIXES[str(kind.__struct_config__.tag)]}{number}"
        parts.append(draw(components(tag, kind, deck_names, tuple(cabin.tag for cabin in cabins))))
    ports = draw(st.permutations([End(part.tag, port) for part in parts for port in part.ports]))
    count = draw(st.integers(0, len(ports) // 2))
    joined = tuple(draw(runs(f"R-{n}", ports[2 * n], ports[2 * n + 1])) for n in range(count))
    weather = draw(st.lists(conditions(names), min_size=1, max_size=2, unique_by=lambda each: each.name))
    named = (*parts, *joined, *cabins)
    return Vessel(
        name=draw(texts),
        notes=draw(texts),
        units=draw(st.sampled_from(("si", "us"))),
        loop_liquid=draw(structs(LoopLiquid)),
        conditions=tuple(weather),
        condition=draw(st.sampled_from(("", *(each.name for each in weather)))),
        decks=tuple(decks),
        spaces=tuple(spaces),
        cabins=cabins,
        components=tuple(parts),
        runs=joined,
        readings=draw(st.lists(_days(named), max_size=2).map(tuple)),
        scenarios=draw(
            st.lists(_scenarios(named), max_size=2, unique_by=lambda scenario: scenario.name).map(tuple)
        ),
        underlays=draw(st.lists(structs(Underlay, deck=on_deck), max_size=1).map(tuple)),
        limits=draw(structs(Limits)),
        method=draw(structs(Method)),
    )


@st.composite
def _days(draw: st.DrawFn, parts: tuple[Any, ...]) -> ReadingSet:
    read = draw(st.lists(st.sampled_from(parts), max_size=3)) if parts else []
    readings = tuple(draw(structs(Reading, tag=st.just(part.tag))) for part in read)
    return ReadingSet(draw(st.dates()).isoformat(), readings, draw(texts))


@st.composite
def _scenarios(draw: st.DrawFn, parts: tuple[Any, ...]) -> Scenario:
    changed = draw(st.lists(st.sampled_from(parts), max_size=3)) if parts else []
    return Scenario(draw(names), tuple(draw(changes(part)) for part in changed), draw(texts))


@st.composite
def changes(draw: st.DrawFn, part: Any) -> Change:
    """Draw a change that sets a quantity of a part to a value in its range."""
    quantity = draw(st.sampled_from([name for name in quantities(part) if name not in ("series", "size")]))
    old = draw(values(fields_of(type(part))[quantity]).filter(lambda value: value is not None))
    return Change(part.tag, quantity, float(old) if isinstance(old, bool | int) else old)


def kinds_of(vessel: Vessel) -> set[str]:
    """Return the kinds of component a vessel has."""
    return {kind_name(component) for component in vessel.components}
