"""The page of many runs: far things and repeated drawings are left out, and a large page is announced."""

import io
import json
import re

import gallery
import pytest
from browser import DESK, go, opened
from PIL import Image

from pipemodel import story
from pipemodel.documents import page_and_pack
from pipemodel.documents.page.page import page_html
from pipemodel.documents.page.room import room_parts
from pipemodel.geometry.shapes import Box, HalfSpace
from pipemodel.job.model import Thing
from pipemodel.solids.near import FAR_MM, near_things

SQUARE = ((0, 0, 0), (600, 0, 0), (600, 400, 0))


def moved(by):
    return tuple((x + by, y, z) for x, y, z in SQUARE)


def block(name, x):
    return Thing(name, Box((x, -50.0, -50.0), (x + 100.0, 50.0, 50.0)))


def test_things_far_from_every_run_are_not_in_the_picture():
    tube = 15.0 / 2.0
    things = [
        block("just near", 600.0 + tube + FAR_MM - 1.0),
        block("just far", 600.0 + tube + FAR_MM + 1.0),
        block("beside the other", 20_000.0 - FAR_MM - 60.0),
        Thing("wall", HalfSpace((0.0, 90_000.0, 0.0), (0.0, -1.0, 0.0))),
    ]
    job = gallery.job("x", [gallery.run("a", SQUARE), gallery.run("b", moved(20_000))], things)
    schedule = story.schedule(job)
    near = ["just near", "beside the other", "wall"]
    assert [thing.name for thing in near_things(schedule)] == near
    assert [part.name for part in room_parts(schedule)] == near
    page = page_html(story.results(job))
    assert "1 thing farther than 3000 mm from every run: not shown." in page
    data = json.loads(re.search(r'<script type="application/json"[^>]*>(.*?)</script>', page, re.DOTALL)[1])
    assert [part["name"] for part in data["room"]] == near
    # It is measured all the same, and stands in the lists.
    assert page.count("just far") >= 1


@pytest.mark.slow
def test_with_all_of_it_near_nothing_is_said():
    assert "from every run: not shown" not in page_html(story.results(gallery.airing_cupboard()))


def stand_ins(page):
    return re.findall(r'<figure class="stand-in".*?</figure>', page, re.DOTALL)


@pytest.mark.slow
def test_a_run_is_drawn_with_what_stands_near_it_only():
    def drawn(*things):
        job = gallery.job("x", [gallery.run("a", SQUARE), gallery.run("b", moved(5_500))], things)
        return stand_ins(page_html(story.results(job)))

    by_a, by_b, far_off = block("by a", 640.0), block("by b", 6_140.0), block("far off both", 3_400.0)
    none, of_a, of_b = drawn(), drawn(by_a), drawn(by_b)
    assert drawn(by_a, by_b, far_off) == [of_a[0], of_b[1]]
    assert (of_a[1], of_b[0]) == (none[1], none[0])
    assert of_a[0] != none[0]
    assert of_b[1] != none[1]


@pytest.mark.slow
def test_pulls_that_are_alike_are_in_the_page_once():
    pages_of = {}
    for count in (1, 6):
        job = gallery.job("x", [gallery.run(f"run {i}", moved(1000 * i)) for i in range(count)])
        pages_of[count] = page_html(story.results(job))
    drawn = re.findall(r'<g id="(card-\d+)">', pages_of[6])
    shown = re.findall(r'<use href="#(card-\d+)"', pages_of[6])
    assert len(drawn) == len(re.findall(r'<g id="(card-\d+)">', pages_of[1])) == 1
    assert set(shown) == set(drawn)
    assert len(drawn) + len(shown) == 12  # before and after, for the one bend of each run


@pytest.mark.slow
def test_a_large_page_is_announced(tmp_path, monkeypatch):
    answered = story.results(gallery.airing_cupboard())
    assert page_and_pack.write_html(answered, tmp_path) == ()
    size = (tmp_path / "job.html").stat().st_size
    assert page_and_pack.LARGE_BYTES == 5_000_000
    monkeypatch.setattr(page_and_pack, "LARGE_BYTES", size)
    assert page_and_pack.write_html(answered, tmp_path) == ()
    monkeypatch.setattr(page_and_pack, "LARGE_BYTES", size - 1)
    (said,) = page_and_pack.write_html(answered, tmp_path)
    assert said.startswith(f"job.html is {size / 1e6:.1f} MB: slow on a phone")


@pytest.mark.slow
@pytest.mark.browser
def test_a_drawing_that_is_shared_shows_in_every_step(browser, tmp_path):
    """Walk through two runs that are alike: each panel of each pull shows its drawing, whichever step holds it."""
    job = gallery.job("x", [gallery.run(f"run {i}", moved(1000 * i)) for i in range(2)])
    path = tmp_path / "job.html"
    path.write_text(page_html(story.results(job)))
    inks = []
    with opened(browser, path.as_uri(), **DESK) as window:
        for step in range(window.locator(".step").count()):
            go(window, step)
            for panel in window.locator("figure.panel svg:visible").all():
                image = Image.open(io.BytesIO(panel.screenshot())).convert("L")
                # The bar at the foot of the window may lie over the lower part.
                inks.append(sum(image.crop((0, 0, image.width, image.height * 3 // 5)).histogram()[:128]))
    assert len(inks) == 4
    assert min(inks) > 500
    # The panels of the second run look like those of the first.
    assert inks[2:] == pytest.approx(inks[:2], rel=0.02)
