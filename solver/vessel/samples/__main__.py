# SPDX-License-Identifier: MIT
"""Write the sample vessels: ``python -m solver.vessel.samples [FOLDER]``."""

from __future__ import annotations

import sys
from pathlib import Path

from solver.vessel.file import write_vessel
from solver.vessel.samples import SAMPLES

_FOLDER = Path(__file__).resolve().parents[3] / "sample_vessels"


def write_samples(folder: Path) -> list[Path]:
    """Write every sample vessel into ``folder``; return the files."""
    written = []
    for name, make in SAMPLES.items():
        path = folder / f"{name}.farcabin"
        write_vessel(make(), path)
        written.append(path)
    return written


if __name__ == "__main__":
    for file in write_samples(Path(sys.argv[1]) if len(sys.argv) > 1 else _FOLDER):
        print(f"wrote {file}")
