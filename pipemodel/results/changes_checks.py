"""What changed in what the checks found: verdict, findings, clearances; and in where the clips go.

A finding is known by its code and what it is between.
"""

from collections.abc import Iterator

from pipemodel.messages.say import say
from pipemodel.messages.units import Units, units_for
from pipemodel.messages.values import Count, Message, Reading, Size, Tape, Value, Word, bare, from_data, listed, message
from pipemodel.results.changes_values import Change, altered, can_be_said, change, moved, read_back
from pipemodel.results.record import Record

NEAR_MM = 100.0
"""A changed distance is listed one by one where it is within this, before or now; those farther off are counted."""
_REFERENCES = ("tape.inside corner", "tape.edge", "tape.of start", "tape.from")
"""What the place of a clip is measured from, as its record says it."""


def check_changes(earlier: Record, now: Record, units: Units) -> Iterator[Change]:
    """Yield the changes from one record of checks to another, the gravest first."""
    if earlier["verdict"] != now["verdict"]:
        verdicts = [Word(record["verdict"].upper()) for record in (earlier, now)]
        said = message("changes.verdict", was=verdicts[0], now=verdicts[1])
        yield change(None, "verdict", None, earlier["verdict"], now["verdict"], said)
    yield from _findings(earlier, now)
    yield from _distances(earlier, now, units)


def clip_changes(name: str, was: Record | None, now: Record | None, units: Units) -> Iterator[Change]:
    """Yield the changes in the clips of one run, from one list of them to another; None where nobody asks for any."""
    for key, what in (
        ("service", "service the clips are for"),
        ("level_mm", "greatest distance of clips on level tube"),
        ("upright_mm", "greatest distance of clips on upright tube"),
        ("near_fitting_mm", "greatest distance of a clip from a fitting"),
        ("edge_mm", "least distance of a clip from an edge"),
    ):
        old, new = (record.get(key) if record else None for record in (was, now))
        if old != new and old is not None and new is not None:
            values = [Word(value) if isinstance(value, str) else Size(value) for value in (old, new)]
            yield change(name, what, None, old, new, altered(name, what, *values))
    yield from _clips(name, was["clips"] if was else [], now["clips"] if now else [], units)
    gaps = [_bare(record["unsupported"] if record else []) for record in (was, now)]
    texts = [say(message("several", said=one), units_for(units.name)) for one in gaps]
    if texts[0] != texts[1]:
        said = message("changes.without a clip", run=bare(name), was=gaps[0], now=gaps[1])
        yield change(name, "without a clip", None, texts[0], texts[1], said)


def _clips(name: str, before: list[Record], after: list[Record], units: Units) -> Iterator[Change]:
    if len(before) != len(after):
        n, m = len(before), len(after)
        said = message("changes.clips", run=bare(name), was=_how_many(n), now=_how_many(m))
        yield change(name, "clips", None, n, m, said)
        return
    for k, (old, new) in enumerate(zip(before, after, strict=True), 1):
        places = [_clip(clip) for clip in (old, new)]
        if say(places[0], units) != say(places[1], units):
            said = moved(name, message("changes.clip", n=Count(k)), *places)
            yield change(name, "clip", None, old["at_mm"], new["at_mm"], said)


def _how_many(n: int) -> Message:
    return message("changes.n clips", n=Count(n)) if n else message("changes.no clips")


def _clip(clip: Record) -> Message:
    across, up = (
        message(
            "tape.measure",
            far=Tape(clip[side]["distance_mm"], unit=False),
            reference=read_back(clip[side]["reference"], _REFERENCES) or bare(clip[side]["reference"]),
        )
        for side in ("across", "up")
    )
    at = Tape(clip["at_mm"], unit=False)
    return message("changes.clip at", at=at, face=bare(clip["face"]), across=across, up=up)


def _bare(gaps: list[Record]) -> Value:
    if not gaps:
        return message("changes.nothing")
    ends = [(Tape(gap["from_mm"], unit=False), Tape(gap["to_mm"], unit=False)) for gap in gaps]
    return listed([message("changes.stretch", low=low, high=high) for low, high in ends], ",")


def _findings(earlier: Record, now: Record) -> Iterator[Change]:
    before, after = _by_key(earlier), _by_key(now)
    for key, found in after.items():
        for one in found[len(before.get(key, ())) :]:
            said = message("changes.finding new", severity=Word(one["severity"]), said=_said(one))
            yield change(one.get("run"), "finding", None, None, one["severity"], said)
    for key, found in before.items():
        for one in found[len(after.get(key, ())) :]:
            said = message("changes.finding gone", severity=Word(one["severity"]), said=_said(one))
            yield change(one.get("run"), "finding", None, one["severity"], None, said)
    for key, found in after.items():
        for old, new in zip(before.get(key, ()), found, strict=False):
            finding = _said(new)
            if old["severity"] != new["severity"]:
                kinds = [Word(one["severity"]) for one in (old, new)]
                said = message("changes.finding kind", was=kinds[0], now=kinds[1], said=finding)
            elif new["severity"] != "note" and old["message"] != new["message"]:
                said = message("changes.finding otherwise", said=finding)
            else:
                continue
            yield change(new.get("run"), "finding", None, old["severity"], new["severity"], said)


def _said(finding: Record) -> Value:
    """Return what a finding of a record says; one of an older record, or one not understood, as it was written."""
    try:
        said = from_data(finding)
    except (KeyError, TypeError, ValueError, AttributeError):
        return bare(str(finding["message"]))
    return said if can_be_said(said) else bare(str(finding["message"]))


def _by_key(record: Record) -> dict[tuple[str, str, str], list[Record]]:
    found: dict[tuple[str, str, str], list[Record]] = {}
    for finding in record["findings"]:
        key = finding["code"], finding.get("run") or "", finding.get("against") or ""
        found.setdefault(key, []).append(finding)
    return found


def _distances(earlier: Record, now: Record, units: Units) -> Iterator[Change]:
    before, after = ({(d["run"], d["against"]): d for d in record["distances"]} for record in (earlier, now))
    runs = [{run for run, _ in rows} for rows in (before, after)]
    things = [{against for _, against in rows} for rows in (before, after)]
    for name in sorted(things[0] - things[1] - runs[0]):
        yield change(None, "thing", None, "there", "gone", message("changes.thing gone", thing=bare(name)))
    for name in sorted(things[1] - things[0] - runs[1]):
        yield change(None, "thing", None, "not there", "new", message("changes.thing new", thing=bare(name)))
    far = 0
    for (run, against), row in after.items():
        old = before.get((run, against))
        if old is None:
            continue
        name, other = bare(run), bare(against)
        if old.get("required_mm") is not None and units.reading(old["required_mm"]) != units.reading(
            row["required_mm"]
        ):
            was, is_ = old["required_mm"], row["required_mm"]
            said = message("changes.asked", was=Reading(was), now=Reading(is_), run=name, against=other)
            yield change(run, "asked for", None, was, is_, said)
        was, is_ = old["distance_mm"], row["distance_mm"]
        if units.reading(was) == units.reading(is_):
            continue
        if min(was, is_) > NEAR_MM:
            far += 1
            continue
        said = message("changes.distance", was=Reading(was), now=Reading(is_), run=name, against=other)
        yield change(run, "distance", None, was, is_, said)
    if far:
        said = message("changes.far", n=Count(far), far=Reading(NEAR_MM))
        yield change(None, "distances", None, None, None, said)
