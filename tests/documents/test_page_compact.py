"""Drawings made smaller draw the same: every line where it was, in the look it had."""

import re
from itertools import pairwise
from math import hypot
from xml.etree import ElementTree

import gallery
import pytest

from pipemodel import story
from pipemodel.documents.page.compact import STEP, Looks
from pipemodel.drawing.pull_drawing import pull_pictures
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
            yield to_svg(pull_pictures(solved, card).sheet)


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
            at = (0.0, 0.0)
            for part in element.get("d").removeprefix("m").split("m"):
                figures = [float(x) for x in re.findall(r"-?(?:\d+\.?\d*|\.\d+)", part)]
                points = [at]
                for i in range(0, len(figures), 2):
                    points.append((points[-1][0] + figures[i], points[-1][1] + figures[i + 1]))
                at = points[1] if part.endswith("z") else points[-1]
                yield points[1:], part.endswith("z"), look


def off_line(p, line):
    """How far a point lies from a line of straights."""
    off = []
    for a, b in pairwise(line if len(line) > 1 else 2 * line):
        way = (b[0] - a[0], b[1] - a[1])
        size = way[0] ** 2 + way[1] ** 2
        share = min(max(((p[0] - a[0]) * way[0] + (p[1] - a[1]) * way[1]) / size, 0.0), 1.0) if size else 0.0
        off.append(hypot(p[0] - a[0] - share * way[0], p[1] - a[1] - share * way[1]))
    return min(off)


def rules_of(css):
    found = re.findall(r"\.(\w+)\{(.*?)\}", css)
    return {name: dict(rule.split(":") for rule in rules.strip(";").split(";")) for name, rules in found}


@pytest.mark.slow
def test_every_line_is_where_it_was_and_looks_as_it_did():
    looks, lines, before, after = Looks(), 0, 0, 0
    for svg in drawings():
        small = looks.compact(svg)
        rules = rules_of(looks.css)
        drawn, last = list(strokes(small, rules)), []
        for points, closed, look in strokes(svg, {}):
            if drawn and max(abs(a - b) for a, b in zip(points[0], drawn[0][0][0], strict=True)) > 0.51 * STEP:
                # Left out: a dot where the line before ended.
                assert not closed
                assert max(off_line(p, last) for p in points) < 0.71 * STEP
                continue
            now, shut, seen = drawn.pop(0)
            last = now
            assert (closed, look) == (shut, seen)
            closing = [0] if closed else []
            # What is left out lies nearer to the line drawn than a small part of a pixel.
            assert max(off_line(p, [*now, *(now[k] for k in closing)]) for p in points) < 1.4 * STEP
            assert max(off_line(q, [*points, *(points[k] for k in closing)]) for q in now) < 0.71 * STEP
            lines += 1
        assert not drawn
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
