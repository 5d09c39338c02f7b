"""The cautions, in our own words, each with where it comes from.

A caution is spoken once before the work it belongs to, has to be acknowledged aloud, and is said again after a break.
"""

from __future__ import annotations

from dataclasses import dataclass

from assistant.setout.limits import AUTHORITY


@dataclass(frozen=True, slots=True)
class Caution:
    """One caution."""

    key: str
    spoken: str
    """What is said aloud; short enough to be listened to."""
    written: tuple[str, ...]
    """The fuller list for the sheet."""
    sources: tuple[str, ...]


NAILING = Caution(
    key="nailing",
    spoken=(
        "Caution. Eye protection and ear protection on. Keep your holding hand well clear of the nail. "
        "Finger off the trigger until you nail. Take the air off before you clear a jam."
    ),
    written=(
        "Wear safety glasses with side protection, and hearing protection.",
        "Use a full sequential trigger, and keep your finger off it until you nail.",
        "Keep the holding hand well clear of the nail point, or clamp the picket; about 300 mm (12 in), from memory.",
        "Knots, straps and edges turn nails, and nails pass through thin boards: stand out of their line.",
        "Take the air off before you clear a jam, move the nailer, hand it over or leave it.",
        "Never tie back or take off the contact tip.",
        "Follow the nailer's own instructions and your local rules for the site.",
    ),
    sources=(
        "DHHS (NIOSH) 2011-202 / OSHA 3459, nail gun safety guide, as quoted by an OSHA notice",
        "NC DOL guidance on nail guns; CPWR via NRCA",
        "29 CFR 1926.302(b); WAC 296-807-14040",
    ),
)

DIGGING = Caution(
    key="digging",
    spoken=(
        "Caution. Before you dig, have buried pipes and cables located and marked, and check the boundary. "
        "Dig by hand near anything marked."
    ),
    written=(
        "Before digging, have buried pipes and cables located and marked by the local service.",
        "Dig by hand near anything marked.",
        "Check the boundary, and what your local authority asks of a fence there.",
    ),
    sources=("common practice, no source",),
)

LIMITS = Caution(
    key="limits",
    spoken=AUTHORITY,
    written=(AUTHORITY,),
    sources=("CPSC Pub. 362: “Check with your local authorities”",),
)

CAUTIONS = {caution.key: caution for caution in (NAILING, DIGGING, LIMITS)}
