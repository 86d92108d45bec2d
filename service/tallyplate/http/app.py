"""The application: Litestar routes around an installation, refusals as problem details, everything observed."""

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING, Final

import msgspec
import structlog
from litestar import Litestar, Response, get, post
from litestar.enums import ScopeType
from litestar.exceptions import HTTPException, MethodNotAllowedException
from litestar.types import ASGIApp, ControllerRouterHandler, Receive, Scope, Send

from tallyplate.access.gate import Gate
from tallyplate.contract import Refusal
from tallyplate.desk import pages as desk
from tallyplate.http import (
    alternatives,
    batch,
    card_changes,
    catalogue,
    comparisons,
    conditional,
    contours,
    drawings,
    effects,
    findings,
    guard,
    hole_schedules,
    impacts,
    openapi,
    pages,
    questions,
    quotes,
    readings,
    sets,
    status,
)
from tallyplate.http.admission import Lanes
from tallyplate.http.bodies import JSON, AnyRequest, json_body
from tallyplate.http.drain import Drain
from tallyplate.http.layers import guarded
from tallyplate.http.limits import DEFAULTS, Limits
from tallyplate.http.metrics import Metrics
from tallyplate.http.observe import Observed
from tallyplate.http.problems import MEDIA_TYPE, STATUS, Problem, encoded, problem, refused
from tallyplate.http.tracing import Spans
from tallyplate.installation import Installation
from tallyplate.pricing import PluginFailure
from tallyplate.reload import Current

if TYPE_CHECKING:
    from tallyplate.quote.keys import Keys

MAX_BODY: Final = DEFAULTS.body_bytes
"""Largest body in bytes of a call that takes one plate."""

log = structlog.get_logger("tallyplate.http")


def create_app(
    installation: Installation | Current,
    gate: Gate | None = None,
    quote_keys: "Keys | None" = None,
    limits: Limits = DEFAULTS,
    drain: Drain | None = None,
    spans: Spans | None = None,
    told_later: float = 0.0,
) -> Observed:
    """The whole service as one ASGI application, around an installation that stays or one that is watched.

    Without a gate everybody may do everything. `drain` tells it when its process is about to end. What is seen of
    requests is told to log and metrics within `told_later` seconds, by which it costs less.
    """
    current = Current(installation) if isinstance(installation, Installation) else installation
    metrics = Metrics(current)
    quoting = quotes.handlers(current, quote_keys, limits.plates)
    handlers = [*_handlers(current, metrics, limits), *quoting, *guard.handlers()]
    app = Litestar(
        handlers,
        before_request=guard.guard,
        openapi_config=None,
        exception_handlers={
            Refusal: _on_refusal,
            PluginFailure: _on_plugin_failure,
            HTTPException: _on_http_exception,
            Exception: _on_failure,
        },
        request_max_body_size=limits.body_bytes,
        logging_config=None,
    )
    guard.complete(route.path_format for route in app.routes)
    lanes = Lanes(limits, lambda lane: metrics.shed.labels(lane).inc())
    around = guarded(_headed(app), gate or Gate(), limits, lanes, drain or Drain())
    return Observed(around, metrics, frozenset(route.path for route in app.routes), spans, lanes, told_later)


def _headed(app: ASGIApp) -> ASGIApp:
    """HEAD is GET without its body, which the server leaves out."""

    async def headed(scope: Scope, receive: Receive, send: Send) -> None:
        if scope["type"] == ScopeType.HTTP and scope["method"] == "HEAD":
            scope["method"] = "GET"
        await app(scope, receive, send)

    return headed


def _handlers(current: Current, metrics: Metrics, limits: Limits) -> Sequence[ControllerRouterHandler]:
    """Every route; answers that never change while the service runs are made once."""
    document = openapi.document(current.installation)
    fixed = {
        "/v1/families": msgspec.json.encode(catalogue.families(current.installation, document)),
        "/health/live": b'{"status":"alive"}',
        "/openapi.json": openapi.text(document).encode(),
    }

    @post("/v1/prices", status_code=200)
    async def prices(request: AnyRequest) -> ASGIApp:
        """Price a plate."""
        body = await json_body(request)
        return whole(current.installation.price_json(body, form=guard.form(request)), JSON)

    @get(list(fixed), sync_to_thread=False)
    def show_fixed(request: AnyRequest) -> Response[bytes]:
        """What never changes while the service runs."""
        return conditional.revalidated(request, Response(fixed[request.url.path], media_type=JSON))

    @get("/v1/materials", sync_to_thread=False)
    def list_materials(request: AnyRequest) -> Response[bytes]:
        """Materials on offer today."""
        return conditional.revalidated(request, _once_in_force(lambda: catalogue.materials(current.installation)))

    @get("/v1/rate-cards", sync_to_thread=False)
    def list_rate_cards(request: AnyRequest) -> Response[bytes]:
        """Rate cards by date."""
        return conditional.revalidated(request, _json(catalogue.rate_cards(current.installation)))

    @get("/v1/shop-data", sync_to_thread=False)
    def list_shop_data(request: AnyRequest) -> Response[bytes]:
        """Shop data by date."""
        return conditional.revalidated(request, _json(catalogue.shop_data(current.installation)))

    @get("/health/ready", sync_to_thread=False)
    def ready(request: AnyRequest) -> Response[bytes]:
        """It can price."""
        return _once_in_force(lambda: status.ready(current, guard.caller(request)))

    @get("/metrics", sync_to_thread=False)
    def show_metrics() -> Response[bytes]:
        """Metrics in Prometheus' text format."""
        return Response(metrics.text(), media_type="text/plain; version=0.0.4")

    tradeoffs = [*effects.handlers(current), *comparisons.handlers(current), *findings.handlers(current)]
    tradeoffs += [*questions.handlers(current), *alternatives.handlers(current, limits.combinations)]
    tradeoffs += impacts.handlers(current, limits.orders)
    tradeoffs += [*batch.handlers(current, limits), *readings.handlers(current)]
    tradeoffs += contours.handlers(limits.drawing_bytes)
    tradeoffs += sets.handlers(current, limits.plates)
    holes = limits.document_holes
    papers = [*drawings.handlers(current, holes), *hole_schedules.handlers(current, holes)]
    catalogues = (list_materials, list_rate_cards, list_shop_data, *card_changes.handlers(current))
    shown = [*pages.handlers(), *desk.handlers()]
    return [prices, *tradeoffs, *papers, show_fixed, *catalogues, ready, show_metrics, *shown]


def whole(content: bytes, media_type: str, status: int = 200) -> ASGIApp:
    """An answer as it stands. The framework's own would take longer than all layers around it."""
    kind, size = (b"content-type", media_type.encode()), (b"content-length", b"%d" % len(content))

    async def answer(_: Scope, __: Receive, send: Send) -> None:
        await send({"type": "http.response.start", "status": status, "headers": [kind, size]})
        await send({"type": "http.response.body", "body": content, "more_body": False})

    return answer


def _once_in_force(answer: Callable[[], object]) -> Response[bytes]:
    """An answer that needs rates and shop data in force today."""
    try:
        return _json(answer())
    except Refusal as refusal:
        return _problem(problem("not-ready", refusal.faults[0].message))


def _json(answer: object) -> Response[bytes]:
    return Response(msgspec.json.encode(answer), media_type=JSON)


def _problem(what: Problem, headers: dict[str, str] | None = None) -> Response[bytes]:
    return Response(encoded(what), status_code=what.status, media_type=MEDIA_TYPE, headers=headers)


def _on_refusal(_: AnyRequest, refusal: Refusal) -> Response[bytes]:
    return _problem(refused(refusal), guard.challenge(refusal))


def _on_plugin_failure(_: AnyRequest, failure: PluginFailure) -> Response[bytes]:
    log.error("plugin failed", module=failure.module, exc_info=failure)
    return _problem(problem("plugin-failure", f"the {failure.kind} {failure.module!r} failed; no price was made"))


def _on_http_exception(request: AnyRequest, error: HTTPException) -> Response[bytes]:
    if isinstance(error, MethodNotAllowedException):
        allowed = {"allow": (error.headers or {}).get("allow", "GET, HEAD, OPTIONS")}
        return _problem(problem("method-not-allowed", f"{request.method} is not accepted here"), allowed)
    if error.status_code == STATUS["too-large"]:
        most = request.route_handler.resolve_request_max_body_size()
        return _problem(problem("too-large", f"accepted: at most {most} bytes"))
    if error.status_code == STATUS["not-found"]:
        return _problem(problem("not-found", "accepted: the addresses of /openapi.json"))
    return _on_failure(request, error)


def _on_failure(_: AnyRequest, error: Exception) -> Response[bytes]:
    log.error("failed", exc_info=error)
    return _problem(problem("internal-error", "the failure has been logged under the request id of this answer"))
