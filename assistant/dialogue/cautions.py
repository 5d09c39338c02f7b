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
    """What is said aloud, in one breath: at most 25 words."""
    short: str
    """What stands on the first page of the sheet."""
    written: tuple[str, ...]
    """The fuller list for the end of the sheet."""
    sources: tuple[str, ...]


NAILING = Caution(
    key="nailing",
    spoken=(
        "Caution. Glasses, earmuffs, dust mask. Sequential trigger. Hand clear of the nail. Nobody near, nothing behind it. "
        "Battery or air off before clearing or adjusting."
    ),
    short="Glasses, earmuffs, mask. Hand 300 mm (12 in) clear, nobody near or behind. Air or battery off before you clear a jam.",
    written=(
        "Wear safety glasses with side protection, and hearing protection.",
        "Use a full sequential trigger, and keep your finger off it until you nail.",
        "Keep the hand that holds the picket at least 300 mm (12 in) from where the nail goes in, or clamp the picket.",
        "Keep everybody else away, and look what is behind the board: a nail can pass through a thin one, or glance off.",
        "Knots, straps and edges turn nails: stand out of their line.",
        "Take the battery out or the air off before you clear a jam, adjust the nailer, move it, hand it over or leave it.",
        "Never tie back or take off the contact tip.",
        "Follow the nailer's own instructions and your local rules for the site.",
    ),
    sources=(
        "Trigger and distance of the hand: NIOSH, in the nail gun guide DHHS (NIOSH) 2011-202 / OSHA 3459 as quoted by an OSHA notice, and "
        "in the tips listed by Safety+Health magazine, “Avoid nail gun injuries”, article 12010",
        "Others kept away, disconnected before a jam is cleared: the same list; air: CPWR via NRCA; battery: common practice, no source",
        "Knots, thin boards, contact tip, side protection: NC DOL guidance on nail guns; CPWR via NRCA",
        "29 CFR 1926.302(b); WAC 296-807-14040",
    ),
)

CUTTING = Caution(
    key="cutting",
    spoken=(
        "Caution. When you cut: glasses, earmuffs, dust mask. Treated timber: cut it outdoors, wash before you eat, "
        "and never burn the offcuts."
    ),
    short="Outdoors, with glasses, earmuffs and mask. Never burn treated offcuts.",
    written=(
        "Wear safety glasses, hearing protection and a dust mask when you cut, and cut outdoors.",
        "Treated timber: wear gloves, wash your hands before you eat or smoke, and wash work clothes by themselves.",
        "Sweep up the sawdust of treated timber. Never burn it or the offcuts: the smoke and the ash are poisonous.",
        "Battery out or plug pulled before you change a blade.",
    ),
    sources=(
        "US EPA precautions for pressure-treated wood, as reprinted by a timber yard (1998) and in NAVFAC MO-312: mask, goggles, outdoors, "
        "washing, clothes, no burning",
        "Gloves, sawdust cleaned up: safe handling page of treatedwood.com; blade: common practice, no source",
    ),
)

DIGGING = Caution(
    key="digging",
    spoken=(
        "Caution. Before you dig, have buried pipes and cables located and marked, and check the boundary. "
        "Dig by hand near anything marked."
    ),
    short="Have buried pipes and cables located and marked first.",
    written=(
        "Before digging, have buried pipes and cables located and marked by the local service.",
        "Dig by hand near anything marked.",
        "Check the boundary, and what your local authority asks of a fence there.",
    ),
    sources=(
        "Marking first, hands only near the marks: US one-call (811) pages of towns and utilities; boundary: common practice, no source",
    ),
)

LIMITS = Caution(
    key="limits",
    spoken=AUTHORITY,
    short="Arithmetic only: check against your local rules.",
    written=(AUTHORITY,),
    sources=("CPSC Pub. 362: “Check with your local authorities”",),
)

CAUTIONS = {caution.key: caution for caution in (NAILING, CUTTING, DIGGING, LIMITS)}
