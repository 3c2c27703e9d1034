"""Drawings made smaller draw the same: every line where it was, in the look it had."""

import re
from math import hypot
from xml.etree import ElementTree

import gallery
import pytest

from pipemodel import story
from pipemodel.documents.page.compact import STEP, Looks
from pipemodel.drawing.pull_drawing import pull_sheet
from pipemodel.drawing.svg import to_svg
from pipemodel.drawing.tape_line import tape_line
from pipemodel.pulls.cards import cards_of

LOOKS = ("fill", "stroke", "stroke-width", "stroke-linecap", "stroke-linejoin", "stroke-dasharray")
SVG = "{http://www.w3.org/2000/svg}"


def drawings():
    answered = story.results(gallery.two_runs())
    for solved, plan in zip(answered.schedule.runs, answered.plans, strict=True):
        yield to_svg(tape_line(solved, plan))
        for card in cards_of(solved, plan):
            yield to_svg(pull_sheet(solved, card))


def is_disc(points):
    """Whether an outline is the sixteen corners of a disc."""
    x, y = (sum(axis) / len(points) for axis in zip(*points, strict=True))
    off = [hypot(px - x, py - y) for px, py in points]
    return len(points) == 16 and max(off) - min(off) < 0.01


def discs_and_circles(svg):
    """Return the corners of the discs of a drawing, and the middles and radii of its circles."""
    discs, circles = [], []
    for element in ElementTree.fromstring(svg).iter():
        if element.tag == f"{SVG}polygon":
            points = [tuple(map(float, pair.split(","))) for pair in element.get("points").split()]
            discs += [points] * is_disc(points)
        elif element.tag == f"{SVG}circle":
            circles.append(tuple(float(element.get(name)) for name in ("cx", "cy", "r")))
    return discs, circles


def strokes(svg, rules):
    """Return every line of a drawing, in order: its points, whether it is closed, and its look."""
    for element in ElementTree.fromstring(svg).iter():
        tag = element.tag.removeprefix(SVG)
        if tag in ("polyline", "polygon"):
            points = [tuple(map(float, pair.split(","))) for pair in element.get("points").split()]
            if is_disc(points):
                continue
            yield points, tag == "polygon", tuple(element.get(name) for name in LOOKS)
        elif tag == "path" and rules:
            look = tuple(rules[element.get("class")].get(name) for name in LOOKS)
            for part in (part for part in element.get("d").removeprefix("M").split("M") if "A" not in part):
                figures = [float(x) for x in re.findall(r"-?(?:\d+\.?\d*|\.\d+)", part)]
                points = [tuple(figures[:2])]
                for i in range(2, len(figures), 2):
                    points.append((points[-1][0] + figures[i], points[-1][1] + figures[i + 1]))
                yield points, part.endswith("z"), look


def rules_of(css):
    found = re.findall(r"\.(\w+)\{(.*?)\}", css)
    return {name: dict(rule.split(":") for rule in rules.strip(";").split(";")) for name, rules in found}


@pytest.mark.slow
def test_every_line_is_where_it_was_and_looks_as_it_did():
    looks, lines, before, after = Looks(), 0, 0, 0
    for svg in drawings():
        small = looks.compact(svg)
        rules = rules_of(looks.css)
        for (points, closed, look), (now, shut, seen) in zip(strokes(svg, {}), strokes(small, rules), strict=True):
            assert (closed, look) == (shut, seen)
            assert len(points) == len(now)
            for p, q in zip(points, now, strict=True):
                assert q == pytest.approx(p, abs=0.5001 * STEP)
            lines += 1
        discs, circles = discs_and_circles(svg)
        left, round_ones = discs_and_circles(small)
        assert not left
        assert len(round_ones) == len(circles) + len(discs)
        for disc in discs:
            assert any(all(abs(hypot(x - a, y - b) - r) < 1.5 * STEP for x, y in disc) for a, b, r in round_ones)
        before, after = before + len(svg), after + len(small)
    assert lines > 500
    assert after < 0.5 * before


def test_words_are_left_as_they_are():
    svg = '<svg><text x="1.23456" y="2" fill="#000" font-size="3">12.34567 &lt;path points="1.2345,2"/&gt;</text></svg>'
    looks = Looks()
    small = looks.compact(svg)
    assert small == '<svg><text class="d0" x="1.23" y="2">12.34567 &lt;path points="1.2345,2"/&gt;</text></svg>'
    assert looks.css == ".d0{fill:#000;font-size:3px;}"


def test_filled_shapes_stay_apart():
    """Two squares, one within the other, as one path might leave a hole."""
    square = '<polygon points="0,0 9,0 9,9 0,9" fill="#dbe0e6"/>'
    assert Looks().compact(f"<svg>{square}{square}</svg>").count("<path") == 2
    hollow = square.replace("#dbe0e6", "none")
    assert Looks().compact(f"<svg>{hollow}{hollow}</svg>").count("<path") == 1
