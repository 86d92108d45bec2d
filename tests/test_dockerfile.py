"""The Dockerfile's promises that can be read off it, and its agreement with the script that plays it."""

import re
import tomllib
from collections.abc import Iterator
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent
SCRIPT = (ROOT / "tests" / "container_steps.sh").read_text()


def _joined(text: str) -> str:
    """Continuation lines joined, and runs of blanks made one."""
    return re.sub(r"[ \t]+", " ", text.replace("\\\n", " "))


def _instructions() -> Iterator[tuple[str, str]]:
    text = re.sub(r"^\s*#.*\n", "", (ROOT / "Dockerfile").read_text(), flags=re.MULTILINE)
    for line in filter(None, map(str.strip, _joined(text).splitlines())):
        name, _, arguments = line.partition(" ")
        yield name, arguments


INSTRUCTIONS = list(_instructions())


def _arguments(name: str) -> list[str]:
    return [arguments for instruction, arguments in INSTRUCTIONS if instruction == name]


@pytest.mark.parametrize("command", _arguments("RUN"))
def test_each_run_step_is_in_the_script(command: str) -> None:
    assert command in _joined(SCRIPT)


@pytest.mark.parametrize("paths", [paths for paths in _arguments("COPY") if "--from" not in paths])
def test_each_copied_path_is_in_the_script_and_in_the_build_context(paths: str) -> None:
    sources = paths.split()[:-1]
    assert re.search(rf"^copy {re.escape(' '.join(sources))} \S+$", SCRIPT, flags=re.MULTILINE)
    context = (ROOT / ".dockerignore").read_text().splitlines()
    for source in sources:
        assert (ROOT / source).exists()
        assert f"!{source}" in context


def test_the_script_runs_the_steps_in_order() -> None:
    script = _joined(SCRIPT)
    positions = [script.index(command) for command in _arguments("RUN")]
    assert positions == sorted(positions)


def test_the_last_stage_takes_the_environment_alone() -> None:
    last_from = max(index for index, (name, _) in enumerate(INSTRUCTIONS) if name == "FROM")
    last_stage = INSTRUCTIONS[last_from:]
    assert [arguments for name, arguments in last_stage if name == "COPY"] == ["--from=build /opt/venv /opt/venv"]
    assert not [name for name, _ in last_stage if name in {"RUN", "ADD"}]


def test_the_process_is_not_root() -> None:
    assert re.fullmatch(r"[1-9]\d*:[1-9]\d*", _arguments("USER")[-1])


def test_the_versions_are_the_projects() -> None:
    project = tomllib.loads((ROOT / "pyproject.toml").read_text())["project"]
    assert f'org.opencontainers.image.version="{project["version"]}"' in _arguments("LABEL")[0]
    oldest_python = project["requires-python"].removeprefix(">=")
    assert {image.split()[0] for image in _arguments("FROM")} == {f"python:{oldest_python}-slim"}
