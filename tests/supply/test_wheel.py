"""The same sources give the same wheel, whoever builds it, where and when."""

import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from tests.supply.locks import PROJECT, ROOT

SOURCES = ("pyproject.toml", "README.md", "LICENSE", "service", "plugins")
"""What the Dockerfile copies."""


def _wheel(folder: Path, *, umask: int, touched: float, epoch: str | None, zone: str) -> bytes:
    """The wheel of a copy of the sources that was made by another user, at another time, elsewhere."""
    folder.mkdir(parents=True)
    for name in SOURCES:
        if (ROOT / name).is_dir():
            shutil.copytree(ROOT / name, folder / name, ignore=shutil.ignore_patterns("__pycache__"))
        else:
            shutil.copy(ROOT / name, folder / name)
    for path in folder.rglob("*"):
        path.chmod((0o777 if path.is_dir() else 0o666) & ~umask)
        os.utime(path, (touched, touched))
    environment = {name: value for name, value in os.environ.items() if name != "SOURCE_DATE_EPOCH"}
    environment |= {"TZ": zone, "PYTHONHASHSEED": str(umask)} | ({"SOURCE_DATE_EPOCH": epoch} if epoch else {})
    build = [str(Path(sys.executable).with_name("hatchling")), "build", "--target", "wheel", "--directory", "out"]
    subprocess.run(build, cwd=folder, env=environment, umask=umask, check=True, capture_output=True, timeout=60)
    (wheel,) = (folder / "out").iterdir()
    assert wheel.name == f"tallyplate-{PROJECT['project']['version']}-py3-none-any.whl"
    return wheel.read_bytes()


@pytest.mark.parametrize("epoch", [None, "1700000000"])
def test_two_builds_give_the_same_bytes(tmp_path: Path, epoch: str | None) -> None:
    one = _wheel(tmp_path / "a", umask=0o022, touched=1e9, epoch=epoch, zone="UTC")
    other = _wheel(tmp_path / "some" / "where" / "else", umask=0o077, touched=1.5e9, epoch=epoch, zone="Asia/Tokyo")
    assert one == other
