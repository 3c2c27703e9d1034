"""How many pages the fitter's pack of a cupboard takes: eight runs of 34 bends go on 40, on A4."""

import re
from io import BytesIO
from math import sqrt

import pypdf
import pytest
import yaml

from pipemodel import load, story
from pipemodel.documents.pack.document import PackReader, pack_pdf
from pipemodel.drawing.templates import planar_stretches
from pipemodel.results.paper_options import PaperOptions

S = 140.0 / sqrt(3.0)
"""How far a set of 30 degrees and 140 aside goes back: 140 over the tangent of 60."""


def _cupboard() -> str:
    """Eight runs up a wall: a set, a quarter turn forward, another up, and for two of them a third to the side."""
    runs = {}
    for k in range(8):
        x, y = 100.0 + 130.0 * k, 530.0 - 10.0 * k
        points = [[x, y, 100.0], [x, y, 400.0], [x + 140.0, y, 400.0 + S * 3.0], [x + 140.0, y, 1000.0]]
        points += [[x + 140.0, y - 280.0, 1000.0], [x + 140.0, y - 280.0, 1320.0]]
        if k < 2:
            points.append([x + 440.0, y - 280.0, 1320.0])
        runs[f"run {k + 1}"] = {"points": points, **({"tube": 15, "former": {"radius": 55}} if k > 3 else {})}
    return yaml.safe_dump(
        {"job": "cupboard", "tube": 22, "former": {"radius": 82.5, "hold": 60, "guide": 60}, "runs": runs}
    )


@pytest.fixture(scope="module")
def cupboard(tmp_path_factory):
    path = tmp_path_factory.mktemp("cupboard") / "job.yaml"
    path.write_text(_cupboard())
    return story.results(load(path))


def _pages(pdf):
    return [page.extract_text() for page in pypdf.PdfReader(BytesIO(pdf)).pages]


@pytest.mark.slow
def test_eight_runs_of_34_bends_take_40_pages_at_most(cupboard):
    assert sum(len(run.table.bends) for run in cupboard.schedule.runs) == 34
    assert all(piece.cards for piece in cupboard.pieces)
    pages = _pages(pack_pdf(cupboard))
    assert len(pages) <= 40
    said = re.search(r"Not here: (\d+) of the templates, (\d+) sheets; .*job-templates.pdf", pages[0], re.S)
    left, sheets = said.groups()
    full = sum("both bars must be" in page and "angle cards and wraps" not in page for page in pages)
    every = _pages(pack_pdf(cupboard, PackReader.TEMPLATES))
    # All but the first sheet of that file are templates.
    assert (full, int(sheets)) == (6, len(every) - 1 - 6)
    assert int(left) < int(sheets)
    for k in range(8):
        assert sum(f"Run: run {k + 1}" in page for page in pages) == 1
    assert sum(page.count("\u25a1 Pull ") for page in pages) == 34


@pytest.mark.slow
def test_they_do_in_german_on_letter_too(cupboard):
    lettered = story.results(cupboard.schedule.job, paper_options=PaperOptions(language="de", paper="Letter"))
    assert len(_pages(pack_pdf(lettered))) <= 40


@pytest.mark.slow
def test_every_template_is_in_a_file_of_its_own(cupboard):
    pages = _pages(pack_pdf(cupboard, PackReader.TEMPLATES))
    several = [(run, s) for run in cupboard.schedule.runs for s in planar_stretches(run) if s.last > s.first]
    assert len(several) >= 8
    for run, stretch in several:
        assert any(f"{run.name}, bends {stretch.first} to {stretch.last}" in page for page in pages)
