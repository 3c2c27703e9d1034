"""What changed against an earlier pack: runs come and gone, and every figure the hands go by that is another now.

The earlier pack is known by its records alone, so the two are compared as records: of the schedule, and, where it
lies beside it, of the checks. A change too small to show on the papers of either is none.
"""

from collections.abc import Iterator

from pipemodel.bending.angle_words import plane_turn, roll_turn
from pipemodel.messages.say import say
from pipemodel.messages.units import MM, Units, to_step
from pipemodel.messages.values import (
    Angle,
    Count,
    Message,
    Reading,
    Size,
    Tape,
    Value,
    Word,
    bare,
    listed,
    message,
)
from pipemodel.results.changes_checks import check_changes, clip_changes
from pipemodel.results.changes_values import (
    Change,
    Changes,
    altered,
    change,
    former_called,
    moved,
    tube_called,
)
from pipemodel.results.record import Record


def changes_between(earlier: Record, now: Record, units: Units = MM, checks: Record | None = None) -> Changes:
    """Return the changes from one schedule record to another.

    Args:
        earlier: the record of the earlier pack, what its checks found under "check"; see `read_earlier`.
        now: the present one.
        units: what the papers give lengths in; what looks the same there has not changed.
        checks: what the checks find now.
    """
    found = earlier.get("check")
    compared = bool(found and checks)
    of_checks = check_changes(found, checks, units) if found and checks else ()
    return Changes(
        now["job"],
        earlier.get("revision"),
        now.get("revision"),
        compared,
        (*of_checks, *_changes(earlier, now, units)),
    )


def _changes(earlier: Record, now: Record, units: Units) -> Iterator[Change]:
    old, new = earlier.get("clearance_mm"), now["clearance_mm"]
    if isinstance(old, int | float) and units.reading(old) != units.reading(new):
        said = message("changes.clearance", was=Reading(old), now=Reading(new))
        yield change(None, "clearance", None, old, new, said)
    before = {run["name"]: run for run in earlier["runs"]}
    after = {run["name"]: run for run in now["runs"]}
    for name in before:
        if name not in after:
            yield change(name, "run", None, "there", "gone", message("changes.run gone", run=bare(name)))
    for name, run in after.items():
        if name not in before:
            yield change(name, "run", None, "not there", "new", message("changes.run new", run=bare(name)))
        else:
            yield from _of_run(name, before[name], run, units)


def _of_run(name: str, was: Record, run: Record, units: Units) -> Iterator[Change]:
    for what, called in (("tube", tube_called), ("former", former_called)):
        if was[what]["name"] != run[what]["name"]:
            said = altered(name, what, called(was[what]), called(run[what]))
            yield change(name, what, None, was[what]["name"], run[what]["name"], said)
    for figure in ("radius", "mark", "hold", "guide"):
        old, new = (record["former"].get(f"{figure}_mm") for record in (was, run))
        if isinstance(old, int | float):
            yield from _length(name, f"former's {figure}", old, new, units)
    yield from _length(name, "cut length", was["cut_length_mm"], run["cut_length_mm"], units)
    old, new = was["plan"].get("bender_stands"), run["plan"]["bender_stands"]
    if isinstance(old, str) and old != new:
        yield change(name, "bender", None, old, new, message("changes.stands", run=bare(name), now=Word(new)))
    if isinstance(was.get("insulation_mm"), int | float):
        yield from _length(name, "insulation", was["insulation_mm"], run["insulation_mm"], units)
    for end in ("start", "finish"):
        yield from _ending(name, end, (was.get("ends") or {}).get(end), run["ends"][end])
    yield from clip_changes(name, was.get("clips"), run["clips"], units)
    if len(was["bends"]) != len(run["bends"]):
        a, b = len(was["bends"]), len(run["bends"])
        yield change(name, "bends", None, a, b, message("changes.bends", run=bare(name), was=Count(a), now=Count(b)))
        return
    marks_before, marks_now = _marks(was), _marks(run)
    for old, bend in zip(was["bends"], run["bends"], strict=True):
        number = bend["number"]
        yield from _mark(name, number, marks_before[number], marks_now[number], units)
        # That of the run's former is said once.
        if (old["radius_mm"], bend["radius_mm"]) != (was["former"]["radius_mm"], run["former"]["radius_mm"]):
            radius = message("changes.radius of bend", bend=Count(number))
            yield from _length(name, radius, old["radius_mm"], bend["radius_mm"], units)
        yield from _angle(name, "angle", number, old["angle_deg"], bend["angle_deg"], units)
        yield from _angle(name, "pull", number, old["pull_deg"], bend["pull_deg"], units)
        turns = [plane_turn(b["turn_deg"], number == 1) for b in (old, bend)]
        if turns[0] != turns[1]:
            said = altered(name, message("changes.plane at bend", bend=Count(number)), *turns)
            yield change(name, "turn of the plane", number, old["turn_deg"], bend["turn_deg"], said)
    yield from _order(name, was["plan"]["pulls"], run["plan"]["pulls"])
    for end in ("start", "finish"):
        if [to_step(x, MM.step_mm) for x in was[end]] != [to_step(x, MM.step_mm) for x in run[end]]:
            said = moved(name, message("changes.end", end=Word(end)), *(_place(r[end]) for r in (was, run)))
            yield change(name, end, None, was[end], run[end], said)


def _order(name: str, was: list[Record], now: list[Record]) -> Iterator[Change]:
    """Tell where the pulls come in another order or are held otherwise, and else how the tube is turned between."""
    order = [[(p["bend"], p["held"]) for p in pulls] for pulls in (was, now)]
    if order[0] == order[1]:
        yield from _rolls(name, was, now)
        return
    said = [
        listed([message("changes.held", bend=Count(bend), held=Word(held)) for bend, held in pulls], ",")
        if pulls
        else message("changes.no order")
        for pulls in order
    ]
    texts = [say(message("several", said=one)) for one in said]
    yield change(name, "order", None, texts[0], texts[1], altered(name, "order of pulls", *said))


def _rolls(name: str, was: list[Record], now: list[Record]) -> Iterator[Change]:
    """Tell where the hands turn the tube otherwise before the same pull."""
    for old, pull in zip(was, now, strict=True):
        rolls = [roll_turn(p["roll_deg"], p["turn_round"], p["number"] == 1) for p in (old, pull)]
        if rolls[0] != rolls[1]:
            said = altered(name, message("changes.tube before pull", pull=Count(pull["number"])), *rolls)
            yield change(name, "turn of the tube", pull["bend"], old["roll_deg"], pull["roll_deg"], said)


def _ending(name: str, end: str, was: Record | None, now: Record) -> Iterator[Change]:
    """Tell where a run goes into another fitting, or joins another thing."""
    for key in ("fitting", "joins"):
        if was is None or was.get(key) == now[key]:
            continue
        values = [end_.get(key) and str(end_[key]) for end_ in (was, now)]
        if values[0] != values[1]:
            what = message("changes.at end", what=Word(key), end=Word(end))
            said = altered(name, what, *(_joined(key, value) for value in values))
            yield change(name, what, None, was.get(key), now[key], said)


def _joined(key: str, value: str | None) -> Value:
    if not value:
        return message("changes.nothing")
    return Word(value) if key == "fitting" else bare(value)


def _marks(run: Record) -> dict[int, float]:
    """Where each bend's mark goes: as its pull wants it."""
    planned = {pull["bend"]: pull.get("drawn_mark_mm", pull["mark_mm"]) for pull in run["plan"]["pulls"]}
    return {bend["number"]: planned.get(bend["number"], bend["mark_mm"]) for bend in run["bends"]}


def _place(point: list[float]) -> Value:
    return listed([Size(x) for x in point], ",")


def _length(name: str, what: str | Message, was: float, now: float, units: Units) -> Iterator[Change]:
    if units.length(was) != units.length(now):
        said = altered(name, what, Tape(was, unit=False), Tape(now, unit=False))
        yield change(name, what, None, was, now, said)


def _mark(name: str, bend: int, was: float, now: float, units: Units) -> Iterator[Change]:
    if units.length(was) != units.length(now):
        what = message("changes.mark", bend=Count(bend))
        yield change(name, "mark", bend, was, now, moved(name, what, Tape(was, unit=False), Tape(now, unit=False)))


def _angle(name: str, what: str, bend: int, was: float, now: float, units: Units) -> Iterator[Change]:
    if units.angle(was) != units.angle(now):
        number = Count(bend)
        of = message("part.bend", bend=number) if what == "angle" else message("changes.pull of bend", bend=number)
        degrees = (message("degrees", angle=Angle(value)) for value in (was, now))
        yield change(name, what, bend, was, now, altered(name, of, *degrees))
