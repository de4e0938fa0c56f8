# SPDX-License-Identifier: MIT
"""The examples of docs/library.md run, in order, and say what the page says they say."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from app.shipped import shipped

EXAMPLES = re.findall(
    r"```python\n(.*?)```", (shipped("docs") / "library.md").read_text(encoding="utf-8"), re.DOTALL
)


def test_the_examples_run(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    monkeypatch.chdir(Path(shipped("sample_vessels")).parent)
    names: dict[str, object] = {}
    for number, example in enumerate(EXAMPLES):
        exec(compile(example, f"example {number + 1} of library.md", "exec"), names)
    printed = capsys.readouterr().out
    assert "AH-9: 4.0 L/min, 59% of design" in printed
    assert re.search(r"0\.[3-6]\d L/s through AH-1", printed)
    assert "True" in printed.splitlines(), "the check of the network in code"
    assert names["opened"].air_handlers["AH-9"].share_of_design > 0.9  # type: ignore[attr-defined]
    assert names["throttled"].flow_of("AH-1") < names["solution"].flow_of("AH-1")  # type: ignore[attr-defined]
    assert len(names["table"].steps) > 0  # type: ignore[attr-defined]
