# SPDX-License-Identifier: MIT
"""Renew the examples of docs/command_line.md: run each command and put in what it prints now.

    python docs/renew_command_line.py

A line of three dots in an example stands for lines left out; as many lines as before stay above and
below it.
"""

from __future__ import annotations

import contextlib
import io
import json
import os
import re
import shlex
import shutil
import sys
import tempfile
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
sys.path.insert(0, str(ROOT))

from app.command_line.main import run  # noqa: E402

PAGE = ROOT / "docs" / "command_line.md"
_EXAMPLE = re.compile(r"(```console\n\$ farcabin (?!draw)(.*?)\n)(.*?)(```)", re.DOTALL)


def main() -> None:
    """Write the page anew."""
    text = PAGE.read_text(encoding="utf-8")
    with tempfile.TemporaryDirectory() as folder:
        shutil.copytree(ROOT / "sample_vessels", Path(folder) / "sample_vessels")
        document = json.loads(
            (ROOT / "sample_vessels" / "motor_yacht_18m.farcabin").read_text(encoding="utf-8")
        )
        document["runs"][2]["length_m"] = -2
        (Path(folder) / "bad.farcabin").write_text(json.dumps(document), encoding="utf-8")
        os.chdir(folder)
        text = _EXAMPLE.sub(lambda found: found[1] + _printed(found[2], found[3]) + found[4], text)
        os.chdir(ROOT)
    PAGE.write_text(text, encoding="utf-8")


def _printed(words: str, before: str) -> str:
    out, err = io.StringIO(), io.StringIO()
    with contextlib.redirect_stdout(out), contextlib.redirect_stderr(err):
        run(shlex.split(words))
    lines = (out.getvalue() + err.getvalue()).splitlines(keepends=True)
    old = before.splitlines(keepends=True)
    if "...\n" not in old:
        return "".join(lines)
    dots = old.index("...\n")
    below = len(old) - dots - 1
    return "".join([*lines[:dots], "...\n", *lines[len(lines) - below :]])


if __name__ == "__main__":
    main()
