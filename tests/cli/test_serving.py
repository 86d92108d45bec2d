"""`tallyplate serve`: which form goes out on which address, and a changed folder proved by a process of its own."""

import shutil
from pathlib import Path

import pytest
import uvicorn

from tallyplate.cli import serving
from tallyplate.cli.main import main
from tallyplate.installation import Form
from tests.plates import DATA


@pytest.mark.parametrize(
    ("host", "form", "expected"),
    [
        ("127.0.0.1", None, Form.INSIDE),
        ("localhost", None, Form.INSIDE),
        ("::1", None, Form.INSIDE),
        ("0.0.0.0", None, Form.OUTSIDE),  # noqa: S104 - nothing is bound
        ("tallyplate.example", None, Form.OUTSIDE),
        ("0.0.0.0", "inside", Form.INSIDE),  # noqa: S104
        ("127.0.0.1", "outside", Form.OUTSIDE),
    ],
)
def test_selling_amounts_only_go_out_on_any_address_but_loopback_unless_told(
    monkeypatch: pytest.MonkeyPatch, host: str, form: str | None, expected: Form
) -> None:
    made: list[Form] = []
    monkeypatch.setattr(serving, "create_app", lambda _, form, __: made.append(form))
    monkeypatch.setattr(uvicorn, "run", lambda *_, **__: None)
    monkeypatch.setattr(serving, "log_as_json", lambda: None)
    assert main(["serve", "--host", host, *(["--form", form] if form else [])]) == 0
    assert made == [expected]


def test_a_good_folder_is_proved_and_a_bad_one_comes_back_with_its_problems(tmp_path: Path) -> None:
    shutil.copytree(DATA, tmp_path / "data")
    assert serving.proved(tmp_path / "data") == ()
    card = tmp_path / "data" / "rate_cards" / "2026-01.toml"
    card.write_text(card.read_text().replace('mill = "96 USD/h"', 'mill = "96 USD/kg"'))
    problems = serving.proved(tmp_path / "data")
    assert any("2026-01.toml:12: work_centers.mill: '96 USD/kg'" in problem for problem in problems)


def test_a_proof_that_never_ends_is_given_up(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(serving, "PROOF_SECONDS", 0.01)
    assert serving.proved(DATA) == ("proving the folder took longer than 0.01 s",)
