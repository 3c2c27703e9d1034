"""The hand-over page as a file: it asks for nothing outside itself, says what the record says, and harms nobody."""

import json
import re
from collections import Counter
from dataclasses import replace
from html.parser import HTMLParser

import gallery
import numpy as np
import pytest
from command_line import CUPBOARD
from lxml import html
from page_jobs import LONG, cupboard_page, job_of, page_of

from pipemodel import story
from pipemodel.documents.page.page import page_html
from pipemodel.documents.page.room import MOST_TRIANGLES, edges_of, room_part
from pipemodel.geometry.shapes import Box, Cylinder
from pipemodel.job.build_bender import bender_named
from pipemodel.job.model import Hands, Thing
from pipemodel.lists.all_lists import LISTS
from pipemodel.messages.units import INCHES, MM
from pipemodel.results.identity import identity
from pipemodel.results.paper_options import PaperOptions
from pipemodel.solids.extent import Extent

MOST_BYTES = 2_500_000
EMPTY = {"area", "base", "br", "col", "hr", "img", "input", "link", "meta", "source", "use", "path", "rect", "circle",
         "polyline", "polygon", "line"}  # fmt: skip


class Tree(HTMLParser):
    """What is on a page: its tags in order, what they say, and the text within each."""

    def __init__(self, page):
        super().__init__()
        self.tags, self.attributes, self.words, self.open = [], [], [], []
        self.feed(page)

    def handle_starttag(self, tag, attributes):
        self.tags.append(tag)
        self.attributes += [(tag, name, value) for name, value in attributes]
        if tag not in EMPTY:
            self.open.append(tag)

    def handle_startendtag(self, tag, attributes):
        self.tags.append(tag)
        self.attributes += [(tag, name, value) for name, value in attributes]

    def handle_endtag(self, tag):
        assert self.open.pop() == tag

    def handle_data(self, data):
        if not {"script", "style"} & set(self.open):
            self.words.append(data)

    @property
    def text(self):
        return " ".join(" ".join(self.words).split())


def data_of(page):
    return json.loads(re.search(r'id="job-data">(.*?)</script>', page, re.DOTALL)[1])


@pytest.mark.slow
def test_it_asks_for_nothing_outside_itself():
    page = cupboard_page()
    tree = Tree(page)
    assert not tree.open
    assert not {"link", "img", "iframe", "object", "embed", "base", "form"} & set(tree.tags)
    for _, name, value in tree.attributes:
        if name in ("src", "href", "action", "srcset", "data", "poster"):
            assert value.startswith("#"), (name, value)
    # The one address on the page is the name of the language that drawings are written in.
    assert set(re.findall(r"\w+://[^\s\"'<>)]+", page)) == {"http://www.w3.org/2000/svg"}
    assert not re.search(r"@import|url\(|\bfetch\(|XMLHttpRequest|WebSocket|importScripts|sendBeacon", page)
    policy = next(value for _, name, value in tree.attributes if name == "content" and "default-src" in value)
    assert policy.startswith("default-src 'none'")
    assert "connect-src" not in policy


@pytest.mark.slow
def test_it_is_small_and_the_same_every_time():
    page = cupboard_page()
    assert len(page.encode()) < MOST_BYTES
    assert page_of(gallery.airing_cupboard()) == page_of(gallery.airing_cupboard())


@pytest.mark.slow
def test_names_make_no_markup():
    """However wicked the names are, the page has the tags and the attributes of one with plain names."""
    plain = [f"name {i}" for i in range(len(gallery.HOSTILE_NAMES))]
    shifts = range(len(plain))
    tame = Tree(page_of(job_of(plain)))
    for shift in shifts[::3]:
        names = [gallery.HOSTILE_NAMES[(i + shift) % len(plain)] for i in shifts]
        page = page_of(job_of(names))
        page.encode("utf-8")
        tree = Tree(page)
        assert not tree.open
        # How many words the drawings have room for depends on how long the words are.
        drawn = {"text", "path", "title"}
        assert Counter(t for t in tree.tags if t not in drawn) == Counter(t for t in tame.tags if t not in drawn)
        kinds = {(tag, name) for tag, name, _ in tree.attributes}
        assert kinds == {(tag, name) for tag, name, _ in tame.attributes}
        assert not re.search(r"[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f‎‏‪-‮⁦-⁩]", page)


@pytest.mark.slow
@pytest.mark.parametrize("name", ["airing_cupboard", "clashing", "two_runs", "straight", "unbendable_order"])
def test_every_bend_has_one_mark_and_it_is_the_one_it_is_pulled_by(name):
    answered = story.results(getattr(gallery, name)())
    page = page_of(getattr(gallery, name)())
    data, tree = data_of(page), Tree(page)
    for piece, record in zip(data["pieces"], answered.schedule_record["runs"], strict=True):
        planned = {pull["bend"]: pull["mark_mm"] for pull in record["plan"]["pulls"]}
        straights = {MM.short(stated["straight_before_mm"]) for stated in record["bends"]}
        for bend, stated in zip(piece["bends"], record["bends"], strict=True):
            wanted = planned.get(stated["number"], stated["mark_mm"])
            assert bend["at"] == wanted
            assert bend["mark"] == MM.short(wanted)
            other = MM.short(stated["mark_mm"])
            if other not in {MM.short(wanted), *straights}:
                assert f" {other} " not in f" {tree.text} "


def test_the_walk_has_every_pull_in_its_order():
    answered = story.results(gallery.two_runs())
    text = Tree(page_of(gallery.two_runs())).text
    at = text.index("Cut and mark")
    for run in answered.schedule_record["runs"]:
        at = text.index(f"Cut and mark {run['name']}", at)
        for pull in run["plan"]["pulls"]:
            at = text.index(f"Pull {pull['number']}: bend {pull['bend']}", at)
            at = text.index(MM.short(pull["mark_mm"]), at)
        at = text.index(f"In its place {run['name']}", at)


def test_a_run_longer_than_the_stock_is_walked_through_in_pieces():
    job = gallery.job("long", [gallery.run("riser", LONG)])
    page = page_of(job)
    data, text = data_of(page), Tree(page).text
    assert [piece["name"] for piece in data["pieces"]] == ["riser piece 1", "riser piece 2"]
    assert len(data["runs"]) == len(data["runs"][0]["joints"]) == 1
    assert "riser is jointed at" in text
    lengths = [sum(b["before"] + b["arc"] for b in piece["bends"]) + piece["after"] for piece in data["pieces"]]
    assert sum(lengths) == pytest.approx(story.schedule(job).runs[0].table.length_mm)


@pytest.mark.slow
def test_findings_distances_cuts_and_cautions_are_all_there():
    answered = story.results(gallery.clashing())
    page = page_of(gallery.clashing())
    text = Tree(page).text
    for finding in answered.check_record["findings"]:
        assert " ".join(finding["message"].split()) in text
    for caution in answered.check_record["cautions"]:
        assert caution in text
    (table,) = html.fromstring(page).xpath("//section[@aria-labelledby='distances']//table")
    rows = [[" ".join(cell.text_content().split()) for cell in row.xpath("th|td")] for row in table.xpath("tbody/tr")]
    wanted = sorted(answered.check_record["distances"], key=lambda d: d["distance_mm"])[: len(rows)]
    assert len(rows) >= 5
    for (against, *figures), distance in zip(rows, wanted, strict=True):
        assert against == distance["against"]
        assert figures[0].startswith("✕") == (distance["distance_mm"] < distance["required_mm"])
        true = [distance["distance_mm"], distance["required_mm"], distance["at_mm"]]
        assert [float(x.removeprefix("✕ ")) for x in figures] == pytest.approx(true, abs=0.26)
    assert "FAIL: 1 thing is wrong" in text
    assert "length of 3000" in text


@pytest.mark.slow
def test_no_two_elements_have_one_name_whatever_lists_there_are():
    """A link to a list must not lead to a button: every list of the program, and what the page has besides."""
    page = page_of(replace(gallery.clashing(), hands=Hands()))
    names = html.fromstring(page).xpath("//@id")
    assert {"fit", "findings", "cuts"} <= set(names)
    assert [name for name, count in Counter(names).items() if count > 1] == []
    # A list that this job has not may have the name of nothing else either.
    bare = html.fromstring(page_of(gallery.job("bare", [gallery.run("one")]))).xpath("//main//section[@id='walk']//@id")
    assert not set(LISTS) & set(bare)


@pytest.mark.slow
@pytest.mark.parametrize("hands", [None, Hands(mark_mm=10.0, angle_deg=10.0, turn_deg=20.0)])
def test_the_first_line_does_not_hide_what_is_to_be_looked_at(hands):
    job = replace(gallery.airing_cupboard(), hands=hands)
    (head,) = html.fromstring(page_of(job)).xpath("//*[contains(@class, 'verdict')]")
    warnings = sum(f.severity == "warning" for f in story.results(job).report.findings)
    assert bool(warnings) == bool(hands)
    said = " ".join(head.text_content().split())
    assert said == "✓ PASS: clear as drawn" + (f"; {warnings} things to look at" if warnings else "")
    assert bool(head.xpath("a[@href='#findings']")) == bool(warnings)


def test_what_cannot_be_bent_is_said_where_it_would_be_pulled():
    answered = story.results(gallery.unbendable_order())
    text = Tree(page_of(gallery.unbendable_order())).text
    walk = text[text.index("Cut and mark") : text.index("In its place")]
    for why in answered.schedule_record["runs"][0]["plan"]["why_not"]:
        assert " ".join(why.split()) in walk


def test_another_job_has_other_ticks():
    """The key that ticks are kept under changes with whatever the hands would do otherwise, and with nothing else."""
    here = gallery.run()
    jobs = [
        gallery.job(),
        gallery.job(runs=[gallery.run(corners=((0.0, 120.0, 451.0), *gallery.FLOW[1:]))]),
        gallery.job(runs=[gallery.run(former=replace(gallery.FORMER_15, mark_mm=3.0))]),
        gallery.job(runs=[replace(here, bender=bender_named("15 mm hand bender"))]),
        gallery.job("another name"),
    ]
    assert len({identity(story.schedule(job)) for job in jobs}) == len(jobs)
    in_a_room = gallery.job(things=gallery.ROOM, clearance=8.0)
    assert identity(story.schedule(in_a_room)) == identity(story.schedule(jobs[0]))


def test_edges_of_a_block_are_its_twelve():
    part = room_part("block", Box((0.0, 0.0, 0.0), (3.0, 4.0, 5.0)), Extent((0.0, 0.0, 0.0), (9.0, 9.0, 9.0)))
    lengths = np.linalg.norm(part.edges[:, 1] - part.edges[:, 0], axis=1)
    assert sorted(lengths) == pytest.approx([3.0] * 4 + [4.0] * 4 + [5.0] * 4)
    points = part.triangles.reshape(-1, 3)
    assert (tuple(points.min(axis=0)), tuple(points.max(axis=0))) == ((0.0, 0.0, 0.0), (3.0, 4.0, 5.0))


def test_edges_of_a_flat_sheet_are_its_outline():
    """Two triangles in one plane share an edge that is no crease; one that stands up on a side makes a crease of it."""
    a, b, c, d, e = ((0, 0, 0), (2, 0, 0), (2, 1, 0), (0, 1, 0), (0, 0, 1))
    sheet = np.array([[a, b, c], [a, c, d]], dtype=float)
    assert len(edges_of(sheet)) == 4
    assert len(edges_of(np.concatenate([sheet, np.array([[a, e, b]], dtype=float)]))) == 6
    assert edges_of(np.zeros((1, 3, 3))).shape == (0, 2, 3)


@pytest.mark.parametrize(("angle", "count"), [(39.0, 4), (41.0, 5), (-39.0, 4), (-41.0, 5)])
def test_faces_that_meet_at_more_than_40_degrees_have_an_edge(angle, count):
    """Two faces along a common side, one turned up or down from the other's plane."""
    up = (np.cos(np.radians(angle)), 0.0, np.sin(np.radians(angle)))
    apart = np.array([[(0, 0, 0), (0, 1, 0), (-1, 0, 0)], [(0, 1, 0), (0, 0, 0), up]], dtype=float)
    assert len(edges_of(apart)) == count


def test_a_name_may_stand_along_a_pipe_and_within_a_block():
    """Of a pipe on its axis, between its ends, in the middle first; of a block along its longest side first."""
    extent = Extent((0.0, 0.0, 0.0), (900.0, 900.0, 900.0))
    pipe = room_part("pipe", Cylinder((100.0, 50.0, 0.0), (100.0, 50.0, 800.0), 40.0), extent)
    assert pipe.anchors[0] == pytest.approx((100.0, 50.0, 400.0))
    assert {p[:2] for p in pipe.anchors} == {(100.0, 50.0)}
    heights = [p[2] for p in pipe.anchors]
    assert len(set(heights)) == 5
    assert sorted(heights) == pytest.approx([800.0 - z for z in sorted(heights, reverse=True)])
    assert min(heights) == pytest.approx(40.0)
    block = room_part("block", Box((0.0, 0.0, 0.0), (30.0, 400.0, 50.0)), extent)
    assert block.anchors[:3] == (
        pytest.approx((15.0, 200.0, 25.0)),
        pytest.approx((15.0, 40.0, 25.0)),
        pytest.approx((15.0, 360.0, 25.0)),
    )
    assert all(0.0 < x < 30.0 and 0.0 < y < 400.0 and 0.0 < z < 50.0 for x, y, z in block.anchors)


@pytest.mark.slow
def test_a_thing_of_very_many_triangles_is_drawn_as_its_block():
    from pipemodel.geometry.shapes import Mesh

    n = MOST_TRIANGLES + 1
    points = np.random.default_rng(3).uniform(-1.0, 1.0, (3 * n, 3))
    mesh = Mesh(points, np.arange(3 * n).reshape(-1, 3), False, "scan.stl")
    part = room_part("scan", mesh, Extent((0.0, 0.0, 0.0), (9.0, 9.0, 9.0)))
    assert part.boxed
    job = gallery.job(things=[Thing("scan", mesh)])
    assert "scan: too fine for the picture here" in Tree(page_of(job)).text
    assert part.triangles.shape == (12, 3, 3)
    corners = part.triangles.reshape(-1, 3)
    assert (corners.min(axis=0) == points.min(axis=0)).all()
    assert (corners.max(axis=0) == points.max(axis=0)).all()


@pytest.mark.slow
def test_in_inches_every_length_is_in_inches():
    """962 mm are 37.87 in, 37 7/8 to the sixteenth; 2799 mm are 110.19, 110 3/16."""
    answered = story.results(story.load(CUPBOARD), paper_options=PaperOptions(INCHES, date="2026-03-01", revision="B"))
    page = page_html(answered)
    text = Tree(page).text
    assert "Cut 110 3/16 (110.19) in" in text
    assert "Mark 37 7/8 (37.87) from the start end" in text
    assert "revision B, 2026-03-01" in text
    assert not re.search(r"\d mm\b", text)
    assert [bend["mark"] for bend in data_of(page)["pieces"][0]["bends"]][1] == "37 7/8"


@pytest.mark.slow
def test_changes_against_an_earlier_pack_are_said():
    earlier = story.results(story.load(CUPBOARD, {"aside": 130})).schedule_record
    page = page_html(story.results(story.load(CUPBOARD), paper_options=PaperOptions(earlier=earlier)))
    text = Tree(page).text
    assert "What changed" in text
    assert re.search(r"mark 3 moved from [\d.]+ to 1129\b", text)
    assert "What changed" not in Tree(cupboard_page()).text
