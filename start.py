# SPDX-License-Identifier: MIT
"""Set Farcabin up beside this file, and start it.

python3 start.py             open the sample vessel (without a display: print its tables, write its picture)
python3 start.py test        run every check and test
python3 start.py bench       run the benchmarks (bench hydraulics, heat or canvas: one topic)
python3 start.py WORDS ...   the command line, as in: python3 start.py solve boat.farcabin

The first start makes the folder .venv here and installs the pinned packages into it; later starts do so
again only where pyproject.toml or requirements.lock has changed.  Only the standard library is used.
"""

import sys

NEEDED_PYTHON = (3, 11)
if sys.version_info < NEEDED_PYTHON:
    sys.exit(
        "Farcabin needs Python 3.11 or newer; this is Python {}.{}. Install a newer one and start again with "
        "it, as in: python3.12 start.py".format(*sys.version_info[:2])
    )

import ctypes
import hashlib
import importlib.util
import json
import os
import shutil
import subprocess
import tomllib
from collections.abc import Iterable, Mapping, Sequence
from pathlib import Path

ROOT = Path(__file__).resolve().parent
VENV = ROOT / ".venv"
STAMP = VENV / "farcabin-installed.json"
SAMPLE = ROOT / "sample_vessels" / "motor_yacht_27m.farcabin"
PICTURE = "farcabin-27m.png"

#: What Qt loads from a Linux system: library -> Debian package that holds it.
LIBRARIES = {
    "libEGL.so.1": "libegl1",
    "libGL.so.1": "libgl1",
    "libX11.so.6": "libx11-6",
    "libX11-xcb.so.1": "libx11-xcb1",
    "libdbus-1.so.3": "libdbus-1-3",
    "libfontconfig.so.1": "libfontconfig1",
    "libfreetype.so.6": "libfreetype6",
    "libglib-2.0.so.0": "libglib2.0-0",
    "libwayland-client.so.0": "libwayland-client0",
    "libwayland-cursor.so.0": "libwayland-cursor0",
    "libxcb-cursor.so.0": "libxcb-cursor0",
    "libxcb-icccm.so.4": "libxcb-icccm4",
    "libxcb-image.so.0": "libxcb-image0",
    "libxcb-keysyms.so.1": "libxcb-keysyms1",
    "libxcb-randr.so.0": "libxcb-randr0",
    "libxcb-render-util.so.0": "libxcb-render-util0",
    "libxcb-render.so.0": "libxcb-render0",
    "libxcb-shape.so.0": "libxcb-shape0",
    "libxcb-shm.so.0": "libxcb-shm0",
    "libxcb-sync.so.1": "libxcb-sync1",
    "libxcb-util.so.1": "libxcb-util1",
    "libxcb-xfixes.so.0": "libxcb-xfixes0",
    "libxcb-xkb.so.1": "libxcb-xkb1",
    "libxcb.so.1": "libxcb1",
    "libxkbcommon-x11.so.0": "libxkbcommon-x11-0",
    "libxkbcommon.so.0": "libxkbcommon0",
}
FONT_PACKAGE = "fonts-dejavu-core"
FONT_FOLDERS = ("/usr/share/fonts", "/usr/local/share/fonts", "~/.local/share/fonts", "~/.fonts")

QT_TEST = "from PySide6.QtWidgets import QApplication; from PySide6 import QtSvg; QApplication([])"


class CannotStartError(Exception):
    """Something is missing that this script may not or cannot bring; the text says what to do."""


def main(words: Sequence[str]) -> int:
    """Set up what the words need, carry them out, and return the exit status."""
    try:
        if list(words) == ["test"]:
            prepare(with_tests=True, with_qt=True)
            return run_tests()
        if words and words[0] == "bench":
            prepare(with_tests=True, with_qt=True)
            return python("-m", "tests.benchmarks", *words[1:], folder=ROOT)
        prepare(with_tests=False, with_qt=needs_qt(words))
        if words:
            return program(*words)
        if has_display(sys.platform, os.environ):
            return program(str(SAMPLE))
        return show_without_display()
    except CannotStartError as problem:
        print(problem, file=sys.stderr)
        return 1
    except KeyboardInterrupt:
        return 130


def needs_qt(words: Sequence[str]) -> bool:
    """Return whether the words open a window or draw."""
    return not words or words[0] == "draw" or words[0].lower().endswith(".farcabin")


def has_display(platform: str, environment: Mapping[str, str]) -> bool:
    """Return whether a window can be shown: always on macOS and Windows, elsewhere if a server is named."""
    if platform in ("darwin", "win32"):
        return True
    return bool(environment.get("DISPLAY") or environment.get("WAYLAND_DISPLAY"))


def show_without_display() -> int:
    """Print the sample's tables and write its picture into the current folder."""
    say("No display here, so the sample vessel is solved in the terminal and drawn into a picture.\n")
    status = program("solve", str(SAMPLE)) or program("draw", str(SAMPLE), "-o", PICTURE)
    if status == 0:
        say(f"The drawing is the picture {Path(PICTURE).resolve()}")
    return status


def run_tests() -> int:
    """Run every check, all of them even where one fails, pytest last; return 0 if all passed."""
    checks = {
        "ruff check": ("-m", "ruff", "check", "."),
        "ruff format": ("-m", "ruff", "format", "--check", "."),
        "mypy": ("-m", "mypy"),
        "import directions": (
            "-c",
            "from importlinter.cli import lint_imports_command as run; run(['--no-logo'])",
        ),
    }
    failed = []
    for name, words in checks.items():
        say(f"== {name}")
        if python(*words, folder=ROOT) != 0:
            failed.append(name)
    say("== tests" + (f" (failed before them: {', '.join(failed)})" if failed else ""))
    return 1 if python("-m", "pytest", "-n", "2", folder=ROOT) != 0 or failed else 0


def prepare(with_tests: bool, with_qt: bool) -> None:
    """Make the environment and install what is missing in it and, for Qt, in a Linux system."""
    group = "test" if with_tests else "run"
    asked = fingerprint(ROOT)
    installed = read_stamp(STAMP)
    if installed.get(group) != asked:
        if python("-m", "pip", "--version", quiet=True) != 0:
            make_environment()
            installed = {}
        install(requirements(ROOT, with_tests))
        # The packages for tests come on top of those to run.
        installed.update({"run": asked, group: asked})
        write_stamp(STAMP, installed)
    if with_qt:
        missing = missing_packages() if sys.platform.startswith("linux") else []
        if missing and may_install():
            install_system_packages(missing)
        if installed.get("qt") != asked:
            check_qt(missing)
            write_stamp(STAMP, {**installed, "qt": asked})


def fingerprint(root: Path) -> str:
    """Return a hash of what decides what is installed: the two files, and the Python."""
    digest = hashlib.sha256(sys.version.encode())
    for name in ("pyproject.toml", "requirements.lock"):
        digest.update((root / name).read_bytes())
    return digest.hexdigest()


def read_stamp(stamp: Path) -> dict[str, str]:
    """Return what the stamp says is installed; nothing where it cannot be read."""
    try:
        found = json.loads(stamp.read_text(encoding="utf-8"))
    except (OSError, ValueError):
        return {}
    return found if isinstance(found, dict) else {}


def write_stamp(stamp: Path, installed: Mapping[str, str]) -> None:
    """Write down what is installed."""
    stamp.write_text(json.dumps(dict(installed), indent=1), encoding="utf-8")


def requirements(root: Path, with_tests: bool) -> list[str]:
    """Return the packages that pyproject.toml asks for."""
    project = tomllib.loads((root / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    wanted: list[str] = list(project["dependencies"])
    return wanted + (project["optional-dependencies"]["test"] if with_tests else [])


def make_environment() -> None:
    """Make the folder .venv anew."""
    if importlib.util.find_spec("ensurepip") is None:
        # Debian and Ubuntu ship Python without it.
        install_system_packages([f"python{sys.version_info[0]}.{sys.version_info[1]}-venv"])
    say(f"Making {VENV} ...")
    words = [sys.executable, "-m", "venv", "--clear", str(VENV)]
    if subprocess.run(words, stdin=subprocess.DEVNULL, check=False).returncode != 0:
        shutil.rmtree(VENV, ignore_errors=True)
        raise CannotStartError(f"The environment {VENV} could not be made; the lines above say why.")


def install(wanted: Sequence[str]) -> None:
    """Install packages at the versions of the lock file."""
    say("Installing the pinned packages (once, some minutes) ...")
    words = ("-m", "pip", "install", "--disable-pip-version-check", "--quiet", "-c", "requirements.lock")
    if python(*words, *wanted, folder=ROOT) != 0:
        raise CannotStartError(
            "The packages could not be installed; the lines of pip above say why. If there was no "
            "connection, connect and start again: what is there already is kept."
        )


def missing_packages() -> list[str]:
    """Return the Debian packages of what Qt needs and this Linux system lacks."""
    packages = [package for library, package in LIBRARIES.items() if not loads(library)]
    return packages if has_fonts(FONT_FOLDERS) else [*packages, FONT_PACKAGE]


def loads(library: str) -> bool:
    """Return whether this system's loader finds a shared library."""
    try:
        ctypes.CDLL(library)
    except OSError:
        return False
    return True


def has_fonts(folders: Iterable[str]) -> bool:
    """Return whether there is a font to write with."""
    places = [Path(folder).expanduser() for folder in folders]
    return any(next(place.rglob(f"*.{kind}"), None) for place in places for kind in ("ttf", "otf", "ttc"))


def may_install() -> bool:
    """Return whether this user may install Debian packages."""
    return shutil.which("apt-get") is not None and os.geteuid() == 0


def install_system_packages(packages: Sequence[str]) -> None:
    """Install Debian packages where this user may; otherwise say the line that does.

    Raises
    ------
    CannotStartError
        Not Debian, not root, or the installation failed.
    """
    if not may_install():
        raise CannotStartError(advice(packages))
    say(f"Installing what this system lacks: {' '.join(packages)} ...")
    start = ["apt-get", "-qq", "-o", "DPkg::Lock::Timeout=120"]
    environment = {**os.environ, "DEBIAN_FRONTEND": "noninteractive"}
    nothing = subprocess.DEVNULL
    # An update that fails may still leave an older list to install from.
    for words in (["update"], ["install", "-y", "--no-install-recommends", *packages]):
        done = subprocess.run([*start, *words], env=environment, stdin=nothing, stdout=nothing, check=False)
    if done.returncode != 0:
        raise CannotStartError(f"apt-get's lines above say what went wrong. {advice(packages)}")


def advice(packages: Sequence[str]) -> str:
    """Return the one line that installs what is missing, for the system's own installer."""
    what = "This system lacks something that Farcabin needs. Run this line once, then start again:"
    if shutil.which("apt-get"):
        return f"{what}\n  sudo apt-get install -y {' '.join(packages)}"
    library_in = {package: library for library, package in LIBRARIES.items()}
    libraries = [library_in[package] for package in packages if package in library_in]
    # RPM systems know which package holds a library (from memory).
    for installer in ("dnf", "zypper"):
        if shutil.which(installer) and libraries:
            return f"{what}\n  sudo {installer} install -y " + " ".join(
                f"'{name}()(64bit)'" for name in libraries
            )
    others = [package for package in packages if package not in library_in]
    return "Farcabin needs these, which this system's installer can bring: " + ", ".join(
        [*libraries, *others]
    )


def check_qt(missing: Sequence[str]) -> None:
    """See whether Qt starts, in a process of its own, for it may abort.

    Raises
    ------
    CannotStartError
        It does not; the text says what to do.
    """
    shown = {} if has_display(sys.platform, os.environ) else {"QT_QPA_PLATFORM": "offscreen"}
    if python("-c", QT_TEST, quiet=True, environment=shown) == 0:
        return
    python("-c", QT_TEST, environment=shown)
    if missing and not may_install():
        raise CannotStartError(advice(missing))
    if python("-c", QT_TEST, quiet=True, environment={"QT_QPA_PLATFORM": "offscreen"}) == 0:
        raise CannotStartError(
            "Qt works, but not on this display; the lines above say why. With DISPLAY and WAYLAND_DISPLAY "
            "unset, the sample is solved in the terminal and drawn into a picture."
        )
    raise CannotStartError("Qt cannot start; the lines above say why. The command line works without it.")


def venv_python() -> Path:
    """Return the environment's Python."""
    return VENV / ("Scripts/python.exe" if sys.platform == "win32" else "bin/python")


def python(
    *words: str, folder: Path | None = None, quiet: bool = False, environment: Mapping[str, str] | None = None
) -> int:
    """Run the environment's Python, the packages of this folder first, and return its exit status."""
    output = subprocess.DEVNULL if quiet else None
    path = os.pathsep.join(filter(None, (str(ROOT), os.environ.get("PYTHONPATH"))))
    try:
        return subprocess.run(
            [str(venv_python()), "-P", *words],
            cwd=folder,
            env={**os.environ, "PYTHONPATH": path, **(environment or {})},
            stdout=output,
            stderr=output,
            check=False,
        ).returncode
    except OSError:
        return 1


def program(*words: str) -> int:
    """Run the program in the current folder."""
    return python("-m", "app", *words)


def say(text: str) -> None:
    """Print at once, before what the next process prints."""
    print(text, flush=True)


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
