"""`tallyplate serve`: who is let in on which address, and a changed folder proved by a process of its own."""

import json
import shutil
from pathlib import Path

import pytest

from tallyplate.access.gate import Gate
from tallyplate.access.scopes import Scope
from tallyplate.cli import serving
from tallyplate.cli.main import main
from tests.deploy.manifests import dockerfile
from tests.plates import DATA


@pytest.fixture
def made(monkeypatch: pytest.MonkeyPatch) -> list[Gate]:
    """The gates of the services that are started in a test; none of them listens."""
    gates: list[Gate] = []
    monkeypatch.setattr(serving, "create_app", lambda _, gate, *__, **___: gates.append(gate))
    monkeypatch.setattr(serving, "serve", lambda *_, **__: None)
    monkeypatch.setattr(serving, "bound", lambda *_: None)
    monkeypatch.setattr(serving, "log_as_json", lambda **_: None)
    return gates


@pytest.mark.parametrize("host", ["127.0.0.1", "localhost", "::1"])
def test_without_an_access_file_a_service_is_open_to_its_own_machine(made: list[Gate], host: str) -> None:
    assert main(["serve", "--host", host]) == 0
    assert made[0].local


@pytest.mark.parametrize("host", ["0.0.0.0", "::", "", "tallyplate.example", "192.0.2.7"])  # noqa: S104 - none is bound
def test_without_an_access_file_no_service_starts_where_others_can_reach_it(
    made: list[Gate], host: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["serve", "--host", host]) == 1
    assert (
        "accepted: a loopback address, --access FILE, which `tallyplate key new` makes, or --public"
        in capsys.readouterr().err
    )
    assert not made


def test_with_an_access_file_a_service_starts_on_any_address(made: list[Gate], tmp_path: Path) -> None:
    file = tmp_path / "access.json"
    main(["key", "new", "erp", "--scopes", "price", "--access", str(file)])
    assert main(["serve", "--host", "0.0.0.0", "--access", str(file)]) == 0  # noqa: S104 - nothing is bound
    assert not made[0].local
    assert not made[0].nobody.scopes


def test_the_images_own_command_starts_where_others_reach_it_and_shows_them_selling_prices_alone(
    made: list[Gate],
) -> None:
    assert main(json.loads(dockerfile("CMD"))) == 0
    assert not made[0].local
    assert made[0].nobody.scopes == {Scope.PRICE}


def test_a_public_service_on_its_own_machine_shows_no_more_there(made: list[Gate]) -> None:
    assert main(["serve", "--public"]) == 0
    assert made[0].local
    assert made[0].nobody.scopes == {Scope.PRICE}


@pytest.mark.slow
def test_a_good_folder_is_proved_and_a_bad_one_comes_back_with_its_problems(tmp_path: Path) -> None:
    shutil.copytree(DATA, tmp_path / "data")
    assert serving.proved(tmp_path / "data") == ()
    card = tmp_path / "data" / "rate_cards" / "2026-01.toml"
    card.write_text(card.read_text().replace('mill = "96 USD/h"', 'mill = "96 USD/kg"'))
    problems = serving.proved(tmp_path / "data")
    assert any("rate_cards/2026-01.toml:12: work_centers.mill: '96 USD/kg'" in problem for problem in problems)


def test_a_proof_that_never_ends_is_given_up(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(serving, "PROOF_SECONDS", 0.01)
    assert serving.proved(DATA) == ("proving the folder took longer than 0.01 s",)
