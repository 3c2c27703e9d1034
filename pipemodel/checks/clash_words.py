"""What is said of a clash: every place, how near, what is asked for, and what would clear it."""

from collections.abc import Sequence
from dataclasses import replace

from pipemodel.bending.schedule import SolvedRun
from pipemodel.checks.contacts import TOUCH_MM
from pipemodel.checks.findings import Contact, Hole
from pipemodel.checks.place_words import where_on
from pipemodel.checks.supports import STANDOFF_PLAY_MM
from pipemodel.geometry.vectors import Vec3, length
from pipemodel.job.model import Thing
from pipemodel.messages.values import NOTHING, Count, Length, Message, Name, Near, Point, Word, listed, message

PLACES_SAID = 6
"""How many places a sentence names; the record has them all."""
_WAYS = (("east", "west"), ("north", "south"), ("up", "down"))


def clashes(solved: SolvedRun, against: str, contacts: Sequence[Contact]) -> Message:
    """Return what is wrong between a run and a thing or another run, for at least one place."""
    run, other = Name(solved.name), Name(against)
    if len(contacts) == 1:
        (only,) = contacts
        where, cure = where_on(solved, only.at_mm), _cure(only, _held_off(solved, against, only))
        if only.hole is not None:
            hole = _hole(only, only.hole)
            return message("clash.through", run=run, other=other, where=where, hole=hole, cure=cure)
        if only.distance_mm < -TOUCH_MM:
            deep = Near(-only.distance_mm)
            return message(
                "clash.overlap", run=run, other=other, deep=deep, where=where, asked=asked_of(only), cure=cure
            )
        near = Near(only.distance_mm, only.required_mm)
        return message("clash.near", run=run, other=other, near=near, where=where, asked=asked_of(only), cure=cure)
    deep_somewhere = any(c.distance_mm < -TOUCH_MM for c in contacts)
    said = [
        message("clash.numbered place", n=Count(k), place=_place(solved, against, contact))
        for k, contact in enumerate(contacts[:PLACES_SAID], 1)
    ]
    if len(contacts) > PLACES_SAID:
        said.append(message("clash.more places", n=Count(len(contacts) - PLACES_SAID)))
    places = listed(said, ";")
    template = "clash.overlaps" if deep_somewhere else "clash.nears"
    return message(template, run=run, other=other, n=Count(len(contacts)), places=places)


def zone_broken(solved: SolvedRun, zone: Thing, worst: Contact, places: int) -> Message:
    """Return what is wrong between a run and a side of a void, or room to be kept free; `worst` of so many places."""
    deep, what = worst.distance_mm < -TOUCH_MM, {"void": "void", "kept free": "free"}[zone.role]
    return message(
        f"zone.{what} {'deep' if deep else 'near'}",
        run=Name(solved.name),
        zone=Name(zone.of if zone.role == "void" else zone.name),
        side=Name(zone.name),
        why=Word(zone.why),
        far=Near(-worst.distance_mm) if deep else Near(worst.distance_mm, worst.required_mm),
        where=where_on(solved, worst.at_mm),
        asked=asked_of(worst),
        more=message("zone.more", n=Count(places)) if places > 1 else NOTHING,
        cure=_cure(worst),
    )


def asked_of(contact: Contact) -> Message:
    """Return what is asked for and how much of it is insulation: "; 18 mm is asked for, 13 mm of it insulation"."""
    if contact.required_mm <= 0.0:
        return NOTHING
    asked = Near(contact.required_mm, contact.distance_mm)
    if contact.insulation_mm <= 0.0:
        return message("clash.asked", asked=asked)
    return message("clash.asked, insulated", asked=asked, insulation=Near(contact.insulation_mm))


def move_of(move: Vec3) -> Message:
    """Return a move, no part of it rounded down: "12.5 mm up", or "9 mm east and 3 mm up"."""
    parts = [
        message("clash.way", far=Length(abs(x), rounded="up"), way=Word(way[x < 0.0]))
        for x, way in zip(move, _WAYS, strict=True)
        if abs(x) > 0.02 * length(move)
    ]
    return message("clash.move", ways=listed(parts))


def _place(solved: SolvedRun, against: str, contact: Contact) -> Message:
    where, cure = where_on(solved, contact.at_mm), _cure(contact, _held_off(solved, against, contact))
    if contact.hole is not None:
        return message("clash.place through", where=where, hole=_hole(contact, contact.hole), cure=cure)
    asked = asked_of(contact)
    if contact.distance_mm < -TOUCH_MM:
        return message("clash.place overlap", where=where, deep=Near(-contact.distance_mm), asked=asked, cure=cure)
    near = Near(contact.distance_mm, contact.required_mm)
    return message("clash.place near", where=where, near=near, asked=asked, cure=cure)


def _hole(contact: Contact, hole: Hole) -> Message:
    return message(
        "clash.hole",
        diameter=Length(hole.diameter_mm, rounded="up"),
        length=Near(hole.length_mm),
        start=Point(hole.start),
        finish=Point(hole.finish),
        round_it=_round_it(contact),
    )


def _round_it(contact: Contact) -> Message:
    asked = max(contact.required_mm, 0.0)
    if asked <= 0.0:
        return NOTHING
    if contact.insulation_mm <= 0.0:
        return message("clash.round it", asked=Near(asked))
    return message("clash.round it, insulated", asked=Near(asked), insulation=Near(contact.insulation_mm))


def _held_off(solved: SolvedRun, against: str, contact: Contact) -> Message | None:
    """Return what to ask for where a run is too near because its clips hold it there; None where they do not."""
    rule, radius = solved.run.clips, solved.tube.outside_mm / 2.0
    if rule is None or rule.standoff_mm is None or against not in rule.faces:
        return None
    leaves = rule.standoff_mm - radius
    if abs(contact.distance_mm - leaves) > STANDOFF_PLAY_MM or leaves >= contact.required_mm:
        return None
    clear = contact.distance_mm - contact.insulation_mm
    return message(
        "clash.held off",
        thing=Name(against),
        stands=Length(rule.standoff_mm),
        least=Length(contact.required_mm + radius, rounded="up"),
        less=message("clash.less there", clear=Length(clear, rounded="down")) if clear > 0.0 else NOTHING,
    )


def _cure(contact: Contact, held: Message | None = None) -> Message:
    if held is not None:
        return held
    if contact.wider_mm is not None:
        cure = _cure(replace(contact, wider_mm=None))
        return message("clash.wider", diameter=Length(contact.wider_mm, rounded="up"), cure=cure)
    if contact.move is None:
        return message("clash.no move", part=contact.part)
    return message("clash.cure", part=contact.part, move=move_of(contact.move))
