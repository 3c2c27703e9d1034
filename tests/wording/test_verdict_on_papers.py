"""What the first line of every paper says of a job that passes: that it is clear as drawn, and whose figures bend it.

Which figures are of common practice is what the job file leaves out (docs/tables.md), not what the program says of it.
"""

from dataclasses import replace

import pytest
from lxml import html
from pdf_lines import text_of
from short_jobs import read

from pipemodel import story
from pipemodel.documents.pack.document import pack_pdf
from pipemodel.documents.page.page import page_html
from pipemodel.documents.tables.markdown import markdown
from pipemodel.documents.text.check import check_text

OWN = "{radius: 55, springback: {fixed: 2}, hold: 30, guide: 10}"
SAID = {
    "en": ("PASS: clear as drawn", "; former not measured"),
    "de": ("BESTANDEN: wie gezeichnet frei", "; Biegematrize nicht ausgemessen"),
}


@pytest.mark.slow
@pytest.mark.parametrize(
    ("former", "measured"),
    [
        (OWN, True),
        ("{radius: 55}", False),
        (OWN.replace(", guide: 10", ""), False),
        (OWN.replace("hold: 30, ", ""), False),
        (OWN.replace("springback: {fixed: 2}, ", ""), False),
        ("15 mm hand bender", False),
    ],
)
@pytest.mark.parametrize("language", ["en", "de"])
def test_a_pass_says_whether_the_former_is_measured_on_every_paper(former, measured, language):
    results = story.results(replace(read(former=former), language=language))
    clear, not_measured = SAID[language]
    wanted = clear if measured else clear + not_measured
    (head,) = html.fromstring(page_html(results)).xpath("//*[contains(@class, 'verdict')]")
    assert " ".join(head.text_content().split()) == f"✓ {wanted}"
    assert wanted in check_text(results).splitlines()
    assert wanted in [line.rstrip() for line in markdown(results).replace("\\", "").splitlines()]


@pytest.mark.parametrize("measured", [True, False])
def test_so_does_the_pack(measured):
    text = text_of(pack_pdf(story.results(read(former=OWN if measured else "{radius: 55}"))))
    assert SAID["en"][0] in text
    assert (SAID["en"][1] in text) == (not measured)


def test_what_fails_says_so_first():
    results = story.results(
        read(former="{radius: 55}", line="room: {post: {box: {from: [300, -50, -50], to: [350, 50, 50]}}}")
    )
    assert "FAIL: 1 thing is wrong" in check_text(results).splitlines()
