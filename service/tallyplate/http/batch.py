"""`POST /v1/prices/batch`: price requests one a line in, prices and problems one a line out, in order, as they come.

The call is ASGI of its own, since it answers while it still reads. What it holds is bounded: lines read ahead, and one
chunk with its answers. Where the client takes no answers, no more lines are read, and none are priced.
"""

import asyncio
from collections.abc import AsyncIterator, Callable
from datetime import date
from functools import partial
from typing import Final

import msgspec
import structlog
from litestar import post
from litestar.types import ASGIApp, ControllerRouterHandler, Receive, Scope, Send

from tallyplate.contract import Refusal
from tallyplate.http import guard
from tallyplate.http.bodies import AnyRequest, expect
from tallyplate.http.limits import DEFAULTS, Limits
from tallyplate.http.lines import Ahead, Asked, HungUp, chunks
from tallyplate.http.problems import Problem, encoded, problem, refused
from tallyplate.installation import Form, Installation
from tallyplate.pricing import PluginFailure
from tallyplate.reload import Current

NDJSON: Final = "application/x-ndjson"

PATIENCE: Final = 60.0
"""Seconds that a client may let answers wait before the call is given up."""

HEADERS: Final = [(b"content-type", NDJSON.encode())]

Parted = Callable[[AsyncIterator[bytes]], AsyncIterator[list[Asked]]]
"""Parts a body into its lines."""

log = structlog.get_logger("tallyplate.http")


class LineProblem(Problem, frozen=True, kw_only=True):
    """Why one line of a batch has no price: problem details (RFC 9457), and the line, counted from 1."""

    line: int


def handlers(current: Current, limits: Limits = DEFAULTS) -> list[ControllerRouterHandler]:
    """The route, around the installation in force when a request comes; all lines of a call have the same."""
    one_at_a_time = asyncio.Lock()
    lines_of = partial(chunks, limits=limits)

    @post("/v1/prices/batch", status_code=200)
    async def batch(request: AnyRequest) -> ASGIApp:
        """Price a line at a time."""
        expect(request, NDJSON)
        installation = current.installation
        price = partial(answers, installation=installation, today=installation.today(), form=guard.form(request))

        async def answering(_: Scope, receive: Receive, send: Send) -> None:
            try:
                await converse(receive, send, price, one_at_a_time, lines_of)
            except* HungUp:
                log.info("batch hung up")
            except* TimeoutError:
                log.info("batch given up", seconds=PATIENCE)

        return answering

    return [batch]


async def converse(
    receive: Receive,
    send: Send,
    price: Callable[[list[Asked]], bytes],
    one_at_a_time: asyncio.Lock,
    lines_of: Parted = chunks,
) -> None:
    """Read and answer at the same time; ends with the body, or by a group with `HungUp` or `TimeoutError`."""
    ahead = Ahead()
    async with asyncio.TaskGroup() as together:
        reading = together.create_task(ahead.fill(receive))
        # The first read comes before the status: it is what tells a client that waits for leave to go on sending.
        await asyncio.sleep(0)
        await send({"type": "http.response.start", "status": 200, "headers": HEADERS})
        async for lines in lines_of(ahead.pieces()):
            # In a thread of its own and one at a time, so that the service goes on answering meanwhile.
            async with one_at_a_time:
                content = await asyncio.to_thread(price, lines)
            async with asyncio.timeout(PATIENCE):
                await send({"type": "http.response.body", "body": content, "more_body": True})
        await send({"type": "http.response.body", "body": b"", "more_body": False})
        reading.cancel()


def answers(lines: list[Asked], installation: Installation, today: date, form: Form) -> bytes:
    """The answers to some lines, one a line."""
    return b"".join([_answer(line, installation, today, form) + b"\n" for line in lines])


def _answer(line: Asked, installation: Installation, today: date, form: Form) -> bytes:
    """The price of a line, to the byte that of `POST /v1/prices`, or its problem."""
    what = line.known
    try:
        if not what:
            return installation.price_json(line.body, today, form)
    except Refusal as refusal:
        what = refused(refusal)
    except PluginFailure as failure:
        log.exception("plugin failed", module=failure.module)
        what = problem("plugin-failure", f"the {failure.kind} {failure.module!r} failed; no price was made")
    except Exception:
        log.exception("failed")
        what = problem("internal-error", "the failure has been logged; the other lines are not concerned")
    return encoded(LineProblem(*msgspec.structs.astuple(what), line=line.number))
