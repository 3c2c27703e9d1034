"""What the page needs to answer readings by itself: each run's bends, pulls and checks, and what it says."""

from collections.abc import Iterator, Sequence
from itertools import product
from typing import Any, get_args

from pipemodel.correction.explanations import mistakes_of
from pipemodel.correction.likely import SLIPS
from pipemodel.correction.made import MadePiece, planned_aims
from pipemodel.correction.reads import reads_of
from pipemodel.correction.sentences import NAMED
from pipemodel.correction.values import Verdict
from pipemodel.job.model import Hands
from pipemodel.messages.say import say
from pipemodel.messages.units import Units
from pipemodel.messages.values import NOTHING, Count, Message, Name, Word, message
from pipemodel.pulls.cards import Card
from pipemodel.pulls.check_ids import check_id, piece_after
from pipemodel.results.pieces import Piece


def answers_data(pieces: Sequence[Piece], hands: Hands | None, units: Units) -> dict[str, Any]:
    """Return what answers readings of all pieces, with the words for it: `{name}` in them is a value."""
    return {
        "pieces": [correction_data(piece, hands) for piece in pieces],
        "unit": units.unit,
        "words": {name: say(said, units) for name, said in _words()},
    }


def _words() -> Iterator[tuple[str, Message]]:
    """Yield each thing the page may say, its values as places for the script to fill."""
    for verdict in get_args(Verdict):
        yield f"verdict {verdict}", message("correct.verdict", verdict=Word(verdict))
    for name in NAMED:
        yield f"mistake {name}", message("correct.mistake", bend=_put("bend"), what=Word(name))
    angle, within, far, bend = (_put(name) for name in ("angle", "within", "far", "bend"))
    yield "angle", message("correct.angle", bend=bend, angle=angle, low=_put("low"), high=_put("high"), aim=_put("aim"))
    for side in ("further", "nearer"):
        yield f"start {side}", message("correct.start", bend=bend, far=far, within=within, side=Word(side))
    for way in ("clockwise", "anticlockwise"):
        yield f"turn {way}", message("correct.turn", bend=bend, angle=angle, within=within, way=Word(way))
    yield "waiting", message("correct.waiting")
    yield "wait", message("correct.wait")
    yield "unexplained", message("correct.unexplained")
    yield "which side", message("correct.choose side", checks=_put("checks"))
    scale, more = _put("scale"), _put("more")
    yield "pull on", message("correct.pull on", bend=bend, angle=angle, scale=scale, more=more)
    yield "again one", message("correct.again", checks=_put("checks"), n=Count(1))
    yield "again", message("correct.again", checks=_put("checks"), n=Count(2))
    yield "alone", message("correct.again alone", checks=_put("checks"))
    sideways, along = _put("sideways"), _put("along")
    for way in ("long", "short"):
        long = Word(way)
        yield f"lands {way}", message("correct.lands", sideways=sideways, along=along, way=long, angle=angle)
        yield f"at best {way}", message("correct.at best", sideways=sideways, along=along, way=long, angle=angle)
    for name in ("give or take", "not shown"):
        yield name, message(f"correct.{name}", sideways=sideways, along=along, angle=angle)
    yield "not read", message("correct.not read", checks=_put("checks"))
    for name in ("hold up", "read twice"):
        yield name, message(f"correct.{name}")
    yield "side untold", message("correct.side untold", checks=_put("checks"))
    yield "no order", message("correct.no order")
    yield "if again", message("correct.if again", why=_put("why"))
    yield "recut", message("correct.recut", why=_put("why"))
    yield "flattened", message("correct.flattened", bend=bend, by=_put("by"), most=_put("most"))
    yield from _unlikely_words()
    yield "trim", message("correct.trim", far=far)
    for end in ("start", "finish"):
        yield f"slip {end}", message("correct.slip", far=far, end=Word(end))
    yield from _card_words()
    yield "mark", message("correct.mark", at=_put("at"), was=_put("was"))
    yield "pull", message("correct.pull", angle=angle, was=_put("was"))
    yield "corrected", message("correct.corrected", pull=_put("pull"))
    yield "undo", message("correct.undo")
    yield "redo", message("correct.redo")
    yield "wanted", message("correct.wanted", wanted=_put("wanted"))
    yield "twice", message("correct.twice", check=_put("check"))
    yield "not looked at", message("correct.not looked at")


def _unlikely_words() -> Iterator[tuple[str, Message]]:
    """Yield what is said of a reading that cannot be meant."""
    check, value, right, meant, long = (_put(name) for name in ("check", "value", "right", "meant", "long"))
    for _, name in SLIPS:
        yield (
            f"unlikely slip {name}",
            message("unlikely.slip", check=check, value=value, right=right, slip=Word(name), meant=meant),
        )
    yield "unlikely below", message("unlikely.below", check=check, value=value, right=right)
    yield "unlikely long", message("unlikely.long", check=check, value=value, right=right, long=long)
    yield "unlikely round", message("unlikely.round", check=check, value=value)
    yield "unlikely round below", message("unlikely.round below", check=check, value=value)
    yield "unlikely angle", message("unlikely.angle", check=check, value=value, right=right)
    yield "unlikely legs", message("unlikely.legs", check=check, value=value, meant=meant)
    yield "unlikely times", message("unlikely.times", check=check, value=value, right=right, meant=meant)


def _card_words() -> Iterator[tuple[str, Message]]:
    """Yield what a card to come may have to say otherwise."""
    angle, far, bend = _put("angle"), _put("far"), _put("bend")
    ways = (Word("clockwise"), Word("anticlockwise"))
    for way, round_ in product(ways, ways):
        yield (
            f"roll {way.key} {round_.key}",
            message("correct.roll", more=_put("more"), way=way, angle=angle, far=far, round=round_, last=_put("last")),
        )
    for stance, faces in (("flat", "you"), ("upright", "down")):
        yield f"lay {stance}", message("correct.lay", faces=Word(faces))
    yield "mark same", message("correct.mark same", at=_put("at"))
    for name, at in (("check", NOTHING), ("check meet", message("measure.where its backs meet"))):
        yield name, message("card.check", far=far, how=message("card.from back", bend=bend, at=at))
    for end in ("up", "down"):
        yield f"stands plumb {end}", message("correct.beyond", bend=bend, stands=message(f"card.plumb {end}"))
    for towards in ("towards you", "away from you", "left", "right"):
        pointing = Word(towards)
        for name, stands in (
            ("level", message("card.level", way=pointing)),
            ("above", message("card.points above", way=pointing, angle=angle)),
            ("below", message("card.points below", way=pointing, angle=angle)),
        ):
            yield f"stands {name} {towards}", message("correct.beyond", bend=bend, stands=stands)


def _put(name: str) -> Name:
    return Name(f"{{{name}}}", quoted=False)


def correction_data(piece: Piece, hands: Hands | None) -> dict[str, Any] | None:
    """Return what answers readings of a piece: mm and degrees, bends counted from 0; None where nothing is pulled."""
    solved, pulls = piece.solved, piece.plan.pulls
    if not pulls:
        return None
    hands = hands or Hands()
    aims = planned_aims(solved)
    made = MadePiece.of(solved, pulls, aims, hands)
    within = solved.run.ends.finish.within
    return {
        "hands": list(hands),
        "stance": solved.run.stance,
        "outside": solved.tube.outside_mm,
        "cut": solved.cut_length_mm,
        "length": solved.table.length_mm,
        "trim": solved.run.ends.trim_mm,
        "within": [within.sideways_mm, within.along_mm],
        "bends": [
            {
                "start": bend.start_mm,
                "angle": bend.angle_deg,
                "plane": aims[bend.number].plane_deg,
                "radius": bend.radius_mm,
                "hold": former.hold_mm,
                "guide": former.guide_mm,
                "block": former.guide_block_mm,
                "travel": former.guide_travel_mm,
                "fixed": former.springback.fixed_deg,
                "per": former.springback.per_degree,
                "most": former.max_angle_deg,
                "mark": former.mark_mm,
            }
            for bend, former in zip(solved.table.bends, solved.formers, strict=True)
        ],
        "pulls": [
            {
                "bend": card.pull.bend - 1,
                "held": card.pull.held,
                "mark": card.pull.mark_mm,
                "pull": card.pull.pull_deg,
                "checks": _checks(piece, card),
                "mistakes": [list(one) for one in mistakes_of(made, card.pull)],
                "said": _said(card),
            }
            for card in piece.cards
        ],
    }


_SAYS = {
    "card.mark": "mark",
    "card.inside line": "line",
    "card.inside line on": "line",
    "card.same side up": "roll",
    "card.roll half": "roll",
    "card.roll": "roll",
    "card.guide in": "guide",
    "card.spring in": "guide",
    "card.pull": "pull",
    "card.pull down": "pull",
}


def _said(card: Card) -> dict[str, int]:
    """Return which of the things to do, from 0, says what of those that may have to be done otherwise."""
    return {_SAYS[said.template]: i for i, said in enumerate(card.to_do) if said.template in _SAYS}


def _checks(piece: Piece, card: Card) -> list[dict[str, Any]]:
    part, _ = piece_after(piece.solved, card)
    return [
        {
            "id": check_id(card.pull.number, place),
            "unit": measure.unit,
            "value": measure.value,
            "within": measure.within,
            "reads": reads_of(measure, part),
        }
        for place, measure in enumerate(card.measures)
    ]
