# SPDX-License-Identifier: MIT
"""Edits of the drawing of a ship of 4,000 cabins: the functions alone, without a window."""

from __future__ import annotations

from collections.abc import Callable

from solver.vessel import edits
from solver.vessel.components import AirHandler, IsolatingValve
from solver.vessel.edits import OnRun, RunDefaults
from solver.vessel.run import End
from solver.vessel.samples import ship
from solver.vessel.vessel import Cabin, Deck, Vessel
from tests.benchmarks.timing import Row, median, once, shown

_CABINS = 4000
#: Cabins along one pair of mains.
_ALONG = 100
_TO_REACH = "500 ms"


def rows() -> list[Row]:
    """Return the table of edits."""
    vessel = ship(_CABINS)
    handlers = [one.tag for one in vessel.components if isinstance(one, AirHandler)]
    valves = [one.tag for one in vessel.components if isinstance(one, IsolatingValve)]
    parts = [one.tag for one in (*vessel.components, *vessel.runs, *vessel.cabins)]
    loose = edits.place(vessel, edits.new_component(vessel, "fill_point", (-200.0, -200.0)))
    longest = max(vessel.runs, key=lambda run: run.length_m)
    at = edits.corners(vessel, longest.tag) or (vessel.component_by_tag[longest.start.tag].at,)
    numbers = edits.numbering(vessel, handlers, prefix="Q-")
    works: dict[str, Callable[[], object]] = {
        "move one air handler": lambda: edits.move(vessel, handlers[100:101], 20.0, 10.0),
        "move a hundred": lambda: edits.move(vessel, handlers[100:200], 20.0, 10.0),
        "turn a valve": lambda: edits.turn(vessel, valves[100:101]),
        "delete a valve": lambda: edits.delete(vessel, valves[100:101]),
        "delete a hundred air handlers": lambda: edits.delete(vessel, handlers[100:200]),
        "drop a valve on a run": lambda: edits.drop_on_run(vessel, "isolating_valve", longest.tag, at[0]),
        "join onto a run": lambda: edits.join(
            loose, End(loose.components[-1].tag, "connection"), OnRun(longest.tag, at[0])
        ),
        "lead a run anew": lambda: edits.straighten(vessel, [longest.tag]),
        "lock all": lambda: edits.lock(vessel, parts),
        "duplicate 20": lambda: edits.duplicate(vessel, [one.tag for one in vessel.components[1000:1020]]),
        "number all air handlers": lambda: edits.renumber(vessel, numbers),
    }
    name = f"{len(vessel.components)} components, {len(vessel.runs)} runs"
    found = [Row(f"{name}: {what}", shown(median(work)), _TO_REACH) for what, work in works.items()]
    runs = [run.tag for run in vessel.runs]
    found.append(Row(f"{name}: lead all runs anew", shown(once(lambda: edits.straighten(vessel, runs)))))
    return [*found, *_mains()]


def _mains() -> list[Row]:
    settings = edits.first_settings()
    pair = edits.pair(
        _corridor(),
        [(0.0, 320.0), (200.0 * _ALONG + 400.0, 320.0)],
        gap=40.0,
        like=RunDefaults(size="32x3.0"),
        deck="Main",
    )
    supply, back = (run.tag for run in pair.runs)
    cabins = [cabin.tag for cabin in pair.cabins]
    laid = once(lambda: edits.repeat_for_cabins(pair, settings, cabins, supply, back))
    return [Row(f"branches for {_ALONG} cabins along a pair of mains", shown(laid))]


def _corridor() -> Vessel:
    """Return cabins side by side on a deck drawn to scale."""
    cabins = []
    for number in range(_ALONG):
        left = 200.0 * number + 100.0
        outline = ((left, 0.0), (left + 200.0, 0.0), (left + 200.0, 200.0), (left, 200.0))
        cabins.append(Cabin(tag=f"C-{number + 1}", deck="Main", outline=outline))
    return Vessel(name="Corridor", decks=(Deck("Main", 1.0, 0.05),), cabins=tuple(cabins))
