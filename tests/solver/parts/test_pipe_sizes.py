# SPDX-License-Identifier: MIT
"""Pipe sizes against the published tables they were taken from."""

import json
import math
from fractions import Fraction
from pathlib import Path

import pytest

from solver.errors import PartError
from solver.parts.pipe_sizes import SERIES, next_size, pipe_series, pipe_size, series

REFERENCES = Path(__file__).parents[2] / "references"
METRIC = {
    "copper_en1057_thin": ("pipe_06_copper_en1057", "X_walls"),
    "copper_en1057_thick": ("pipe_06_copper_en1057", "Y_walls"),
    "copper_en1057_continental": ("pipe_06_copper_en1057", "continental_walls"),
    "multilayer": ("pipe_03_metric_tubes", "multilayer_common"),
    "pex_s5": ("pipe_03_metric_tubes", "pex_S5_SDR11"),
    "pex_s3_2": ("pipe_03_metric_tubes", "pex_S3p2_SDR7p4"),
    "ppr_s2_5": ("pipe_03_metric_tubes", "ppr", "S 2.5 (SDR 6)"),
    "ppr_s3_2": ("pipe_03_metric_tubes", "ppr", "S 3.2 (SDR 7.4)"),
    "ppr_s5": ("pipe_03_metric_tubes", "ppr", "S 5 (SDR 11)"),
    "stainless_iso1127": ("pipe_03_metric_tubes", "stainless_iso1127"),
}
INCH = {
    "steel_40": "steel ASME B36.10 sch 40",
    "stainless_10s": "stainless ASME B36.19 10S",
    "stainless_40s": "stainless ASME B36.19 40S",
    "pvc_80": "PVC ASTM D1785 sch 80",
    "cpvc_80": "CPVC ASTM F441 sch 80 (IPS)",
}


def reference(name: str, *keys: str):
    data = json.loads((REFERENCES / f"{name}.json").read_text(encoding="utf-8"))
    for key in keys:
        data = data[key]
    return data


def inches(size: str) -> float:
    return float(sum(Fraction(word) for word in size.split()))


@pytest.mark.reference
@pytest.mark.parametrize("series_id", METRIC)
def test_metric_sizes_are_the_published_ones(series_id):
    # Sources: pipe_03 (recalled, plastics checked against S), pipe_06 (EN 1057 table 3).
    rows = reference(*METRIC[series_id])
    assert len(rows) == len(pipe_series(series_id).sizes)
    for row in rows:
        size = pipe_size(series_id, f"{row['OD_mm']:g}x{row['wall_mm']:.1f}")
        assert size.outside_mm == row["OD_mm"]
        assert size.wall_mm == row["wall_mm"]
        assert size.bore_mm == pytest.approx(row["ID_mm"], abs=1e-9)


@pytest.mark.reference
@pytest.mark.parametrize("kind", ["K", "L"])
def test_copper_of_astm_b88(kind):
    # Source: pipe_01, ASTM B88 dimension table.
    rows = reference("pipe_01_copper_b88", "rows")
    assert len(rows) == len(pipe_series(f"copper_b88_{kind.lower()}").sizes)
    for row in rows:
        size = pipe_size(f"copper_b88_{kind.lower()}", row["nominal_in"])
        assert size.outside_mm / 25.4 == pytest.approx(row["OD_in"], abs=1e-4)
        assert size.wall_mm / 25.4 == pytest.approx(row[f"wall_{kind}_in"], abs=1e-4)
        assert size.bore_mm == pytest.approx(row[f"ID_{kind}_mm"], abs=0.006)


@pytest.mark.reference
@pytest.mark.parametrize("series_id", INCH)
def test_sizes_by_nominal_pipe_size(series_id):
    # Source: pipe_02, ASME B36.10M and B36.19M, ASTM D1785 and F441.
    by_inches = {inches(size.size): size for size in pipe_series(series_id).sizes}
    for row in reference("pipe_02_steel_stainless_plastic_nps", "tables", INCH[series_id]):
        size = by_inches[row["NPS"]]
        assert (size.outside_mm, size.wall_mm) == (row["OD_mm"], row["wall_mm"])
        assert size.bore_mm == pytest.approx(row["ID_mm"], abs=0.002)


@pytest.mark.reference
def test_content_per_metre_is_the_published_one():
    # Source: pipe_06, contents printed beside EN 1057 sizes, rounded to 0.001 L/m.
    by_size = {
        (size.outside_mm, size.wall_mm): size.content_L_m
        for each in series()
        if each.id.startswith("copper_en1057")
        for size in each.sizes
    }
    rows = reference("pipe_06_copper_en1057", "content_L_per_m")
    found = [row for row in rows if (row["OD_mm"], row["wall_mm"]) in by_size]
    assert len(found) >= 8
    for row in found:
        assert by_size[row["OD_mm"], row["wall_mm"]] == pytest.approx(row["published"], abs=0.0006)


@pytest.mark.reference
@pytest.mark.parametrize(
    ("key", "ids"),
    [
        ("drawn_tube_copper_brass", [name for name in SERIES if name.startswith("copper")]),
        ("commercial_steel", ["steel_40"]),
        ("stainless_steel_new", [name for name in SERIES if name.startswith("stainless")]),
        ("pvc_pe_design", ["multilayer", "pex_s5", "pex_s3_2", "ppr_s5", "ppr_s3_2", "pvc_80", "cpvc_80"]),
        ("cupronickel_drawn", ["cu_ni_90_10"]),
        ("rubber_smoothed", ["rubber_hose"]),
    ],
)
def test_roughness_is_the_handbooks(key, ids):
    # Source: pipe_05, F. M. White, Fluid Mechanics, table 6.1, and Moody 1944.
    wanted = reference("pipe_05_roughness", "values_mm", key)
    assert [pipe_series(name).roughness_mm for name in ids] == [wanted] * len(ids)


@pytest.mark.parametrize("series_id", SERIES)
def test_every_series_is_whole(series_id):
    found = pipe_series(series_id)
    assert found.id == series_id
    assert all([found.name, found.material, found.source, found.from_memory, found.roughness_source])
    assert 0.1 < found.conductivity_W_mK < 400
    names = [size.size for size in found.sizes]
    assert len(set(names)) == len(names)
    for size in found.sizes:
        assert pipe_size(series_id, size.size) is size
        assert size.bore_mm == pytest.approx(size.outside_mm - 2 * size.wall_mm)
        assert size.bore_mm > 0
        assert size.content_L_m == pytest.approx(math.pi * size.bore_mm**2 / 4000)
        assert size.roughness_mm == found.roughness_mm
        assert (size.mass_kg_m is None) == (series_id == "multilayer")


def test_bores_reach_from_6_to_400_millimetres():
    bores = [size.bore_mm for each in series() for size in each.sizes]
    assert min(bores) <= 6.0
    for name in ("steel_40", "stainless_10s", "cu_ni_90_10"):
        assert max(size.bore_mm for size in pipe_series(name).sizes) > 400.0


def test_mass_of_empty_pipe():
    # 22 x 1.0 copper: pi/4 (0.022**2 - 0.020**2) m2 * 8940 kg/m3.
    assert pipe_size("copper_en1057_continental", "22x1.0").mass_kg_m == pytest.approx(0.58981, abs=1e-4)


def test_the_next_size_keeps_the_wall():
    assert next_size("rubber_hose", "19").size == "22"
    assert next_size("rubber_hose", "19", -2).size == "13"
    assert next_size("copper_b88_l", "1 1/4", 0).size == "1 1/4"
    assert next_size("stainless_iso1127", "21.3x1.6").size == "26.9x1.6"
    assert next_size("stainless_iso1127", "33.7x2.6", 2).size == "48.3x2.6"
    assert next_size("stainless_iso1127", "33.7x2.6", -1).size == "26.9x2.0"


@pytest.mark.parametrize(("size", "steps", "last"), [("102", 1, "102"), ("8", -3, "6")])
def test_a_series_ends(size, steps, last):
    with pytest.raises(PartError, match=f"rubber_hose {size} cannot go .* as far as {last}$"):
        next_size("rubber_hose", size, steps)


@pytest.mark.parametrize(
    ("series_id", "size", "words"),
    [
        ("coper_b88_l", "1", ['"coper_b88_l"', "copper_b88_l? one of", "rubber_hose"]),
        ("copper_en1057_thin", "22", ['"22"', "nearest 22x0.9, 28x0.9, 15x0.7;", "159x2.0"]),
        ("copper_b88_l", "1 1/8", ['"1 1/8"', "nearest 1, 1 1/4, 3/4;"]),
        ("rubber_hose", "20 mm", ['"20 mm"', "nearest 19, 22"]),
        ("rubber_hose", "large", ['"large"', "accepted: all 6, 8"]),
        ("rubber_hose", "1/0", ['"1/0"', "accepted: all 6, 8"]),
        ("rubber_hose", "nan", ['"nan"', "accepted: all 6, 8"]),
        ("rubber_hose", "", ['""', "accepted: all 6, 8"]),
    ],
)
def test_unknown_names_are_refused_with_the_nearest(series_id, size, words):
    with pytest.raises(PartError) as refused:
        pipe_size(series_id, size)
    for word in words:
        assert word in str(refused.value)
