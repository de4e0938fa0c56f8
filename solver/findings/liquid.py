# SPDX-License-Identifier: MIT
"""Rules on what flows: glycol share, poison, frost."""

from __future__ import annotations

from collections.abc import Iterator
from math import nan

from solver.errors import LiquidError
from solver.findings.case import Case, Verdict
from solver.findings.wording import listed
from solver.media.liquid import freezing_point, mass_share, properties
from solver.vessel.components import Chiller
from solver.vessel.vessel import LoopLiquid, Vessel

_NAMES = {"propylene_glycol": "propylene glycol", "ethylene_glycol": "ethylene glycol"}
#: Least share at which inhibitors work and nothing grows, and the share past which it only costs [%].
_LEAST, _MOST = 25.0, 40.0
#: How far the evaporator's surface lies below the leaving water [K].
_EVAPORATOR_BELOW = 5.0


def _share_by_mass(liquid: LoopLiquid) -> float:
    share = liquid.share_percent / 100.0
    if liquid.kind == "water" or share == 0.0:
        return 0.0
    return mass_share(liquid.kind, share) if liquid.share_by == "volume" else share


def loop_density(vessel: Vessel) -> float:
    """Return the density of the loop's liquid [kg/m3]; that of water where it is frozen."""
    liquid = vessel.loop_liquid
    try:
        return properties(liquid.kind, liquid.temp_C, _share_by_mass(liquid)).density
    except LiquidError:
        return 1000.0


def _glycol(case: Case) -> tuple[str, float]:
    """Return glycol's name and its share [%], none for water."""
    liquid = case.vessel.loop_liquid
    return (_NAMES.get(liquid.kind, ""), liquid.share_percent if liquid.kind in _NAMES else nan)


def glycol_too_weak(case: Case) -> Iterator[Verdict]:
    """Glycol of 1 to 24 %: too little to inhibit corrosion, enough to feed bacteria.

    Suppliers of inhibited glycol ask for at least 25 to 30 % by volume (trade pages, names withheld).
    """
    name, share = _glycol(case)
    if 0.0 < share < _LEAST:
        yield Verdict(
            "warn",
            f"{share:g} % {name} is too little.",
            cause="Below about 25 % its inhibitors do not stop corrosion, and bacteria live on it.",
            cure="Use plain treated water, or 25 to 30 % of inhibited glycol by its maker's sheet.",
        )


def glycol_too_strong(case: Case) -> Iterator[Verdict]:
    """Glycol above 40 %.

    Common practice: for equal duty 40 % propylene glycol needs about 7 % more flow and 50 % about
    13 % more, through a thicker liquid (glycol suppliers' tables).
    """
    name, share = _glycol(case)
    if share > _MOST:
        yield Verdict(
            "warn",
            f"{share:g} % {name} is more than frost at sea asks for.",
            cause="It costs flow, pump power and the capacity of every coil.",
            cure="Take the least share that the coldest lay-up needs.",
        )


def ethylene_glycol(case: Case) -> Iterator[Verdict]:
    """Ethylene glycol in a boat's loop: poisonous if swallowed (safety data sheets)."""
    name, share = _glycol(case)
    if name == "ethylene glycol" and share > 0.0:
        yield Verdict(
            "warn",
            "Ethylene glycol is poisonous to people and animals.",
            cause="A leak can reach bilge, cabins and drinking water.",
            cure="Use propylene glycol. Where it must stay: label the loop, keep it apart from drinking "
            "water, collect all of it; local rules and the maker's sheet come first.",
        )


def frost_in_evaporator(case: Case) -> Iterator[Verdict]:
    """A liquid that freezes where the refrigerant boils.

    Common practice: the evaporator's surface is about 5 K below the leaving water.
    """
    liquid = case.vessel.loop_liquid
    try:
        freezing = freezing_point(liquid.kind, _share_by_mass(liquid))
    except LiquidError:
        return
    say = case.say
    cold = [part for part in case.of(Chiller) if part.set_point_C < freezing + _EVAPORATOR_BELOW]
    if cold:
        lowest = min(part.set_point_C for part in cold)
        yield Verdict(
            "bad" if lowest < freezing + 1.0 else "warn",
            f"The loop's liquid freezes at {say.temperature(freezing)}; "
            f"{listed([part.tag for part in cold])} {'is' if len(cold) == 1 else 'are'} set to "
            f"{say.temperature(lowest)}.",
            cause=f"The evaporator's surface is about {say.difference(_EVAPORATOR_BELOW)} colder than the "
            "water that leaves it. Ice bursts it.",
            cure=f"Set at least {say.temperature(freezing + _EVAPORATOR_BELOW)}, or add glycol. Never bridge "
            "the low-temperature trip.",
            tags=tuple(part.tag for part in cold),
        )
