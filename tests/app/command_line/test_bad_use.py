# SPDX-License-Identifier: MIT
"""Bad files and bad words end with status 2 and one plain message on standard error."""

import os
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from app import __version__
from app.__main__ import main

Farcabin = Callable[..., Any]
_ROOT = Path(__file__).resolve().parents[3]


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (
            ["slove", "BOAT"],
            "there is no verb slove (solve?); known: solve, cabins, pulldown, check, draw, schema, sample",
        ),
        (["solve"], "the following arguments are required: FILE"),
        (["solve", "nowhere.farcabin"], "nowhere.farcabin"),
        (["solve", "BOAT", "--method", "guess"], "invalid choice: 'guess'"),
        (["solve", "BOAT", "--units", "metric"], "invalid choice: 'metric'"),
        (["solve", "BOAT", "--steps"], "--steps prints the Hardy-Cross table; it is used with"),
        (["solve", "BOAT", "--method", "hardy-cross", "--steps", "--json"], "one of them is used at a time"),
        (["solve", "BOAT", "--method", "hardy-cross", "--steps", "0"], "1 sweep or more is expected"),
        (["solve", "BOAT", "--change", "P-99.speed_percent=80"], "--change P-99.speed_percent=80: "),
        (["solve", "BOAT", "--scenario", "none such"], "no scenario none such"),
        (["draw", "BOAT", "-o", "picture.jpg"], "pictures ending in .png, .svg, .pdf can be written"),
        (["draw", "BOAT", "-o", "nowhere/a.png"], "there is no folder nowhere"),
        (["draw", "BOAT", "-o", "a.png", "--size", "big"], "width and height in pixels are expected"),
        (["draw", "BOAT", "-o", "a.png", "--size", "100000x10"], "each 200 to 20000"),
        (["draw", "BOAT", "-o", "a.png", "--overlay", "taste"], "invalid choice: 'taste'"),
        (["sample", "--air-handlers", "0", "-o", "a.farcabin"], "1 to 10000 are accepted"),
        (["sample", "--air-handlers", "4", "-o", "a.txt"], "a vessel file ends in .farcabin"),
        (["sample", "--air-handlers", "four", "-o", "a.farcabin"], "invalid int value: 'four'"),
        (["schema", "-o", "/no/such/folder/schema.json"], "/no/such/folder/schema.json: No such file"),
        (["--speed"], "required: VERB"),
    ],
)
def test_bad_use_is_status_2_with_what_is_accepted(
    farcabin: Farcabin, boat: Path, words: list[str], told: str
) -> None:
    found = farcabin(*(boat if word == "BOAT" else word for word in words))
    assert found.status == 2
    assert found.out == ""
    assert found.err.startswith("farcabin: ")
    assert told in found.err
    assert "Traceback" not in found.err


def test_a_change_the_part_does_not_accept_is_refused(farcabin: Farcabin, boat: Path) -> None:
    found = farcabin("solve", boat, "--change", "P-1.speed_percent=900")
    assert found.status == 2
    assert "P-1" in found.err
    assert "900" in found.err


@pytest.mark.parametrize(
    "content", ["", "{", "[]", '{"format": 99, "name": "x"}', '{"name": 3}', "\ufeff{}", "\0"]
)
def test_a_bad_file_is_refused_by_name(farcabin: Farcabin, tmp_path: Path, content: str) -> None:
    path = tmp_path / "bad.farcabin"
    path.write_text(content, encoding="utf-8")
    for verb in ("solve", "check"):
        found = farcabin(verb, path)
        assert found.status == 2
        assert found.out == ""
        assert found.err.startswith(f"farcabin: {path}")
        assert "Traceback" not in found.err


@pytest.mark.parametrize("words", [["--help"], ["solve", "--help"], ["draw", "--help"], ["sample", "--help"]])
def test_help_is_printed(farcabin: Farcabin, words: list[str]) -> None:
    found = farcabin(*words)
    assert found.status == 0
    assert "usage: farcabin" in found.out


def test_the_version_is_printed(farcabin: Farcabin) -> None:
    assert farcabin("--version").out == f"farcabin {__version__}\n"


def test_a_window_file_that_is_not_there_is_told(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["nowhere.farcabin"]) == 2
    assert capsys.readouterr().err == "farcabin: nowhere.farcabin: no such file\n"


def test_a_window_that_cannot_load_is_told(
    boat: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setitem(sys.modules, "app.window.main", None)
    for words in ([], [str(boat)]):
        assert main(words) == 2
        told = capsys.readouterr().err
        assert told.startswith("farcabin: the window cannot start: ")
        assert "python3 start.py" in told


def _process(*words: object, encoding: str = "utf-8") -> subprocess.Popen[bytes]:
    return subprocess.Popen(
        [sys.executable, "-m", "app", *map(str, words)],
        cwd=_ROOT,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        env={**os.environ, "PYTHONIOENCODING": encoding},
    )


def test_a_reader_that_leaves_early_is_no_error(boat: Path) -> None:
    with _process("schema") as process:
        assert process.stdout
        assert process.stderr
        process.stdout.read(10)
        process.stdout.close()
        assert process.stderr.read() == b""
        assert process.wait() == 0


def test_a_console_without_the_signs_still_gets_its_text(boat: Path) -> None:
    with _process("solve", boat, encoding="ascii") as process:
        out, err = process.communicate()
    assert process.returncode == 0, err
    assert b"AIR HANDLERS" in out
    assert b"\\xb0C" in out
