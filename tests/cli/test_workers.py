"""Where workers keep the counts that they share."""

import shutil
import socket
import tempfile
from pathlib import Path

import pytest

from tallyplate.cli import workers
from tallyplate.http.limits import DEFAULTS


@pytest.mark.parametrize("there", [True, False])
def test_counts_are_kept_in_memory_where_there_is_such_a_place(
    there: bool, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(workers, "IN_MEMORY", tmp_path if there else tmp_path / "nowhere")
    with socket.socket() as listening:
        kept = Path(workers.Workers([], listening, DEFAULTS).metrics)
    try:
        assert kept.is_dir()
        assert kept.parent == (tmp_path if there else Path(tempfile.gettempdir()))
        assert kept.stat().st_mode & 0o077 == 0
    finally:
        shutil.rmtree(kept)
