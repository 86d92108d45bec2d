"""`POST /v1/quotes` and its verification, and the public key set that anyone verifies quotes with.

Quotes are signed with keys that the service is started with; without them each of these calls says so.
"""

import asyncio
from datetime import UTC, datetime
from functools import partial
from typing import TYPE_CHECKING, Any, Final

import msgspec
import structlog
from litestar import Response, get, post
from litestar.types import ControllerRouterHandler
from msgspec import UNSET, Struct, UnsetType
from msgspec.structs import replace

from tallyplate.access.scopes import Caller, Scope
from tallyplate.answers import PriceAnswer
from tallyplate.contract import Fault, Refusal, refuse, together
from tallyplate.decoding import convert, length_hook
from tallyplate.documents.quote_options import SheetOptions
from tallyplate.http import conditional, guard
from tallyplate.http.bodies import JSON, AnyRequest, json_body
from tallyplate.http.negotiation import negotiated
from tallyplate.http.quote_documents import document, offered
from tallyplate.inquiry import decode
from tallyplate.installation import Form, Installation
from tallyplate.quote.content import Quote
from tallyplate.quote.particulars import Particulars
from tallyplate.quoting import KEY, Quoted, TodaysPrice, beside_today, quote
from tallyplate.reload import Current
from tallyplate.sets.answers import SetAnswer
from tallyplate.sets.inquiry import MOST_PLATES

if TYPE_CHECKING:
    from tallyplate.quote.keys import Keys

KEY_SET: Final = "/.well-known/jwks.json"
SHEET: Final = "sheet"
"""The member of a request that says how a quote shall look as a document."""

log = structlog.get_logger("tallyplate.http.quotes")


class NoQuoteKeys(Refusal):
    """A service that was started without keys to sign quotes with."""

    code = "no-quote-keys"


class SettledPrice(Struct, frozen=True):
    """A price that somebody settled on, with what the quote keeps to itself."""

    total: str
    by: str
    why: str


class QuoteAnswer(Struct, frozen=True, omit_defaults=True):
    """A quote, and the token that binds: the same content, signed.

    A caller with the scope `cost` also sees how the price came about, and one who settled it by hand sees that again.
    """

    token: str
    key_id: str
    quote: Quote
    price: PriceAnswer | UnsetType = UNSET
    set_price: SetAnswer | UnsetType = UNSET
    override: SettledPrice | UnsetType = UNSET


class SignedQuote(Struct, frozen=True):
    """A quote with its token, what only the house sees of it, and how it shall look."""

    answer: QuoteAnswer
    quoted: Quoted
    sheet: SheetOptions


class VerificationRequest(Struct, frozen=True, forbid_unknown_fields=True):
    """A quote as it was signed."""

    token: str


class VerificationAnswer(Struct, frozen=True):
    """Whether a token is a quote that was signed here, and whether it still holds; an expired quote is genuine.

    `quote` and `today` are there where it is genuine.
    """

    genuine: bool
    valid: bool
    state: str
    reason: str
    key_id: str | UnsetType = UNSET
    quote: Quote | UnsetType = UNSET
    today: TodaysPrice | UnsetType = UNSET


def request_type(
    price_request: type[Struct], name: str = "QuoteRequest", what: str = "A price request"
) -> type[Struct]:
    """A price request, or a set, with what is said of its quote, for its schema."""
    said = {"__doc__": f"{what}, and what a quote says beside it."}
    fields: list[Any] = [(KEY, Particulars), (SHEET, SheetOptions, SheetOptions())]
    return msgspec.defstruct(
        name, fields, bases=(price_request,), namespace=said, kw_only=True, forbid_unknown_fields=True
    )


def handlers(current: Current, keys: "Keys | None", most_plates: int = MOST_PLATES) -> list[ControllerRouterHandler]:
    """The routes, around the installation in force when a request comes."""
    drawing = asyncio.Lock()
    formats = offered() if keys else (JSON,)

    @post("/v1/quotes", status_code=200)
    async def quotes(request: AnyRequest) -> Response[bytes]:
        """Quote a plate or a set."""
        body, signing = await json_body(request), _signing(keys)
        media_type = negotiated(request.headers.getall("accept", []), formats)
        who, now = guard.caller(request), datetime.now(UTC)
        # In a thread of its own, so that the service goes on answering meanwhile: a set takes as long as its plates.
        made = await asyncio.to_thread(signed_quote, body, current.installation, who, signing, now, most_plates)
        if media_type == JSON:
            content = msgspec.json.encode(made.answer)
            conditional.hold(request, tag := conditional.tag_of(content))
            return Response(content, media_type=JSON, headers={"vary": "Accept", "etag": tag})
        # In a thread of its own and one at a time, so that the service goes on answering meanwhile.
        async with drawing:
            found = await asyncio.to_thread(
                document, made.quoted, made.answer.token, media_type, made.sheet, current.installation.modules
            )
        conditional.hold(request, found.headers["etag"])
        return Response(found.content, media_type=found.media_type, headers=found.headers)

    @post("/v1/quotes/verification", status_code=200)
    async def verification(request: AnyRequest) -> Response[bytes]:
        """Say whether a quote is genuine and still valid."""
        asked = convert(decode(await json_body(request)), VerificationRequest, length_hook)
        answer = verdict(asked.token, current.installation, _present(keys), datetime.now(UTC))
        return Response(msgspec.json.encode(answer), media_type=JSON)

    @get(KEY_SET, sync_to_thread=False)
    def key_set(request: AnyRequest) -> Response[bytes]:
        """The public keys, in use and retired."""
        content = msgspec.json.encode(_present(keys).published)
        return conditional.revalidated(request, Response(content, media_type="application/jwk-set+json"))

    return [quotes, verification, key_set]


def _present(keys: "Keys | None") -> "Keys":
    if keys is None:
        message = "this service signs no quotes: start it with --quote-keys FILE, which `tallyplate quote key` makes"
        raise NoQuoteKeys(Fault("", message))
    return keys


def _signing(keys: "Keys | None") -> "Keys":
    present = _present(keys)
    if present.signing is None:
        message = "the key set of this service holds no private key, so that it verifies quotes and signs none"
        raise NoQuoteKeys(Fault("", message))
    return present


def signed_quote(
    body: bytes,
    installation: Installation,
    caller: Caller,
    keys: "Keys",
    now: datetime,
    most_plates: int = MOST_PLATES,
) -> SignedQuote:
    """The quote of a request, signed; an override is logged with who and why, which the quote does not say."""
    request = decode(body)
    form = guard.form_for(caller)
    wanted: object = {}
    if isinstance(request, dict):
        wanted = request.pop(SHEET, {})
    settles = caller.may(Scope.OVERRIDE)
    quoting = partial(quote, may_settle=settles, most_plates=most_plates)
    made, sheet = together(
        partial(quoting, request, installation, form, installation.today(now)),
        partial(convert, wanted, SheetOptions, length_hook, f"/{SHEET}"),
    )
    if form is Form.OUTSIDE and sheet.form == Form.INSIDE.value:
        raise refuse(f"/{SHEET}/form", "asks for the scope cost; accepted: outside")
    token, kid = _signed(made, keys), keys.signing or ""
    settled: SettledPrice | UnsetType = UNSET
    if told := made.said.override:
        settled = SettledPrice(made.quote.total, told.by, told.why)
        log.info(
            "price settled", quote=made.quote.number, total=settled.total, by=told.by, why=told.why, key=caller.name
        )
    answer = QuoteAnswer(token, kid, made.quote, override=settled)
    if form is Form.INSIDE:
        kind = "set_price" if isinstance(made.price, SetAnswer) else "price"
        answer = replace(answer, **{kind: made.price})
    return SignedQuote(answer, made, sheet)


def _signed(made: Quoted, keys: "Keys") -> str:
    from tallyplate.quote.signing import MOST, signed  # noqa: PLC0415 - its library may be absent where no keys are

    token = signed(made.quote, keys)
    if len(token) > MOST:
        raise refuse("", f"the quote would take {len(token)} characters; accepted: at most {MOST}")
    return token


def verdict(token: str, installation: Installation, keys: "Keys", now: datetime) -> VerificationAnswer:
    """What is known of a token, and what the same plate costs today where it is genuine."""
    from tallyplate.quote.verification import State, verified  # noqa: PLC0415 - as above

    found = verified(token, keys, now)
    return VerificationAnswer(
        genuine=found.genuine,
        valid=found.state is State.VALID,
        state=found.state.value,
        reason=found.reason,
        key_id=found.key_id or UNSET,
        quote=found.quote or UNSET,
        today=beside_today(found.quote, installation, installation.today(now)) if found.quote else UNSET,
    )
