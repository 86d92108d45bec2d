"""Runs in this process share the tests' installation; a worker of its own loads one as it does anywhere."""

import pytest

from tallyplate.bulk import run
from tests.plates import installation


@pytest.fixture(autouse=True)
def _installed_once(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(run, "load", lambda _: installation())
