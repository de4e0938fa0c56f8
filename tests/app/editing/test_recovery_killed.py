# SPDX-License-Identifier: MIT
"""A program killed at a random moment of a random session, fifty times: what the next start offers is
the last state, or one that had been overtaken for at most a second.

One process loads everything and forks the sessions, so that fifty take half a minute.
"""

from __future__ import annotations

import json
import os
import random
import signal
import subprocess
import sys
import time
from pathlib import Path

import msgspec
import pytest

from app.editing.recovery import found_work
from solver.vessel.file import write_vessel
from tests.app.small_loop import small_loop

ROOT = Path(__file__).parents[3]
SESSIONS, AT_ONCE = 50, 5
#: How old the offered state may be [s], and what a busy machine may add.
LAST_SECOND, BUSY = 1.0, 0.5

#: Edits at random every 30 ms; each state is logged with the time it came before anything else happens.
SESSION = """
import os, random, signal, sys, time
from pathlib import Path
from PySide6.QtCore import QCoreApplication, QTimer
from app.editing.document import Document
from app.editing.recovery import Journal
from solver.vessel.edits import move, set_field, set_vessel_field

def session(seed, boat, journals, log):
    rng = random.Random(seed)
    application = QCoreApplication([])
    document = Document()
    document.open(boat)
    journal = Journal(document, Path(journals))
    states = open(log, "w", buffering=1)

    def edit():
        kind = rng.randrange(4)
        if kind == 0:
            document.edit("Speed", lambda v: set_field(v, ("P-1",), "speed_percent", rng.uniform(20, 120)))
        elif kind == 1:
            document.edit("Move", lambda v: move(v, ("AH-1",), 10.0 * rng.randrange(-5, 6), 10.0))
        elif kind == 2:
            document.edit("Notes", lambda v: set_vessel_field(v, "notes", str(rng.random())))
        elif document.undo_name:
            document.undo()
        states.write(f"{time.time()} {document.vessel.notes!r} {document.is_clean} "
                     f"{document.vessel.component_by_tag['P-1'].speed_percent!r} "
                     f"{document.vessel.component_by_tag['AH-1'].at!r}\\n")

    timer = QTimer()
    timer.timeout.connect(edit)
    timer.start(30)
    application.exec()

# A killed session is gone at once and leaves no entry that still looks alive.
signal.signal(signal.SIGCHLD, signal.SIG_IGN)
for line in sys.stdin:
    seed, boat, journals, log = line.split("|")
    child = os.fork()
    if child == 0:
        session(int(seed), boat, journals, log.strip())
        os._exit(0)
    print(child, flush=True)
"""


def state_line(vessel: object) -> str:
    """Return a state as the session logs it, without time and cleanness."""
    parts = vessel.component_by_tag  # type: ignore[attr-defined]
    return f"{vessel.notes!r} {parts['P-1'].speed_percent!r} {parts['AH-1'].at!r}"  # type: ignore[attr-defined]


@pytest.mark.skipif(not hasattr(os, "fork"), reason="sessions are forked, which this system cannot")
def test_after_fifty_kills_at_most_the_last_second_is_lost(tmp_path: Path) -> None:
    boat = tmp_path / "boat.farcabin"
    write_vessel(small_loop(), boat)
    before = boat.read_bytes()
    rng = random.Random(20)
    offered = 0
    with subprocess.Popen(
        [sys.executable, "-c", SESSION],
        cwd=ROOT,
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        text=True,
        env={**os.environ, "QT_QPA_PLATFORM": "offscreen"},
    ) as launcher:
        assert launcher.stdin is not None and launcher.stdout is not None
        for first in range(0, SESSIONS, AT_ONCE):
            running = []
            for number in range(first, first + AT_ONCE):
                journals, log = tmp_path / f"j{number}", tmp_path / f"log{number}"
                launcher.stdin.write(f"{number}|{boat}|{journals}|{log}\n")
                launcher.stdin.flush()
                running.append((int(launcher.stdout.readline()), journals, log))
            for child, journals, log in running:
                time.sleep(rng.uniform(0.2, 0.6))
                killed = time.time()
                os.kill(child, signal.SIGKILL)
                _until_gone(child)
                offered += _check(journals, log, killed)
        launcher.stdin.close()
    assert boat.read_bytes() == before, "the file itself is never touched"
    assert offered > SESSIONS // 2, "most sessions live long enough to leave something"


def _until_gone(process: int) -> None:
    until = time.monotonic() + 10.0
    while time.monotonic() < until:
        try:
            os.kill(process, 0)
        except ProcessLookupError:
            return
        time.sleep(0.005)
    raise AssertionError("a killed session is still there")


def _check(journals: Path, log: Path, killed: float) -> bool:
    """Check what is offered after one kill; return whether anything is."""
    lines = [line.split(" ", 1) for line in log.read_text().splitlines()] if log.exists() else []
    times = [float(at) for at, _ in lines]
    states = [rest for _, rest in lines]
    work = found_work(journals) if journals.exists() else []
    if not work:
        # Undone to the file's state there is nothing to offer; what counts is the work since then.
        clean = [number for number, rest in enumerate(states) if " True " in rest]
        since = clean[-1] + 1 if clean else 0
        unsaved_since = times[since] if since < len(times) else killed
        assert killed - unsaved_since <= LAST_SECOND + BUSY, "older unsaved work is offered"
        return False
    [found] = work
    wanted = state_line(found.vessel)
    matching = [
        number
        for number, rest in enumerate(states)
        if rest.replace(" False ", " ").replace(" True ", " ") == wanted
    ]
    assert matching, f"the offered state is none of the session's: {wanted}"
    last = matching[-1]
    overtaken = times[last + 1] if last + 1 < len(times) else killed
    assert killed - overtaken <= LAST_SECOND + BUSY, f"overtaken {killed - overtaken:.2f} s before the kill"
    json.loads(msgspec.json.encode(found.vessel))
    found.discard()
    return True
