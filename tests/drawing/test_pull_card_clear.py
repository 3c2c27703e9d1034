"""What the hands look for on a pull's drawing is there and nothing lies over it: read from the SVG, with shapely.

Fills and letters that come after a part of the bender in the file are drawn over it.
"""

import re
import xml.etree.ElementTree as ET
from dataclasses import replace
from functools import cache
from itertools import combinations
from math import cos, radians, sin

import pytest
import shapely
from made_runs import SPRINGY, made_run, random_run, standing
from test_labels import assert_clear, box_of
from wide import few_or_many

from pipemodel.drawing.clipping import ClipWindow
from pipemodel.drawing.labels import Label, LabelSpot, put_label
from pipemodel.drawing.panel import Panel
from pipemodel.drawing.primitives import PENS, Line, Role, Text
from pipemodel.drawing.pull_drawing import WIDTH, card_sheet, pull_pictures
from pipemodel.drawing.pull_view import first_eye
from pipemodel.drawing.sheet import Sheet
from pipemodel.drawing.svg import to_svg
from pipemodel.messages.units import INCHES, MM, units_for
from pipemodel.pulls.cards import cards_of
from pipemodel.pulls.plan import plan_pulls

READERS = (MM, INCHES, units_for("mm", "de"), units_for("in", "de"))
OFFSETS = (0.0, 65.0, -40.0, 5.0)


def colour(role):
    return "#" + "".join(f"{round(c * 255):02x}" for c in PENS[role].colour)


@cache
def drawings():
    """Drawings of random runs, for every reader, both ways a bender stands, and formers with marks off the rim."""
    out = []
    for seed in range(few_or_many(6, 24)):
        drawn = random_run(seed, None, hold_mm=20.0, guide_mm=10.0, springback=SPRINGY, mark_mm=OFFSETS[seed % 4])
        for run in (standing(drawn, "flat"), standing(drawn, "upright")):
            for card in cards_of(run, plan_pulls(run)):
                out.append((run, card, pull_pictures(run, card, READERS[(seed + card.pull.number) % 4])))
    return out


def elements(sheet):
    """Every shape of the SVG in the order it is drawn: its tag, its attributes and its outline, y downwards."""
    out = []
    for e in ET.fromstring(to_svg(sheet)).iter():
        tag = e.tag.split("}")[1]
        if tag in ("polygon", "polyline"):
            points = [tuple(map(float, p.split(","))) for p in e.get("points").split()]
            out.append((tag, e.attrib, points))
        elif tag == "circle":
            out.append((tag, e.attrib, shapely.Point(float(e.get("cx")), float(e.get("cy"))).buffer(float(e.get("r")))))
        elif tag == "text":
            out.append((tag, e.attrib, e.text))
    return out


def covers(shapes, words, height):
    """Return what fills or writes over whatever was drawn before it: outlines by their place in the order."""
    out, texts = {}, iter(words)
    for place, (tag, looks, outline) in enumerate(shapes):
        if tag == "text":
            box = box_of(next(texts))
            out[place] = shapely.transform(box, lambda p: [(x, height - y) for x, y in p])
        elif looks.get("fill", "none") != "none":
            out[place] = outline if tag == "circle" else shapely.make_valid(shapely.Polygon(outline))
    return out


@pytest.mark.slow
def test_guide_lever_inside_line_mark_and_arrow_are_drawn_and_nothing_covers_them():
    pulls = 0
    for _, card, drawing in drawings():
        sheet = drawing.sheet
        shapes = elements(sheet)
        areas = covers(shapes, [i for i in sheet.primitives() if isinstance(i, Text)], sheet.height)
        numbers, tree = list(areas), shapely.STRtree(list(areas.values()))
        blue = colour(Role.MARK)
        places = list(enumerate(shapes))
        stroke = {i: look.get("stroke") for i, (_, look, _) in places}
        many = {i: len(outline) for i, (tag, _, outline) in places if tag in ("polygon", "polyline")}
        wanted = {
            "guide": [i for i in many if stroke[i] == colour(Role.GUIDE)],
            "lever": [i for i in many if stroke[i] == colour(Role.LEVER)],
            "inside line": [i for i in many if stroke[i] == colour(Role.INSIDE)],
            "mark": [i for i in many if stroke[i] == blue and many[i] == 2],
            "arrow": [i for i in many if stroke[i] == blue and many[i] == 13],
            "rim's start and the arrow's head": [i for i in many if shapes[i][1].get("fill") == blue],
        }
        views = 1 + sum(picture.again and not picture.after for picture in drawing.pictures)
        for name, found in wanted.items():
            assert len(found) == views * (2 if " and " in name else 1), name
            for place in found:
                tag, _, points = shapes[place]
                line = shapely.LineString([*points, points[0]] if tag == "polygon" else points)
                hidden = [
                    k
                    for k in sorted(numbers[i] for i in tree.query(line))
                    if k > place and areas[k].intersection(line).length > 0.05
                ]
                # An arrow's own head stands on its end.
                hidden = [k for k in hidden if not (name == "arrow" and k == place + 1)]
                assert not hidden, (name, card.pull, [shapes[k] for k in hidden])
        pulls += 1
    assert pulls >= 24


@pytest.mark.slow
def test_no_label_lies_on_another_and_no_line_runs_through_one():
    labels = led = 0
    for _, _, drawing in drawings():
        items = list(drawing.sheet.primitives())
        some = assert_clear(items, [])
        boxes = [box_of(i) for i in items if isinstance(i, Text)]
        assert not any(a.intersects(b) for a, b in combinations(boxes, 2))
        for box in boxes:
            left, low, right, high = box.bounds
            assert min(left, low) >= 0.0
            assert right <= WIDTH
            assert high <= drawing.sheet.height
        labels, led = labels + some[0], led + some[1]
    assert labels > 700
    assert led > 60


@pytest.mark.slow
def test_a_drawing_uses_its_width_unless_its_height_is_used_up():
    """From the outermost stroke or letter to the other; a picture is 70 high at most, headings not counted."""
    full = high = 0
    for _, _, drawing in drawings():
        first = drawing.pictures[0].window
        # Headings begin at the edge; only what is drawn counts.
        items = list(drawing.sheet.primitives())
        drawn = [i for i in items if isinstance(i, Line) and i.role is not Role.PAPER]
        strokes = [p for i in drawn for p in i.points if first.low <= p[1] <= first.high]
        texts = [i for i in items if isinstance(i, Text) and first.low + 4.0 < i.at[1] < first.high - 5.0]
        ends = [p[0] for p in strokes] + [x for i in texts for x in (box_of(i).bounds[0], box_of(i).bounds[2])]
        used = (max(ends) - min(ends)) / WIDTH
        if first.high - first.low > 69.9:
            high += 1
        else:
            assert used >= 0.88, used
            full += 1
    assert full >= 2
    assert high >= 2


@pytest.mark.slow
def test_a_heading_too_wide_for_the_drawing_goes_on_in_the_next_line():
    """Turned end for end, with another former to put in."""
    run = made_run([300, 200, 300], [90, 90], [37])
    card = cards_of(run, plan_pulls(run))[1]
    card = replace(card, pull=replace(card.pull, turn_round=True, change_former=True))
    for reader in READERS:
        sheet = pull_pictures(run, card, reader).sheet
        heads = [i for i in sheet.primitives() if isinstance(i, Text) and i.bold and i.height == 3.0]
        assert len(heads) == (2 if reader.language == "en" else 1)
        assert all(box_of(head).bounds[2] <= WIDTH - 2.0 for head in heads)


def test_a_line_to_a_label_ends_before_each_of_its_own_lines():
    """Every way round, with one, two and three lines of words."""
    ways = 0
    for under in ("", "tail 600 long,", "tail 600 long,\ndrawn shorter, and much wider than its first line"):
        for turn in range(0, 360, 45):
            way = (cos(radians(turn + 20)), sin(radians(turn + 20)))
            sheet = Sheet(400.0, 400.0)
            area = ClipWindow(0.0, 0.0, 400.0, 400.0)
            panel = Panel(sheet, first_eye("flat"), area, area, 1.0)
            # What keeps it away, so that it gets a line.
            panel.placer.add_stroke([(200.0 + 9.0 * dx, 200.0 + 9.0 * dy)
                                     for dx, dy in ((1, 0), (0, 1), (-1, 0), (0, -1), (1, 0))])  # fmt: skip
            put_label(panel, Label("start", 2.2, under=under), [LabelSpot((200.0, 200.0), way)], 250.0)
            (line,) = [i for i in sheet.items if isinstance(i, Line)]
            for words in (i for i in sheet.items if isinstance(i, Text)):
                assert not box_of(words).intersects(shapely.LineString(line.points))
            ways += 1
    assert ways == 24


@pytest.mark.slow
def test_on_a_card_of_a_piece_of_many_bends_the_former_is_large_and_what_is_left_out_is_named():
    run = made_run([150.0] * 11, [45, 30] * 5, [90, 180, 0, -90, 180, 90, 0, 180, 90], hold_mm=20.0, guide_mm=10.0)
    card = cards_of(run, plan_pulls(run))[-1]
    pull, limit = card.pull.bend, 3
    left_out = [n for n in card.pull.made if abs(n - pull) > limit]
    assert left_out
    for reader in READERS:
        sheet = card_sheet(run, card, reader)
        items = list(sheet.primitives())
        assert_clear(items, [])
        texts = [i.text for i in items if isinstance(i, Text)]
        assert {int(text) for text in texts if text.isdigit()} == {*card.pull.made, pull} - set(left_out)
        said = " ".join(text for text in texts if text.startswith(("not drawn", "nicht gez")))
        named = {int(n) for n in re.findall(r"\d+", said)}
        assert named == set(left_out)
        rims = [i.points for i in items if isinstance(i, Line) and i.role is Role.FORMER and i.filled]
        wide = [max(p[0] for p in rim) - min(p[0] for p in rim) for rim in rims if len(rim) > 20]
        assert max(wide) > 9.0
