"""Tokens of an identity provider: who is let in, and every way in which a token is not good."""

import asyncio
import base64
import hmac
import json
import time
from collections.abc import Callable
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from threading import Thread
from typing import Any

import pytest
from joserfc import jwt
from joserfc.jwk import ECKey, KeySet, OKPKey, RSAKey
from joserfc.jws import JWSRegistry

from tallyplate.access import providers
from tallyplate.access.gate import Gate
from tallyplate.access.scopes import Caller, Scope

ISSUER, AUDIENCE = "https://id.harrow-pell.example", "tallyplate"
KEY = ECKey.generate_key("P-256", {"kid": "one", "use": "sig"})
OTHER = ECKey.generate_key("P-256", {"kid": "two", "use": "sig"})
ANY = JWSRegistry(algorithms=["ES256", "RS256", "Ed25519"])

Json = dict[str, Any]


def claims(**changed: object) -> Json:
    now = int(time.time())
    usual = {"iss": ISSUER, "aud": AUDIENCE, "sub": "desk", "exp": now + 300, "scope": "openid tallyplate:price"}
    return {name: value for name, value in {**usual, **changed}.items() if value is not None}


def token(key: Any = KEY, alg: str = "ES256", said: Json | None = None, **header: object) -> str:
    whole = {"alg": alg, "kid": key.kid, **header}
    return jwt.encode(whole, said if said is not None else claims(), key, registry=ANY)


def b64(octets: bytes) -> str:
    return base64.urlsafe_b64encode(octets).decode().rstrip("=")


def key_set(*keys: Any) -> bytes:
    return json.dumps(KeySet(list(keys)).as_dict(private=False)).encode()


def gate(folder: Path, **changed: object) -> Gate:
    issuer = {"issuer": ISSUER, "audience": AUDIENCE, "algorithms": ["ES256"], "scopes": ["price", "cost"]}
    whole = {**issuer, "keys_file": "keys.json", **changed}
    said = {name: value for name, value in whole.items() if value is not None}
    (folder / "access.json").write_text(json.dumps({"issuers": [said]}))
    (folder / "keys.json").write_bytes(key_set(KEY))
    return Gate(folder / "access.json")


def let_in(gate: Gate, text: str) -> Caller | None:
    return asyncio.run(gate.caller(f"Bearer {text}"))


def test_a_token_lets_in_with_the_scopes_that_it_names_and_its_issuer_may_give(tmp_path: Path) -> None:
    here = gate(tmp_path)
    assert let_in(here, token()) == Caller("desk", frozenset({Scope.PRICE}))
    wide = claims(scope="tallyplate:price tallyplate:cost tallyplate:rates cost")
    found = let_in(here, token(said=wide))
    assert found
    assert found.scopes == {Scope.PRICE, Scope.COST}
    listed = let_in(here, token(said=claims(scope=["tallyplate:cost"], aud=["x", AUDIENCE])))
    assert listed
    assert listed.scopes == {Scope.COST}


@pytest.mark.parametrize(
    "said",
    [
        claims(iss="https://other.example"),
        claims(iss=None),
        claims(aud="other"),
        claims(aud=None),
        claims(exp=None),
        claims(exp=int(time.time()) - 3600),
        claims(exp="tomorrow"),
        claims(exp=True),
        claims(exp=float("inf")),
        claims(nbf=int(time.time()) + 3600),
        claims(nbf="now"),
    ],
)
def test_claims_that_do_not_hold_let_nobody_in(tmp_path: Path, said: Json) -> None:
    assert let_in(gate(tmp_path), token(said=said)) is None


def test_clocks_may_differ_by_a_minute_and_no_more(tmp_path: Path) -> None:
    here = gate(tmp_path)
    assert let_in(here, token(said=claims(exp=int(time.time()) - 30)))
    assert let_in(here, token(said=claims(exp=int(time.time()) - 90))) is None


def test_a_foreign_key_an_unknown_one_or_another_algorithm_let_nobody_in(tmp_path: Path) -> None:
    here = gate(tmp_path)
    assert let_in(here, token(OTHER)) is None
    assert let_in(here, token(OTHER, kid="one")) is None
    rsa = RSAKey.generate_key(2048, {"kid": "one"})
    assert let_in(here, token(rsa, "RS256")) is None
    ed = OKPKey.generate_key("Ed25519", {"kid": "one"})
    assert let_in(here, token(ed, "Ed25519")) is None


def test_a_public_key_taken_for_a_shared_secret_lets_nobody_in(tmp_path: Path) -> None:
    here = gate(tmp_path)
    said = b64(b'{"alg":"HS256","kid":"one"}') + "." + b64(json.dumps(claims()).encode())
    for secret in (KEY.as_pem(private=False), json.dumps(KEY.as_dict(private=False)).encode()):
        # The library refuses to make such a token, so it is made by hand.
        assert let_in(here, f"{said}.{b64(hmac.digest(secret, said.encode(), 'sha256'))}") is None


def test_a_changed_a_stripped_or_an_overlong_token_lets_nobody_in(tmp_path: Path) -> None:
    here, good = gate(tmp_path), token()
    head, body, signature = good.split(".")
    none = b64(b'{"alg":"none","kid":"one"}')
    for bad in (
        f"{head}.{body}.", f"{head}.{body}", f"{head}.{body[:-2]}AA.{signature}", f"{head}.{body}.{signature[:-4]}AAAA",
        f"{none}.{body}.", f"{none}.{body}.{signature}", "..", "a.b.c", f"{good}.{good}", good + "A" * 9000,
        f"{head}.{body}.\N{SNOWMAN}",
    ):  # fmt: skip
        assert let_in(here, bad) is None
    assert let_in(here, good)


def test_a_key_that_is_not_for_signatures_lets_nobody_in(tmp_path: Path) -> None:
    here = gate(tmp_path)
    written = json.loads(key_set(KEY))
    written["keys"][0]["use"] = "enc"
    (tmp_path / "keys.json").write_text(json.dumps(written))
    assert let_in(here, token()) is None


def test_keys_of_kinds_that_are_not_known_are_passed_over(tmp_path: Path) -> None:
    here = gate(tmp_path)
    written = json.loads(key_set(KEY))
    written["keys"].insert(0, {"kty": "AKP", "kid": "new", "pub": "AAAA"})
    (tmp_path / "keys.json").write_text(json.dumps(written))
    assert let_in(here, token())


@pytest.mark.parametrize("content", ["", "[]", "{}", '{"keys": []}', '{"keys": [1]}', "\ufeff{"])
def test_a_key_set_that_cannot_be_read_lets_nobody_in_and_takes_nobody_down(tmp_path: Path, content: str) -> None:
    here = gate(tmp_path)
    (tmp_path / "keys.json").write_text(content)
    assert let_in(here, token()) is None


def test_a_provider_that_rotates_its_keys_is_followed_and_one_that_falls_silent_is_remembered(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(providers, "AGAIN", 0.0)
    here = gate(tmp_path)
    assert let_in(here, token(OTHER)) is None
    (tmp_path / "keys.json").write_bytes(key_set(KEY, OTHER))
    assert let_in(here, token(OTHER))
    (tmp_path / "keys.json").unlink()
    assert let_in(here, token(OTHER))


def test_however_many_tokens_name_unknown_keys_a_provider_is_asked_twice(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    asked: list[object] = []
    real: Callable[..., bytes] = providers._content

    def counting(*what: object) -> bytes:
        asked.append(what)
        return real(*what)

    monkeypatch.setattr(providers, "_content", counting)
    here = gate(tmp_path)
    for _ in range(20):
        assert let_in(here, token(OTHER)) is None
    assert len(asked) <= 2


def test_keys_come_over_http_without_following_it_elsewhere(tmp_path: Path) -> None:
    content = key_set(KEY)

    class Answer(BaseHTTPRequestHandler):
        def do_GET(self) -> None:
            moved = self.path == "/moved"
            self.send_response(302 if moved else 200)
            if moved:
                self.send_header("location", "/keys")
            self.end_headers()
            self.wfile.write(b"" if moved else content)

        def log_message(self, *_: object) -> None:
            pass

    server = ThreadingHTTPServer(("127.0.0.1", 0), Answer)
    Thread(target=server.serve_forever, daemon=True).start()
    try:
        address = f"http://127.0.0.1:{server.server_port}"
        assert let_in(gate(tmp_path, keys_file=None, keys_url=f"{address}/keys"), token())
        assert let_in(gate(tmp_path, keys_file=None, keys_url=f"{address}/moved"), token()) is None
    finally:
        server.shutdown()
        server.server_close()
