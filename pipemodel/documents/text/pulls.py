"""What the hands do, pull by pull, as a block of the text page: the steps of each card, and what must then be true."""

from collections.abc import Sequence

from pipemodel.pulls.cards import Card
from pipemodel.wording.text_page import TextPage
from pipemodel.wording.units import MM, Units


def write_hands(page: TextPage, cards: Sequence[Card], units: Units = MM) -> None:
    """Write the card of each pull: numbered steps, then the measures to take, each with a box to tick."""
    if not cards:
        return

    def length(mm: float) -> str:
        return f"{units.length(mm)} {units.name}"

    page.raw("")
    page.text(
        "What the hands do. You look down on the bender: the held end to your left, and you pull the free end "
        "towards you.",
        "  ",
    )
    for card in cards:
        page.raw("", f"  Pull {card.pull.number}: bend {card.pull.bend}")
        for number, step in enumerate(card.to_do(length), 1):
            page.text(step, f"    {number}   ")
        for measure in card.to_check(length):
            page.text(measure, "    [ ] then ", " " * 8)
