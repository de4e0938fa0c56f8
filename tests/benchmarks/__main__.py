# SPDX-License-Identifier: MIT
"""Run the benchmarks and print their tables: ``python3 start.py bench``, or of the topics named behind it."""

from __future__ import annotations

import importlib
import os
import sys

# One thread: figures are a core's, and do not hang on what else the machine does.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

TOPICS = ("hydraulics", "heat_loads", "temperatures", "drawing", "canvas", "edits")


def main(words: list[str]) -> int:
    """Print the tables of the named topics, or of all."""
    unknown = [word for word in words if word not in TOPICS]
    if unknown:
        print(f"no benchmark is named {unknown[0]}; there are: {', '.join(TOPICS)}", file=sys.stderr)
        return 2
    from tests.benchmarks.timing import table

    for topic in words or TOPICS:
        module = importlib.import_module(f"tests.benchmarks.{topic}")
        print(table(topic, module.rows()), flush=True)
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
