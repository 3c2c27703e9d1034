"""The guided start of the live view: a form for an everyday bend writes the job, once, for its own page alone."""

import http.client
from math import pi
from urllib.parse import urlencode

import pytest
from browser import PHONE, opened
from test_live import ask, serving

from pipemodel import story
from pipemodel.job.starter.cases import CASES, TUBE


def usual(case):
    return {question.key: question.usual for question in (TUBE, *CASES[case].questions)}


def post(server, case, answers, body=None, **headers):
    """Send answers as a form of the server's own page does, unless the headers say otherwise."""
    here = f"127.0.0.1:{server.server_port}"
    connection = http.client.HTTPConnection("127.0.0.1", server.server_port, timeout=20.0)
    text = urlencode(answers) if body is None else body
    sent = {"Host": here, "Origin": f"http://{here}", "Content-Type": "application/x-www-form-urlencoded", **headers}
    connection.request("POST", f"/start?case={case}", text, {k: v for k, v in sent.items() if v is not None})
    answer = connection.getresponse()
    said = answer.read().decode("utf-8")
    connection.close()
    return answer.status, said


@pytest.mark.slow
@pytest.mark.parametrize("case", CASES)
def test_the_usual_answers_make_a_job_that_is_shown(tmp_path, case):
    path = tmp_path / "job.yaml"
    with serving(path, start=True) as server:
        assert f"/start?case={case}" in ask(server)[1]
        form = ask(server, f"/start?case={case}")[1]
        for key, value in usual(case).items():
            assert f'name="{key}" value="{value}"' in form
        assert not path.exists()
        assert post(server, case, usual(case))[0] == 303
        assert story.schedule(story.read(path)).runs[0].table.bends
        assert 'class="step' in ask(server)[1]
        # It is there now: the form is gone, and nothing writes it again.
        assert ask(server, f"/start?case={case}")[0] == 404
        before = path.read_bytes()
        assert post(server, "3", {**usual("3"), "first": "999"})[0] == 303
        assert path.read_bytes() == before


def test_the_measures_are_those_that_were_typed(tmp_path):
    """A corner, both legs to the back: 600 + 400 less 7.5 each to the axis, less 2 R - R pi / 2 in the bend of 55."""
    path = tmp_path / "job.yaml"
    with serving(path, start=True) as server:
        assert post(server, "3", {"tube": "15", "first": "60 cm", "second": "400"})[0] == 303
    [run] = story.schedule(story.read(path)).runs
    assert run.cut_length_mm == pytest.approx(600 + 400 - 15 - (2 * 55 - 55 * pi / 2), abs=1e-6)


@pytest.mark.parametrize(
    ("case", "answers", "says"),
    [
        ("3", {"first": "far"}, "far is no length"),
        ("3", {"first": ""}, "is no length"),
        ("3", {"first": "0"}, "too little"),
        ("3", {"first": "<b>5"}, "&lt;b&gt;5"),
        ("3", {"tube": "17.3"}, "17.3"),
        ("1", {"far": "20"}, "as far from the wall"),
        ("1", {"near": "far", "far": "20"}, "far is no length"),
        ("1", {"angle": "95"}, "at most 90"),
    ],
)
def test_what_is_wrong_is_said_and_nothing_written(tmp_path, case, answers, says):
    path = tmp_path / "job.yaml"
    with serving(path, start=True) as server:
        status, page = post(server, case, {**usual(case), **answers})
    assert status == 200
    assert 'role="alert"' in page
    assert says in page.replace("'", "").replace("&#x27;", "")
    assert "<b>" not in page
    assert not path.exists()


@pytest.mark.parametrize(
    ("headers", "status"),
    [
        ({"Origin": "http://elsewhere.example"}, 403),
        ({"Origin": "null"}, 403),
        ({"Origin": None}, 403),
        ({"Origin": None, "Sec-Fetch-Site": "cross-site"}, 403),
        ({"Host": "elsewhere.example"}, 403),
        ({"Content-Length": "99999999"}, 413),
        ({"Content-Length": "x"}, 413),
    ],
)
def test_nobody_else_writes_a_job(tmp_path, headers, status):
    path = tmp_path / "job.yaml"
    with serving(path, start=True) as server:
        assert post(server, "3", usual("3"), **headers)[0] == status
    assert not path.exists()


@pytest.mark.parametrize("body", ["&".join(f"k{n}=1" for n in range(50)), b"\xff\xfe=1"])
def test_what_is_no_form_is_refused(tmp_path, body):
    with serving(tmp_path / "job.yaml", start=True) as server:
        assert post(server, "3", {}, body)[0] == 400
        assert post(server, "9", {})[0] == 501
    assert not (tmp_path / "job.yaml").exists()


@pytest.mark.browser
@pytest.mark.slow
@pytest.mark.parametrize(("language", "write"), [("en", "Write job.yaml"), ("de", "job.yaml schreiben")])
def test_by_touch_on_a_phone(browser, tmp_path, language, write):
    path = tmp_path / "job.yaml"
    with (
        serving(path, language=language, start=True) as server,
        opened(browser, server.url, **PHONE, offline=False) as window,
    ):
        window.locator("a", has_text="corner" if language == "en" else "Ecke").click()
        window.fill("#first", "weit")
        window.locator("button", has_text=write).click()
        assert window.locator("#first").get_attribute("aria-invalid") == "true"
        assert window.evaluate("[innerWidth, document.documentElement.scrollWidth]") == [390, 390]
        assert window.locator("#second").input_value() == "300"
        window.fill("#first", "450")
        window.locator("button", has_text=write).click()
        window.wait_for_selector(".step", state="attached")
        assert window.evaluate("document.documentElement.scrollWidth <= innerWidth")
        assert window.said == []
    assert "450" in path.read_text()
