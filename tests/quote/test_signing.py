"""Tokens: signed as the standards say, the same each time, and readable by any library that keeps to them."""

from base64 import urlsafe_b64decode

import msgspec
import pytest
from cryptography.exceptions import InvalidSignature
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PublicKey
from hypothesis import given
from hypothesis import strategies as st

from tallyplate.quote.content import Quote
from tallyplate.quote.signing import header, signed, token, written_header
from tests.quote.quotes import KEYS, RFC_8037, RFC_KEY, RFC_THUMBPRINT, content_of, made
from tests.quote.quotes import token as quote_token


@pytest.mark.filterwarnings("ignore:EdDSA is deprecated via RFC 9864")
def test_the_example_of_rfc_8037_is_signed_to_the_letter() -> None:
    # RFC 8037, appendix A.4. Its header names EdDSA, which RFC 9864 later made Ed25519; the signature is the same.
    assert token({"alg": "EdDSA"}, b"Example of Ed25519 signing", RFC_KEY) == (
        "eyJhbGciOiJFZERTQSJ9.RXhhbXBsZSBvZiBFZDI1NTE5IHNpZ25pbmc."
        "hgyY0il_MGCjP0JzlnLWG1PPOt7-09PGcvMg3AIbQR6dWbhijcNR4ki4iylGjg5BhVsPt9g7sVvpAr_MuM0KAg"
    )


def test_another_library_verifies_a_quote_by_the_published_key() -> None:
    signing_input, _, signature = quote_token().rpartition(".")
    key = Ed25519PublicKey.from_public_bytes(urlsafe_b64decode(RFC_8037["x"] + "="))
    key.verify(urlsafe_b64decode(signature + "=="), signing_input.encode())
    with pytest.raises(InvalidSignature):
        key.verify(urlsafe_b64decode(signature + "=="), signing_input.encode() + b"A")


def test_the_header_names_algorithm_key_and_type_and_nothing_else() -> None:
    first = quote_token().split(".")[0]
    assert header(RFC_THUMBPRINT) == {"alg": "Ed25519", "kid": RFC_THUMBPRINT, "typ": "tallyplate-quote+jwt"}
    assert written_header(RFC_THUMBPRINT) == first


@given(st.text("ABCxyz019-_", min_size=1, max_size=60))
def test_headers_are_written_alike_by_the_signer_and_by_whoever_compares_them(kid: str) -> None:
    assert token(header(kid), b"{}", RFC_KEY).split(".")[0] == written_header(kid)


def test_the_same_quote_made_twice_is_the_same_token() -> None:
    assert signed(made().quote, KEYS) == signed(made().quote, KEYS)


def test_what_is_signed_is_the_quote_and_nothing_else() -> None:
    quote = made().quote
    assert msgspec.convert(content_of(quote_token(quote)), Quote) == quote
