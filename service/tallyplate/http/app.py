"""The application: Litestar routes around an installation, refusals as problem details, everything observed."""

from collections.abc import Sequence
from datetime import UTC, datetime
from html import escape
from importlib.resources import files
from pathlib import Path
from typing import Any, Final

import msgspec
import structlog
from litestar import Litestar, Request, Response, get, post
from litestar.exceptions import HTTPException, MethodNotAllowedException
from litestar.response import Redirect
from litestar.static_files import create_static_files_router
from litestar.types import ASGIApp, ControllerRouterHandler, Receive, Scope, Send
from prometheus_client import generate_latest
from swagger_ui_bundle import swagger_ui_path

from tallyplate.contract import Refusal
from tallyplate.http import catalogue, openapi, status
from tallyplate.http.observe import Metrics, Observed
from tallyplate.http.problems import MEDIA_TYPE, STATUS, TITLES, Problem, encoded, problem, refused
from tallyplate.installation import Installation
from tallyplate.pricing import PluginFailure

MAX_BODY: Final = 64 * 1024
"""Largest body in bytes of a call that takes one plate."""

JSON: Final = "application/json"

_SECURITY: Final = {
    "content-security-policy": "default-src 'self'; img-src 'self' data:; style-src 'self' 'unsafe-inline'",
    "x-content-type-options": "nosniff",
}

log = structlog.get_logger("tallyplate.http")

AnyRequest = Request[Any, Any, Any]


def create_app(installation: Installation) -> ASGIApp:
    """The whole service as one ASGI application."""
    metrics = Metrics()
    handlers = _handlers(installation, metrics)
    app = Litestar(
        handlers,
        openapi_config=None,
        exception_handlers={
            Refusal: _on_refusal,
            PluginFailure: _on_plugin_failure,
            HTTPException: _on_http_exception,
            Exception: _on_failure,
        },
        request_max_body_size=MAX_BODY,
        logging_config=None,
    )
    return Observed(_headed(app), metrics, frozenset(route.path for route in app.routes))


def _headed(app: ASGIApp) -> ASGIApp:
    """HEAD is GET without its body, which the server leaves out."""

    async def headed(scope: Scope, receive: Receive, send: Send) -> None:
        if scope["type"] == "http" and scope["method"] == "HEAD":
            scope = {**scope, "method": "GET"}
        await app(scope, receive, send)

    return headed


def _handlers(installation: Installation, metrics: Metrics) -> Sequence[ControllerRouterHandler]:
    document = openapi.text(installation).encode()
    families = msgspec.json.encode(catalogue.families(installation, openapi.document(installation)))
    page = files("tallyplate.http").joinpath("docs.html").read_text(encoding="utf-8")

    @post("/v1/prices", status_code=200)
    async def prices(request: AnyRequest) -> Response[bytes]:
        """Price a plate."""
        if request.content_type[0] != JSON:
            found = request.content_type[0] or "none"
            return _problem(problem("not-json", f"the body's media type is {found[:80]!r}; accepted: {JSON}"))
        return Response(installation.price_json(await request.body()), media_type=JSON)

    @get("/v1/families", sync_to_thread=False)
    def list_families() -> Response[bytes]:
        """Families on offer."""
        return Response(families, media_type=JSON)

    @get("/v1/materials", sync_to_thread=False)
    def list_materials() -> Response[bytes]:
        """Materials on offer today."""
        return _json(catalogue.materials(installation.in_force(datetime.now(UTC))[1]))

    @get("/v1/rate-cards", sync_to_thread=False)
    def list_rate_cards() -> Response[bytes]:
        """Rate cards by date."""
        return _json(catalogue.rate_cards(installation))

    @get("/v1/shop-data", sync_to_thread=False)
    def list_shop_data() -> Response[bytes]:
        """Shop data by date."""
        return _json(catalogue.shop_data(installation))

    @get("/health/live", sync_to_thread=False)
    def live() -> Response[bytes]:
        """The process answers."""
        return _json({"status": "alive"})

    @get("/health/ready", sync_to_thread=False)
    def ready() -> Response[bytes]:
        """It can price."""
        return _json(status.ready(installation))

    @get("/metrics", sync_to_thread=False)
    def show_metrics() -> Response[bytes]:
        """Metrics in Prometheus' text format."""
        return Response(generate_latest(metrics.registry), media_type="text/plain; version=0.0.4; charset=utf-8")

    @get("/openapi.json", sync_to_thread=False)
    def show_document() -> Response[bytes]:
        """The OpenAPI document."""
        return Response(document, media_type=JSON)

    @get("/docs", sync_to_thread=False)
    def docs() -> Response[str]:
        """The documentation page, from files of our own origin only."""
        return Response(page, media_type="text/html; charset=utf-8", headers=_SECURITY)

    @get("/", sync_to_thread=False)
    def root() -> Redirect:
        """To the documentation."""
        return Redirect("/docs")

    @get("/problems/{code:str}", sync_to_thread=False)
    def explain(code: str) -> Response[str]:
        """What a kind of problem means."""
        if code not in TITLES:
            raise HTTPException(status_code=404)
        body = f"<!doctype html><title>{escape(TITLES[code])}</title><h1>{escape(TITLES[code])}</h1><p>HTTP {STATUS[code]:d}."
        return Response(body, media_type="text/html; charset=utf-8", headers=_SECURITY)

    assets = create_static_files_router(path="/docs/assets", directories=[Path(swagger_ui_path)], html_mode=False)
    own = create_static_files_router(
        path="/docs/own", directories=[Path(str(files("tallyplate.http") / "static"))], html_mode=False
    )
    return [
        prices, list_families, list_materials, list_rate_cards, list_shop_data, live, ready, show_metrics,
        show_document, docs, root, explain, assets, own,
    ]  # fmt: skip


def _json(answer: Any) -> Response[bytes]:
    return Response(msgspec.json.encode(answer), media_type=JSON)


def _problem(what: Problem, headers: dict[str, str] | None = None) -> Response[bytes]:
    return Response(encoded(what), status_code=what.status, media_type=MEDIA_TYPE, headers=headers)


def _on_refusal(_: AnyRequest, refusal: Refusal) -> Response[bytes]:
    return _problem(refused(refusal))


def _on_plugin_failure(_: AnyRequest, failure: PluginFailure) -> Response[bytes]:
    log.error("plugin failed", module=failure.module, exc_info=failure)
    return _problem(problem("plugin-failure", f"the cost module {failure.module!r} failed; no price was made"))


def _on_http_exception(request: AnyRequest, error: HTTPException) -> Response[bytes]:
    if isinstance(error, MethodNotAllowedException):
        allowed = {"allow": (error.headers or {}).get("Allow", "")}
        return _problem(problem("method-not-allowed", f"{request.method} is not accepted here"), allowed)
    if error.status_code == STATUS["too-large"]:
        return _problem(problem("too-large", f"accepted: at most {MAX_BODY} bytes"))
    if error.status_code == STATUS["not-found"]:
        return _problem(problem("not-found", "accepted: the addresses of /openapi.json"))
    return _on_failure(request, error)


def _on_failure(_: AnyRequest, error: Exception) -> Response[bytes]:
    log.error("failed", exc_info=error)
    return _problem(problem("internal-error", "the failure has been logged under the request id of this answer"))
