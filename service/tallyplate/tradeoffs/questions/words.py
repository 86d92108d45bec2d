"""What is read out to a customer: the question for a field, why it matters, and its answers in words."""

import re
from collections.abc import Iterable, Mapping
from typing import Final

from msgspec import inspect as kinds

from tallyplate.contract import Fault, PlateSpec, Question, ShopData
from tallyplate.tradeoffs.choices import Value
from tallyplate.tradeoffs.questions.fields import Asked, field
from tallyplate.units import listed

ASKED: Final[Mapping[str, tuple[str, str]]] = {
    "family": (
        "What kind of plate is it to be?",
        "The kind decides what is machined, which sizes are asked for, and on which machine it can stand.",
    ),
    "quantity": (
        "How many plates do you need?",
        "Programming and setting up are paid once an order, so that each plate gets cheaper the more there are.",
    ),
    "need_by": (
        "When do you need them at the latest?",
        "Material, work and finish take their days; an earlier date cannot be promised as it stands.",
    ),
    "budget": (
        "What may the order cost at most?",
        "Within a budget the service can say which changes would meet it.",
    ),
    "material": (
        "Soft metal or hard metal: which material shall it be?",
        "Soft metal is light and quick to machine and gets hardened bushings; hard metal is bored directly and lasts.",
    ),
    "finish": (
        "Which finish shall the plate have?",
        "A finish protects the plate, costs by its surface and takes days more.",
    ),
    "position_tolerance": (
        "How closely must the holes lie to their places, over the whole plate?",
        "A close tolerance means boring, more probing, and perhaps grinding.",
    ),
    "flatness": (
        "How flat must the large faces be?",
        "Below what milling holds, the faces are ground.",
    ),
    "thickness": (
        "How thick shall it be?",
        "A thick plate stays flat and leaves more thread; every hole gets deeper and the plate heavier.",
    ),
    "pattern/arrangement": (
        "How shall locating and clamping share the holes?",
        "Holes that do both cost most and hold work anywhere; separate ones keep each simple.",
    ),
    "pitch": (
        "How far apart are the holes, centre to centre?",
        "Half the pitch is four times the holes; too close, and no solid is left between them.",
    ),
    "locating/pitch": (
        "How far apart are the locating holes, centre to centre?",
        "Half the pitch is four times the holes; too close, and no solid is left between them.",
    ),
    "tapped/pitch": (
        "How far apart are the tapped holes, centre to centre?",
        "Half the pitch is four times the holes; too close, and no solid is left between them.",
    ),
    "laid_from": (
        "Whole pitches leave something over at the far edges: shall it lie there, or be shared by both sides?",
        "A lattice that is not where the fixtures expect it does not take them; the price changes little.",
    ),
    "pattern/screw": (
        "Which screw clamps the work?",
        "It sets the size of every hole and bushing, and how close together they can lie.",
    ),
    "bushings": (
        "Shall the close-tolerance holes get hardened bushings?",
        "Bushings keep soft metal from wearing, and are bought and pressed in one by one.",
    ),
    "thread_inserts": (
        "Shall the tapped holes get wire thread inserts?",
        "Inserts spare threads that are used every day, and are bought and fitted one by one.",
    ),
    "mounting/surface": (
        "How does the plate sit on the machine: on T-slots, on a tapped grid or tombstone face, or on neither?",
        "It decides where the holding screws and locators go, and which holes of the pattern make way for them.",
    ),
    "slot_width": (
        "How wide are the slots of the machine table?",
        "Slot width and screw belong together, and keys are made to the slot.",
    ),
    "slot_spacing": (
        "How far apart are the slots of the machine table, centre to centre?",
        "The holding screws must land on slots.",
    ),
    "grid_pitch": (
        "How far apart are the tapped holes of the machine or tombstone, centre to centre?",
        "The holding screws and pins must land on that grid.",
    ),
    "locate": (
        "What locates it on the machine?",
        "Fixed pins cost little, retractable ones let the plate slide on, keys follow a slot.",
    ),
    "mounting/screw": (
        "Which screws hold the plate to the machine?",
        "They must fit the table and leave room beside the pattern; too few or too small can let go.",
    ),
    "lifting_screw": (
        "Which thread shall the lifting holes have?",
        "Eyes must carry the plate's weight with room to spare; a larger thread carries more. Lift by local rules.",
    ),
    "screw": ("Which screw shall it be?", "It sets the size of its holes."),
    "marking/edges": (
        "Along which edges shall rows and columns be marked?",
        "Marks name every hole for the setter; each character is engraved.",
    ),
    "marking/text_side": (
        "Along which side shall the text stand?",
        "It keeps clear of the coordinates where a side has none, and is best read from where the setter stands.",
    ),
    "services/material_certificate": (
        "Do you need a certificate of the material, and of which type?",
        "The mill makes it out with the metal; it can hardly be had afterwards.",
    ),
    "services/inspection_report": (
        "Do you need a report of what was measured?",
        "Once the plate has left, nobody can measure it here; a report of every hole takes time for each.",
    ),
    "services/packing": (
        "Does the order leave the country?",
        "Customs of most countries turn back crates of untreated timber.",
    ),
    "services/rush": (
        "Is it needed sooner than in its turn?",
        "The shop keeps hours for orders in a hurry; going ahead of others adds a share to the price of all work.",
    ),
}
"""Question and reason by the last steps of a pointer; what stands under more of its steps is asked."""

SAID: Final[Mapping[str, str]] = {
    "arrangement/alternating": "combination and tapped holes take turns",
    "arrangement/combination": "every hole both locates and clamps",
    "laid_from/margin": "from the lower left margin; what is left over lies at the far edges",
    "laid_from/shared": "what is left over is shared by both sides",
    "laid_from/centre": "with a hole on the centre",
    "laid_from/table": "over the slots or tapped holes of the machine table",
    "arrangement/separate": "locating holes and tapped holes each have a lattice of their own",
    "surface/t_slots": "on a table with T-slots",
    "surface/tapped_grid": "on a grid of tapped holes, or a tombstone face",
    "surface/none": "on nothing that it must fit",
    "locate/pins": "a round pin and a relieved pin",
    "locate/retractable_pins": "two retractable pins",
    "locate/keys": "keys in the slot",
    "locate/none": "nothing",
    "made_from/stock": "cut from stock",
    "made_from/casting": "cast to shape",
    "made_from/cheaper": "whichever costs less",
    "material_certificate/none": "none",
    "material_certificate/2.1": "EN 10204 2.1, the mill declares that the metal is as ordered",
    "material_certificate/2.2": "EN 10204 2.2, with test results that need not be of this batch",
    "material_certificate/3.1": "EN 10204 3.1, with test results of this batch",
    "inspection_report/none": "none",
    "inspection_report/summary": "a sheet a plate with what was measured in the making",
    "inspection_report/every_hole": "every hole of the pattern measured and entered",
    "packing/standard": "no, crates as usual",
    "packing/export": "yes, crates of heat-treated timber (ISPM 15), plates sealed in film",
    "rush/False": "no, in its turn",
    "rush/True": "yes, ahead of others",
}
"""Answers in words, by the field's name and the value."""


def asked(pointer: str, of: Asked, own: Iterable[Question] = ()) -> tuple[str, str]:
    """The question for a field, and why it matters: as its family words it, as the trade does, or by its title."""
    for question in own:
        if question.pointer == pointer:
            return question.ask, question.why
    steps = [step for step in pointer.split("/")[1:] if not step.isdigit()]
    for first in range(len(steps)):
        known = ASKED.get("/".join(steps[first:]))
        if known:
            return known
    switch = isinstance(of.kind, kinds.BoolType)
    ask = f"{of.title}: yes or no?" if switch else f"What shall the {lowered(of.title)} be?"
    return ask, of.description or "It can change what is made, and so the price."


def said(name: str, value: Value, shop: ShopData) -> str:
    """An answer in words."""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, tuple):
        return listed([str(one).replace("_", " ") for one in value]) or "none"
    if name == "material" and value in shop.materials:
        material = shop.materials[str(value)]
        manner = "soft metal" if material.bushed else "for light duty" if material.group == "plastic" else "hard metal"
        return f"{material.title}, {manner}"
    if name == "finish" and value in shop.finishes:
        return shop.finishes[str(value)].title
    return SAID.get(f"{name}/{value}", str(value).replace("_", " "))


def lowered(title: str) -> str:
    """A title inside a sentence."""
    return title[:1].lower() + title[1:]


PREDICATES: Final = frozenset(("has", "have", "is", "are", "must", "may", "can", "do", "does"))
"""What a message begins with that is said of its field."""

UNKNOWN: Final = "unknown field"


def reasons(faults: Iterable[Fault], spec: type[PlateSpec], shop: ShopData) -> str:
    """Why something is refused, to be read out: each field by its title, and materials by theirs."""
    told = "; ".join(dict.fromkeys(_reason(fault, spec) for fault in faults))
    names = "|".join(sorted(map(re.escape, shop.materials), key=len, reverse=True))
    return re.sub(rf"(?<![\w-])({names})(?![\w-])", lambda found: shop.materials[found[0]].title, told)


def _reason(fault: Fault, spec: type[PlateSpec]) -> str:
    of = field(spec, fault.pointer)
    title = lowered(of.title) if of else fault.pointer.rpartition("/")[2].replace("_", " ")
    if fault.message.startswith(UNKNOWN):
        return f"it has no {title}"
    said_of_it = fault.message.split(" ", 1)[0] in PREDICATES
    return f"the {title} {fault.message}" if said_of_it else f"{title}: {fault.message}"
