# SPDX-License-Identifier: MIT
"""Ten thousand damaged vessel files: each loads or is refused in full, none hangs or ends in a traceback.

Damage is done to the bytes and to the JSON tree, from a seed, so that a failure can be repeated.
"""

from __future__ import annotations

import json
import random
import threading
from collections.abc import Callable
from typing import Any

import pytest

from solver.errors import FileError
from solver.vessel.file import format_vessel, parse_vessel
from tests.solver.vessel.boats import every_kind, line

BATCHES = 20
FILES_A_BATCH = 500
#: A batch takes a second or two; a hang is told from a slow machine with room to spare [s].
PATIENCE = 120.0

FILES = (format_vessel(every_kind()), format_vessel(line(4)))
TREES = tuple(json.loads(data) for data in FILES)

ODD_VALUES: tuple[Any, ...] = (
    None,
    True,
    False,
    0,
    -1,
    1,
    7,
    0.5,
    -0.0,
    1e-320,
    1e9,
    1e10,
    -1e308,
    10**25,
    float("nan"),
    float("inf"),
    float("-inf"),
    "",
    " ",
    "1",
    "NaN",
    "AH-1",
    "R-1",
    "water_in",
    "tee",
    "air_handler",
    "a:b",
    "x" * 1000,
    "é\u0301\u202e\U0001f6a4",
    "\x00",
    "\ud800",
    "\n",
    [],
    {},
    [[]],
    [None],
    [1, 2],
    ["AH-1", "water_in"],
    {"kind": "tee", "tag": "T-9"},
    {"kind": "tee"},
    {"tag": 3},
    {"": ""},
)


def places(values: Any) -> list[tuple[Any, Any]]:
    """Return every (container, key) of a tree."""
    found: list[tuple[Any, Any]] = []
    waiting = [values]
    while waiting:
        here = waiting.pop()
        if isinstance(here, dict | list):
            keys = list(here) if isinstance(here, dict) else range(len(here))
            found += [(here, key) for key in keys]
            waiting += [here[key] for key in keys]
    return found


def copied(values: Any) -> Any:
    return json.loads(json.dumps(values))


def delete(values: Any, rng: random.Random) -> None:
    here, key = rng.choice(places(values))
    del here[key]


def retype(values: Any, rng: random.Random) -> None:
    here, key = rng.choice(places(values))
    here[key] = copied(rng.choice(ODD_VALUES))


def scale(values: Any, rng: random.Random) -> None:
    """Change a number by a factor, also below 0 and beyond every range."""
    numbers = [
        (here, key)
        for here, key in places(values)
        if isinstance(here[key], int | float) and not isinstance(here[key], bool)
    ]
    here, key = rng.choice(numbers)
    here[key] = here[key] * rng.choice((-1, 0, 0.5, 3, 1e3, 1e12)) + rng.choice((0, 0, 1, -0.5))


def swap(values: Any, rng: random.Random) -> None:
    """Exchange two values: ports, tags, sizes, whole parts."""
    (here, key), (there, other) = rng.choice(places(values)), rng.choice(places(values))
    one, two = copied(here[key]), copied(there[other])
    here[key], there[other] = two, one


def copy_over(values: Any, rng: random.Random) -> None:
    (here, key), (there, other) = rng.choice(places(values)), rng.choice(places(values))
    here[key] = copied(there[other])


def double(values: Any, rng: random.Random) -> None:
    """Repeat an entry of a list: a tag twice, a port twice."""
    here, key = rng.choice([place for place in places(values) if isinstance(place[0], list)])
    here.insert(rng.randrange(len(here) + 1), copied(here[key]))


def rename(values: Any, rng: random.Random) -> None:
    here, key = rng.choice([place for place in places(values) if isinstance(place[0], dict)])
    here[rng.choice((key + "s", key[:-1], key.upper(), "kind", "tag", "notes", ""))] = here.pop(key)


def shuffle(values: Any, rng: random.Random) -> None:
    here, _ = rng.choice([place for place in places(values) if isinstance(place[0], list)])
    rng.shuffle(here)


def dangle(values: Any, rng: random.Random) -> None:
    """Point an end of a run somewhere else."""
    run = rng.choice(values["runs"])
    end = rng.choice(("start", "end"))
    tags = [part.get("tag") for part in values["components"]]
    run[end] = [rng.choice([*tags, "X-1", ""]), rng.choice(("inlet", "outlet", "water_in", "1", "x", ""))]


def retext(values: Any, rng: random.Random) -> None:
    here, key = rng.choice([place for place in places(values) if isinstance(place[0][place[1]], str)])
    letters = list(here[key] or "x")
    letters[rng.randrange(len(letters))] = rng.choice("aA-:/[] \t\x07é船\u200b\ud83d\U0001f6a4")
    here[key] = "".join(letters)


TREE_DAMAGE: tuple[Callable[[Any, random.Random], None], ...] = (
    delete,
    retype,
    retype,
    scale,
    scale,
    swap,
    copy_over,
    double,
    rename,
    shuffle,
    dangle,
    retext,
)


def flip(data: bytearray, rng: random.Random) -> None:
    for _ in range(rng.randrange(1, 4)):
        data[rng.randrange(len(data))] = rng.randrange(256)


def cut(data: bytearray, rng: random.Random) -> None:
    start = rng.randrange(len(data))
    del data[start : start + rng.choice((1, 2, 10, 100, 10**6))]


def insert(data: bytearray, rng: random.Random) -> None:
    pieces = (
        b",",
        b"}",
        b"]",
        b"{",
        b"[",
        b'"',
        b"\\",
        b"NaN",
        b"-",
        b"e",
        b"\0",
        b"\xff",
        b"0" * 40,
        b"9" * 5000,
    )
    start = rng.randrange(len(data))
    data[start:start] = rng.choice(
        (*pieces, b"[" * 3000, b'{"a":' * 3000, b"\\ud800", b"\xed\xa0\x80", b"//x\n")
    )


def repeat(data: bytearray, rng: random.Random) -> None:
    start = rng.randrange(len(data))
    data[start:start] = data[start : start + rng.randrange(1, 200)]


def renumber(data: bytearray, rng: random.Random) -> None:
    """Put an odd number in place of one of the file's."""
    digits = [index for index, byte in enumerate(data) if byte in b"0123456789"]
    start = rng.choice(digits)
    data[start : start + 1] = rng.choice(
        (b"-", b"1e400", b"-1e9", b".", b"0x1", b"1_0", b"NaN", b"Infinity", b"1e", b"00", b"7" * 400)
    )


def head(data: bytearray, rng: random.Random) -> None:
    data[0:0] = rng.choice(
        (b"\xef\xbb\xbf", b"\xff\xfe", b"\xfe\xff", b"\0", b"{", b"/* */", b"[", b"PK\x03\x04")
    )


BYTE_DAMAGE: tuple[Callable[[bytearray, random.Random], None], ...] = (
    flip,
    cut,
    insert,
    repeat,
    renumber,
    head,
)


def damaged(rng: random.Random) -> bytes:
    """Return the content of a vessel file with one to three kinds of damage."""
    which = rng.randrange(len(FILES))
    if rng.random() < 0.3:
        data = bytearray(FILES[which])
        for _ in range(rng.choice((1, 1, 2))):
            if data:
                rng.choice(BYTE_DAMAGE)(data, rng)
        return bytes(data)
    values = copied(TREES[which])
    for _ in range(rng.choice((1, 1, 1, 2, 3))):
        try:
            rng.choice(TREE_DAMAGE)(values, rng)
        except (IndexError, KeyError, TypeError, AttributeError):
            # The damage before left nothing of the kind to damage.
            continue
    data_text = json.dumps(values, ensure_ascii=rng.random() < 0.5)
    return data_text.encode("utf-8", "surrogatepass")


#: Refusals with no value to show.
NO_VALUE = ("missing", "the file is empty", "lists and objects nest too deeply")


def check_refusal(error: FileError) -> None:
    for told in (error, *error.others):
        assert told.path == "damaged.farcabin"
        assert told.place
        assert told.problem
        assert told.accepted
        assert told.value or told.problem in NO_VALUE or told.problem.endswith("more problems")
    str(error).encode("utf-8")


def try_batch(seed: int) -> tuple[int, int]:
    """Return how many of a batch's files loaded and how many were refused."""
    rng = random.Random(seed)
    loaded = refused = 0
    for _ in range(FILES_A_BATCH):
        data = damaged(rng)
        try:
            vessel = parse_vessel(data, "damaged.farcabin")
        except FileError as error:
            check_refusal(error)
            refused += 1
        else:
            assert parse_vessel(format_vessel(vessel), "x") == vessel
            loaded += 1
    return loaded, refused


@pytest.mark.parametrize("seed", range(BATCHES))
def test_a_damaged_file_loads_or_is_refused_in_full(seed: int) -> None:
    outcome: list[tuple[int, int] | BaseException] = []

    def work() -> None:
        try:
            outcome.append(try_batch(seed))
        except BaseException as error:
            outcome.append(error)

    worker = threading.Thread(target=work, daemon=True)
    worker.start()
    worker.join(PATIENCE)
    assert not worker.is_alive(), "the reader hangs"
    if isinstance(outcome[0], BaseException):
        raise outcome[0]
    loaded, refused = outcome[0]
    # Both ends of the test are exercised: damage that matters and damage that does not.
    assert loaded > FILES_A_BATCH // 50
    assert refused > FILES_A_BATCH // 2
