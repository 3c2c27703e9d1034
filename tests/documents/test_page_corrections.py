"""Readings typed into the page are answered at once, as the command answers them; cards to come are corrected."""

import json
import re
from dataclasses import replace

import pytest
import yaml
from browser import opened
from command_line import run

from pipemodel import story
from pipemodel.messages.say import capital

pytestmark = [pytest.mark.browser, pytest.mark.slow]
PHONE = {"viewport": {"width": 390, "height": 664}, "has_touch": True, "is_mobile": True}
JOB = """\
job: two returns
tube: 15
former: {radius: 55, springback: {per_degree: 0.05, fixed: 1.5}, mark: 20, hold: 60, guide: 45}
runs:
  flow:
    points: [[0, 0, 0], [600, 0, 0], [600, 400, 0], [600, 400, 350], [300, 400, 350]]
  return:
    points: [[0, 50, 0], [500, 50, 0], [500, 50, 350]]
"""


@pytest.fixture(scope="module")
def job(tmp_path_factory):
    path = tmp_path_factory.mktemp("corrections") / "job.yaml"
    path.write_text(JOB)
    for language in ("en", "de"):
        read = story.read(path)
        story.make(replace(read, language=language), path.parent / language, only=["html"])
    return path


def page(job, language="en"):
    return (job.parent / language / "job.html").as_uri()


def typed(window, **readings):
    """Type readings into the first piece's fields, each shown first."""
    for check, text in readings.items():
        field = window.locator(f"[data-run='flow'][data-check='{check}']")
        window.evaluate("(n) => page.go(n, true)", window.evaluate(
            "(f) => page.steps.indexOf(f.closest('.step'))", field.element_handle()))  # fmt: skip
        field.fill(text)
        field.press("Tab")
    answered(window)


def answered(window):
    """Wait until nothing is looked for any more."""
    window.wait_for_selector(".waiting", state="detached")


def answers(window):
    """The answers under the checks of the first piece, those of other pieces left out."""
    return window.evaluate(
        "[...document.querySelectorAll('.step:has([data-run=flow]) .answer')].map((a) => a.textContent)"
    )


def corrected(window):
    return window.evaluate("[...document.querySelectorAll('.corrected')].map((a) => a.textContent)")


def by_command(job, readings):
    path = job.with_name("readings.yaml")
    path.write_text(yaml.safe_dump(readings))
    return json.loads(run("measured", job, "--run", "flow", "--readings", path, "--format", "json").out)


def test_the_page_says_what_the_command_says(browser, job):
    with opened(browser, page(job), picture=False, **PHONE) as window:
        typed(window, **{"1a": "92", "1b": "609.5"})
        found = by_command(job, {"after": 1, "readings": {"1a": 92, "1b": 609.5}})
        first, *rest = answers(window)
        assert found["verdict"] == "change"
        assert "CHANGE WHAT IS LEFT" in first
        assert f"{found['bent'][0]['angle_deg']:.1f}°" in first
        assert not any(rest)
        cards = corrected(window)
        assert len(cards) == len(found["pulls"]) == 2
        for card, pull in zip(cards, found["pulls"], strict=True):
            assert card.startswith("Corrected after pull 1")
            mark = re.search(r"mark to ([\d.]+) mm", card)
            assert mark is None or float(mark[1]) == pytest.approx(pull["mark_mm"], abs=0.26)
            to = re.search(r"pull to ([\d.]+)°", card)
            assert to is None or float(to[1]) == pytest.approx(pull["pull_deg"], abs=0.1)
            assert mark or to
        struck = window.evaluate("[...document.querySelectorAll('.superseded')].map((a) => a.textContent).join('|')")
        assert "Mark at" in struck
        assert window.said == []


def test_corrections_stay_and_are_taken_back(browser, job):
    with opened(browser, page(job), picture=False, **PHONE) as window:
        typed(window, **{"1a": "92"})
        before = corrected(window)
        assert before
        window.reload()
        answered(window)
        assert corrected(window) == before
        undo = window.locator(".answer .choice").first
        assert undo.inner_text() == "Bend the rest as planned"
        window.evaluate("page.go(page.steps.findIndex((s) => s.querySelector('.choice')), true)")
        undo.click()
        answered(window)
        assert corrected(window) == []
        assert window.evaluate("document.querySelectorAll('.superseded').length") == 0
        window.reload()
        answered(window)
        assert corrected(window) == []
        window.evaluate("page.go(page.steps.findIndex((s) => s.querySelector('.choice')), true)")
        redo = window.locator(".answer .choice").first
        assert redo.inner_text() == "Bend the rest as corrected"
        redo.press("Enter")
        answered(window)
        assert corrected(window) == before
        typed(window, **{"1a": ""})
        assert corrected(window) == []
        assert answers(window)[0] == ""
        assert window.said == []


def test_corrected_cards_are_printed(browser, job):
    with opened(browser, page(job), picture=False, **PHONE) as window:
        typed(window, **{"1a": "92"})
        window.emulate_media(media="print")
        window.evaluate("dispatchEvent(new Event('beforeprint'))")
        assert window.locator(".corrected").first.is_visible()
        assert window.locator(".answer strong").first.is_visible()
        # Nobody presses a button on paper.
        assert window.locator(".answer .choice").count() > 0
        assert not window.locator(".answer .choice").first.is_visible()


def test_one_reading_alone_is_asked_for_again_and_then_counts(browser, job):
    readings = {"3a": 101}
    assert by_command(job, {"after": 3, "readings": readings})["verdict"] == "contradiction"
    assert by_command(job, {"after": 3, "readings": {"3a": [101, 101]}})["verdict"] == "recut"
    with opened(browser, page(job), picture=False, **PHONE) as window:
        typed(window, **{"3a": "101"})
        assert "MEASURE AGAIN" in answers(window)[2]
        window.evaluate("page.go(page.steps.findIndex((s) => s.querySelector('.choice')), true)")
        window.locator(".answer .choice", has_text="3a").click()
        answered(window)
        assert "CUT A NEW PIECE" in answers(window)[2]
        assert window.said == []


def test_a_flattened_bend_is_a_new_piece_in_the_words_of_the_tool(browser, job):
    found = by_command(job, {"after": 1, "readings": {"1c": 2.5}})
    assert found["verdict"] == "recut"
    with opened(browser, page(job), picture=False, **PHONE) as window:
        typed(window, **{"1c": "2.5"})
        assert answers(window)[0] == "CUT A NEW PIECE" + found["message"][0].upper() + found["message"][1:]
        typed(window, **{"1c": "0.6"})
        assert "CUT" not in answers(window)[0]
        typed(window, **{"1c": "14.2"})
        assert "is a diameter" in window.locator("#steps output", has_text="diameter").inner_text()
        assert answers(window) == ["", "", ""]
        assert window.said == []


FLAT_JOB = """\
job: a flat run
tube: 15
former: {radius: 55, springback: {per_degree: 0.05, fixed: 1.5}, mark: 20, hold: 60, guide: 45}
runs:
  flow:
    points: [[0, 0, 0], [350, 0, 0], [350, 400, 0], [700, 400, 0]]
"""


def test_the_side_of_a_gap_is_asked_for_chosen_beside_it_and_kept(browser, tmp_path):
    path = tmp_path / "job.yaml"
    path.write_text(FLAT_JOB)
    for language in ("en", "de"):
        story.make(replace(story.read(path), language=language), tmp_path / language, only=["html"])
    sides = "[data-check='2c']"
    with opened(browser, page(path), picture=False, **PHONE) as window:
        measure = window.evaluate("page.data.pieces[0].pulls[1].checks.map((c) => [c.id, c.kind])")
        assert ["2c", "flat on the bench"] in measure
        item = window.locator(f".check:has({sides})")
        typed(window, **{"2c": "0.5"})
        assert item.locator(".side").is_hidden()
        typed(window, **{"2c": "20"})
        assert "SAY TO WHICH SIDE" in answers(window)[1]
        assert by_command(path, {"after": 2, "readings": {"2c": 20}})["verdict"] == "which side"
        said = {}
        item.get_by_role("button", name="cannot tell").click()
        answered(window)
        found = by_command(path, {"after": 2, "readings": {"2c": "20 either"}})
        assert "SAY TO WHICH SIDE" not in answers(window)[1]
        (no_side,) = [one["message"] for one in found["said"] if "is not known" in one["message"]]
        assert capital(no_side) in answers(window)[1]
        for side in ("left", "right"):
            item.get_by_role("button", name=side).click()
            answered(window)
            said[side] = answers(window)[1]
            found = by_command(path, {"after": 2, "readings": {"2c": f"20 {side}"}})
            assert "SAY TO WHICH SIDE" not in said[side]
            assert all(capital(one["message"]) in said[side] for one in found["said"] if "twisted" in one["message"])
            assert any("twisted" in one["message"] for one in found["said"])
        assert said["left"] != said["right"]
        assert item.get_by_role("button", name="left").get_attribute("aria-pressed") == "false"
        window.reload()
        answered(window)
        assert answers(window)[1] == said["right"]
        window.evaluate("(f) => page.go(page.steps.indexOf(f.closest('.step')), true)", item.element_handle())
        item.get_by_role("button", name="right").click()
        answered(window)
        assert "SAY TO WHICH SIDE" in answers(window)[1]
    with opened(browser, page(path, "de"), picture=False, **PHONE) as window:
        typed(window, **{"2c": "20"})
        assert "SEITE ANGEBEN" in answers(window)[1]
        window.locator(f".check:has({sides})").get_by_role("button", name="links").click()
        answered(window)
        assert "SEITE ANGEBEN" not in answers(window)[1]


def test_a_slip_of_unit_is_said_at_the_field_and_is_no_reading(browser, job):
    """The same words as the tool's, which refuses the file."""
    refused = job.with_name("slip.yaml")
    refused.write_text("{after: 1, readings: {1b: 60.9}}\n")
    said = run("measured", job, "--run", "flow", "--readings", refused).err.split(": check ")[1].split("\n")[0]
    with opened(browser, page(job), picture=False, **PHONE) as window:
        typed(window, **{"1b": "60.9"})
        field = window.locator("[data-run='flow'][data-check='1b']")
        assert field.get_attribute("aria-invalid") == "true"
        output = window.locator(f"#{field.get_attribute('id')}-off").inner_text()
        assert output.removeprefix("\u2715 Check ") == said
        assert answers(window) == ["", "", ""]
        assert window.said == []


def test_figures_that_nobody_reads_are_no_readings(browser, job):
    with opened(browser, page(job), picture=False, **PHONE) as window:
        for text in ("x", "-90", "9000", "0"):
            typed(window, **{"1a": text})
            assert answers(window) == ["", "", ""]
        assert window.said == []


SLOWLY = """() => {
  let clock = 0;
  performance.now = () => (clock += 1000);
  page.data.answers.pieces.forEach((run) => run.known?.clear());
}"""
"""A clock with which each slice of a search is one step; and nothing is known from before."""
HEARD = """(texts) => {
  const of = document.querySelector(".step:has([data-run=flow]) .answer").closest("#steps"), seen = [];
  for (const [check, text] of Object.entries(texts)) {
    const field = of.querySelector(`[data-run=flow][data-check="${check}"]`);
    field.value = text;
    field.dispatchEvent(new Event("change", { bubbles: true }));
    seen.push(field.closest(".step").querySelector(".answer").textContent);
  }
  return seen;
}"""
"""Type several readings before anything else is done; what stands under each then."""


PRINTED = f"""(texts) => {{
  const seen = ({HEARD})(texts), of = (what) => [...document.querySelectorAll(what)].map((one) => one.textContent);
  dispatchEvent(new Event("beforeprint"));
  return [seen, of(".step:has([data-run=flow]) .answer"), of(".corrected")];
}}"""
"""Type and print at once: what is on paper."""


def test_while_it_looks_for_an_answer_the_page_says_so_and_goes_on(browser, job):
    with opened(browser, page(job), picture=False, **PHONE) as window:
        typed(window, **{"1a": "92", "3a": "101"})
        wanted, cards = answers(window), corrected(window)
        typed(window, **{"1a": "", "3a": ""})
        window.evaluate(SLOWLY)
        window.evaluate("""window.shown = new Set();
          const third = document.querySelectorAll(".step:has([data-run=flow]) .answer")[2];
          new MutationObserver(() => shown.add(third.textContent)).observe(third, { childList: true })""")
        first, second = window.evaluate(HEARD, {"1a": "92", "3a": "101"})
        assert first == second == "Working out what was bent …"
        status = window.locator(".answer:has(.waiting)").first
        assert status.get_attribute("role") == "status"
        # Meanwhile all else works.
        window.evaluate("page.go(1, true)")
        window.locator("#tick input").check()
        answered(window)
        assert answers(window) == wanted
        assert corrected(window) == cards
        assert any("not those of a piece bent nearly right" in text for text in window.evaluate("[...shown]"))
        assert window.locator("#tick input").is_checked()
        assert window.said == []


def test_a_newer_reading_ends_the_search_for_an_older(browser, job):
    with opened(browser, page(job), picture=False, **PHONE) as window:
        typed(window, **{"1a": "92"})
        wanted, cards = answers(window), corrected(window)
        window.evaluate(SLOWLY)
        window.evaluate(HEARD, {"1a": "101"})
        window.evaluate(HEARD, {"1a": "92"})
        answered(window)
        assert answers(window) == wanted
        window.evaluate(HEARD, {"1a": "101"})
        assert corrected(window) == ["Wait: this card may change yet"] * 2
        window.evaluate(HEARD, {"1a": ""})
        assert (answers(window), corrected(window)) == (["", "", ""], [])
        window.wait_for_timeout(300)
        assert (answers(window), corrected(window)) == (["", "", ""], [])
        window.evaluate(HEARD, {"1a": "92"})
        window.reload()
        answered(window)
        assert (answers(window), corrected(window)) == (wanted, cards)
        assert window.said == []


def test_what_is_printed_while_it_looks_is_the_answer(browser, job):
    with opened(browser, page(job), picture=False, **PHONE) as window:
        typed(window, **{"1a": "92"})
        wanted = answers(window), corrected(window)
        window.evaluate(SLOWLY)
        window.evaluate(HEARD, {"1a": ""})
        seen, printed, cards = window.evaluate(PRINTED, {"1a": "92"})
        assert seen == ["Working out what was bent …"]
        assert (printed, cards) == wanted
        assert window.said == []


def test_german(browser, job):
    with opened(browser, page(job, "de"), picture=False, **PHONE) as window:
        typed(window, **{"1a": "87"})
        assert "WEITER BIEGEN" in answers(window)[0]
        assert re.search(r"Bogen 1 um \d,\d° weiter biegen", answers(window)[0])
        assert window.said == []
