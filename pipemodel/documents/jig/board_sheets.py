"""A jig on timber set out without a print of the whole plan: the board to scale, and a card at full size per cradle."""

from collections.abc import Iterator
from math import ceil, sqrt

import numpy as np

from pipemodel.drawing.sheet import Role, Sheet
from pipemodel.jigs.base import Polygon
from pipemodel.jigs.design import Jig
from pipemodel.jigs.posts import Timber
from pipemodel.jigs.run_in_jig import Array
from pipemodel.messages.say import words
from pipemodel.messages.units import MM, Units
from pipemodel.messages.values import Count, Name, Number, Size
from pipemodel.wording.safe_text import shown

CARD_MM = (91.0, 83.0)
"""A card, so that six go on a page: a post cut from a batten of 44 lies on it cornerwise, with room for words."""
WORDS_MM = 21.0
"""Room that the words on a card take, beside the post."""
HEAD_MM = 12.0


def board_sheet(jig: Jig, timber: Timber, room: tuple[float, float], units: Units = MM) -> Sheet:
    """Draw the board to a scale at which it fills `room` (width, height in mm): what stands where, and the tube."""
    wide, high = timber.board_mm
    turned = (wide > high) != (room[0] > room[1])
    across, up = (high, wide) if turned else (wide, high)
    factor = float(max(1, ceil(max(across / (room[0] - 10.0), up / (room[1] - HEAD_MM - 10.0)))))
    title = words(
        units, "jig board.title", run=Name(shown(jig.solved.name, 60), quoted=False), scale=Number(factor, "g"),
        x=Size(wide), y=Size(high),
    )  # fmt: skip
    sheet = Sheet(room[0], up / factor + HEAD_MM + 10.0, title, factor)

    def at(p: Array) -> tuple[float, float]:
        x, y = (p - timber.board_low) / factor
        # Turned by a quarter, the board's lower left corner comes to the lower right of the sheet.
        return (5.0 + high / factor - float(y), 5.0 + float(x)) if turned else (5.0 + float(x), 5.0 + float(y))

    corners = timber.board_low + np.array([(0.0, 0.0), (wide, 0.0), (wide, high), (0.0, high)])
    sheet.line([at(c) for c in corners], Role.OUTLINE, closed=True)
    sheet.line([at(p) for p in jig.layout.axis.points[:, :2]], Role.CENTRE)
    for name, outline, stands in _standing(jig, timber):
        if stands:
            sheet.line([at(p) for p in outline], Role.OUTLINE, closed=True)
        x, y = at(outline.mean(axis=0))
        sheet.words(name, (x + 3.5, y + 2.5), 4.5, bold=True)
    for _, holes in jig.holes:
        for hole in holes:
            sheet.circle(at(hole), 0.7, Role.MARK)
    corner = at(timber.board_low)
    sheet.circle(corner, 1.5, Role.MARK, filled=True)
    sheet.words(title, (5.0, sheet.height - 7.0), 3.0)
    return sheet


def _standing(jig: Jig, timber: Timber) -> Iterator[tuple[str, Polygon, bool]]:
    """Yield what stands on the board: its name, its outline, and whether that is timber."""
    posts = {p.cradle: p.outline for p in timber.posts}
    for pad in jig.plan.base.pads:
        number = pad.tower + 1
        yield str(number), posts.get(number, pad.outline), number in posts
    for prop in timber.props:
        yield prop.letter, prop.outline, True


def drill_cards(jig: Jig, timber: Timber, units: Units = MM) -> Iterator[Sheet]:
    """Yield a card at full size for each cradle and prop: two lines of the board to lay it by, crosses, outline."""
    holes = dict(jig.holes)
    pads = {str(pad.tower + 1): pad.outline for pad in jig.plan.base.pads}
    lengths = {str(p.cradle): p.length_mm for p in timber.posts} | {p.letter: p.length_mm for p in timber.props}
    run = Name(shown(jig.solved.name, 40), quoted=False)
    for name, outline, stands in _standing(jig, timber):
        wide, high = (max(side, timber.side_mm * sqrt(2.0) + WORDS_MM) for side in CARD_MM)
        # The lines of the board lie at whole millimetres, so that a tape finds them.
        middle = np.round(outline.mean(axis=0) - timber.board_low)
        sheet = Sheet(wide, high, words(units, "jig card.title", run=run, name=Name(name, quoted=False)))
        corner = timber.board_low + middle - np.array([wide, high]) / 2.0

        def at(p: Array, corner: Array = corner) -> tuple[float, float]:
            return float(p[0] - corner[0]), float(p[1] - corner[1])

        sheet.line([(0, 0), (wide, 0), (wide, high), (0, high)], Role.PAPER, closed=True)
        over = 10.0 if lengths.get(name) else 5.5
        for low, top in ((0.0, 1.6), (over, high)):  # clear of the words between, and still to both edges
            sheet.line([(wide / 2.0, low), (wide / 2.0, top)], Role.CENTRE)
        sheet.line([(0.0, high / 2.0), (wide, high / 2.0)], Role.CENTRE)
        if stands:
            sheet.line([at(p) for p in outline], Role.OUTLINE, closed=True)
        if name in pads:
            sheet.line([at(p) for p in pads[name]], Role.HIDDEN, closed=True)
        for hole in holes[name]:
            x, y = at(hole)
            sheet.circle((x, y), jig.settings.screw_mm / 2.0, Role.MARK)
            for dx, dy in ((4.0, 0.0), (0.0, 4.0)):
                sheet.line([(x - dx, y - dy), (x + dx, y + dy)], Role.MARK)
        sheet.words(name, (3.0, high - 12.0), 9.0, bold=True)
        sheet.words(sheet.title, (3.0, 2.5), 2.2)
        sheet.words(words(units, "jig card.left", mm=Count(int(middle[0]))), (wide / 2.0 + 1.0, high - 4.0), 2.4)
        below = words(units, "jig card.below", mm=Count(int(middle[1])))
        # Upright along the edge, where no outline reaches.
        sheet.words(below, (wide - 1.2, high / 2.0 + 1.2), 2.4, angle=90.0)
        if lengths.get(name):
            sheet.words(words(units, "jig card.post", mm=Count(int(lengths[name]))), (3.0, 6.5), 2.6, bold=True)
        yield sheet
