"""`tallyplate key new|list|revoke`: who may call a service that listens for others."""

import argparse
from datetime import UTC, date, datetime
from pathlib import Path
from typing import Any

import msgspec
from msgspec.structs import replace

from tallyplate.access.keys import new_key
from tallyplate.access.scopes import Scope
from tallyplate.access.settings import AccessFile, Name, read_access
from tallyplate.cli.owned_files import naming, replace_privately
from tallyplate.contract import Refusal
from tallyplate.decoding import convert, length_hook
from tallyplate.rates.files import DataError


def add(commands: Any) -> None:  # noqa: ANN401 - argparse keeps the type to itself
    """Add the commands to the parser."""
    keys = commands.add_parser("key", help="make, list and revoke the keys of callers").add_subparsers(
        required=True, metavar="COMMAND"
    )
    new = keys.add_parser("new", help="make a key; it is shown once, and the file keeps its digest alone")
    new.add_argument("name", metavar="NAME", help="what logs call it, such as erp-2026")
    new.add_argument("--scopes", nargs="+", required=True, choices=[scope.value for scope in Scope], metavar="SCOPE")
    new.add_argument("--expires-on", type=date.fromisoformat, metavar="DATE", help="the last day (UTC) that it holds")
    new.set_defaults(run=_new)
    listed = keys.add_parser("list", help="say which keys there are, and which have expired")
    listed.set_defaults(run=_list)
    revoke = keys.add_parser("revoke", help="take a key back; running services follow within seconds")
    revoke.add_argument("name", metavar="NAME")
    revoke.set_defaults(run=_revoke)
    for command in (new, listed, revoke):
        command.add_argument("--access", type=Path, required=True, metavar="FILE", help="the access file")


def access_file(path: Path) -> AccessFile:
    """An access file; raises `DataError` with what is wrong with it."""
    with naming(path):
        return read_access(path.read_bytes())


def _new(parsed: argparse.Namespace) -> int:
    path: Path = parsed.access
    before = access_file(path) if path.exists() else AccessFile()
    name = _named(parsed.name)
    if any(key.id == name for key in before.keys):
        message = (
            f"{path}: has a key {name} already; accepted: another name, so that both hold until the old is revoked"
        )
        raise DataError(message)
    scopes = tuple(sorted({Scope(scope) for scope in parsed.scopes}))
    text, entry = new_key(name, scopes, parsed.expires_on)
    _write(path, replace(before, keys=(*before.keys, entry)))
    print(text)
    return 0


def _named(name: str) -> str:
    try:
        return convert(name, Name, length_hook)
    except Refusal as refusal:
        message = f"NAME: {refusal.faults[0].message}; accepted: lower-case letters, digits, dots and hyphens"
        raise DataError(message) from None


def _list(parsed: argparse.Namespace) -> int:
    today = datetime.now(UTC).date()
    for key in access_file(parsed.access).keys:
        until = f"until {key.expires_on}" if key.expires_on else "without end"
        expired = " (expired)" if key.expires_on and today > key.expires_on else ""
        print(f"{key.id}: {', '.join(key.scopes)}; {until}{expired}")
    return 0


def _revoke(parsed: argparse.Namespace) -> int:
    before = access_file(parsed.access)
    left = tuple(key for key in before.keys if key.id != parsed.name)
    if len(left) == len(before.keys):
        names = ", ".join(key.id for key in before.keys) or "none"
        message = f"{parsed.access}: has no key {parsed.name!r}; it has: {names}"
        raise DataError(message)
    if not left and not before.issuers:
        message = f"{parsed.access}: would name nobody any more; make the key that replaces {parsed.name} first"
        raise DataError(message)
    _write(parsed.access, replace(before, keys=left))
    print(f"{parsed.name}: revoked")
    return 0


def _write(path: Path, file: AccessFile) -> None:
    replace_privately(path, msgspec.json.format(msgspec.json.encode(file)) + b"\n")
