"""A quote as an OASIS UBL 2.1 Quotation: what an ERP imports, with the signed quote inside it.

Amounts keep UBL's sums: lines less allowances plus charges is the amount without tax, and with tax it is payable. The
price is stated for the quoted quantity, so that price x quantity is the line's amount to the cent. Elements stand in
the order of the published schema, which the tests hold them to.
"""

from base64 import b64encode
from decimal import Decimal
from typing import Any, Final
from xml.etree.ElementTree import Element, SubElement, indent, register_namespace, tostring

from tallyplate.documents.quote_answers import answers
from tallyplate.documents.quote_lines import UNITS
from tallyplate.documents.texts import printable
from tallyplate.quote.content import Quote, QuoteLine
from tallyplate.rates.quoting import Party

OASIS: Final = "urn:oasis:names:specification:ubl:schema:xsd:"
ROOT: Final = f"{OASIS}Quotation-2"
SPACES: Final = {
    "cac": f"{OASIS}CommonAggregateComponents-2",
    "cbc": f"{OASIS}CommonBasicComponents-2",
}
KILOGRAM: Final = "KGM"
DAY: Final = "DAY"
"""UN/ECE Recommendation 20; DAY from memory."""

JOSE: Final = "application/jose"
"""The media type of a compact JSON Web Signature (RFC 7515, section 9.2.1)."""


def quote_ubl(quote: Quote, token: str) -> bytes:
    """The quotation as XML in UTF-8."""
    root = Element(f"{{{ROOT}}}Quotation")
    _add(root, "cbc:UBLVersionID", "2.1")
    _add(root, "cbc:ID", quote.number)
    _add(root, "cbc:CopyIndicator", "false")
    _add(root, "cbc:IssueDate", quote.issued_on.isoformat())
    for note in filter(None, (quote.note, *(finding.message for finding in quote.findings))):
        _add(root, "cbc:Note", str(note))
    _add(root, "cbc:PricingCurrencyCode", quote.currency)
    _add(root, "cbc:LineCountNumeric", str(len(quote.lines) if quote.plates else 1))
    period = _add(root, "cac:ValidityPeriod")
    _add(period, "cbc:StartDate", quote.issued_on.isoformat())
    _add(period, "cbc:EndDate", quote.valid_until.isoformat())
    if quote.reference:
        _add(_add(root, "cac:RequestForQuotationDocumentReference"), "cbc:ID", quote.reference)
    _documents(root, quote, token)
    _party(_add(_add(root, "cac:SellerSupplierParty"), "cac:Party"), quote.seller)
    buyer = _add(root, "cac:BuyerCustomerParty")
    if quote.customer.account:
        _add(buyer, "cbc:SupplierAssignedAccountID", quote.customer.account)
    _party(_add(buyer, "cac:Party"), quote.customer)
    _delivery(root, quote)
    terms = _add(root, "cac:TransactionConditions")
    for clause in (quote.terms.payment, *quote.terms.clauses):
        _add(terms, "cbc:Description", clause)
    _money(root, quote)
    _lines(root, quote)
    for prefix, space in SPACES.items():
        register_namespace(prefix, space)
    register_namespace("", ROOT)
    indent(root)
    made: bytes = tostring(root, "utf-8", xml_declaration=True)
    return made + b"\n"


def _add(parent: Element, name: str, text: str = "", **attributes: str) -> Element:
    """An element of one of UBL's namespaces; no text can break the document."""
    prefix, _, local = name.partition(":")
    made = SubElement(parent, f"{{{SPACES[prefix]}}}{local}", attributes)
    if text:
        made.text = printable(text)
    return made


def _documents(root: Element, quote: Quote, token: str) -> None:
    """The signed quote itself, and the one that it replaces."""
    signed = _add(root, "cac:AdditionalDocumentReference")
    _add(signed, "cbc:ID", quote.number)
    _add(signed, "cbc:DocumentType", "Signed quote")
    content = b64encode(token.encode()).decode()
    attachment = _add(signed, "cac:Attachment")
    name = f"{quote.number}.jws"
    _add(attachment, "cbc:EmbeddedDocumentBinaryObject", content, mimeCode=JOSE, filename=name)
    if quote.replaces:
        replaced = _add(root, "cac:AdditionalDocumentReference")
        _add(replaced, "cbc:ID", quote.replaces)
        _add(replaced, "cbc:DocumentType", "Replaced quotation")


def _party(made: Element, party: Party) -> None:
    _add(_add(made, "cac:PartyName"), "cbc:Name", party.name)
    if party.address or party.country:
        address = _add(made, "cac:PostalAddress")
        for line in party.address:
            _add(_add(address, "cac:AddressLine"), "cbc:Line", line)
        if party.country:
            _add(_add(address, "cac:Country"), "cbc:IdentificationCode", party.country)
    if party.tax_id:
        scheme = _add(made, "cac:PartyTaxScheme")
        _add(scheme, "cbc:CompanyID", party.tax_id)
        _add(scheme, "cac:TaxScheme")
    said = {"Name": party.attention, "Telephone": party.phone, "ElectronicMail": party.email}
    if any(said.values()):
        contact = _add(made, "cac:Contact")
        for name, text in said.items():
            if text:
                _add(contact, f"cbc:{name}", text)


def _delivery(root: Element, quote: Quote) -> None:
    delivery = _add(root, "cac:Delivery")
    period = _add(delivery, "cac:EstimatedDeliveryPeriod")
    _add(period, "cbc:EndDate", quote.dispatch.ready_on.isoformat())
    _add(period, "cbc:DurationMeasure", str(quote.dispatch.working_days), unitCode=DAY)
    _add(period, "cbc:Description", "Working days from the order to dispatch")
    shipment = _add(delivery, "cac:Shipment")
    _add(shipment, "cbc:ID", quote.number)
    _add(shipment, "cbc:NetWeightMeasure", quote.dispatch.mass_total, unitCode=KILOGRAM)
    _add(_add(root, "cac:DeliveryTerms"), "cbc:SpecialTerms", quote.terms.delivery)


def _amount(parent: Element, name: str, amount: Decimal | str, quote: Quote) -> None:
    _add(parent, f"cbc:{name}", str(amount), currencyID=quote.currency)


def _money(root: Element, quote: Quote) -> None:
    """Allowances and charges, tax as it was stated, and the sums."""
    changes = [(Decimal(line.amount), _reason(line)) for line in quote.adjustments]
    if quote.freight:
        changes.append((Decimal(quote.freight.amount), f"Freight: {quote.freight.words}"))
    for amount, reason in changes:
        made = _add(root, "cac:AllowanceCharge")
        _add(made, "cbc:ChargeIndicator", "true" if amount >= 0 else "false")
        _add(made, "cbc:AllowanceChargeReason", reason)
        _amount(made, "Amount", abs(amount), quote)
    tax = Decimal(quote.tax.amount) if quote.tax else Decimal()
    if quote.tax:
        total = _add(root, "cac:TaxTotal")
        _amount(total, "TaxAmount", tax, quote)
        part = _add(total, "cac:TaxSubtotal")
        _amount(part, "TaxAmount", tax, quote)
        category = _add(part, "cac:TaxCategory")
        _add(category, "cbc:Name", quote.tax.words)
        _add(category, "cac:TaxScheme")
    nothing = Decimal(quote.list_total) * 0
    sums = _add(root, "cac:QuotedMonetaryTotal")
    _amount(sums, "LineExtensionAmount", quote.list_total, quote)
    _amount(sums, "TaxExclusiveAmount", Decimal(quote.payable) - tax, quote)
    _amount(sums, "TaxInclusiveAmount", quote.payable, quote)
    _amount(sums, "AllowanceTotalAmount", -sum((amount for amount, _ in changes if amount < 0), nothing), quote)
    _amount(sums, "ChargeTotalAmount", sum((amount for amount, _ in changes if amount >= 0), nothing), quote)
    _amount(sums, "PayableAmount", quote.payable, quote)


def _reason(line: QuoteLine) -> str:
    return f"{line.item}: {line.basis}" if line.basis else line.item


def _lines(root: Element, quote: Quote) -> None:
    """The plate, or each plate of a set and then what its services sell for."""
    if not quote.plates:
        _line(root, quote)
        return
    plates = [QuoteLine(one.title, one.quantity, "plate", one.amount) for one in quote.plates]
    items = [
        _item(_quotation_line(root, number), "LineItem", str(number), line, quote)[0]
        for number, line in enumerate((*plates, *quote.lines[len(plates) :]), start=1)
    ]
    for item, asked in zip(items, quote.request["plates"], strict=False):
        _answers(item, asked["plate"])


def _quotation_line(root: Element, number: int) -> Element:
    made = _add(root, "cac:QuotationLine")
    _add(made, "cbc:ID", str(number))
    return made


def _answers(item: Element, plate: Any) -> None:  # noqa: ANN401 - JSON
    for name, value in answers(plate):
        one = _add(item, "cac:AdditionalItemProperty")
        _add(one, "cbc:Name", name)
        _add(one, "cbc:Value", value)


def _line(root: Element, quote: Quote) -> None:
    """The plate, with what each kind of work on it sells for, and with every answer of its spec."""
    made = _quotation_line(root, 1)
    whole = QuoteLine(quote.title, quote.quantity, "plate", quote.list_total)
    item, line_item = _item(made, "LineItem", "1", whole, quote)
    _answers(item, quote.request["plate"])
    for number, line in enumerate(quote.lines, start=1):
        _item(line_item, "SubLineItem", f"1.{number}", line, quote)
    for number, other in enumerate(quote.quantity_prices, start=1):
        alternative = QuoteLine(quote.title, other.quantity, "plate", other.total)
        _item(made, "AlternativeLineItem", f"1-{number}", alternative, quote)


def _item(parent: Element, kind: str, number: str, said: QuoteLine, quote: Quote) -> tuple[Element, Element]:
    """The item of a line item, and the line item."""
    line = _add(parent, f"cac:{kind}")
    _add(line, "cbc:ID", number)
    _add(line, "cbc:Quantity", str(said.quantity), unitCode=UNITS[said.unit])
    _amount(line, "LineExtensionAmount", said.amount, quote)
    price = _add(line, "cac:Price")
    _amount(price, "PriceAmount", said.amount, quote)
    _add(price, "cbc:BaseQuantity", str(said.quantity), unitCode=UNITS[said.unit])
    item = _add(line, "cac:Item")
    _add(item, "cbc:Name", said.item)
    return item, line
