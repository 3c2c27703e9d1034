"""A job in inches names inches on every paper, and every drawing and picture carries the caution."""

import re
from xml.etree import ElementTree

import ezdxf
import pypdf
import pytest
from command_line import run

JOB = """\
job: kitchen return
tube: 15
former: {radius: 55, springback: {per_degree: 0.02, fixed: 1.0}, hold: 60, guide: 45, mark: 12}
units: in
clips: {face: wall}
clearance: 5
jig: {when: always}
room:
  wall: {face: {at: [0, 0, 0], facing: north}}
  post: {box: {from: [150, -10, 0], to: [190, 80, 400]}}
runs:
  flow:
    points: [[0, 20, 0], [300, 20, 0], [300, 300, 0], [300, 320, 250]]
  too tight:
    points: [[0, 120, 900], [300, 120, 900], [300, 250, 900], [500, 250, 900]]
"""
MM = re.compile(r"[\d½] ?mm\b(?! long)")
"""A length in mm; but the bars that show whether a page was printed full size are 100 mm long."""
CAUTIOUS = ("on site before cutting", "local codes come first")


@pytest.fixture(scope="module")
def made(tmp_path_factory):
    home = tmp_path_factory.mktemp("inches")
    (home / "job.yaml").write_text(JOB)
    said = run("make", home / "job.yaml", "--out", home / "out", "--only", "html,pdf,txt,md,cuts,pulls,svg,dxf")
    assert said.code == 1, "it clashes, and one run cannot be pulled"
    return home / "out", said


def words_of(svg):
    return " ".join(
        "".join(text.itertext()) for text in ElementTree.fromstring(svg).iter() if text.tag.endswith("text")
    )


@pytest.mark.slow
def test_no_paper_says_mm(made):
    out, said = made
    papers = {"stderr": said.err}
    page = (out / "job.html").read_text(encoding="utf-8")
    papers["page"] = re.sub(r"<style>.*?</style>|<script.*?</script>|<[^>]*>", " ", page, flags=re.S)
    papers["pack"] = "\n".join(sheet.extract_text() for sheet in pypdf.PdfReader(out / "job.pdf").pages)
    for file in (*out.glob("*.txt"), *out.glob("*.md"), *out.glob("*.svg")):
        text = file.read_text(encoding="utf-8")
        papers[file.name] = words_of(text) if file.suffix == ".svg" else text
    assert len(papers) >= 9
    assert {name: MM.findall(text) for name, text in papers.items() if MM.search(text)} == {}
    assert all(re.search(r"\d in\b|in inches|lengths in in", text) for name, text in papers.items()), papers.keys()


@pytest.mark.slow
def test_every_drawing_carries_the_caution(made):
    out, _ = made
    drawings = list(out.glob("*.svg"))
    assert {file.name for file in drawings} == {
        "job.svg", "job-setting-out.svg", "flow.svg", "too tight.svg", "flow-pulls.svg",
    }  # fmt: skip
    for file in drawings:
        assert all(text in words_of(file.read_text(encoding="utf-8")) for text in CAUTIOUS), file.name
    for file in out.glob("*.dxf"):
        written = [entity.dxf.text for entity in ezdxf.readfile(file).modelspace().query("TEXT")]
        assert all(" ".join(written).count(text) == 1 for text in CAUTIOUS), file.name


@pytest.mark.slow
@pytest.mark.render
def test_the_picture_carries_the_caution(tmp_path):
    """Its last line of letters is as long as the caution, and longer than what stands above it."""
    import numpy as np
    from PIL import Image

    (tmp_path / "job.yaml").write_text(JOB.replace("jig: {when: always}\n", ""))
    said = run("make", tmp_path / "job.yaml", "--out", tmp_path / "out", "--only", "png")
    if said.code == 2:
        pytest.skip(said.err)
    dark = np.asarray(Image.open(tmp_path / "out" / "job.png").convert("L")) < 128
    lines = [np.nonzero(dark[a:b].any(axis=0))[0] for a, b in ((-48, -26), (-25, -1))]
    assert all(len(line) for line in lines)
    assert 1200 < np.ptp(lines[1]) < 1560
