"""Every limit of the service in one place: what bounds a request, a connection, waiting and the end of the service.

`serve --limits FILE` reads a TOML file that states those that shall differ. Sizes are bytes, times seconds.
"""

import tomllib
from collections.abc import Iterator
from ipaddress import ip_network
from pathlib import Path
from typing import Annotated, Final

from msgspec import Meta, Struct

from tallyplate.contours.reading import MOST_CHARACTERS
from tallyplate.contract import Fault, Refusal
from tallyplate.decoding import convert, length_hook, shown
from tallyplate.documents.drawings.sheet import MOST_HOLES
from tallyplate.sets.inquiry import MOST_PLATES
from tallyplate.tradeoffs.alternatives.variables import MOST_COMBINATIONS

MOST_ORDERS: Final = 1000
"""Orders of one portfolio; a second or two of work."""

MOST_BYTES: Final = 64 * 1024
"""Largest file of limits."""

MOST_OF_A_DRAWING: Final = 2 * MOST_CHARACTERS
"""As many bytes as characters of a drawing, and as many for how JSON writes the ends of its lines."""

Seconds = Annotated[float, Meta(ge=0.05, le=86_400.0)]
Count = Annotated[int, Meta(ge=1, le=1_000_000)]
Rate = Annotated[float, Meta(ge=0.0, le=1e6)]


class Limits(Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    """The limits in force. What a field bounds is said below it, with the status that answers what is beyond it.

    Lists in a plate (patterns, faces, bolt circles) are bounded by its family's own schema, and all holes of a plate by
    `contract.laying.MAX_HOLES`; both are counted in closed form, cost nothing more near their limit, and answer 422.
    """

    head_bytes: Annotated[int, Meta(ge=1024, le=1024 * 1024)] = 16 * 1024
    """Request line and headers; 431."""
    head_seconds: Seconds = 10.0
    """From the first byte of a request, or from connecting, to the end of its headers; 408, or closed in silence."""
    body_bytes: Annotated[int, Meta(ge=256, le=16 * 1024 * 1024)] = 64 * 1024
    """Body of a call that takes one plate; 413."""
    body_seconds: Seconds = 10.0
    """What a client may take in all to send its body, and for each wait within a batch; 408."""
    request_seconds: Seconds = 30.0
    """From the headers to the start of the answer, as far as waiting and threads go; 503."""
    batch_seconds: Seconds = 600.0
    """A whole batch, from its headers to its end; the connection is closed."""
    answer_seconds: Seconds = 60.0
    """How long a client may take none of its answer, and how long it may take over a whole document; closed."""
    keep_alive_seconds: Seconds = 75.0
    """Idle time between two requests of a connection; closed. Longer than the 60 s after which balancers usually
    drop theirs (common practice, no source), so that they are first and none sends into a closing connection."""
    connections: Count = 2000
    """Open connections; those beyond get 503 to anything but health."""

    json_depth: Annotated[int, Meta(ge=8, le=900)] = 64
    """Objects and lists within each other; 400."""
    line_bytes: Annotated[int, Meta(ge=256, le=64 * 1024)] = 64 * 1024
    """One line of a batch; a problem in its place."""
    batch_lines: Annotated[int, Meta(ge=1, le=100_000)] = 100_000
    """Lines of a batch; a problem in the place of the next."""
    combinations: Annotated[int, Meta(ge=1, le=MOST_COMBINATIONS)] = MOST_COMBINATIONS
    """Combinations that a search for alternatives examines; 422 with their number, before it begins."""
    document_holes: Annotated[int, Meta(ge=1, le=MOST_HOLES)] = MOST_HOLES
    """Holes of a plate that is drawn or listed; 422 with their number, before it is drawn."""
    drawing_bytes: Annotated[int, Meta(ge=256, le=MOST_OF_A_DRAWING)] = MOST_OF_A_DRAWING
    """Body of a call that reads contours from a drawing; 413. What the drawing holds is bounded there; 422."""
    orders: Annotated[int, Meta(ge=1, le=MOST_ORDERS)] = MOST_ORDERS
    """Orders of a portfolio; 422."""
    plates: Annotated[int, Meta(ge=1, le=MOST_PLATES)] = MOST_PLATES
    """Plates of a set; 422 with their number, before any is priced."""

    waiting: Count = 200
    """Requests of one lane that wait for their turn; 503."""
    wait_seconds: Seconds = 1.0
    """Longest wait of a price for its turn; 503 at once where it would be longer."""
    long_wait_seconds: Seconds = 10.0
    """Longest wait of a search, a document or a batch for its turn; 503."""
    searches: Count = 1
    """Questions, effects and alternatives that are worked on at the same time; of portfolios it is one."""
    documents: Count = 2
    """Drawings, schedules and quotes that are made at the same time."""
    batches: Count = 4
    """Batches that are answered at the same time, a chunk of each in turn."""

    key_rate: Rate = 200.0
    """Requests a second of one key, lasting; 0 for no limit; 429."""
    key_burst: Count = 400
    """Requests of one key at once, after a rest; 429."""
    address_rate: Rate = 200.0
    """Requests a second of one address (of IPv6 a /64), lasting; 0 for no limit; 429."""
    address_burst: Count = 400
    """Requests of one address at once, after a rest; 429."""
    callers: Count = 10_000
    """Keys, and addresses, whose use is remembered; beyond it the one that rested longest is forgotten."""
    trusted_proxies: Annotated[tuple[str, ...], Meta(max_length=100)] = ()
    """Addresses and networks whose X-Forwarded-For says who calls; of anybody else it is not looked at."""

    drain_seconds: Annotated[float, Meta(ge=0.0, le=3600.0)] = 5.0
    """From SIGTERM to the end of taking connections: not ready, and every answer closes its connection."""
    finish_seconds: Annotated[int, Meta(ge=1, le=3600)] = 30
    """How long requests that are being answered then may go on."""


DEFAULTS: Final = Limits()


def read_limits(path: Path) -> Limits:
    """The limits of a file; raises `Refusal` that names each key at fault, or `OSError`."""
    with path.open("rb") as file:
        content = file.read(MOST_BYTES + 1)
    if len(content) > MOST_BYTES:
        raise Refusal(Fault("", f"is larger than {MOST_BYTES} bytes; accepted: a file of limits"))
    try:
        written = tomllib.loads(content.decode())
    except (tomllib.TOMLDecodeError, UnicodeDecodeError, RecursionError) as error:
        raise Refusal(Fault("", f"is not TOML: {error}; accepted: lines such as body_seconds = 10.0")) from None
    limits = convert(written, Limits, length_hook)
    if faults := list(_no_networks(limits.trusted_proxies)):
        raise Refusal(*faults)
    return limits


def _no_networks(texts: tuple[str, ...]) -> Iterator[Fault]:
    for place, text in enumerate(texts):
        try:
            ip_network(text)
        except ValueError:
            accepted = "accepted: an address or a network, such as 10.0.0.0/8"
            yield Fault(f"/trusted_proxies/{place}", f"{shown(text)} is none; {accepted}")
