# SPDX-License-Identifier: MIT
"""Which quantities of a part a ``solver.change.Change`` may name."""

from __future__ import annotations

from functools import cache

import msgspec
from msgspec import inspect

from solver.vessel.accepted import fields_of

#: What says how a part is drawn, how its figures are known or which ports it has, not what it does.
_NOT_QUANTITIES = frozenset(("turn", "port_count", "locked", "routed", "fittings_known"))
#: Texts that are choices all the same: the table of pipe sizes says among which.
_CHOSEN_FROM_TABLES = frozenset(("series", "size"))


def quantities(part: msgspec.Struct) -> tuple[str, ...]:
    """Return the fields of a component, run or cabin that a change may name.

    These are the numbers, the choices, true or false, and the series and size of a run.

    Examples
    --------
    >>> from solver.vessel.components import Strainer
    >>> quantities(Strainer(tag="STR-1", kv_m3_h=20.0))
    ('height_m', 'kv_m3_h', 'clogging_percent')
    """
    return _quantities_of(type(part))


@cache
def _quantities_of(kind: type[msgspec.Struct]) -> tuple[str, ...]:
    return tuple(
        name
        for name, known in fields_of(kind).items()
        if name in _CHOSEN_FROM_TABLES
        or (
            isinstance(
                without_null(known),
                inspect.FloatType | inspect.IntType | inspect.BoolType | inspect.LiteralType,
            )
            and name not in _NOT_QUANTITIES
        )
    )


def without_null(kind: inspect.Type) -> inspect.Type:
    """Return the type that a field holds when it is given."""
    if isinstance(kind, inspect.Metadata):
        return without_null(kind.type)
    if isinstance(kind, inspect.UnionType):
        given = [choice for choice in kind.types if not isinstance(choice, inspect.NoneType)]
        if len(given) == 1:
            return without_null(given[0])
    return kind
