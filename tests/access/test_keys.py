"""Keys: random, kept as digests, expiring, and changed without a restart."""

import asyncio
import hashlib
import json
import stat
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

import pytest

from tallyplate.access import gate as gates
from tallyplate.access.gate import Gate
from tallyplate.access.keys import LENGTH, caller, new_key
from tallyplate.access.scopes import Caller, Scope
from tallyplate.access.settings import read_access
from tallyplate.cli.main import main
from tallyplate.contract import Refusal

Told = pytest.CaptureFixture[str]
TODAY = datetime.now(UTC).date()


def _let_in(gate: Gate, key: str | None) -> Caller | None:
    return asyncio.run(gate.caller(f"Bearer {key}" if key else None))


@pytest.fixture
def file(tmp_path: Path) -> Path:
    return tmp_path / "access.json"


@pytest.fixture(autouse=True)
def looking_at_every_call(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(gates, "LOOK", 0.0)


def _new(file: Path, told: Told, name: str, *scopes: str, until: date | None = None) -> str:
    expires = ["--expires-on", until.isoformat()] if until else []
    assert main(["key", "new", name, "--scopes", *scopes, "--access", str(file), *expires]) == 0
    return told.readouterr().out.strip()


def test_a_key_is_shown_once_and_kept_as_a_digest_that_only_its_owner_reads(file: Path, capsys: Told) -> None:
    key = _new(file, capsys, "erp", "price", "cost")
    assert len(key) == LENGTH
    assert key not in file.read_text()
    (kept,) = json.loads(file.read_bytes())["keys"]
    assert kept == {"id": "erp", "sha256": hashlib.sha256(key.encode()).hexdigest(), "scopes": ["cost", "price"]}
    assert stat.S_IMODE(file.stat().st_mode) == 0o600


def test_no_two_keys_are_alike() -> None:
    keys = {new_key("erp", (Scope.PRICE,), None)[0] for _ in range(100)}
    assert len(keys) == 100


def test_a_key_lets_in_with_its_own_scopes_and_any_other_text_does_not(file: Path, capsys: Told) -> None:
    key = _new(file, capsys, "erp", "price")
    gate = Gate(file)
    assert _let_in(gate, key) == Caller("erp", frozenset({Scope.PRICE}))
    for other in (key[:-1], key + "A", key.upper(), key[4:], "", "tpk_", "\N{SNOWMAN}", "a.b.c", "tpk_" + "A" * 43):
        assert _let_in(gate, other or " ") is None
    assert asyncio.run(gate.caller(f"Basic {key}")) is None
    assert asyncio.run(gate.caller("Bearer")) is None
    nobody = _let_in(gate, None)
    assert nobody
    assert not nobody.scopes


def test_a_key_holds_through_its_last_day() -> None:
    key, entry = new_key("shop", (Scope.PRICE,), date(2026, 11, 25))
    known = {entry.sha256: entry}
    assert caller(key, known, date(2026, 11, 25))
    assert caller(key, known, date(2026, 11, 26)) is None


def test_an_expired_key_is_refused_by_the_gate_and_named_by_the_list(file: Path, capsys: Told) -> None:
    key = _new(file, capsys, "old", "price", until=TODAY - timedelta(days=1))
    assert _let_in(Gate(file), key) is None
    assert main(["key", "list", "--access", str(file)]) == 0
    assert "(expired)" in capsys.readouterr().out


def test_keys_rotate_without_a_restart(file: Path, capsys: Told) -> None:
    old = _new(file, capsys, "erp-1", "price")
    gate = Gate(file)
    new = _new(file, capsys, "erp-2", "price")
    assert _let_in(gate, old)
    assert _let_in(gate, new)
    assert main(["key", "revoke", "erp-1", "--access", str(file)]) == 0
    assert _let_in(gate, old) is None
    assert _let_in(gate, new)


def test_a_file_that_is_broken_or_gone_leaves_the_last_good_keys_in_force(file: Path, capsys: Told) -> None:
    key = _new(file, capsys, "erp", "price")
    gate = Gate(file)
    good = file.read_bytes()
    file.write_bytes(good[: len(good) // 2])
    assert _let_in(gate, key)
    file.unlink()
    assert _let_in(gate, key)
    file.write_bytes(good.replace(b'"price"', b'"rates"'))
    found = _let_in(gate, key)
    assert found
    assert found.scopes == {Scope.RATES}


def test_the_last_key_is_not_revoked_and_a_name_not_given_twice(file: Path, capsys: Told) -> None:
    _new(file, capsys, "erp", "price")
    before = file.read_bytes()
    for arguments in (["revoke", "erp"], ["revoke", "web"], ["new", "erp", "--scopes", "price"], ["new", "Ö"]):
        scopes = ["--scopes", "price"] if arguments == ["new", "Ö"] else []
        assert main(["key", *arguments, *scopes, "--access", str(file)]) == 1
        assert "accepted" in (said := capsys.readouterr().err) or "it has: erp" in said or "first" in said
    assert file.read_bytes() == before


KEY = {"id": "a", "sha256": "0" * 64, "scopes": ["price"]}
ISSUER = {"issuer": "a", "audience": "b", "algorithms": ["ES256"], "scopes": ["price"], "keys_file": "keys.json"}


@pytest.mark.parametrize(
    ("content", "said"),
    [
        ({}, "names nobody"),
        ({"keys": [{**KEY, "sha256": "00"}]}, "/keys/0/sha256"),
        ({"keys": [{**KEY, "scopes": []}]}, "/keys/0/scopes"),
        ({"keys": [{**KEY, "scopes": ["all"]}]}, "/keys/0/scopes/0"),
        ({"keys": [{**KEY, "expires": 1}]}, "/keys/0/expires"),
        ({"keys": [KEY, {**KEY, "id": "b"}]}, "/keys/1/sha256: stands twice"),
        ({"keys": [KEY, {**KEY, "sha256": "1" * 64}]}, "/keys/1/id: stands twice"),
        ({"issuers": [{**ISSUER, "algorithms": ["HS256"]}]}, "/issuers/0/algorithms/0"),
        ({"issuers": [{**ISSUER, "algorithms": ["none"]}]}, "/issuers/0/algorithms/0"),
        ({"issuers": [ISSUER, ISSUER]}, "/issuers/1/issuer: stands twice"),
        ({"issuers": [{**ISSUER, "keys_url": "https://keys.example/"}]}, "either keys_file or keys_url"),
        ({"issuers": [{**ISSUER, "keys_file": None}]}, "/issuers/0/keys_file"),
    ],
)
def test_each_mistake_in_an_access_file_is_named(file: Path, content: object, said: str, capsys: Told) -> None:
    file.write_text(json.dumps(content))
    assert main(["serve", "--access", str(file)]) == 1
    assert said in capsys.readouterr().err


@pytest.mark.parametrize("url", ["http://keys.example/", "http://127.0.0.1.keys.example/", "file:///etc/passwd"])
def test_key_sets_come_by_https_or_from_this_machine(url: str) -> None:
    remote = {name: value for name, value in ISSUER.items() if name != "keys_file"}
    with pytest.raises(Refusal) as refused:
        read_access(json.dumps({"issuers": [{**remote, "keys_url": url}]}).encode())
    assert refused.value.faults[0].pointer == "/issuers/0/keys_url"
    for good in ("https://keys.example/", "http://127.0.0.1:9000/jwks"):
        assert read_access(json.dumps({"issuers": [{**remote, "keys_url": good}]}).encode()).issuers
