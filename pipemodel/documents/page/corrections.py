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
from pipemodel.messages.say import parts_of, say, templates
from pipemodel.messages.units import Units
from pipemodel.messages.values import NOTHING, Count, Message, Name, Value, Word, message
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


_SAID = (
    *("angle", "waiting", "wait", "unexplained", "pull on", "give or take", "not shown", "not read", "hold up"),
    *("read twice", "side not known", "no order", "if again", "recut", "flattened", "trim", "mark", "pull"),
    *("corrected", "undo", "redo", "wanted", "twice", "not looked at", "mark same"),
)
_CHOSEN: tuple[tuple[str, str, Sequence[str]], ...] = (
    ("verdict", "verdict", get_args(Verdict)),
    ("mistake", "what", NAMED),
    ("start", "side", ("further", "nearer")),
    ("turn", "way", ("clockwise", "anticlockwise")),
    ("slip", "end", ("start", "finish")),
)
"""What is said by a word of its own: the value that this is, and the words."""


def _words() -> Iterator[tuple[str, Message]]:
    """Yield each thing the page may say, its values as places for the script to fill."""
    for name in _SAID:
        yield name, _open(f"correct.{name}")
    for name, key, choices in _CHOSEN:
        for choice in choices:
            yield f"{name} {choice}", _open(f"correct.{name}", **{key: Word(choice)})
    for how, way in product(("lands", "at best"), ("long", "short")):
        yield f"{how} {way}", _open("correct.lands", how=Word(how), way=Word(way))
    yield "which side", _open("correct.choose side")
    yield "again one", _open("correct.again", n=Count(1))
    yield "again", _open("correct.again", n=Count(2))
    yield "alone", _open("correct.again alone")
    for _, name in SLIPS:
        yield f"unlikely slip {name}", _open("unlikely.slip", slip=Word(name))
    for name in ("below", "long", "round", "round below", "angle", "legs", "times"):
        yield f"unlikely {name}", _open(f"unlikely.{name}")
    yield from _card_words()


def _card_words() -> Iterator[tuple[str, Message]]:
    """Yield what a card to come may have to say otherwise."""
    ways = (Word("clockwise"), Word("anticlockwise"))
    for way, round_ in product(ways, ways):
        yield f"roll {way.key} {round_.key}", _open("correct.roll", way=way, round=round_)
    for stance, faces in (("flat", "you"), ("upright", "down")):
        yield f"lay {stance}", message("correct.lay", faces=Word(faces))
    for name, at in (("check", NOTHING), ("check meet", message("measure.where its backs meet"))):
        yield name, _open("card.check", how=_open("card.from back", at=at))
    for end in ("up", "down"):
        yield f"stands plumb {end}", _open("correct.beyond", stands=message(f"card.plumb {end}"))
    for towards in ("towards you", "away from you", "left", "right"):
        for name, stands in (("level", "level"), ("above", "points above"), ("below", "points below")):
            pointing = _open(f"card.{stands}", way=Word(towards))
            yield f"stands {name} {towards}", _open("correct.beyond", stands=pointing)


def _open(template: str, **given: Value) -> Message:
    """Return a message whose values not given are places for the script to fill, `{name}`."""
    fields = {part.name for part in parts_of(templates("en")[template]) if not isinstance(part, str)}
    return message(template, **{name: _put(name) for name in fields} | given)


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
