"""The page on a phone held upright, its browser's bars shown: a pull on one screen, and nothing wider than the screen.

What a pull has to show is asked of its card; where it stands, of the browser. The least size of letters is common
practice, no source: at an arm's length of 650 mm, 14 px of a screen 65 mm wide are 12 minutes of arc.
"""

import pytest
from browser import go, opened
from example_pages import CUPBOARD, NAMES, PAGES, answered, example_page
from wide import few_or_many

from pipemodel.messages.units import INCHES, MM, units_for

pytestmark = [pytest.mark.browser, pytest.mark.slow]
SMALL = {"viewport": {"width": 390, "height": 664}, "device_scale_factor": 1, "has_touch": True, "is_mobile": True}
TALL = {**SMALL, "viewport": {"width": 390, "height": 844}}
DESK = {"viewport": {"width": 1440, "height": 900}}
UNITS = {"en": MM, "de": units_for("mm", "de"), "in": INCHES}
ENDS = {"en": ("start", "finish"), "in": ("start", "finish"), "de": ("Anfang", "Ende")}
LEAST_PX, LEAST_FIGURE_PX = 14.0, 28.0

SEEN = """() => {
    const step = document.querySelector(".step:not([hidden])");
    const bar = document.querySelector(".bar").getBoundingClientRect();
    const parts = [
        ...step.querySelectorAll("h3 .title, .figures dd, .actions li"),
        ...document.querySelectorAll(".verdict, #back, #tick label, #forward"),
    ];
    const words = (e) => e.textContent.replace(/\\s+/g, " ").trim();
    return { scrolled: scrollY, parts: parts.map((e) => {
        const r = e.getBoundingClientRect(), inBar = !!e.closest(".bar");
        const top = document.elementFromPoint(r.left + r.width / 2, r.top + r.height / 2);
        return { words: words(e), figure: e.matches("dd"), px: parseFloat(getComputedStyle(e).fontSize),
            within: r.left >= 0 && r.right <= innerWidth && r.top >= 0 && r.bottom <= (inBar ? innerHeight : bar.top),
            onTop: !!top && (e.contains(top) || top.contains(e)) };
    }) };
}"""
TOO_WIDE = """() => [...document.querySelectorAll("body *")].filter((e) => {
    // What moves in the 3D picture is cut off at its frame; the parts of a drawing are within the drawing.
    if (e.closest("#stage") || e.parentElement.closest("svg")) return false;
    const r = e.getBoundingClientRect(), style = getComputedStyle(e);
    const scrolls = ["auto", "scroll"].includes(style.overflowX) && e.scrollWidth > e.clientWidth + 1;
    return r.width > 1 && (r.left < -0.5 || r.right > innerWidth + 0.5 || scrolls);
}).map((e) => `${e.tagName} ${e.className} ${e.textContent.slice(0, 40)}`)"""


@pytest.fixture(scope="module")
def address(tmp_path_factory):
    folder = tmp_path_factory.mktemp("phone")

    def write(name, read="en"):
        path = folder / f"{name}-{read}.html"
        path.write_text(example_page(name, read), encoding="utf-8")
        return path.as_uri()

    return write


def pull_steps(window):
    return window.evaluate("page.steps.map((s, i) => s.dataset.view === 'bender' ? i : -1).filter((i) => i >= 0)")


def nothing_is_wider(window, step):
    assert window.evaluate(TOO_WIDE) == [], step
    assert window.evaluate("document.documentElement.scrollWidth <= innerWidth"), step


def cards_of(results):
    return [card for piece in results.pieces for card in piece.cards]


@pytest.mark.parametrize(
    ("name", "read", "size"),
    [
        *((name, read, SMALL) for name, read in PAGES),
        *((name, "de", TALL) for name in few_or_many([CUPBOARD], NAMES)),
        *((name, "en", DESK) for name in few_or_many([CUPBOARD], NAMES)),
    ],
    ids=lambda value: value if isinstance(value, str) else "x".join(map(str, value["viewport"].values())),
)
def test_every_pull_is_on_one_screen_and_nothing_is_wider(browser, address, name, read, size):
    units, results = UNITS[read], answered(name, read)
    with opened(browser, address(name, read), **size) as window:
        steps, cards = pull_steps(window), cards_of(results)
        assert len(steps) == len(cards) > 0
        for step, card in zip(steps, cards, strict=True):
            go(window, step)
            seen = window.evaluate(SEEN)
            assert seen["scrolled"] == 0
            hidden = [p["words"] for p in seen["parts"] if not (p["within"] and p["onTop"])]
            assert hidden == [], step
            assert min(p["px"] for p in seen["parts"] if not p["figure"]) >= LEAST_PX
            assert min(p["px"] for p in seen["parts"] if p["figure"]) >= LEAST_FIGURE_PX
            pull, words = card.pull, [p["words"] for p in seen["parts"]]
            figures = [p["words"] for p in seen["parts"] if p["figure"]]
            assert figures[0] == ENDS[read][pull.held == "finish"]
            assert figures[1].startswith(units.short(pull.mark_mm))
            assert figures[2].startswith(f"{units.angle(pull.pull_deg)}°")
            # All that the card says stands there: which side up, guide, and the rest, each in a line of its own.
            assert sum(len(text) > 20 for text in words) >= len(card.to_do)
            nothing_is_wider(window, step)
        for step in set(range(window.evaluate("page.steps.length"))) - set(steps):
            go(window, step)
            nothing_is_wider(window, step)
        assert window.locator("table").count() > 0
        assert window.said == []


def test_tables_that_are_stacked_keep_their_heads_and_cells(browser, address):
    """In inches the schedule is too wide for a phone: read row by row, each cell says what it is."""
    with opened(browser, address(NAMES[0], "in"), **SMALL) as window:
        stacked = window.locator(".table.stacked")
        assert stacked.count() > 0
        cells = stacked.first.locator("tbody [data-head]").evaluate_all(
            "(all) => all.map((e) => [e.dataset.head, getComputedStyle(e, '::before').content, e.getAttribute('role')])"
        )
        assert all(said == f'"{head}"' for head, said, _ in cells)
        assert {role for _, _, role in cells} == {"rowheader", "cell"}
        heads = stacked.first.locator("thead th").evaluate_all("(all) => all.map((e) => e.textContent)")
        assert [head for head, _, _ in cells[: len(heads)]] == heads
    with opened(browser, address(NAMES[0], "in"), **DESK) as window:
        assert window.locator(".table.stacked").count() == 0


def test_the_picture_of_a_pull_folds_away_and_opens(browser, address):
    with opened(browser, address("passover-of-the-waste"), **SMALL) as window:
        first, second, *_ = pull_steps(window)
        go(window, second)
        fold = window.locator(".step:visible .fold")
        assert not window.locator("#view").is_visible()
        assert fold.get_attribute("aria-expanded") == "false"
        fold.tap()
        assert window.locator("#view").bounding_box()["height"] > 80
        assert fold.get_attribute("aria-expanded") == "true"
        go(window, first)
        assert window.locator("#view").is_visible()
        window.locator(".step:visible .fold").tap()
        assert not window.locator("#view").is_visible()
        # What is no pull shows its picture as ever.
        go(window, 0)
        assert window.locator("#view").is_visible()
        assert window.said == []


def test_the_bar_is_in_view_however_far_a_pull_is_scrolled(browser, address):
    with opened(browser, address("passover-of-the-waste"), **SMALL) as window:
        go(window, pull_steps(window)[1])
        bench = window.locator(".bench").bounding_box()
        for y in range(0, int(bench["y"] + bench["height"]) - 664, 150):
            window.evaluate("(y) => scrollTo({ top: y, behavior: 'instant' })", y)
            for button in ("#back", "#tick label", "#forward"):
                box = window.locator(button).bounding_box()
                assert box["y"] >= 0
                assert box["y"] + box["height"] <= 664
        # Ticked with its checks open, it says so beside the tick, and all of it is still on the screen.
        window.tap("#tick label")
        assert window.locator("#ask").bounding_box()["y"] > 332
        window.tap("#tick-anyway")
        assert window.evaluate(TOO_WIDE) == []
        window.tap("#forward")
        assert window.evaluate("scrollY") == 0


def test_what_is_printed_from_a_pull_has_the_names_of_the_job_and_lines_to_write_on(browser, address):
    with opened(browser, address("passover-of-the-waste"), **SMALL) as window:
        go(window, pull_steps(window)[1])
        assert not window.locator("h1").is_visible()
        window.emulate_media(media="print")
        window.set_viewport_size({"width": 718, "height": 1000})
        window.evaluate("dispatchEvent(new Event('beforeprint'))")
        assert window.locator("h1").is_visible()
        assert not window.locator(".fold:visible, .not:visible, .clear:visible, .bar:visible").count()
        fields = window.locator("[data-check]").count()
        assert window.locator("[data-check]:visible").count() == fields > 8
