"""The hand-over page in a real browser, the network off: phone and desk, by touch, by keys, without script."""

import math
import re
from dataclasses import replace
from itertools import combinations

import gallery
import numpy as np
import pytest
import shapely
from browser import DESK, PHONE, SHARP_PHONE, SIZES, go, opened, settle, with_picture
from command_line import CUPBOARD
from made_once import kept
from page_jobs import cupboard_page, job_of, page_of
from wide import WIDE, few_or_many

from pipemodel import story
from pipemodel.documents.page.page import page_html
from pipemodel.drawing.in_place import view_in_place
from pipemodel.messages.units import MM
from pipemodel.pulls.bender_frame import sides_of
from pipemodel.pulls.limits import FlatTube

pytestmark = pytest.mark.browser
LOOKS = {"phone": "light", "desk": "dark"}
"""Each size in one colour scheme: nothing in the page depends on both."""
NARROW = few_or_many(["phone"], SIZES)
"""Where words have least room; in the wide run on a desk too."""
COPPER_PX = 300
"""Fewer pixels of copper than this on the picture are no tube."""


@pytest.fixture(scope="module")
def page_file(tmp_path_factory):
    """Write a page to a file of its own, and return its address."""
    folder = tmp_path_factory.mktemp("pages")

    def write(page, name="job.html"):
        path = folder / name
        path.write_bytes(page.encode("utf-8"))
        return path.as_uri()

    return write


@pytest.fixture(scope="module")
def cupboard(page_file):
    return page_file(cupboard_page(), "cupboard.html")


def steps_in(window):
    return window.evaluate("page.steps.length")


def copper_in(window):
    """Count pixels of the picture that have the colour of copper, and all that are not the paper's."""
    return window.evaluate("""() => {
        const view = page.scene.view, gl = view.gl;
        view.draw();
        const w = gl.drawingBufferWidth, h = gl.drawingBufferHeight, px = new Uint8Array(4 * w * h);
        gl.readPixels(0, 0, w, h, gl.RGBA, gl.UNSIGNED_BYTE, px);
        const paper = view.paper.map((c) => Math.round(c * 255));
        let copper = 0, drawn = 0;
        for (let i = 0; i < px.length; i += 4) {
            const [r, g, b] = [px[i], px[i + 1], px[i + 2]];
            if (Math.abs(r - paper[0]) + Math.abs(g - paper[1]) + Math.abs(b - paper[2]) > 12) drawn += 1;
            if (r > g * 1.4 && g > b * 1.2 && r > 60) copper += 1;
        }
        return { copper, drawn };
    }""")


@pytest.mark.slow
@pytest.mark.parametrize(("size", "scheme"), LOOKS.items())
def test_every_step_draws_its_tube_and_nothing_complains(browser, cupboard, size, scheme):
    with opened(browser, cupboard, **{"phone": SHARP_PHONE, "desk": DESK}[size], color_scheme=scheme) as window:
        with_picture(window)
        assert steps_in(window) == 7
        for step in range(7):
            go(window, step)
            seen = copper_in(window)
            assert seen["copper"] > COPPER_PX, step
            assert seen["drawn"] > seen["copper"]
            assert window.locator(".step:visible").count() == 1
        assert window.evaluate("document.documentElement.scrollWidth <= innerWidth")
        assert window.said == []


@kept
def every_run(stance):
    """All that is known of a job of every run of the gallery that is bent, and of a straight one, in one stance."""
    jobs = (gallery.two_runs(), gallery.return_run(), gallery.straight(), gallery.unbendable_order())
    runs = [replace(run, stance=stance) for job in jobs for run in job.runs]
    named = [replace(run, name=f"{run.name} {number}") for number, run in enumerate(runs, 1)]
    return story.results(gallery.job("every run", named, gallery.ROOM))


@pytest.fixture(scope="module", params=["flat", "upright"])
def every(request, browser, page_file):
    """The page of that job in a window, and what is known of it."""
    answered = every_run(request.param)
    with opened(browser, page_file(page_html(answered), f"{request.param}.html"), **DESK) as window:
        yield window, answered, request.param


@pytest.mark.slow
def test_the_script_bends_the_tube_as_the_schedule_does(every):
    window, answered, _ = every
    for i, solved in enumerate(answered.schedule.runs):
        stated = window.evaluate(
            """(i) => {
                const run = page.data.runs[i], angles = run.bends.map((b) => b.angle);
                const made = bentTube(run, angles, run.base, run.after), last = made.rings.at(-1);
                return { finish: last.at, bends: made.bends.map((b) => b.at), s: last.s };
            }""",
            i,
        )
        assert stated["finish"] == pytest.approx(solved.centreline.finish, abs=1e-6)
        assert stated["s"] == pytest.approx(solved.table.length_mm)
        for at, bend in zip(stated["bends"], solved.table.bends, strict=True):
            true = solved.centreline.point_at(bend.start_mm + bend.arc_mm / 2.0)
            # Rings are straight between each other: at most 6 degrees of a bend apart.
            assert at == pytest.approx(true, abs=bend.radius_mm * 0.0015)
    assert window.said == []


@pytest.mark.slow
def test_the_piece_lies_in_the_bender_as_it_was_planned(every):
    """The script's ends of the tube against those of the plan's own frame, at the beginning of every pull.

    Upright, the plane of the pull stands up before whoever pulls: what was away from them is up, what was up is near.
    """
    window, answered, stance = every
    for i, (solved, plan) in enumerate(zip(answered.schedule.runs, answered.plans, strict=True)):
        for pull in plan.pulls:
            made = [int(bend.number in pull.made) for bend in solved.table.bends]
            stated = window.evaluate(
                """([i, bend, held, made]) => {
                    const run = page.data.pieces[i], angles = run.bends.map((b, k) => b.angle * made[k]);
                    const lies = atBender(run, angles, bend, held, run.after + run.trim);
                    return [lies.rings[0].at, lies.rings.at(-1).at];
                }""",
                [i, pull.bend - 1, pull.held, made],
            )
            kept, free = sides_of(solved.table.bends, FlatTube.of(solved), pull)
            start, finish = (kept, free) if pull.held == "start" else (free, kept)
            for end, side in zip(stated, (start, finish), strict=True):
                x, y, z = side.pieces[-1].finish
                assert end == pytest.approx((x, y, z) if stance == "flat" else (x, -z, y), abs=1e-6)


@pytest.mark.slow
@pytest.mark.parametrize("every", ["upright"], indirect=True)
def test_upright_the_pull_goes_down_in_the_picture(every):
    """The free end is lower on the screen after the pull, and the wheel is seen round, not from its edge."""
    window, _, _ = every
    step = window.evaluate("page.steps.findIndex((s) => s.dataset.view === 'bender')")
    go(window, step)
    ends = """(pulled) => {
        page.$("pull").value = pulled; page.draw();
        const { up, eye } = page.scene.view.frame(), points = page.scene.points;
        const free = page.step().held === "start" ? points[points.length / 2 - 1] : points[0];
        return { high: V.dot(free, up), eye };
    }"""  # fmt: skip
    before, after = window.evaluate(ends, 0), window.evaluate(ends, 1000)
    assert after["high"] < before["high"] - 100.0
    # The wheel turns about the line towards whoever pulls: south of it, in directions as they see them.
    assert -before["eye"][1] > 0.8
    assert window.said == []


@pytest.mark.slow
def test_stepping_by_touch(browser, cupboard):
    with opened(browser, cupboard, picture=False, **PHONE) as window:
        title = window.locator(".step:visible h3")
        assert "All of it" in title.inner_text()
        window.tap("#forward")
        assert "Cut and mark" in title.inner_text()
        window.tap("#forward")
        assert "Pull 1" in title.inner_text()
        window.tap("#back")
        assert "Cut and mark" in title.inner_text()
        window.locator("#slider").evaluate("(e) => { e.value = e.max; e.dispatchEvent(new Event('input')); }")
        assert "In its place" in title.inner_text()
        assert window.locator("#forward").is_disabled()
        assert window.said == []


@pytest.mark.slow
def test_stepping_by_keys_alone(browser, cupboard):
    with opened(browser, cupboard, **DESK) as window:
        title = window.locator(".step:visible h3")
        window.keyboard.press("ArrowRight")
        assert "Cut and mark" in title.inner_text()
        for _ in range(20):
            window.keyboard.press("Tab")
            if window.evaluate("document.activeElement.id") == "slider":
                break
        window.keyboard.press("End")
        assert "In its place" in title.inner_text()
        window.keyboard.press("Tab")
        assert window.evaluate("document.activeElement.id") == "back"
        window.keyboard.press("Enter")
        assert "Pull 4" in title.inner_text()
        assert window.evaluate("document.activeElement === page.steps[page.here].querySelector('h3')")
        window.locator("#view").focus()
        before = window.evaluate("[page.scene.view.azimuth, page.scene.view.reach]")
        for key in ("ArrowLeft", "+", "Shift+ArrowUp"):
            window.keyboard.press(key)
        after = window.evaluate("[page.scene.view.azimuth, page.scene.view.reach]")
        assert after[0] != before[0]
        assert after[1] < before[1]
        assert "Pull 4" in title.inner_text()


@pytest.mark.slow
def test_turning_panning_and_pinching_by_touch(browser, cupboard):
    with opened(browser, cupboard, **PHONE) as window:
        box = window.locator("#view").bounding_box()
        x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
        touch = window.context.new_cdp_session(window)

        def drag(*fingers):
            for kind, at in (("touchStart", 0), ("touchMove", 1), ("touchMove", 2)):
                points = [{"x": f[0] + f[2] * at, "y": f[1] + f[3] * at, "id": i} for i, f in enumerate(fingers)]
                touch.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": points})
            touch.send("Input.dispatchTouchEvent", {"type": "touchEnd", "touchPoints": []})
            settle(window)
            return window.evaluate(
                "({ a: page.scene.view.azimuth, r: page.scene.view.reach, c: page.scene.view.centre })"
            )

        first = drag((x, y, 0, 0))
        turned = drag((x, y, 20, 0))
        assert turned["a"] != first["a"]
        pinched = drag((x - 30, y, -15, 0), (x + 30, y, 15, 0))
        assert pinched["r"] == pytest.approx(turned["r"] / 2, rel=0.1)
        panned = drag((x - 30, y, 20, 0), (x + 30, y, 20, 0))
        assert panned["c"] != pytest.approx(pinched["c"])
        assert panned["r"] == pytest.approx(pinched["r"], rel=0.05)
        assert window.evaluate("scrollY") == 0


@pytest.mark.slow
def test_pulling_by_slider_and_by_button(browser, cupboard):
    pull = story.results(story.load(CUPBOARD)).plans[0].pulls[0]
    for motion, at_once in (("reduce", True), ("no-preference", False)):
        with opened(browser, cupboard, **PHONE, reduced_motion=motion) as window:
            with_picture(window)
            go(window, 2)
            assert window.inner_text("#pulled") == "0°"
            window.tap("#play")
            window.wait_for_timeout(0 if at_once else 1800)
            assert window.inner_text("#pulled") == f"{pull.pull_deg:.0f}°"
            window.evaluate("() => { pull.value = 500; pull.dispatchEvent(new Event('input')); }")
            assert abs(float(window.inner_text("#pulled")[:-1]) - pull.pull_deg / 2.0) <= 0.5


@pytest.mark.slow
def test_ticks_stay_on_the_device_and_with_the_job(browser, cupboard, page_file, tmp_path):
    with opened(browser, cupboard, picture=False, **PHONE) as window:
        go(window, 2)
        window.tap("#tick label")
        window.tap("#tick-anyway")
        assert window.inner_text("#ticked") == "1 of 6 ticked"
        window.reload()
        assert window.inner_text("#ticked") == "1 of 6 ticked"
        # It goes on where the work does: at the first step without a tick.
        assert "Cut and mark" in window.locator(".step:visible h3").inner_text()
        go(window, 2)
        assert window.is_checked("#tick input")
        # A mark that moved makes another job, which nobody has begun.
        moved = tmp_path / "moved.yaml"
        moved.write_text(CUPBOARD.read_text(encoding="utf-8").replace("depth: 95", "depth: 96"), encoding="utf-8")
        window.goto(page_file(page_of(story.load(moved)), "moved.html"))
        assert window.inner_text("#ticked") == "0 of 6 ticked"
        window.goto(cupboard)
        go(window, 2)
        window.tap("#tick label")
        window.reload()
        assert window.inner_text("#ticked") == "0 of 6 ticked"


@pytest.mark.slow
def test_cards_are_hidden_before_anything_is_laid_out_by_script(browser, cupboard):
    """Laid out all together, the cards of many pulls keep a phone waiting."""
    context = browser.new_context(offline=True, **PHONE)
    context.add_init_script("""
        Object.defineProperty(DOMTokenList.prototype, "add", {value: function (name) {
            if (name === "scripted") window.shown = document.querySelectorAll(".step:not([hidden])").length;
            this.value += ` ${name}`;
        }});
    """)
    window = context.new_page()
    window.goto(cupboard)
    assert window.evaluate("window.shown") == 0
    assert window.locator(".step:visible").count() == 1
    context.close()


@pytest.mark.slow
def test_it_reads_without_script(browser, cupboard):
    answered = story.results(story.load(CUPBOARD))
    with opened(browser, cupboard, **PHONE, java_script_enabled=False) as window:
        assert window.locator(".step:visible").count() == 7
        assert not window.locator("#stage").is_visible()
        assert not window.locator(".bar").is_visible()
        text = window.inner_text("main")
        for pull in answered.schedule_record["runs"][0]["plan"]["pulls"]:
            assert MM.short(pull["mark_mm"]) in text
        assert window.locator(".tickbox:visible").count() == 6
        for kind, many in (("stand-in", 1), ("tape", 1), ("panel", 8)):
            assert window.locator(f"figure.{kind} svg:visible").count() == many
        assert window.locator("figure.stand-in svg").bounding_box()["width"] > 300
        assert window.said == []


@pytest.mark.slow
def test_drawings_stand_in_where_there_is_no_webgl(browser, cupboard):
    with opened(browser, cupboard, picture=False, **PHONE) as window:
        window.locator("#slider").evaluate("(e) => { e.value = e.max; e.dispatchEvent(new Event('input')); }")
        assert window.locator("#no-webgl").is_visible()
        assert window.locator("figure.stand-in svg").is_visible()
        assert not window.locator("#view").is_visible()


@pytest.mark.slow
@pytest.mark.parametrize(("size", "scheme"), LOOKS.items())
def test_nothing_serious_for_those_who_see_or_move_otherwise(browser, cupboard, page_file, size, scheme):
    """What axe-core finds of its rules by WCAG 2.2, levels A and AA, and of best practice."""
    axe = pytest.importorskip("axe_playwright_python.sync_playwright").Axe()
    failing = page_file(page_of(job_of([f"name {i}" for i in range(9)])), "everything.html")
    looks = [(failing, (0,))]
    # By day pulls are looked at where they are pulled, on a phone.
    if size == "phone" or WIDE:
        looks.append((cupboard, few_or_many((3,), (1, 3))))
    for address, steps in looks:
        with opened(browser, address, **SIZES[size], color_scheme=scheme) as window:
            for step in steps:
                go(window, step)
                answer = axe.run(window).response
                assert len(answer["passes"]) > 20
                stated = [(v["id"], v["impact"], [n["target"] for n in v["nodes"]]) for v in answer["violations"]]
                assert [t for t in stated if t[1] in ("serious", "critical")] == [], step


@pytest.mark.slow
def test_targets_are_large_enough_for_a_cold_thumb(browser, cupboard):
    with opened(browser, cupboard, **PHONE) as window:
        with_picture(window)
        go(window, 3)
        window.locator("#shows summary").click()
        wanted = "button, summary, nav a, #shows label:visible, #tick label, input[type=range]"
        for target in window.locator(wanted).all():
            if target.is_visible():
                box = target.bounding_box()
                assert box["height"] >= 34 if "range" in (target.get_attribute("type") or "") else box["height"] >= 44
                assert box["width"] >= 44
        # What is pressed most is within reach of the thumb that holds it: in the lowest fifth of the screen.
        for name in ("#back", "#tick", "#forward"):
            assert window.locator(name).bounding_box()["y"] > 780 * 0.8


PRESSED = """() => {
    const { left, top } = page.scene.view.canvas.getBoundingClientRect();
    const boxes = ["zoom", "shows"].map((id) => document.getElementById(id).getBoundingClientRect());
    return boxes.map((r) => [r.left - left, r.top - top, r.right - left, r.bottom - top]);
}"""
TAGS = """() => {
    const seen = [...document.querySelectorAll("#labels .tag")].filter((e) => e.style.visibility === "visible");
    const { left, top } = page.scene.view.canvas.getBoundingClientRect();
    const boxes = seen.map((e) => e.getBoundingClientRect());
    return boxes.map((r) => [r.left - left, r.top - top, r.right - left, r.bottom - top]);
}"""


def tubes_seen(window, centrelines):
    """The tubes as polylines on the picture, px, by a camera of our own; what the page shows where None is given."""
    view = window.evaluate("(({ azimuth, height, reach, centre, canvas }) => "
                           "({ azimuth, height, reach, centre, size: [canvas.clientWidth, canvas.clientHeight] }))"
                           "(page.scene.view)")  # fmt: skip
    a, h = math.radians(view["azimuth"]), math.radians(view["height"])
    right = np.array([math.cos(a), -math.sin(a), 0.0])
    eye = np.array([-math.sin(a) * math.cos(h), -math.cos(a) * math.cos(h), math.sin(h)])
    (wide, high), scale = view["size"], view["size"][1] / 2.0 / view["reach"]
    lines = centrelines or [t["points"] for t in window.evaluate("page.scene.labels.tubes")]
    out = []
    for line in lines:
        off = np.array(line) - view["centre"]
        out.append(np.column_stack([wide / 2.0 + off @ right * scale, high / 2.0 - off @ np.cross(eye, right) * scale]))
    return [shapely.LineString(points) for points in out], scale


@pytest.fixture(scope="module", params=SIZES)
def picture(request, browser, cupboard):
    """A window of each size with the picture open; what looks at it first shows the step it looks at."""
    with opened(browser, cupboard, **SIZES[request.param]) as window:
        with_picture(window)
        yield window


@pytest.mark.slow
def test_no_words_lie_on_a_tube_or_on_each_other_from_wherever_it_is_seen(picture):
    """As thick as the tube is drawn: 15 mm, and never less than 3 px."""
    line = story.schedule(story.load(CUPBOARD)).runs[0].centreline
    placed = [[line.point_at(line.length * k / 300.0) for k in range(301)]]
    looked = 0
    for step in range(7):
        go(picture, step)
        for turn in (0, 50, 70, 130):
            picture.evaluate("(turn) => { const view = page.scene.view; view.azimuth += turn; view.draw(); }", turn)
            tubes, scale = tubes_seen(picture, placed if step in (0, 6) else None)
            boxes = [shapely.box(*corners) for corners in picture.evaluate(TAGS)]
            thick = max(7.5 * scale, 1.5)
            for box in boxes:
                assert all(tube.distance(box) > thick - 0.5 for tube in tubes), (step, turn, box.bounds)
            assert all(not a.intersects(b) for a, b in combinations(boxes, 2))
            looked += len(boxes)
    assert looked > 150


@pytest.mark.slow
def test_no_words_lie_under_what_is_pressed_on_the_picture(browser, cupboard):
    """Whatever height the screen has, and with the list of what is shown open."""
    with opened(browser, cupboard, **PHONE) as window:
        with_picture(window)
        looked = 0
        for step in (1, 2, 3, 4):
            go(window, step)
            for high, listed in ((1100, False), (664, False), (780, False), (780, True)):
                window.set_viewport_size({"width": 390, "height": high})
                window.evaluate("(open) => { document.getElementById('shows').open = open; }", listed)
                window.wait_for_timeout(150)
                for _ in range(2):
                    window.evaluate("() => { const view = page.scene.view; view.azimuth += 60; view.draw(); }")
                    boxes = [shapely.box(*corners) for corners in window.evaluate(TAGS)]
                    pressed = [shapely.box(*corners) for corners in window.evaluate(PRESSED)]
                    assert len(pressed) == 2
                    assert all(not a.buffer(-1.0).intersects(b) for a in boxes for b in pressed), (step, high, listed)
                    looked += len(boxes)
        assert looked > 50


@pytest.mark.slow
def test_the_picture_is_seen_from_where_the_drawings_show_it(picture):
    schedule = story.schedule(story.load(CUPBOARD))
    eye = view_in_place(schedule, schedule.runs[:1]).eye
    for step in (0, 6):
        go(picture, step)
        azimuth, height = map(math.radians, picture.evaluate("[page.scene.view.azimuth, page.scene.view.height]"))
        seen = (-math.sin(azimuth) * math.cos(height), -math.cos(azimuth) * math.cos(height), math.sin(height))
        assert seen == pytest.approx(eye, abs=1e-4)


@pytest.mark.slow
def test_numbers_of_the_bends_never_cover_each_other(picture):
    for step in range(7):
        go(picture, step)
        boxes = [tag.bounding_box() for tag in picture.locator(".tag:visible").all()]
        assert len(boxes) >= 5
        for i, a in enumerate(boxes):
            for b in boxes[i + 1 :]:
                apart = a["x"] >= b["x"] + b["width"] or b["x"] >= a["x"] + a["width"]
                apart = apart or a["y"] >= b["y"] + b["height"] or b["y"] >= a["y"] + a["height"]
                assert apart, (step, a, b)


@kept
def wicked_page(shift):
    names = gallery.HOSTILE_NAMES
    return page_of(job_of([*names[shift:], *names[:shift]]))


@pytest.mark.slow
@pytest.mark.parametrize("size", NARROW)
def test_wicked_names_are_only_shown(browser, page_file, size):
    for shift in few_or_many((5,), (0, 5, 10)):
        address = page_file(wicked_page(shift), f"wicked {shift}.html")
        with opened(browser, address, **SIZES[size]) as window:
            for step in range(0, steps_in(window), 3):
                go(window, step)
            assert window.said == []
            assert window.evaluate("document.documentElement.scrollWidth <= innerWidth")
            assert window.evaluate("document.querySelectorAll('#lists script, #steps script, img, iframe').length") == 0


@pytest.mark.slow
def test_on_paper_every_step_is_there(browser, cupboard, tmp_path):
    with opened(browser, cupboard, **DESK) as window:
        window.emulate_media(media="print")
        window.evaluate("dispatchEvent(new Event('beforeprint'))")
        assert window.locator(".step:visible").count() == 7
        assert window.locator(".step .tickbox:visible").count() == 6
        assert window.locator("figure.stand-in svg").is_visible()
        for gone in ("#stage", ".bar", "nav"):
            assert not window.locator(gone).is_visible()
        paper = window.pdf(format="A4")
        assert paper.startswith(b"%PDF-")
        assert 2 <= len(re.findall(rb"/Type\s*/Page\b", paper)) <= 12
        window.emulate_media(media="screen")
        window.evaluate("dispatchEvent(new Event('afterprint'))")
        assert window.locator(".step:visible").count() == 1


@pytest.mark.slow
@pytest.mark.parametrize("size", NARROW)
def test_a_german_page_says_german_words_over_its_picture_and_under_it(browser, page_file, size):
    job = replace(story.read(CUPBOARD), language="de")
    german = page_file(page_html(story.results(job)), "german.html")
    with opened(browser, german, **SIZES[size]) as window:
        with_picture(window)
        named = set()
        for step in range(steps_in(window)):
            go(window, step)
            named |= set(
                window.evaluate("[...document.querySelectorAll('.tag:not(.thing) bdi')].map((e) => e.textContent)")
            )
            assert window.inner_text("#where") == f"Schritt {step + 1} von {steps_in(window)}"
        assert {"Anfang", "Ende", "nach dem Biegen"} <= named
        assert not named & {"start", "finish", "once pulled"}
        window.locator("#tick input").check()
        assert re.fullmatch(r"1 von \d+ abgehakt", window.inner_text("#ticked"))
        # No table has to be moved aside, and no button's words are cut.
        over = window.locator(".table, button").evaluate_all(
            "(all) => all.filter((e) => e.scrollWidth > e.clientWidth + 1).map((e) => e.textContent.slice(0, 40))"
        )
        assert over == []
        assert window.evaluate("document.documentElement.scrollWidth") <= SIZES[size]["viewport"]["width"]
        assert window.said == []
