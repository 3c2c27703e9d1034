"""What is said of a clash: every place, how near, what is asked for, and what would clear it."""

from collections.abc import Sequence
from math import ceil

from pipemodel.bending.schedule import SolvedRun
from pipemodel.checks.contacts import TOUCH_MM
from pipemodel.checks.findings import Contact, Hole
from pipemodel.checks.place_words import near_words, where_words
from pipemodel.geometry.vectors import Vec3, length

PLACES_SAID = 6
"""How many places a sentence names; the record has them all."""
_WAYS = (("east", "west"), ("north", "south"), ("up", "down"))


def clash_words(solved: SolvedRun, against: str, contacts: Sequence[Contact]) -> str:
    """Return what is wrong between a run and a thing or another run, for at least one place."""
    if len(contacts) == 1:
        (only,) = contacts
        if only.hole is not None:
            head = f"run {solved.name!r} passes right through {against!r}, {where_words(solved, only.at_mm)}"
            return f"{head}: {_hole_words(only, only.hole)}; or {_cure_words(only)}"
        where = where_words(solved, only.at_mm)
        if only.distance_mm < -TOUCH_MM:
            overlap = near_words(-only.distance_mm)
            head = f"run {solved.name!r} clashes with {against!r}: they overlap by {overlap}, {where}"
        else:
            near = near_words(only.distance_mm, only.required_mm)
            head = f"run {solved.name!r} comes within {near} of {against!r}, {where}"
        return f"{head}{asked_words(only)}; {_cure_words(only)}"
    verb = "clashes with" if any(c.distance_mm < -TOUCH_MM for c in contacts) else "comes too near to"
    said = [f"({k}) {_place_words(solved, contact)}" for k, contact in enumerate(contacts[:PLACES_SAID], 1)]
    if len(contacts) > PLACES_SAID:
        said.append(f"and {len(contacts) - PLACES_SAID} more")
    return f"run {solved.name!r} {verb} {against!r} in {len(contacts)} places: " + "; ".join(said)


def asked_words(contact: Contact) -> str:
    """Return what is asked for and how much of it is insulation: "; 18 mm is asked for, 13 mm of it insulation"."""
    if contact.required_mm <= 0.0:
        return ""
    words = f"; {near_words(contact.required_mm)} is asked for"
    return words + (f", {near_words(contact.insulation_mm)} of it insulation" if contact.insulation_mm > 0.0 else "")


def move_words(move: Vec3) -> str:
    """Return a move in words, no part of it rounded down: "12.5 mm up", or "9 mm east and 3 mm up"."""
    parts = [
        f"{_up(abs(x)):g} mm {way[x < 0.0]}" for x, way in zip(move, _WAYS, strict=True) if abs(x) > 0.02 * length(move)
    ]
    return " and ".join([", ".join(parts[:-1]), parts[-1]] if len(parts) > 2 else parts)


def _place_words(solved: SolvedRun, contact: Contact) -> str:
    where = where_words(solved, contact.at_mm)
    if contact.hole is not None:
        return f"{where}: {_hole_words(contact, contact.hole)}; or {_cure_words(contact)}"
    if contact.distance_mm < -TOUCH_MM:
        near = f"they overlap by {near_words(-contact.distance_mm)}"
    else:
        near = f"{near_words(contact.distance_mm, contact.required_mm)} apart"
    return f"{where}: {near}{asked_words(contact)}; {_cure_words(contact)}"


def _hole_words(contact: Contact, hole: Hole) -> str:
    words = f"it needs a hole of {_up(hole.diameter_mm):g} mm, {near_words(hole.length_mm)} long, "
    words += f"from {_point_words(hole.start)} to {_point_words(hole.finish)}"
    asked = max(contact.required_mm, 0.0)
    if asked > 0.0:
        words += f" ({near_words(asked)} all round the tube"
        words += f", {near_words(contact.insulation_mm)} of it insulation)" if contact.insulation_mm > 0.0 else ")"
    return words


def _cure_words(contact: Contact) -> str:
    if contact.move is None:
        return f"no move of {contact.part} was found that clears it"
    return f"moving {contact.part} by {move_words(contact.move)} clears it"


def _point_words(point: Vec3) -> str:
    return ", ".join(f"{axis} {round(x, 1) + 0.0:g} mm" for axis, x in zip("xyz", point, strict=True))


def _up(mm: float) -> float:
    """Return a length to a tenth, rounded up: what is done by it must be enough."""
    return ceil(mm * 10.0 - 1e-3) / 10.0
