"""The live view in a real browser: the camera stays, faults lie over the last good picture, and it comes back."""

import pytest
from browser import DESK, opened
from command_line import CUPBOARD
from test_live import save, serving

pytestmark = pytest.mark.browser
CAMERA = "[page.scene.view.azimuth, page.scene.view.height, page.scene.view.reach, page.scene.view.centre]"


def wait_for(window, number):
    window.wait_for_selector(f'html[data-live="{number}"]', state="attached")


@pytest.mark.slow
def test_a_save_is_seen_and_the_camera_stays(browser, tmp_path):
    text = CUPBOARD.read_text(encoding="utf-8")
    path = tmp_path / "job.yaml"
    path.write_text(text, encoding="utf-8")
    with serving(path) as server, opened(browser, server.url, **DESK, offline=False) as window:
        wait_for(window, 1)
        window.keyboard.press("ArrowRight")
        assert "2799" in window.inner_text(".step:visible")
        window.evaluate(
            "() => { page.scene.view.turnBy(33, 7); page.scene.view.zoomBy(1.4); page.scene.view.panBy(9, 5); }"
        )
        camera = window.evaluate(CAMERA)
        ends = "page.data.runs[0].base.here.concat(page.scene.placed[0].made.rings.at(-1).at)"
        before = window.evaluate(ends)

        save(path, text.replace("depth: 95", "depth: 105"))
        wait_for(window, 2)
        # Ten deeper, down at one end and up at the other: twenty more tube, and the ends where they were.
        assert "2819" in window.inner_text(".step:visible")
        assert window.evaluate(ends) == pytest.approx(before, abs=1e-6)
        assert window.evaluate(CAMERA) == camera

        save(path, text.replace("tube: 15 ", "tube: 17 "))
        wait_for(window, 3)
        stated = window.inner_text("#live-wrong")
        assert "job.yaml, line 14" in stated
        assert "tube: 17" in stated
        assert "2819" in window.inner_text(".step:visible")
        assert window.locator("#view").is_visible()

        save(path, text.replace("riser: 1861 ", "riser: 1890 "))
        wait_for(window, 4)
        assert not window.locator("#live-wrong").is_visible()
        assert "FAIL" in window.inner_text("#head")
        assert window.evaluate(CAMERA) == camera
        assert window.said == []
        server.stop()
        window.wait_for_selector("#live-wrong:not([hidden])")
        assert "has stopped" in window.inner_text("#live-wrong")


@pytest.mark.slow
def test_it_opens_on_a_wrong_file_and_shows_the_first_good_one(browser, tmp_path):
    path = tmp_path / "job.yaml"
    path.write_text("job: nothing yet\n", encoding="utf-8")
    with serving(path) as server, opened(browser, server.url, **DESK, offline=False) as window:
        wait_for(window, 1)
        assert "line 1" in window.inner_text("#live-wrong")
        save(path, CUPBOARD.read_text(encoding="utf-8"))
        window.wait_for_selector("#view")
        wait_for(window, 2)
        assert not window.locator("#live-wrong").is_visible()
        assert window.said == []


@pytest.mark.slow
def test_another_page_cannot_read_it(browser, tmp_path):
    """A page from elsewhere asks for the live view, as any page of the web could; it gets nothing."""
    path = tmp_path / "job.yaml"
    path.write_text(CUPBOARD.read_text(encoding="utf-8"), encoding="utf-8")
    other = tmp_path / "other.html"
    other.write_text("<!doctype html><title>other</title>", encoding="utf-8")
    with serving(path) as server, opened(browser, other.as_uri(), offline=False) as window:
        got = window.evaluate(
            """async (url) => {
                const read = await fetch(url).then((answer) => answer.text(), () => "refused");
                const blind = await fetch(url, { mode: "no-cors" }).then((answer) => answer.type, () => "refused");
                const frame = document.createElement("iframe");
                frame.src = url;
                await new Promise((done) => { frame.onload = done; document.body.append(frame); });
                let framed = "nothing";
                try { framed = frame.contentDocument ? "read" : "nothing"; } catch { /* closed */ }
                return [read, blind, framed];
            }""",
            server.url,
        )
    assert got[0] == "refused"
    assert got[1] in ("refused", "opaque")
    assert got[2] == "nothing"
