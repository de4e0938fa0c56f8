# SPDX-License-Identifier: MIT
"""The state of a component as its symbol shows it, and the same in words.

A state is never told by the drawing alone: the label beside the symbol says the word.
"""

from __future__ import annotations

from typing import NamedTuple

from app.translation import tr
from solver.vessel.components import (
    Chiller,
    Component,
    ControlValve,
    IsolatingValve,
    Pump,
    RegulatingValve,
    Strainer,
    ThreeWayValve,
)


class State(NamedTuple):
    """``mode`` chooses the drawing, ``word`` stands in the label."""

    mode: str
    word: str = ""


def state_of(component: Component) -> State:
    """Return the state that a component's fields put it in."""
    if isinstance(component, Pump):
        if not component.running or component.speed_percent == 0:
            return State("stopped", tr("stopped"))
        return State("running", "" if component.speed_percent == 100 else percent(component.speed_percent))
    if isinstance(component, Chiller):
        return State("running") if component.running else State("stopped", tr("stopped"))
    if isinstance(component, IsolatingValve):
        return _opening(component.opening_percent)
    if isinstance(component, ThreeWayValve):
        if component.position_percent in (0, 100):
            if component.position_percent:
                return State("through", tr("through"))
            return State("bypass", tr("bypass"))
        return State("throttled", percent(component.position_percent))
    if isinstance(component, ControlValve):
        return _opening(component.position_percent)
    if isinstance(component, RegulatingValve):
        shut = any(kv == 0 and component.setting <= setting for setting, kv in component.kv_table)
        return (
            State("shut", tr("shut"))
            if shut
            else State("open", tr("set {setting}").format(setting=f"{component.setting:g}"))
        )
    if isinstance(component, Strainer) and component.clogging_percent:
        return State("clogged", tr("{share} clogged").format(share=percent(component.clogging_percent)))
    return State("open")


def _opening(share: float) -> State:
    if share == 0:
        return State("shut", tr("shut"))
    return State("open") if share == 100 else State("throttled", percent(share))


def percent(value: float) -> str:
    """Return a percentage with its sign, without figures that say nothing."""
    return f"{value:.3g} %"
