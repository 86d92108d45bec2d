"""`tallyplate quote key|verify`: keys that quotes are signed with, and quotes checked by them."""

import argparse
import sys
from datetime import UTC, date, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

import msgspec

from tallyplate.cli.owned_files import naming, replace_privately
from tallyplate.cli.portfolios import change, grid, money, tell
from tallyplate.documents.texts import printable
from tallyplate.http.quotes import VerificationAnswer, verdict
from tallyplate.inquiry import decode
from tallyplate.installation import load
from tallyplate.quoting import TodaysPrice
from tallyplate.rates.files import DataError

if TYPE_CHECKING:
    from tallyplate.quote.keys import Keys

NOT_NOW: Final = 3
"""The exit code of a quote that is genuine but expired, or not valid yet."""


def add(commands: Any) -> None:  # noqa: ANN401 - argparse keeps the type to itself
    """Add the commands to the parser."""
    quotes = commands.add_parser("quote", help="make keys that sign quotes, and check quotes").add_subparsers(
        required=True, metavar="COMMAND"
    )
    new = quotes.add_parser("key", help="make a key set that signs quotes, or a new key in one that is there")
    new.add_argument("--out", type=Path, required=True, metavar="FILE", help="the key set; keep it secret")
    new.add_argument("--rotate", action="store_true", help="retire the key in use: its quotes go on being verified")
    new.set_defaults(run=_new)

    verify = quotes.add_parser(
        "verify",
        help="say whether a quote is genuine and still valid, and what the same plate costs today",
        epilog=f"Exit codes: 0 valid, 1 not genuine, {NOT_NOW} expired or not valid yet.",
    )
    verify.add_argument("file", metavar="FILE", help="a token, or JSON with a token; - for standard input")
    verify.add_argument("--keys", type=Path, required=True, metavar="FILE", help="the key set, as it is published")
    verify.add_argument("--json", action="store_true", help="print the answer as JSON")
    verify.set_defaults(run=_verify)


def key_set(path: Path) -> "Keys":
    """The key set of a file; raises `DataError` with what is wrong with it."""
    try:
        from tallyplate.quote.keys import read_keys  # noqa: PLC0415 - its library may be absent
    except ModuleNotFoundError as error:
        message = f"{error.name} is not installed; `pip install tallyplate[quotes]` brings what quotes need"
        raise DataError(message) from None
    with naming(path):
        return read_keys(path.read_bytes())


def _new(parsed: argparse.Namespace) -> int:
    path: Path = parsed.out
    if path.exists() and not parsed.rotate:
        message = f"{path}: is there already; accepted: a new file, or --rotate to put a new key into this one"
        raise DataError(message)
    if parsed.rotate:
        key_set(path)
    kid = _rotate(path, datetime.now(UTC).date())
    print(f"{path}: quotes are signed with the key {kid}")
    return 0


def _rotate(path: Path, today: date) -> str:
    """Write a key set with a new key; a file that is there keeps its other keys. Only its owner can read it."""
    from joserfc.jwk import OKPKey  # noqa: PLC0415 - it may be absent

    from tallyplate.quote.keys import CURVE, Jwks, rotated  # noqa: PLC0415 - likewise

    before = msgspec.json.decode(path.read_bytes(), type=Jwks) if path.exists() else None
    made = rotated(before, OKPKey.generate_key(CURVE), today)
    replace_privately(path, msgspec.json.format(msgspec.json.encode(made)) + b"\n")
    return made.keys[0].kid


def _verify(parsed: argparse.Namespace) -> int:
    content = sys.stdin.buffer.read() if parsed.file == "-" else Path(parsed.file).read_bytes()
    answer = verdict(_token(content), load(parsed.data), key_set(parsed.keys), datetime.now(UTC))
    if parsed.json:
        print(msgspec.json.encode(answer).decode())
    else:
        _show(answer)
    return 0 if answer.valid else NOT_NOW if answer.genuine else 1


def _token(content: bytes) -> str:
    """The token of a file: alone, or in the answer that a quote came with."""
    if content.lstrip().startswith(b"{"):
        answer = decode(content)
        token = answer.get("token") if isinstance(answer, dict) else None
        if not isinstance(token, str):
            message = 'holds no token; accepted: the token itself, or JSON with a "token"'
            raise DataError(message)
        return token
    return content.decode("ascii", errors="replace").strip()


def _show(answer: VerificationAnswer) -> None:
    old = answer.quote
    if not old:
        print(f"not genuine: {printable(answer.reason)}")
        return
    print(f"{old.number}, genuine, {answer.state}: {answer.reason}")
    print(printable(f"{old.seller.name} to {old.customer.name}: {old.quantity} x {old.title}"))
    print(f"{money(old.total)} {old.currency} for {old.quantity}, {money(old.unit_price)} each")
    if answer.today:
        _compare(answer.today)


def _compare(today: TodaysPrice) -> None:
    if not today.comparison:
        print(f"has no price on {today.as_of}: {'; '.join(fault.message for fault in today.refused)}")
        return
    whole = today.comparison
    rows = [(line.item, money(line.a), money(line.b), change(line.difference)) for line in whole.lines]
    total = ("total", money(whole.a), money(whole.b), change(whole.difference))
    tell("", grid(("",), ("quoted", str(today.as_of), "difference"), rows, total))
