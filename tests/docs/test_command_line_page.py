# SPDX-License-Identifier: MIT
"""What docs/command_line.md shows is what the commands print."""

import doctest
import json
import re
import shlex
import shutil
from pathlib import Path

import pytest

from app.command_line.main import run
from app.shipped import shipped

_PAGE = (shipped("docs") / "command_line.md").read_text(encoding="utf-8")
_EXAMPLES = re.findall(r"```console\n\$ farcabin (.*?)\n(.*?)```", _PAGE, re.DOTALL)
_LONG_NUMBER = re.compile(r"-?\d+\.\d+e-\d+|-?\d+\.\d{7,}")


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Work in a folder with the samples, and one of them with a slip in it."""
    shutil.copytree(shipped("sample_vessels"), tmp_path / "sample_vessels")
    text = (tmp_path / "sample_vessels" / "motor_yacht_18m.farcabin").read_text(encoding="utf-8")
    document = json.loads(text)
    document["runs"][2]["length_m"] = -2
    (tmp_path / "bad.farcabin").write_text(json.dumps(document), encoding="utf-8")
    monkeypatch.chdir(tmp_path)
    return tmp_path


def test_every_verb_has_an_example() -> None:
    assert {words.split()[0] for words, _ in _EXAMPLES} == {
        "solve",
        "cabins",
        "pulldown",
        "check",
        "draw",
        "schema",
        "sample",
    }


@pytest.mark.parametrize(("words", "shown"), [one for one in _EXAMPLES if not one[0].startswith("draw")])
def test_the_page_shows_what_is_printed(
    words: str, shown: str, folder: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    run(shlex.split(words))
    printed = capsys.readouterr()
    checker = doctest.OutputChecker()
    expected, found = _rounded(shown), _rounded(printed.out + printed.err)
    assert checker.check_output(expected, found, doctest.ELLIPSIS), found


def _rounded(text: str) -> str:
    """Leave out what differs from machine to machine: the last digits, and what is zero but for rounding."""

    def shorter(found: re.Match[str]) -> str:
        value = float(found[0])
        return "0" if abs(value) < 1e-5 else f"{value:.6g}"

    return _LONG_NUMBER.sub(shorter, text)
