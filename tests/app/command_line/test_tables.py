# SPDX-License-Identifier: MIT
"""Tables stand in line whatever is in them."""

from hypothesis import given
from hypothesis import strategies as st

from app.command_line.tables import display_width, paragraph, table


def test_figures_stand_in_line_at_the_point_under_head_and_unit() -> None:
    rows = [("AH-1", 12.3 / 60, 0.62), ("AH-2", 123 / 60, None), ("AH-3", 0.21 / 60, 1.0)]
    assert table({"tag": None, "flow": "flow", "share": "fraction"}, rows, "si").splitlines() == [
        "tag     flow  share",
        "       L/min      %",
        "----  ------  -----",
        "AH-1   12.3      62",
        "AH-2  123         –",
        "AH-3    0.21    100",
    ]


def test_the_units_are_those_of_the_system() -> None:
    text = table({"tag": None, "flow": "flow", "rise": "pressure"}, [("P-1", 0.5, 45.0)], "us")
    assert "US gpm" in text.splitlines()[1]
    assert "psi" in text.splitlines()[1]
    assert text.splitlines()[3].split() == ["P-1", "7.93", "6.53"]


def test_a_table_of_text_has_no_line_of_units() -> None:
    assert table({"tag": None, "name": None}, [("V-1", "valve")], "si").splitlines() == [
        "tag  name",
        "---  -----",
        "V-1  valve",
    ]


def test_a_table_without_rows_keeps_its_heads() -> None:
    assert table({"tag": None, "flow": "flow"}, [], "si").splitlines() == [
        "tag   flow",
        "     L/min",
        "---  -----",
    ]


def test_wide_and_combining_characters_keep_the_columns_in_line() -> None:
    rows = [("客室", 0.1), ("Cabine arrie\u0300re", 0.1), ("AH", 0.1)]
    lines = table({"name": None, "flow": "flow"}, rows, "si").splitlines()
    assert len({display_width(line) for line in lines[3:]}) == 1


@given(
    st.lists(
        st.tuples(
            st.text(st.characters(codec="utf-8", exclude_categories=["C", "Z"]), min_size=1, max_size=12),
            st.floats(-1e5, 1e5) | st.none(),
        ),
        min_size=1,
        max_size=6,
    )
)
def test_no_line_is_wider_than_the_rule_and_points_stand_in_line(
    rows: list[tuple[str, float | None]],
) -> None:
    lines = table({"tag": None, "flow": "flow"}, rows, "si").split("\n")
    assert len(lines) == 3 + len(rows)
    assert max(map(display_width, lines)) == display_width(lines[2])
    before_the_point = {
        display_width(line[: line.rindex(".")]) for line in lines[3:] if "." in line.split()[-1]
    }
    assert len(before_the_point) <= 1


def test_a_line_break_in_a_name_does_not_break_the_table() -> None:
    assert table({"name": None}, [("aft\ncabin",)], "si").splitlines()[-1] == "aft cabin"


def test_a_paragraph_is_wrapped_and_indented() -> None:
    lines = paragraph("word " * 60, "    ").splitlines()
    assert len(lines) > 2
    assert all(len(line) <= 100 for line in lines)
    assert all(line.startswith("    ") for line in lines[1:])
