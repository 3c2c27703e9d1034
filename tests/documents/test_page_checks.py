"""The checks of a pull on the page: a field or a tick for each, kept on the device, asked after before it is ticked.

Which checks there are is read from the record of the schedule, as programs get it; what is typed, typed by the test.
"""

import json
import re
from collections import Counter

import pytest
from browser import go, opened
from example_pages import PAGES, answered, example_page
from lxml import html

from pipemodel.messages.units import INCHES, MM, units_for

UNITS = {"en": MM, "de": units_for("mm", "de"), "in": INCHES}
PHONE = {"viewport": {"width": 390, "height": 664}, "has_touch": True, "is_mobile": True}
PASSOVER = "passover-of-the-waste"
HEARD = "window.heard = []; document.addEventListener('readings', (e) => window.heard.push(e.detail));"


@pytest.fixture(scope="module")
def address(tmp_path_factory):
    folder = tmp_path_factory.mktemp("checks")

    def write(name, read="en"):
        path = folder / f"{name}-{read}.html"
        path.write_text(example_page(name, read), encoding="utf-8")
        return path.as_uri()

    return write


def planned(name, read="en"):
    """Return (run, pull) of every pull of an example, as the record has it."""
    record = answered(name, read).schedule_record
    return [(run["name"], pull) for run in record["runs"] for pull in run["plan"]["pulls"]]


def step_of(window, pull):
    """Show the step of a pull of the first piece."""
    at = "page.steps.findIndex((s) => s.dataset.view === 'bender' && s.querySelector(`[data-pull='${n}']`))"
    go(window, window.evaluate(f"(n) => {at}", pull))


def field(window, check):
    return window.locator(f".step:visible [data-check='{check}']")


def type_in(window, check, text):
    field(window, check).fill(text)
    field(window, check).press("Tab")


def off(window, check):
    return window.locator(f".step:visible .check:has([data-check='{check}']) output").inner_text()


@pytest.mark.slow
@pytest.mark.parametrize(("name", "read"), PAGES)
def test_every_check_of_the_plan_has_a_field_or_a_tick(name, read):
    root, units = html.fromstring(example_page(name, read)), UNITS[read]
    steps = root.xpath("//article[@data-view='bender']")
    pulls = planned(name, read)
    assert len(steps) == len(pulls) > 0
    data = json.loads(root.get_element_by_id("job-data").text)
    for step, (run, pull) in zip(steps, pulls, strict=True):
        fields = step.xpath(".//*[@data-check]")
        assert [f.get("data-check") for f in fields] == [check["id"] for check in pull["checks"]]
        (known,) = (p for p in data["pieces"][int(step.get("data-piece"))]["pulls"] if p["number"] == pull["number"])
        for own, check, carried in zip(fields, pull["checks"], known["checks"], strict=True):
            assert (own.get("data-run"), own.get("data-pull")) == (run, str(pull["number"]))
            assert {key: check[key] for key in ("id", "kind", "value", "unit", "finds")}.items() <= carried.items()
            (label,) = step.xpath(f".//label[@for='{own.get('id')}']")
            assert len(label.text_content().split()) > 4
            beside = " ".join(
                " ".join(root.get_element_by_id(one).text_content().split())
                for one in own.get("aria-describedby").split()
            )
            if check["unit"] == "look":
                assert own.get("type") == "checkbox"
                continue
            assert (own.get("type"), own.get("inputmode"), own.get("value")) == ("text", "decimal", None)
            value = check["value"]
            wanted = f"{units.angle(value)}°" if check["unit"] == "deg" else f"{units.length(value)} {units.unit}"
            if check["kind"] == "out of round, by caliper":
                most = 2.0 * check["within"] / (25.4 if units.name == "in" else 1.0)
                wanted = f"{int(most * 1000) / 1000:.3f} in" if units.name == "in" else f"{most:.2f} mm"
                wanted = ("höchstens " + wanted.replace(".", ",")) if units.language == "de" else "at most " + wanted
            assert wanted in beside
        assert len(step.xpath(".//*[@class='answer'][@role='status']")) == 1


@pytest.mark.slow
@pytest.mark.parametrize(("name", "read"), PAGES)
def test_every_control_has_a_name_and_no_two_elements_share_theirs(name, read):
    """Rules of WAI-ARIA in HTML, read by a program of our own: names of controls, and what they point at."""
    root = html.fromstring(example_page(name, read))
    names = Counter(root.xpath("//@id"))
    assert [one for one, count in names.items() if count > 1] == []
    for attribute in ("for", "aria-labelledby", "aria-describedby", "aria-controls"):
        for value in root.xpath(f"//@{attribute}"):
            assert set(value.split()) <= set(names), (attribute, value)
    for control in root.xpath("//input|//button|//summary|//canvas|//*[@role='alertdialog']|//article//svg"):
        own = control.get("aria-label") or " ".join(control.text_content().split())
        for label in (*root.xpath(f"//label[@for='{control.get('id')}']"), *control.xpath("ancestor::label")):
            own = own or " ".join(label.text_content().split())
        for label in (control.get("aria-labelledby") or "").split():
            own = own or " ".join(root.get_element_by_id(label).text_content().split()) or label
        assert own, html.tostring(control)[:200]


@pytest.mark.slow
@pytest.mark.parametrize(("name", "read"), PAGES)
def test_no_code_of_a_finding_stands_in_the_walk(name, read):
    (walk,) = html.fromstring(example_page(name, read)).xpath("//section[@id='walk']")
    assert not re.search(r"\b[A-Z]\d{3}\b", walk.text_content().replace("R250", "").replace("R220", ""))


@pytest.mark.browser
@pytest.mark.slow
def test_what_is_typed_is_held_against_what_it_should_be_and_sent_on(browser, address):
    """`within` and the kind of each check are the record's: a reading more than twice that off, and rounding, shows."""
    run, pull = planned(PASSOVER)[1]
    with opened(browser, address(PASSOVER), picture=False, **PHONE) as window:
        window.evaluate(HEARD)
        step_of(window, pull["number"])
        expected = {}
        for check in pull["checks"]:
            if check["unit"] == "look":
                field(window, check["id"]).tap()
                expected[check["id"]] = check["value"]
                assert off(window, check["id"]) == "✓"
                continue
            # A gap under what lies flat is wrong from once that on.
            shows = check["within"] * (1.0 if check["kind"] == "flat on the bench" else 2.0)
            for by, said in ((0.0, "✓"), (0.95 * shows, "✓"), (shows + 1.0, "✕")):
                type_in(window, check["id"], f"{check['value'] + by:.3f}")
                assert off(window, check["id"]).startswith(said), (check, by)
            assert off(window, check["id"]).endswith(" more")
            type_in(window, check["id"], f"{check['value'] + 0.3:.1f}")
            expected[check["id"]] = float(f"{check['value'] + 0.3:.1f}")
        heard = window.evaluate("window.heard.at(-1)")
        assert (heard["run"], heard["piece"], heard["pull"], heard["after"]) == (run, 0, pull["number"], pull["number"])
        assert heard["readings"] == pytest.approx(expected)
        assert window.inner_text(".step:visible h4 .still-open") == "✓"
        # What is read at another pull goes with what was read before.
        step_of(window, pull["number"] - 1)
        first = planned(PASSOVER)[0][1]["checks"][0]
        type_in(window, first["id"], f"{first['value']:g}")
        heard = window.evaluate("window.heard.at(-1)")
        assert (heard["pull"], heard["after"]) == (first_pull := pull["number"] - 1, pull["number"])
        assert first_pull == planned(PASSOVER)[0][1]["number"]
        assert heard["readings"] == pytest.approx({**expected, first["id"]: float(f"{first['value']:g}")})
        assert window.said == []


@pytest.mark.browser
@pytest.mark.slow
def test_readings_are_kept_cleared_and_known_for_what_they_are(browser, address):
    _, pull = planned(PASSOVER)[1]
    number = next(check for check in pull["checks"] if check["unit"] == "mm")
    look = next(check for check in pull["checks"] if check["unit"] == "look")
    with opened(browser, address(PASSOVER), picture=False, **PHONE) as window:
        step_of(window, pull["number"])
        for text in ("a", "1e3", "12 34", "--3", "5/0", "NaN", "Infinity", "1.2.3", "608 mm", "9" * 40 + "x"):
            type_in(window, number["id"], text)
            assert off(window, number["id"]) != "✓"
            assert window.inner_text(".step:visible h4 .still-open") == f"{len(pull['checks'])} checks open", text
        assert off(window, number["id"]) == "Type a number."
        type_in(window, number["id"], f"{number['value']:.1f}".replace(".", ","))
        assert off(window, number["id"]) == "✓"
        window.locator(".step:visible .not").tap()
        assert off(window, look["id"]) == "✕ not as it should be"
        window.reload()
        step_of(window, pull["number"])
        assert field(window, number["id"]).input_value() == f"{number['value']:.1f}".replace(".", ",")
        assert window.locator(".step:visible .not").get_attribute("aria-pressed") == "true"
        field(window, look["id"]).tap()
        assert window.locator(".step:visible .not").get_attribute("aria-pressed") == "false"
        assert off(window, look["id"]) == "✓"
        window.evaluate(HEARD)
        window.locator(".step:visible .clear").tap()
        assert window.evaluate("window.heard.at(-1).readings") == {}
        assert field(window, number["id"]).input_value() == ""
        assert not window.locator(".step:visible .clear").is_visible()
        window.reload()
        step_of(window, pull["number"])
        assert field(window, number["id"]).input_value() == ""
        assert not field(window, look["id"]).is_checked()
        assert window.said == []


@pytest.mark.browser
@pytest.mark.slow
def test_inches_are_typed_as_decimals_or_fractions_and_sent_in_millimetres(browser, address):
    _, pull = planned(PASSOVER, "in")[1]
    check = next(check for check in pull["checks"] if check["unit"] == "mm")
    with opened(browser, address(PASSOVER, "in"), picture=False, **PHONE) as window:
        window.evaluate(HEARD)
        step_of(window, pull["number"])
        for text, inches in (("24.38", 24.38), ("24 3/8", 24.375), ("24-3/8", 24.375), ("7/16", 0.4375), ("3", 3.0)):
            type_in(window, check["id"], text)
            assert window.evaluate("window.heard.at(-1).readings") == pytest.approx({check["id"]: inches * 25.4})


@pytest.mark.browser
@pytest.mark.slow
def test_a_pull_with_checks_open_is_ticked_only_after_that_is_said(browser, address):
    """By keys alone; nothing pops up over the page."""
    _, pull = planned(PASSOVER)[1]
    many = len(pull["checks"])
    with opened(browser, address(PASSOVER), viewport={"width": 1280, "height": 900}) as window:
        step_of(window, pull["number"])
        box, ask = window.locator("#tick input"), window.locator("#ask")
        box.focus()
        window.keyboard.press("Space")
        assert not box.is_checked()
        assert window.inner_text("#asked") == f"{many} checks are open: tick it anyway?"
        assert window.evaluate("document.activeElement.id") == "to-checks"
        window.keyboard.press("Escape")
        assert not ask.is_visible()
        assert window.evaluate("document.activeElement.matches('#tick input')")
        window.keyboard.press("Space")
        window.keyboard.press("Enter")
        assert not ask.is_visible()
        assert window.evaluate("document.activeElement.dataset.check") == pull["checks"][0]["id"]
        box.focus()
        window.keyboard.press("Space")
        window.keyboard.press("Tab")
        window.keyboard.press("Enter")
        assert box.is_checked()
        assert f"{many} open" in window.inner_text("#tick")
        window.reload()
        step_of(window, pull["number"])
        assert box.is_checked()
        assert f"{many} open" in window.inner_text("#tick")
        # With all of them read it is ticked at once.
        box.focus()
        window.keyboard.press("Space")
        assert not box.is_checked()
        for check in pull["checks"]:
            field(window, check["id"]).focus()
            if check["unit"] == "look":
                window.keyboard.press("Space")
            else:
                window.keyboard.type(f"{check['value']:g}")
        box.focus()
        window.keyboard.press("Space")
        assert box.is_checked()
        assert not ask.is_visible()
        assert "open" not in window.inner_text("#tick")
        # A step without checks asks nothing.
        go(window, 1)
        box.check()
        assert box.is_checked()
        assert window.said == []
