"""What changed against an earlier pack: runs come and gone, and every figure the hands go by that is another now.

The earlier pack is known by its records alone, so the two are compared as records: of the schedule, and, where it
lies beside it, of the checks. A change too small to show on the papers of either is none.
"""

from collections.abc import Iterator

from pipemodel.bending.angle_words import plane_turn, roll_turn
from pipemodel.messages.angles import deg
from pipemodel.messages.say import say
from pipemodel.messages.units import MM, Units, to_step
from pipemodel.results.changes_checks import change as _change
from pipemodel.results.changes_checks import check_changes, clip_changes
from pipemodel.results.record import Record

CHANGES_FORMAT = "pipemodel.changes/1"


def changes_record(earlier: Record, now: Record, units: Units = MM, checks: Record | None = None) -> Record:
    """Return the changes from one schedule record to another as plain data; mm and degrees, `text` for reading.

    Args:
        earlier: the record of the earlier pack, what its checks found under "check"; see `read_earlier`.
        now: the present one.
        units: what the texts give lengths in.
        checks: what the checks find now.
    """
    found = earlier.get("check")
    changes = list(check_changes(found, checks, units)) if found and checks else []
    return {
        "format": CHANGES_FORMAT,
        "job": now["job"],
        "from_revision": earlier.get("revision"),
        "to_revision": now.get("revision"),
        "checks_compared": bool(found and checks),
        "changes": [*changes, *_changes(earlier, now, units)],
    }


def since_words(record: Record) -> str:
    """Return against what the changes are listed, and how many there are."""
    was, now = record["from_revision"], record["to_revision"]
    of = f"from revision {was}" if was else "from the earlier pack"
    to = f" to revision {now}" if now else ""
    n = len(record["changes"])
    words = f"{n or 'No'} change{'s' if n != 1 else ''} {of}{to}."
    if not record["checks_compared"]:
        words += " Of the schedule only: there was no check.json of the same job beside the earlier schedule.json."
    return words


def _changes(earlier: Record, now: Record, units: Units) -> Iterator[Record]:
    old, new = earlier.get("clearance_mm"), now["clearance_mm"]
    if isinstance(old, int | float) and units.reading(old) != units.reading(new):
        text = f"the clearance asked for changed from {units.reading(old)} to {units.reading(new)}"
        yield _change(None, "clearance", None, old, new, text)
    before = {run["name"]: run for run in earlier["runs"]}
    after = {run["name"]: run for run in now["runs"]}
    for name in before:
        if name not in after:
            yield _change(name, "run", None, "there", "gone", f"run {name} is gone")
    for name, run in after.items():
        if name not in before:
            yield _change(name, "run", None, "not there", "new", f"run {name} is new")
        else:
            yield from _of_run(name, before[name], run, units)


def _of_run(name: str, was: Record, run: Record, units: Units) -> Iterator[Record]:
    for key, what in (("tube", "tube"), ("former", "former")):
        if was[key]["name"] != run[key]["name"]:
            yield _change(
                name,
                what,
                None,
                was[key]["name"],
                run[key]["name"],
                _words(name, what, "changed", was[key]["name"], run[key]["name"]),
            )
    yield from _length(name, "former's radius", None, was["former"]["radius_mm"], run["former"]["radius_mm"], units)
    yield from _length(name, "cut length", None, was["cut_length_mm"], run["cut_length_mm"], units)
    if isinstance(was.get("insulation_mm"), int | float):
        yield from _length(name, "insulation", None, was["insulation_mm"], run["insulation_mm"], units)
    for end in ("start", "finish"):
        yield from _ending(name, end, was.get("ends", {}).get(end), run["ends"][end])
    yield from clip_changes(name, was.get("clips"), run["clips"], units)
    if len(was["bends"]) != len(run["bends"]):
        a, b = len(was["bends"]), len(run["bends"])
        yield _change(name, "bends", None, a, b, f"run {name}: {a} bends became {b}; mark the tube again")
        return
    marks_before, marks_now = _marks(was), _marks(run)
    for old, bend in zip(was["bends"], run["bends"], strict=True):
        number = bend["number"]
        yield from _length(name, "mark", number, marks_before[number], marks_now[number], units)
        # That of the run's former is said once.
        if (old["radius_mm"], bend["radius_mm"]) != (was["former"]["radius_mm"], run["former"]["radius_mm"]):
            yield from _length(name, f"radius of bend {number}", None, old["radius_mm"], bend["radius_mm"], units)
        yield from _angle(name, "angle", number, old["angle_deg"], bend["angle_deg"])
        yield from _angle(name, "pull", number, old["pull_deg"], bend["pull_deg"])
        texts = [say(plane_turn(b["turn_deg"], number == 1), units) for b in (old, bend)]
        if texts[0] != texts[1]:
            text = _words(name, f"turn of the plane at bend {number}", "changed", *texts)
            yield _change(name, "turn of the plane", number, old["turn_deg"], bend["turn_deg"], text)
    order = [[(p["bend"], p["held"]) for p in r["plan"]["pulls"]] for r in (was, run)]
    if order[0] != order[1]:
        texts = [
            ", ".join(f"{bend} held by the {held}" for bend, held in pulls) or "none that works" for pulls in order
        ]
        text = _words(name, "order of pulls", "changed", *texts)
        yield _change(name, "order", None, texts[0], texts[1], text)
    else:
        yield from _rolls(name, was["plan"]["pulls"], run["plan"]["pulls"])
    for end in ("start", "finish"):
        if [to_step(x, MM.step_mm) for x in was[end]] != [to_step(x, MM.step_mm) for x in run[end]]:
            texts = [", ".join(units.tidy(x) for x in r[end]) for r in (was, run)]
            text = _words(name, f"{end} end", "moved", *texts)
            yield _change(name, end, None, was[end], run[end], text)


def _rolls(name: str, was: list[Record], now: list[Record]) -> Iterator[Record]:
    """Tell where the hands turn the tube otherwise before the same pull."""
    for old, pull in zip(was, now, strict=True):
        texts = [str(roll_turn(p["roll_deg"], p["turn_round"], p["number"] == 1)) for p in (old, pull)]
        if texts[0] != texts[1]:
            text = _words(name, f"turn of the tube before pull {pull['number']}", "changed", *texts)
            yield _change(name, "turn of the tube", pull["bend"], old["roll_deg"], pull["roll_deg"], text)


def _ending(name: str, end: str, was: Record | None, now: Record) -> Iterator[Record]:
    """Tell where a run goes into another fitting, or joins another thing."""
    for key, what in (("fitting", "fitting"), ("joins", "joins")):
        if was is not None and was.get(key) != now[key]:
            texts = [str(end_[key] or "nothing") if key in end_ else "nothing" for end_ in (was, now)]
            if texts[0] != texts[1]:
                text = _words(name, f"{what} at the {end}", "changed", *texts)
                yield _change(name, f"{what} at the {end}", None, was.get(key), now[key], text)


def _marks(run: Record) -> dict[int, float]:
    """Where each bend's mark goes: as its pull wants it."""
    planned = {pull["bend"]: pull["mark_mm"] for pull in run["plan"]["pulls"]}
    return {bend["number"]: planned.get(bend["number"], bend["mark_mm"]) for bend in run["bends"]}


def _length(name: str, what: str, bend: int | None, was: float, now: float, units: Units) -> Iterator[Record]:
    texts = [units.length(value) for value in (was, now)]
    if texts[0] != texts[1]:
        of, verb = (f"{what} {bend}", "moved") if what == "mark" else (what, "changed")
        yield _change(name, what, bend, was, now, _words(name, of, verb, *texts))


def _angle(name: str, what: str, bend: int, was: float, now: float) -> Iterator[Record]:
    texts = [deg(value) for value in (was, now)]
    if texts[0] != texts[1]:
        of = f"bend {bend}" if what == "angle" else f"pull of bend {bend}"
        yield _change(name, what, bend, was, now, _words(name, of, "changed", *(f"{t}\u00b0" for t in texts)))


def _words(name: str, what: str, verb: str, was: str, now: str) -> str:
    return f"run {name}: {what} {verb} from {was} to {now}"
