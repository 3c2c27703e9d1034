"""The drawing on a pull card: what it says and where things lie on it, read back from the SVG."""

import re
import xml.etree.ElementTree as ET

import gallery
import pytest
from made_runs import made_run

from pipemodel import story
from pipemodel.drawing.pull_drawing import pull_pictures
from pipemodel.drawing.pull_legs import with_short_legs
from pipemodel.drawing.sheet import Circle, Line, Role, Text
from pipemodel.drawing.svg import to_svg
from pipemodel.pulls.cards import cards_of
from pipemodel.pulls.limits import FlatTube
from pipemodel.pulls.plan import plan_pulls

RUN = made_run([245, 140, 90, 295], [90, 90, 45], [90, 180])


def drawn(run=RUN):
    return [(card, pull_pictures(run, card).sheet) for card in cards_of(run, plan_pulls(run))]


def words(sheet):
    return [item.text for item in sheet.items if isinstance(item, Text)]


def places(sheet, text):
    return [item.at for item in sheet.items if isinstance(item, Text) and item.text == text]


def test_it_is_svg_of_both_moments_with_everything_named():
    for card, sheet in drawn():
        root = ET.fromstring(to_svg(pull_pictures(RUN, card).sheet))
        assert root.tag.endswith("svg")
        texts = words(sheet)
        assert "before" in texts
        assert any(t.startswith("after: ") for t in texts)
        assert texts.count("mark") == 1
        assert texts.count("pull") == 1
        assert any(t.lower() == str(card.roll).lower() for t in texts)
        made = {str(n) for n in card.pull.made}
        assert {t for t in texts if t.isdigit()} == made | {str(card.pull.bend)}
        # The bend pulled is there afterwards only, and stands out.
        assert len(places(sheet, str(card.pull.bend))) == 1
        assert sum(isinstance(i, Circle) and i.role is Role.TUBE_NEW for i in sheet.items) == 1


def test_the_held_end_is_drawn_to_the_left():
    for card in cards_of(RUN, plan_pulls(RUN)):
        drawing = pull_pictures(RUN, card)
        sheet = drawing.sheet
        other = "finish" if card.left_end == "start" else "start"
        held = [i.at[0] for i in sheet.items if isinstance(i, Text) and i.text.split(",")[0] == card.left_end]
        free = [i.at[0] for i in sheet.items if isinstance(i, Text) and i.text.split(",")[0] == other]
        assert held[0] < free[0] < drawing.pictures[0].window.right


def test_the_free_end_comes_towards_the_one_who_pulls():
    """Before the pull it lies further up the sheet than after; the arrow points down, too."""
    run = made_run([150, 150], [90])
    ((_, sheet),) = drawn(run)
    before, after = [i.at for i in sheet.items if isinstance(i, Text) and i.text == "finish"]
    assert after[1] < before[1]
    arrow = next(i for i in sheet.items if isinstance(i, Line) and i.role is Role.MARK and len(i.points) == 13)
    assert arrow.points[-1][1] < arrow.points[0][1]


@pytest.mark.parametrize(("turn", "way"), [(90, "up"), (-90, "down")])
def test_a_leg_above_the_bender_is_drawn_above_it_and_says_so(turn, way):
    """East, north, up: rolled a quarter clockwise seen from the start the first leg stands up from the bender."""
    run = made_run([345, 140, 345], [90, 90], [turn])
    card, sheet = drawn(run)[1]
    assert (card.pull.bend, card.pull.held) == (2, "start")
    assert f"start, 400 {way}" in words(sheet)
    bend = places(sheet, "1")[0]
    end = places(sheet, f"start, 400 {way}")[0]
    assert (end[1] > bend[1]) == (way == "up")


def test_nothing_is_written_outside_the_sheet():
    for _, sheet in drawn():
        for item in sheet.items:
            if isinstance(item, Text):
                assert 0 <= item.at[0] <= sheet.width
                assert 0 <= item.at[1] <= sheet.height


def test_the_same_card_gives_the_same_bytes():
    (card, *_) = [card for card, _ in drawn()]
    assert to_svg(pull_pictures(RUN, card).sheet) == to_svg(pull_pictures(RUN, card).sheet)
    assert not re.search(r"nan|inf|e-\d", to_svg(pull_pictures(RUN, card).sheet))


def test_long_legs_are_broken_and_the_rest_keeps_its_place():
    """A leg of 1,000 between two bends is drawn as three radii of 55, and how long it is written at its break."""
    run = made_run([300, 1000, 300], [90, 90], [0])
    card, sheet = drawn(run)[1]
    assert card.pull.made
    assert words(sheet).count("leg 1000 long,") == 2
    assert words(sheet).count("drawn shorter") == 2 + 4
    bends, tube = with_short_legs(run.table.bends, FlatTube.of(run), {1, 2})
    assert bends[1].start_mm - bends[0].finish_mm == pytest.approx(165)
    assert tube.length == pytest.approx(run.table.length_mm - 835)
    assert tube.starts[0] == run.table.bends[0].start_mm
    # While bend 1 is not made there is no such leg.
    assert with_short_legs(run.table.bends, FlatTube.of(run), {2})[1] == FlatTube.of(run)


@pytest.mark.parametrize("mark", [30.0, -30.0])
def test_the_mark_is_drawn_on_its_side_of_where_the_bend_begins(mark):
    """Held by the start side a mark further from the start lies to the right of one nearer to it."""
    at = {
        offset: places(drawn(made_run([300, 200], [90], mark_mm=offset))[0][1], "mark")[0][0] for offset in (0.0, mark)
    }
    assert (at[mark] > at[0.0]) == (mark > 0)


@pytest.mark.slow
def test_make_writes_the_pulls_of_every_run(tmp_path):
    answered = story.results(gallery.two_runs())
    story.write(answered, tmp_path / "out", ["pulls"])
    for solved, plan in zip(answered.schedule.runs, answered.plans, strict=True):
        root = ET.parse(tmp_path / "out" / f"{solved.name}-pulls.svg").getroot()
        titles = [e.text for e in root.iter("{http://www.w3.org/2000/svg}title")]
        assert titles[0] == solved.name
        assert [t.split(":")[0] for t in titles[1:]] == [f"Pull {p.number}, bend {p.bend}" for p in plan.pulls]
