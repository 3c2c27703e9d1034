"""What a check reads, as plain data: its kind and the legs and bends it is taken at, for a program elsewhere."""

from typing import Any

from pipemodel.bending.part_bent import PartBent
from pipemodel.messages.values import Count, Word
from pipemodel.pulls.bench_measures import PLANAR_DEG, SIGHT_MM, STANDS_MM, Lay
from pipemodel.pulls.measures import Measure, MeasureKind
from pipemodel.pulls.places import Place


def reads_of(measure: Measure, piece: PartBent) -> dict[str, Any]:
    """Return where and how a check is read on a piece of the bends of `piece`; bends and legs counted from 0."""
    values = dict(measure.how.values)

    def bend(name: str) -> int:
        value = values[name]
        assert isinstance(value, Count)
        return next(i for i, one in enumerate(piece.bends) if one.number == value.n)

    def word(name: str) -> str:
        value = values[name]
        assert isinstance(value, Word)
        return value.key

    match measure.kind:
        case MeasureKind.ANGLE:
            return {"kind": "angle", "i": bend("bend")}
        case MeasureKind.END_TO_BACK:
            leg = 0 if word("end") == "start" else len(piece.bends)
            return {"kind": "back", "leg": leg, "bends": [bend("bend")]}
        case MeasureKind.BACK_TO_BACK:
            return {"kind": "back", "leg": bend("other"), "bends": [bend("one"), bend("other")]}
        case MeasureKind.HEIGHT if "top" in values:
            return {"kind": "crown", "one": bend("before")}
        case MeasureKind.HEIGHT | MeasureKind.SPAN:
            d = 1 if measure.kind is MeasureKind.HEIGHT else -1
            return {"kind": "apart", "one": bend("before"), "two": bend("after") + 1, "d": d}
        case MeasureKind.ACROSS:
            return {"kind": "across"}
        case MeasureKind.ROUND:
            return {"kind": "caliper"}
        case MeasureKind.WAY:
            return {"kind": "round", "i": bend("bend"), "near": PLANAR_DEG}
    if measure.kind is MeasureKind.HAND and measure.lay is None:
        legs = {"i": bend("bend"), "j": bend("other"), "far": SIGHT_MM}
        return {"kind": "legUp", **legs, "least": STANDS_MM / 2.0, "up": measure.value}
    assert measure.lay is not None
    index, where = measure.lay
    if where == "all":
        return {"kind": "gaps", "i": index}
    if measure.kind is MeasureKind.CORNER:
        return {"kind": "corner", "i": index, "ring": float(where.removeprefix("rings "))}
    end, ring, *past = where.removeprefix("edge ").split(" ")
    place = Place(end, float(ring), int(past[0]) if past else None)
    at: dict[str, Any] = {"i": index, "end": end, "ring": place.ring}
    if place.past is not None:
        at["past"] = place.past
    if measure.kind is MeasureKind.OFFSET:
        return {"kind": "off", **at, "d": 1 if word("lies") == "away" else -1}
    if measure.kind is MeasureKind.ASIDE:
        away = "towards" in values and word("towards") == "other"
        return {"kind": "aside", **at, "sign": -1 if away else 1}
    if measure.kind is MeasureKind.HAND:
        within = Lay(index, place).within(piece)
        assert within is not None
        return {"kind": "hand", **at, "least": within.side}
    return {"kind": "stand" if measure.kind is MeasureKind.STAND_OFF else "gap", **at}
