"""Fewer tries than authors get: plugins that are wrong here are so at the first."""

import pytest

from tallyplate.testkit import bad_specs, check, family_trial, module_trial


@pytest.fixture
def _few_draws(monkeypatch: pytest.MonkeyPatch) -> None:
    """Few draws, and few of the bad values."""
    monkeypatch.setattr(check, "DRAWN", 10)
    monkeypatch.setattr(bad_specs, "VALUES", (bad_specs.ABSENT, "no-such-name", "0.3 mm", "99 m"))


@pytest.fixture
def _few_plates(monkeypatch: pytest.MonkeyPatch) -> None:
    """Few plates; another process would still ask about all."""
    monkeypatch.setattr(family_trial, "STEP", 8)
    monkeypatch.setattr(module_trial, "STEP", 9)
