"""The way in on the page, in a real browser: by slider, by keys and by button, on a phone held upright.

Where the piece is drawn is held against scipy's turns.
"""

import numpy as np
import pytest
from browser import DESK, opened
from scipy.spatial.transform import Slerp
from way_jobs import results_with_way, rotation

from pipemodel.documents.page.page import page_html
from pipemodel.messages.say import capital, say

pytestmark = [pytest.mark.browser, pytest.mark.slow]
PHONE = {"viewport": {"width": 390, "height": 664}, "device_scale_factor": 1, "has_touch": True, "is_mobile": True}
DRAWN = """(share) => {
    const way = new WayIn(page.data.runs[0].way);
    const rings = way.ringsAt(share, page.scene.placed[0].made.rings).held;
    return [rings[0].at, rings[rings.length - 1].at];
}"""
WAY = "[...document.querySelectorAll('.step')].findIndex((s) => s.dataset.view === 'way')"


@pytest.fixture(scope="module")
def results():
    return results_with_way()


@pytest.fixture(scope="module")
def address(tmp_path_factory, results):
    path = tmp_path_factory.mktemp("way") / "job.html"
    path.write_text(page_html(results), encoding="utf-8")
    return path.as_uri()


@pytest.fixture(scope="module")
def desk(browser, address):
    """A window at the way in; each test puts it where it begins."""
    with opened(browser, address, **DESK, reduced_motion="reduce") as window:
        yield window


@pytest.fixture(scope="module")
def phone(browser, address):
    with opened(browser, address, **PHONE, reduced_motion="reduce") as window:
        yield window


def begun(window):
    """The window with the way in shown, and the piece before its first motion."""
    window.evaluate(f"page.go({WAY}, true)")
    put(window, 0)
    return window


def put(window, value):
    window.evaluate(
        f"() => {{ const r = document.getElementById('pull'); r.step = 'any'; r.value = {value}; page.draw(); }}"
    )


def test_the_piece_goes_through_its_states(desk, results) -> None:
    one = results.ways_shown[0]
    line, states, motions = one.solved.centreline, one.way.states, one.words.steps[1:]
    ends = np.array([line.start, line.finish])
    window = begun(desk)
    for share in (0.0, 0.07, 0.2, 0.33, 0.61, 0.85, 1.0):
        put(window, 1000.0 * share)
        drawn = window.evaluate(DRAWN, share)
        k = min(int(share * len(motions) + 1e-9), len(motions) - 1)
        at = motions[k].first + (share * len(motions) - k) * (motions[k].last - motions[k].first)
        i = min(int(at), motions[k].last - 1)
        a, b = states[i], states[i + 1]
        turns = Slerp([0, 1], type(rotation(a)).concatenate([rotation(a), rotation(b)]))
        there = np.array(a.position) * (1 - at + i) + np.array(b.position) * (at - i)
        assert np.allclose(drawn, turns(at - i).apply(ends) + there, atol=1e-3)
    assert window.said == []


def test_a_sprung_piece_is_drawn_sprung_until_it_is_let_go(browser, tmp_path) -> None:
    """Its finish stands where the sprung axis has it, by scipy's turn, and says how far it is sprung."""
    results = results_with_way(sprung=40.0)
    (tmp_path / "job.html").write_text(page_html(results), encoding="utf-8")
    way, motions = results.ways_shown[0].way, results.ways_shown[0].words.steps[1:]
    let_go = [step.last for step in motions].index(7) + 1
    with opened(browser, (tmp_path / "job.html").as_uri(), **DESK) as window:
        window.evaluate(f"page.go({WAY}, true)")
        for number, state in enumerate([0, *(step.last for step in motions)]):
            put(window, 1000.0 * number / len(motions))
            labels = window.inner_text("#labels")
            assert ("finish, open by 40.0 mm" in labels) == (number < let_go)
            finish = way.sprung.line.finish if number < let_go else results.schedule.runs[0].centreline.finish
            pose = way.states[state]
            there = rotation(pose).apply(finish) + pose.position
            assert np.allclose(window.evaluate(DRAWN, number / len(motions))[1], there, atol=0.01)
        assert window.said == []


@pytest.mark.parametrize("size", ["phone", "desk"])
def test_slider_keys_and_button_show_each_motion_with_its_words(request, results, size) -> None:
    steps = results.ways_shown[0].words.steps
    said = [capital(say(step.said)) + "." for step in steps]
    window = begun(request.getfixturevalue(size))
    assert window.inner_text("#moving") == said[0]
    for number in range(1, len(steps)):
        put(window, 1000.0 * (number - 0.5) / (len(steps) - 1))
        assert window.inner_text("#moving") == said[number]
        assert window.inner_text("#pulled") == f"{number}/{len(steps) - 1}"
        assert window.inner_text("[aria-current=step]") == said[number]
        assert window.get_attribute("#pull", "aria-valuetext") == said[number]
    put(window, 0)
    window.focus("#pull")
    before = float(window.input_value("#pull"))
    window.evaluate("document.getElementById('pull').step = 20")
    window.keyboard.press("ArrowRight")
    assert float(window.input_value("#pull")) == before + 20.0
    assert window.inner_text("#moving") == said[1]
    assert window.said == []


def test_the_button_moves_one_motion_at_a_time_and_then_begins_again(phone, results) -> None:
    count = len(results.ways_shown[0].words.steps) - 1
    window = begun(phone)
    for number in (*range(1, count + 1), 1):
        window.tap("#play")
        assert float(window.input_value("#pull")) == pytest.approx(1000.0 * number / count)


def test_on_a_phone_picture_slider_and_words_are_on_one_screen(phone) -> None:
    window = begun(phone)
    for value in (0, 300, 700, 1000):
        put(window, value)
        low = window.evaluate("document.querySelector('.bar').getBoundingClientRect().top")
        for part in ("#view", "#play", "#pull", "#pulled", "#moving"):
            box = window.locator(part).bounding_box()
            assert box["y"] >= 0.0
            assert box["y"] + box["height"] <= low + 1.0
            assert box["x"] >= 0.0
            assert box["x"] + box["width"] <= 390.0
    assert window.evaluate("document.documentElement.scrollWidth") <= 390


@pytest.mark.parametrize("high", [720, 800])
def test_at_a_desk_picture_slider_and_words_are_on_one_screen(desk, high) -> None:
    """The words that take most of the screen among them; the picture stays as high all the way."""
    desk.set_viewport_size({"width": 1280, "height": high})
    try:
        window, seen = begun(desk), set()
        for value in range(0, 1001, 50):
            put(window, value)
            low = window.evaluate("document.querySelector('.bar').getBoundingClientRect().top")
            words, picture = (window.locator(part).bounding_box() for part in ("#moving", "#view"))
            assert words["y"] + words["height"] <= low + 1.0
            seen.add((picture["y"], picture["height"]))
        assert len(seen) == 1
        assert picture["height"] >= 200.0
    finally:
        desk.set_viewport_size(DESK["viewport"])


def test_other_steps_look_as_before(phone) -> None:
    window = begun(phone)
    bender = "[...document.querySelectorAll('.step')].findIndex((s) => s.dataset.view === 'bender')"
    window.evaluate(f"page.go({bender}, true)")
    assert window.locator("#moving").is_hidden()
    assert window.inner_text("#play") == "Pull"
    assert window.inner_text("#pulled").endswith("\u00b0")
    window.evaluate("page.go(0, true)")
    assert window.locator("#pulling").is_hidden()


def test_the_runs_that_are_in_already_are_shown_and_no_others(browser, tmp_path) -> None:
    path = tmp_path / "job.html"
    path.write_text(page_html(results_with_way(past=("flow",))), encoding="utf-8")
    with opened(browser, path.as_uri(), **DESK) as window:
        window.evaluate(f"page.go({WAY}, true)")
        shown = window.evaluate("page.scene.placed.map((p, i) => [page.data.runs[i].name, p.tube.shown])")
        assert dict(shown) == {"return": False, "flow": True, "drain": False}
        assert window.evaluate("[...document.querySelectorAll('#labels *')].some((e) => e.textContent === 'flow')")
        assert window.said == []
