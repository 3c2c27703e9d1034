"""What changed in what the checks found: verdict, findings, clearances; and in where the clips go.

A finding is known by its code and what it is between.
"""

from collections.abc import Iterator
from typing import Any

from pipemodel.messages.say import say
from pipemodel.messages.units import Units
from pipemodel.messages.values import from_data
from pipemodel.results.record import Record

NEAR_MM = 100.0
"""A changed distance is listed one by one where it is within this, before or now; those farther off are counted."""


def check_changes(earlier: Record, now: Record, units: Units) -> Iterator[Record]:
    """Yield the changes from one record of checks to another, the gravest first."""
    if earlier["verdict"] != now["verdict"]:
        was, is_ = earlier["verdict"].upper(), now["verdict"].upper()
        yield change(None, "verdict", None, earlier["verdict"], now["verdict"], f"the verdict was {was} and is {is_}")
    yield from _findings(earlier, now, units)
    yield from _distances(earlier, now, units)


def clip_changes(name: str, was: Record | None, now: Record | None, units: Units) -> Iterator[Record]:
    """Yield the changes in the clips of one run, from one list of them to another; None where nobody asks for any."""
    before, after = (record["clips"] if record else [] for record in (was, now))
    for key, what in (
        ("service", "service the clips are for"),
        ("level_mm", "greatest distance of clips on level tube"),
        ("upright_mm", "greatest distance of clips on upright tube"),
        ("near_fitting_mm", "greatest distance of a clip from a fitting"),
        ("edge_mm", "least distance of a clip from an edge"),
    ):
        old, new = (record.get(key) if record else None for record in (was, now))
        if old != new and old is not None and new is not None:
            texts = [value if isinstance(value, str) else units.tidy(value) for value in (old, new)]
            yield change(name, what, None, old, new, f"run {name}: {what} changed from {texts[0]} to {texts[1]}")
    if len(before) != len(after):
        n, m = len(before), len(after)
        yield change(name, "clips", None, n, m, f"run {name}: {_clips(n)} became {_clips(m)}; see the clip list")
    else:
        for k, (old, new) in enumerate(zip(before, after, strict=True), 1):
            texts = [_clip_words(clip, units) for clip in (old, new)]
            if texts[0] != texts[1]:
                text = f"run {name}: clip {k} moved from {texts[0]} to {texts[1]}"
                yield change(name, "clip", None, old["at_mm"], new["at_mm"], text)
    bare = [record["unsupported"] if record else [] for record in (was, now)]
    texts = [
        ", ".join(f"{units.length(gap['from_mm'])} to {units.length(gap['to_mm'])}" for gap in gaps) or "nothing"
        for gaps in bare
    ]
    if texts[0] != texts[1]:
        text = f"run {name}: without a clip was {texts[0]} along the tube, and is {texts[1]}"
        yield change(name, "without a clip", None, texts[0], texts[1], text)


def change(run: str | None, what: str, bend: int | None, was: Any, now: Any, text: str) -> Record:
    """Return one change as plain data."""
    return {"run": run, "what": what, "bend": bend, "from": was, "to": now, "text": text}


def _clips(n: int) -> str:
    return f"{n} clip{'' if n == 1 else 's'}" if n else "no clips"


def _clip_words(clip: Record, units: Units) -> str:
    measured = ", ".join(f"{units.length(clip[s]['distance_mm'])} {clip[s]['reference']}" for s in ("across", "up"))
    return f"{units.length(clip['at_mm'])} along the tube on {clip['face']} ({measured})"


def _findings(earlier: Record, now: Record, units: Units) -> Iterator[Record]:
    before, after = _by_key(earlier), _by_key(now)
    for key, found in after.items():
        for finding in found[len(before.get(key, ())) :]:
            text = f"new: {finding['severity']} {finding['code']}, {_said(finding, units)}"
            yield change(finding.get("run"), "finding", None, None, finding["severity"], text)
    for key, found in before.items():
        for finding in found[len(after.get(key, ())) :]:
            text = f"gone: {finding['severity']} {finding['code']}, {_said(finding, units)}"
            yield change(finding.get("run"), "finding", None, finding["severity"], None, text)
    for key, found in after.items():
        for old, new in zip(before.get(key, ()), found, strict=False):
            if old["severity"] != new["severity"]:
                text = f"{new['code']} was of the kind {old['severity']} and is now {new['severity']}: "
                text += _said(new, units)
                yield change(new.get("run"), "finding", None, old["severity"], new["severity"], text)
            elif new["severity"] == "error" and old["message"] != new["message"]:
                text = f"otherwise than before: {new['code']}, {_said(new, units)}"
                yield change(new.get("run"), "finding", None, old["severity"], new["severity"], text)


def _said(finding: Record, units: Units) -> str:
    """Return what a finding of a record says; one of an older record, or one not understood, as it was written."""
    try:
        return say(from_data(finding), units)
    except (KeyError, TypeError, ValueError, AttributeError):
        return str(finding["message"])


def _by_key(record: Record) -> dict[tuple[str, str, str], list[Record]]:
    found: dict[tuple[str, str, str], list[Record]] = {}
    for finding in record["findings"]:
        key = finding["code"], finding.get("run") or "", finding.get("against") or ""
        found.setdefault(key, []).append(finding)
    return found


def _distances(earlier: Record, now: Record, units: Units) -> Iterator[Record]:
    before, after = ({(d["run"], d["against"]): d for d in record["distances"]} for record in (earlier, now))
    runs = [{run for run, _ in rows} for rows in (before, after)]
    things = [{against for _, against in rows} for rows in (before, after)]
    for name in sorted(things[0] - things[1] - runs[0]):
        yield change(None, "thing", None, "there", "gone", f"{name} is gone from the room")
    for name in sorted(things[1] - things[0] - runs[1]):
        yield change(None, "thing", None, "not there", "new", f"{name} is new in the room")
    far = 0
    for (run, against), row in after.items():
        old = before.get((run, against))
        if old is None:
            continue
        if "required_mm" in old and units.reading(old["required_mm"]) != units.reading(row["required_mm"]):
            texts = [units.reading(r["required_mm"]) for r in (old, row)]
            text = f"run {run}: the distance asked for to {against} changed from {texts[0]} to {texts[1]}"
            yield change(run, "asked for", None, old["required_mm"], row["required_mm"], text)
        texts = [units.reading(r["distance_mm"]) for r in (old, row)]
        if texts[0] == texts[1]:
            continue
        if min(old["distance_mm"], row["distance_mm"]) > NEAR_MM:
            far += 1
            continue
        text = f"run {run}: the distance to {against} changed from {texts[0]} to {texts[1]}"
        yield change(run, "distance", None, old["distance_mm"], row["distance_mm"], text)
    if far:
        over = units.reading(NEAR_MM)
        text = f"{far} distance{'' if far == 1 else 's'} over {over} changed"
        yield change(None, "distances", None, None, None, text)
