# SPDX-License-Identifier: MIT
"""A program killed while it saves, two hundred times: the file and the version before are always whole."""

from __future__ import annotations

import random
import subprocess
import sys
import time
from pathlib import Path

from solver.vessel.file import format_vessel, parse_vessel
from solver.vessel.saving import PREVIOUS, save
from tests.solver.vessel.boats import line

KILLS = 200
VERSIONS = 5
_ROOT = Path(__file__).resolve().parents[3]

#: Saves one version after the other without a pause, so that a kill lands inside a save.
_PROGRAM = """
import itertools, pathlib, sys
from solver.vessel.saving import save
versions = [path.read_bytes() for path in sorted(pathlib.Path(sys.argv[1]).iterdir())]
for number in itertools.count(int(sys.argv[3])):
    save(versions[number % len(versions)], sys.argv[2])
    if number == int(sys.argv[3]):
        print("saving", flush=True)
"""


def _kill_while_saving(versions: Path, target: Path, start: int, delay: float) -> None:
    command = [sys.executable, "-S", "-c", _PROGRAM, str(versions), str(target), str(start)]
    with subprocess.Popen(command, cwd=_ROOT, stdout=subprocess.PIPE) as program:
        assert program.stdout is not None
        assert program.stdout.readline().strip() == b"saving"
        time.sleep(delay)
        program.kill()
    assert program.returncode != 0


def test_a_kill_at_any_moment_of_a_save_leaves_whole_files(tmp_path: Path) -> None:
    rng = random.Random(20)
    versions, folder = tmp_path / "versions", tmp_path / "boats"
    versions.mkdir()
    folder.mkdir()
    target, previous = folder / "line.farcabin", folder / ("line.farcabin" + PREVIOUS)
    # Of different lengths, so that a part of one on top of another would show.
    contents = [format_vessel(line(100 + 150 * number)) for number in range(VERSIONS)]
    for number, data in enumerate(contents):
        assert parse_vessel(data, "x").name == "Line"
        (versions / str(number)).write_bytes(data)

    save(contents[0], str(target))
    save(contents[1], str(target))
    inside, start = 0, 2
    seen = set()
    for _ in range(KILLS):
        _kill_while_saving(versions, target, start, rng.uniform(0.0, 0.012))
        now, before = contents.index(target.read_bytes()), contents.index(previous.read_bytes())
        # Between its two steps a save has both names at the old version.
        assert before in (now, (now - 1) % VERSIONS)
        left = [path for path in folder.iterdir() if path not in (target, previous)]
        assert all(path.name.startswith(".line.farcabin.") for path in left)
        inside += bool(left) or before == now
        seen.add((now, before == now, len(left)))
        for path in left:
            path.unlink()
        start = now + 1
    # Most kills land inside a save, and at different moments of it.
    assert inside > KILLS // 4
    assert len(seen) > VERSIONS
