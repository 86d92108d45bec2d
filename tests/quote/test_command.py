"""`tallyplate quote key` and `tallyplate quote verify`."""

import json
import stat
import sys
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import msgspec
import pytest

from tallyplate.cli import serving
from tallyplate.cli.main import main
from tallyplate.quote.keys import read_keys
from tests.plates import installation
from tests.quote.quotes import KEYS, made, token

Told = pytest.CaptureFixture[str]
TODAY = installation().today(datetime.now(UTC))


@pytest.fixture
def keys(tmp_path: Path) -> str:
    file = tmp_path / "published.json"
    file.write_bytes(msgspec.json.encode(KEYS.published))
    return str(file)


def _verify(tmp_path: Path, keys: str, content: str, *more: str) -> int:
    file = tmp_path / "quote"
    file.write_text(content)
    return main(["quote", "verify", str(file), "--keys", keys, *more])


def test_a_new_key_set_signs_and_only_its_owner_can_read_it(tmp_path: Path, capsys: Told) -> None:
    file = tmp_path / "keys.json"
    assert main(["quote", "key", "--out", str(file)]) == 0
    assert stat.S_IMODE(file.stat().st_mode) == 0o600
    signing = read_keys(file.read_bytes()).signing
    assert signing
    assert signing in capsys.readouterr().out


def test_a_key_set_that_is_there_is_kept_unless_it_shall_be_rotated(tmp_path: Path, capsys: Told) -> None:
    file = tmp_path / "keys.json"
    main(["quote", "key", "--out", str(file)])
    before = file.read_bytes()
    assert main(["quote", "key", "--out", str(file)]) == 1
    assert "is there already" in capsys.readouterr().err
    assert file.read_bytes() == before
    assert main(["quote", "key", "--out", str(file), "--rotate"]) == 0
    old, new = read_keys(before), read_keys(file.read_bytes())
    assert new.signing != old.signing
    assert {*old.by_id} < {*new.by_id}
    assert file.read_text().count('"d"') == 1
    assert stat.S_IMODE(file.stat().st_mode) == 0o600


def test_rotating_what_is_no_key_set_changes_nothing(tmp_path: Path, capsys: Told) -> None:
    file = tmp_path / "keys.json"
    file.write_text("{}")
    assert main(["quote", "key", "--out", str(file), "--rotate"]) == 1
    assert f"{file}: /keys: is required and missing" in capsys.readouterr().err
    assert file.read_text() == "{}"


def test_a_valid_quote_is_shown_beside_todays_price(tmp_path: Path, keys: str, capsys: Told) -> None:
    quote = made(today=TODAY).quote
    assert _verify(tmp_path, keys, token(quote) + "\n") == 0
    told = capsys.readouterr().out
    assert f"{quote.number}, genuine, valid: is valid until {quote.valid_until}" in told
    assert "Harrow & Pell Fixture Works to Brackwater Valve: 2 x Rectangular plate" in told
    assert "Hole pattern" in told


def test_an_expired_quote_and_one_that_is_not_genuine_have_their_own_exit_codes(
    tmp_path: Path, keys: str, capsys: Told
) -> None:
    old = token(made(today=TODAY - timedelta(days=60)).quote)
    assert _verify(tmp_path, keys, old) == 3
    assert "genuine, expired: was valid until" in capsys.readouterr().out
    assert _verify(tmp_path, keys, old[:-10]) == 1
    assert capsys.readouterr().out == (
        "not genuine: is no signed quote; accepted: header, content and signature in base64url, parted by dots\n"
    )


def test_the_answer_that_a_quote_came_with_is_read_too(tmp_path: Path, keys: str, capsys: Told) -> None:
    answer = json.dumps({"token": token(made(today=TODAY).quote), "key_id": "x"})
    assert _verify(tmp_path, keys, answer, "--json") == 0
    found = json.loads(capsys.readouterr().out)
    assert (found["genuine"], found["valid"], found["state"]) == (True, True, "valid")
    assert found["today"]["comparison"]["difference"] == "0.00"
    assert _verify(tmp_path, keys, '{"quote": {}}') == 1
    assert "holds no token" in capsys.readouterr().err


def test_a_key_set_that_cannot_be_read_is_named(tmp_path: Path, capsys: Told) -> None:
    assert _verify(tmp_path, str(tmp_path / "none.json"), "x") == 1
    assert "none.json: No such file" in capsys.readouterr().err


def test_without_the_library_that_signs_the_command_says_what_to_install(
    tmp_path: Path, keys: str, monkeypatch: pytest.MonkeyPatch, capsys: Told
) -> None:
    for name in [name for name in sys.modules if name.partition(".")[0] == "joserfc" or name.endswith("quote.keys")]:
        monkeypatch.delitem(sys.modules, name)
    monkeypatch.setitem(sys.modules, "joserfc", None)
    assert _verify(tmp_path, keys, "x") == 1
    assert "pip install tallyplate[quotes]" in capsys.readouterr().err


def test_the_service_is_started_with_the_keys_of_a_file_or_not_at_all(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: Told
) -> None:
    file = tmp_path / "keys.json"
    main(["quote", "key", "--out", str(file)])
    given: list[Any] = []
    monkeypatch.setattr(serving, "create_app", lambda _, __, keys, *___: given.append(keys))
    monkeypatch.setattr(serving, "serve", lambda *_, **__: None)
    monkeypatch.setattr(serving, "bound", lambda *_: None)
    monkeypatch.setattr(serving, "log_as_json", lambda **_: None)
    assert main(["serve", "--quote-keys", str(file)]) == 0
    assert given[0].signing == read_keys(file.read_bytes()).signing
    file.write_text("[]")
    assert main(["serve", "--quote-keys", str(file)]) == 1
    assert str(file) in capsys.readouterr().err
    assert len(given) == 1
