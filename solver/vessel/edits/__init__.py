# SPDX-License-Identifier: MIT
"""Edits: functions from vessel to vessel.

Each gives a new vessel that shares what it did not touch, or raises ``EditError`` with the reason
and the tags; the vessel given is as it was.  A vessel that could be saved can be saved after every
edit: tags stay unique, runs end at ports that are there, and what names a part follows it or goes
with it.
"""

from solver.vessel.edits.adding import (
    add,
    add_cabin,
    add_component,
    add_run,
    remove,
    replace_component,
)
from solver.vessel.edits.in_line import heal, split_run
from solver.vessel.edits.named import (
    add_conditions,
    add_deck,
    add_scenario,
    remove_conditions,
    remove_deck,
    remove_scenario,
    set_conditions,
    set_deck,
    set_scenario,
)
from solver.vessel.edits.placing import move, turn
from solver.vessel.edits.setting import retag, set_field, set_run_size, set_vessel_field
from solver.vessel.edits.tags import PREFIXES, free_tag

__all__ = [
    "PREFIXES",
    "add",
    "add_cabin",
    "add_component",
    "add_conditions",
    "add_deck",
    "add_run",
    "add_scenario",
    "free_tag",
    "heal",
    "move",
    "remove",
    "remove_conditions",
    "remove_deck",
    "remove_scenario",
    "replace_component",
    "retag",
    "set_conditions",
    "set_deck",
    "set_field",
    "set_run_size",
    "set_scenario",
    "set_vessel_field",
    "split_run",
    "turn",
]
