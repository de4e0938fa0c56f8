# SPDX-License-Identifier: MIT
"""Every rule fires on a vessel that breaks it, is silent on a sound one, and is listed in the docs."""

from __future__ import annotations

import re
from pathlib import Path

import msgspec
import pytest

from solver.findings import findings
from solver.findings.table import RULES
from solver.results import Results
from solver.solve import solve
from tests.heat_boats import cool_vessel, cooled
from tests.solver.findings.broken import BROKEN
from tests.solver.small_vessels import solved, sound_vessel

_DOCS = Path(__file__).parents[3] / "docs" / "findings.md"
_ENGLISH_UNITS = re.compile(r"\b(L/min|kPa|m/s|Pa/m|°C)\b|\d m\b")


@pytest.fixture(scope="module")
def sound() -> Results:
    return solved(sound_vessel())


def test_every_rule_has_a_vessel_that_breaks_it() -> None:
    names = [rule.name for rule in RULES]
    assert len(set(names)) == len(names)
    assert set(BROKEN) == set(names)


@pytest.mark.parametrize("rule", RULES, ids=lambda rule: rule.name)
def test_a_rule_fires_where_it_is_broken(rule) -> None:
    vessel, results = BROKEN[rule.name]()
    assert (results is not None) or not rule.needs_results
    found = [finding for finding in findings(vessel, results) if finding.rule == rule.name]
    assert found
    known = {*vessel.component_by_tag, *vessel.run_by_tag, *(cabin.tag for cabin in vessel.cabins)}
    for finding in found:
        assert set(finding.tags) <= known
        assert len(set(finding.tags)) == len(finding.tags)
        for text in (finding.problem, finding.cause, finding.cure):
            assert text == text.strip()
            assert "!" not in text
            assert "  " not in text
            assert not text or text[-1] == "."
        assert finding.problem


@pytest.mark.parametrize("rule", RULES, ids=lambda rule: rule.name)
def test_a_rule_is_silent_on_a_sound_vessel(rule, sound: Results) -> None:
    assert rule.name not in {finding.rule for finding in findings(sound.vessel, sound)}


def test_a_sound_vessel_solved_in_earnest_has_no_finding() -> None:
    vessel = sound_vessel()
    assert findings(vessel, solve(vessel)) == ()


def test_a_vessel_whose_cabins_are_cool_has_no_finding() -> None:
    results = cooled(cool_vessel())
    assert results.heat is not None
    assert results.findings == ()


def test_rules_on_temperatures_are_not_asked_where_there_are_none(sound: Results) -> None:
    names = {rule.name for rule in RULES if rule.needs_heat}
    assert len(names) > 10
    vessel, results = BROKEN["chiller_short"]()
    assert results is not None
    without = msgspec.structs.replace(results, heat=None)
    assert names & {finding.rule for finding in findings(vessel, results)}
    assert not names & {finding.rule for finding in findings(vessel, without)}


@pytest.mark.parametrize("rule", RULES, ids=lambda rule: rule.name)
def test_texts_follow_the_units_of_the_vessel(rule) -> None:
    vessel, results = BROKEN[rule.name]()
    american = type(vessel)(
        **{name: getattr(vessel, name) for name in vessel.__struct_fields__} | {"units": "us"}
    )
    found = [one for one in findings(american, results) if one.rule == rule.name]
    assert found
    for finding in found:
        assert not _ENGLISH_UNITS.search(f"{finding.problem} {finding.cause} {finding.cure}")


def test_the_worst_come_first_and_equals_keep_the_order_of_the_table() -> None:
    vessel, results = BROKEN["pump_dead_headed"]()
    found = findings(vessel, results)
    place = {rule.name: number for number, rule in enumerate(RULES)}
    order = ["bad", "warn", "note"]
    keys = [(order.index(finding.severity), place[finding.rule]) for finding in found]
    assert len({severity for severity, _ in keys}) > 1
    assert keys == sorted(keys)


def test_without_results_only_the_drawing_is_judged() -> None:
    vessel, results = BROKEN["air_handler_low"]()
    assert results is not None
    assert findings(vessel, results)
    assert findings(vessel, None) == ()


def test_the_docs_list_the_rules_of_the_table_in_order() -> None:
    listed = re.findall(r"^\| `([a-z_]+)` \|", _DOCS.read_text(encoding="utf-8"), flags=re.MULTILINE)
    assert listed == [rule.name for rule in RULES]


def test_the_docs_say_which_rules_need_a_solve() -> None:
    rows = re.findall(r"^\| `([a-z_]+)` \| (\w+) \|", _DOCS.read_text(encoding="utf-8"), flags=re.MULTILINE)
    wanted = {
        rule.name: "temperatures" if rule.needs_heat else "results" if rule.needs_results else "drawing"
        for rule in RULES
    }
    assert dict(rows) == wanted


def test_every_rule_says_where_it_comes_from() -> None:
    source = re.compile(
        r"common practice|physics|geometry|ashrae|iso |en 12828|hydraulic institute|ansi|abyc|handbook|maker|"
        r"supplier|trade|textbook|safety data|solver.circuits|worth knowing",
        re.IGNORECASE,
    )
    for rule in RULES:
        assert rule.judge.__doc__
        assert source.search(rule.judge.__doc__), rule.name
