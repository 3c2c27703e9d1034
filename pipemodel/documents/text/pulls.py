"""What the hands do, pull by pull, as a block of the text page: the steps of each card, and what must then be true."""

from pipemodel.bending.schedule import SolvedRun
from pipemodel.messages.say import say, words
from pipemodel.messages.values import Count
from pipemodel.pulls.cards import cards_of
from pipemodel.pulls.plan import Plan
from pipemodel.wording.text_page import TextPage
from pipemodel.wording.units import MM, Units


def write_hands(page: TextPage, solved: SolvedRun, plan: Plan, units: Units = MM) -> None:
    """Write the card of each pull: numbered steps, then the measures to take, each with a box to tick."""
    cards = cards_of(solved, plan)
    if not cards:
        return
    page.raw("")
    page.text(words(units, "hands.title"), "  ")
    for card in cards:
        pull = words(units, "hands.pull", pull=Count(card.pull.number), bend=Count(card.pull.bend))
        page.raw("", f"  {pull}")
        for number, step in enumerate(card.to_do, 1):
            page.text(say(step, units), f"    {number}   ")
        for measure in card.to_check:
            page.text(say(measure, units), f"    [ ] {words(units, 'hands.then')}", " " * 8)
