# SPDX-License-Identifier: MIT
"""What start.py decides, without installing anything: stamp, libraries, words, display, advice."""

import ast
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

import start

_ROOT = Path(start.__file__).parent


@pytest.fixture
def calls(monkeypatch: pytest.MonkeyPatch) -> list[tuple[str, ...]]:
    """Let start.py run nothing; what it would have run is listed."""
    made: list[tuple[str, ...]] = []

    def python(*words: str, **_: object) -> int:
        made.append(words)
        return 0

    monkeypatch.setattr(start, "python", python)
    monkeypatch.setattr(start, "prepare", lambda **needs: made.append(("prepare", *map(str, needs.values()))))
    return made


def test_an_old_python_can_read_the_file_as_far_as_the_message() -> None:
    tree = ast.parse((_ROOT / "start.py").read_text(encoding="utf-8"), feature_version=(3, 6))
    statements = [type(statement) for statement in tree.body]
    assert ast.unparse(tree.body[1]) == "import sys"
    assert statements.index(ast.If) < 4
    assert "sys.version_info < NEEDED_PYTHON" in ast.unparse(tree.body[statements.index(ast.If)])


def test_only_the_standard_library_is_imported() -> None:
    tree = ast.parse((_ROOT / "start.py").read_text(encoding="utf-8"))
    names = {
        name.split(".")[0]
        for node in ast.walk(tree)
        for name in (
            [alias.name for alias in node.names]
            if isinstance(node, ast.Import)
            else [node.module or ""]
            if isinstance(node, ast.ImportFrom)
            else []
        )
    }
    assert names <= set(sys.stdlib_module_names)


def test_words_go_to_the_command_line(calls: list[tuple[str, ...]]) -> None:
    assert start.main(["solve", "boat.farcabin", "--json"]) == 0
    assert calls == [("prepare", "False", "False"), ("-m", "app", "solve", "boat.farcabin", "--json")]


@pytest.mark.parametrize("words", [["draw", "boat.farcabin", "-o", "a.png"], ["boat.farcabin"]])
def test_what_paints_has_qt_checked_first(words: list[str], calls: list[tuple[str, ...]]) -> None:
    start.main(words)
    assert calls[0] == ("prepare", "False", "True")


def test_no_words_open_the_sample_in_the_window(
    calls: list[tuple[str, ...]], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(start, "has_display", lambda *_: True)
    assert start.main([]) == 0
    assert calls[-1] == ("-m", "app", str(start.SAMPLE))


def test_without_a_display_the_sample_is_solved_and_drawn(
    calls: list[tuple[str, ...]], monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(start, "has_display", lambda *_: False)
    assert start.main([]) == 0
    assert calls[1:] == [
        ("-m", "app", "solve", str(start.SAMPLE)),
        ("-m", "app", "draw", str(start.SAMPLE), "-o", "farcabin-27m.png"),
    ]
    assert "farcabin-27m.png" in capsys.readouterr().out


def test_the_benchmarks_run_with_the_test_packages(calls: list[tuple[str, ...]]) -> None:
    assert start.main(["bench", "hydraulics"]) == 0
    assert calls == [("prepare", "True", "True"), ("-m", "tests.benchmarks", "hydraulics")]


def _failing(name: str, made: list[tuple[str, ...]]) -> Callable[..., int]:
    def python(*words: str, **_: object) -> int:
        made.append(words)
        return int(name in " ".join(words))

    return python


@pytest.mark.parametrize("step", ["ruff check", "ruff format", "mypy", "importlinter", "pytest"])
def test_every_check_runs_and_one_failure_fails_all(
    step: str, calls: list[tuple[str, ...]], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(start, "python", _failing(step, calls))
    assert start.main(["test"]) == 1
    assert len(calls) == 6
    assert calls[-1][1] == "pytest"


def test_all_checks_passed_is_status_0(calls: list[tuple[str, ...]]) -> None:
    assert start.main(["test"]) == 0


def test_something_missing_is_told_without_traceback(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    def prepare(**_: object) -> None:
        raise start.CannotStartError("Run this line")

    monkeypatch.setattr(start, "prepare", prepare)
    assert start.main([]) == 1
    assert capsys.readouterr().err == "Run this line\n"


@pytest.mark.parametrize(
    ("platform", "environment", "expected"),
    [
        ("linux", {}, False),
        ("linux", {"DISPLAY": ""}, False),
        ("linux", {"DISPLAY": ":0"}, True),
        ("linux", {"WAYLAND_DISPLAY": "wayland-0"}, True),
        ("darwin", {}, True),
        ("win32", {}, True),
    ],
)
def test_where_a_window_can_be_shown(platform: str, environment: dict[str, str], expected: bool) -> None:
    assert start.has_display(platform, environment) is expected


def test_the_fingerprint_follows_both_files(tmp_path: Path) -> None:
    (tmp_path / "pyproject.toml").write_text("a")
    (tmp_path / "requirements.lock").write_text("b")
    first = start.fingerprint(tmp_path)
    assert start.fingerprint(tmp_path) == first
    (tmp_path / "requirements.lock").write_text("c")
    second = start.fingerprint(tmp_path)
    (tmp_path / "pyproject.toml").write_text("d")
    assert len({first, second, start.fingerprint(tmp_path)}) == 3


def test_the_stamp_is_read_back_and_a_spoilt_one_is_none(tmp_path: Path) -> None:
    stamp = tmp_path / "stamp.json"
    assert start.read_stamp(stamp) == {}
    start.write_stamp(stamp, {"run": "1", "test": "2"})
    assert start.read_stamp(stamp) == {"run": "1", "test": "2"}
    for spoilt in ("{", "[1]", ""):
        stamp.write_text(spoilt)
        assert start.read_stamp(stamp) == {}


def test_packages_are_installed_once_until_the_files_change(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    installs: list[bool] = []
    monkeypatch.setattr(start, "STAMP", tmp_path / "stamp.json")
    monkeypatch.setattr(start, "python", lambda *_, **__: 0)
    monkeypatch.setattr(
        start, "install", lambda wanted: installs.append(any("pytest" in one for one in wanted))
    )
    monkeypatch.setattr(start, "fingerprint", lambda root: "one")
    start.prepare(with_tests=False, with_qt=False)
    start.prepare(with_tests=False, with_qt=False)
    assert installs == [False]
    start.prepare(with_tests=True, with_qt=False)
    start.prepare(with_tests=True, with_qt=False)
    start.prepare(with_tests=False, with_qt=False)
    assert installs == [False, True]
    monkeypatch.setattr(start, "fingerprint", lambda root: "two")
    start.prepare(with_tests=False, with_qt=False)
    start.prepare(with_tests=True, with_qt=False)
    assert installs == [False, True, False, True]


def test_run_time_packages_are_the_first_of_those_for_tests() -> None:
    run_time, all_of_them = start.requirements(_ROOT, False), start.requirements(_ROOT, True)
    assert all_of_them[: len(run_time)] == run_time
    assert any(name.startswith("PySide6-Essentials") for name in run_time)
    assert not any(name.startswith("pytest") for name in run_time)


def test_what_is_missing_is_named_by_its_package(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(start, "loads", lambda library: library != "libEGL.so.1")
    monkeypatch.setattr(start, "has_fonts", lambda folders: True)
    assert start.missing_packages() == ["libegl1"]
    monkeypatch.setattr(start, "has_fonts", lambda folders: False)
    assert start.missing_packages() == ["libegl1", "fonts-dejavu-core"]


def test_a_library_that_is_not_there_does_not_load() -> None:
    assert not start.loads("libthatisnotthere.so.7")


def test_fonts_are_looked_for_in_every_folder(tmp_path: Path) -> None:
    assert not start.has_fonts([str(tmp_path), str(tmp_path / "none")])
    (tmp_path / "deep").mkdir()
    (tmp_path / "deep" / "plain.ttf").touch()
    assert start.has_fonts([str(tmp_path / "none"), str(tmp_path)])


@pytest.mark.parametrize(
    ("installer", "expected"),
    [
        ("apt-get", "sudo apt-get install -y libegl1 fonts-dejavu-core"),
        ("dnf", "sudo dnf install -y 'libEGL.so.1()(64bit)'"),
        ("zypper", "sudo zypper install -y 'libEGL.so.1()(64bit)'"),
        ("none", "libEGL.so.1, fonts-dejavu-core"),
    ],
)
def test_one_who_may_not_install_is_told_the_line(
    installer: str, expected: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(start.shutil, "which", lambda name: name if name == installer else None)
    monkeypatch.setattr(start.os, "geteuid", lambda: 1000, raising=False)
    with pytest.raises(start.CannotStartError) as caught:
        start.install_system_packages(["libegl1", "fonts-dejavu-core"])
    assert str(caught.value).endswith(expected)
    assert str(caught.value).count("\n") <= 1


def test_a_failed_installation_says_what_to_do(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(start, "python", lambda *_, **__: 1)
    with pytest.raises(start.CannotStartError, match="could not be installed"):
        start.install(["numpy"])
