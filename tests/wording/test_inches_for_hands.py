"""What hands go by in inches has the fraction of a tape; a decimal stands beside it, and alone only for a caliper."""

import re

import pytest
from made_runs import made_run
from worked_job import WORKED, worked

from pipemodel.documents.text.cut_list import cuts_text
from pipemodel.documents.text.schedule import schedule_text
from pipemodel.lists.all_lists import listings
from pipemodel.lists.blocks import Paragraph
from pipemodel.lists.table import say as worded
from pipemodel.messages.say import say
from pipemodel.messages.units import INCHES, units_for
from pipemodel.pulls.cards import cards_of
from pipemodel.pulls.plan import plan_pulls
from pipemodel.trade.model import Former, Springback
from pipemodel.wording.phrases import former_words, mark_words

ALONE = re.compile(r"(?<![\d.,(])\d+[.,]\d+(?![\d]*(?:°|\)| ?%| degree| Grad))")
"""A figure with decimals that stands in no bracket and is no angle and no share."""
CALIPER = re.compile(r"(?:by caliper across its middle at most|höchstens) \d[.,]\d+ (?:in|Zoll)")

ROUND = re.compile(r"\d[.,]\d{3} (?:in|Zoll) \(~(?:\d+ )?\d+/\d+\)")
"""Round the tube a part of an inch is a degree and more, and only says where about it is."""


def alone(text):
    return ALONE.findall(ROUND.sub("", CALIPER.sub("", text)))


@pytest.mark.parametrize("language", ["en", "de"])
def test_cards_and_formers(language):
    units = units_for("in", language)
    run = made_run([345, 140, 295], [90, 52], [37], mark_mm=21.3, springback=Springback(0.05, 1.5))
    steps = [say(step, units) for card in cards_of(run, plan_pulls(run)) for step in (*card.to_do, *card.to_check)]
    former = Former(55.0, mark_mm=20.0, hold_mm=60.0, guide_mm=10.0, guide_block_mm=95.0, guide_travel_mm=33.0)
    said = [*steps, former_words(former, units), mark_words(former, units)]
    assert [text for text in said if alone(text)] == []
    assert sum("/" in text for text in said) > 6


def test_the_papers_of_a_job_for_the_fitter():
    answer = worked(WORKED, INCHES)
    clips = next(one for one in listings(answer) if one.kind.name == "clips")
    titles = [worded(part.text, INCHES) for group in clips.content.groups for part in group.parts
              if isinstance(part, Paragraph) and part.look != "aside"]  # fmt: skip
    rows = ("pull to", "springs")
    for text in (schedule_text(answer), cuts_text(answer), *titles):
        # In a table of pulls and bends the figure with a decimal is an angle.
        lines = [line for line in text.split("\n") if "  " not in line.strip() and not line.startswith(rows)]
        said = " ".join(" ".join(lines).split()).replace("15 x 0.7 copper", "")
        # How far a leg stands off a face, and a clip reaches, is the job's own and compared, not taped.
        said = re.sub(r"the axis of leg \d stands .*? in off .*?, and a clip reaches [\d.]+ in", "", said)
        # How far the tube lies past the point that the job gives is worked out.
        assert alone(re.sub(r"so it ends [\d.]+ in beyond the point", "", said)) == []
