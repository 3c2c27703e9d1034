"""Papers in German: no English is left on them, they say the same figures, and everything stays on the sheet."""

import re
from collections import Counter
from dataclasses import replace
from xml.etree import ElementTree as ET

import pytest
from pdf_lines import text_of

from pipemodel import story
from pipemodel.documents.drawing_files import write_dxf_files, write_svg_files
from pipemodel.documents.full_size import card_and_wrap_pages, templates_of
from pipemodel.documents.jig.files import write_jig
from pipemodel.documents.pack.document import PackReader, pack_pdf
from pipemodel.documents.pull_files import write_card_files
from pipemodel.drawing.placing import box_of
from pipemodel.drawing.primitives import Text
from pipemodel.drawing.pull_drawing import pull_pictures
from pipemodel.drawing.svg import to_svg
from pipemodel.drawing.title_block import EDGE
from pipemodel.jigs.design import Jig
from pipemodel.messages.units import LANGUAGES, units_for
from pipemodel.results.paper_options import PAPERS, PaperOptions

# Names that are not words of either language, so that what is left was written by the program.
JOB = """\
job: A1
tube: 15
former: {radius: 55, springback: {per_degree: 0.02, fixed: 1.0}, mark: 12.5, hold: 40, guide: 30}
jig: {bed: medium, tolerance: {position: 3, angle: 1.5}, inserts: true, standoff: 30, revision: Z9,
  when: always}
stock: {length: 3000}
room:
  W1: {box: {from: [120, -40, -60], to: [160, 8.5, 60]}}
  W2: {face: {at: [0, -40, 0], facing: north}}
runs:
  L1: {points: [[0, 0, 0], [400.5, 0, 0], [400.5, 250, 0], [620, 250, 150], [620, 900, 150]]}
  L2: {points: [[0, 100, 0], [500, 100, 0], [500, 100, 70]]}
  L3: {points: [[0, 200, 300], [500, 200, 300]]}
"""
ENGLISH = set(
    re.findall(
        r"\w+",
        """
    the with from mark marks bend bends pull pulls and of to is are at by for no not each every leg legs turn
    clockwise anticlockwise start finish end held holds cut length tube former angle  run jig cradle
    slot slots accepts sheet page row column scale seen above below before after you your more less than print
    printed part  degrees  without  view south north east west isometric error warning code
    found what gauge lay hold check drawings templates full size pieces piece one order first half way round
        """,
    )
)
_NUMBER = re.compile(r"\d+(?:[.,]\d+)?")


def english_in(text):
    found = Counter(
        re.findall(r"[A-Za-zÄÖÜäöüß]+", re.sub(r"[\w-]+\.(?:stl|3mf)|turn-[\d.]+-\w+|angle-[\d.]+", "", text).lower())
    )
    # The decisions of a jig are said with the key to write in the job beside them.
    return {word: found[word] for word in sorted(set(found) & ENGLISH)}


def figures_in(text):
    return Counter(number.replace(",", ".") for number in _NUMBER.findall(text))


def words_in(svg):
    root = ET.fromstring(svg)
    return "\n".join("".join(node.itertext()) for node in root.iter() if node.tag.endswith(("}text", "}title")))


@pytest.fixture(scope="module")
def answers(tmp_path_factory):
    path = tmp_path_factory.mktemp("job") / "job.yaml"
    path.write_text(JOB, encoding="utf-8")
    english = story.results(story.load(path), paper_options=PaperOptions(revision="Z9"))
    german = replace(english, paper_options=replace(english.paper_options, language="de"))
    # What a jig is has no language, and takes long to work out.
    vars(german)["jigs"] = english.jigs
    return {"en": english, "de": german}


@pytest.fixture(scope="module")
def packs(answers):
    """Both packs as text."""
    return {
        said_in: "".join(text_of(pack_pdf(answer, reader)) for reader in PackReader)
        for said_in, answer in answers.items()
    }


@pytest.fixture(scope="module")
def drawn(answers, tmp_path_factory):
    """The words on drawings of job, runs and pulls."""
    texts = {}
    for said_in, answer in answers.items():
        folder = tmp_path_factory.mktemp(said_in)
        write_svg_files(answer, folder)
        write_card_files(answer, folder)
        files = {path.name: words_in(path.read_bytes()) for path in sorted(folder.iterdir())}
        texts[said_in] = {**files, "in place": in_place_words(answer)}
    return texts


def in_place_words(answer):
    clashes = [(finding.against, finding.point) for finding in answer.report.findings if finding.against]
    return words_in(to_svg(answer.drawings.of_run_in_place(0, clashes)))


@pytest.fixture(scope="module")
def jig_texts(answers, tmp_path_factory):
    """The text and the words on the drawings of every jig, by language."""
    texts = {}
    jig = next(jig for jig in answers["en"].jigs if isinstance(jig, Jig))
    for said_in in LANGUAGES:
        folder = tmp_path_factory.mktemp(said_in)
        write_jig(jig, "L1", folder, said_in)
        sheet = (folder / "L1-jig.txt").read_text(encoding="utf-8")
        pictures = [words_in((folder / f"L1-jig{end}.svg").read_bytes()) for end in ("", "-plan")]
        texts[said_in] = {
            "sheet": sheet,
            "pdf": text_of((folder / "L1-jig.pdf").read_bytes()),
            "drawn": "".join(pictures),
        }
    return texts


@pytest.mark.slow
def test_the_pack_is_german(packs):
    assert {"the", "mark", "bend"} <= set(english_in(packs["en"]))
    assert english_in(packs["de"]) == {}
    for said in (
        "Revision Z9",
        "Biegung 1: Bogen 1 bis",
        "Danach muss stimmen",
        "Seite 1 von",
        "Vor dem Anfangen",
        "Prüflehre",
    ):
        assert said in packs["de"], said


@pytest.mark.slow
def test_the_pack_has_the_same_figures_in_both_languages(packs):
    english, german = (figures_in(packs[said_in]) for said_in in LANGUAGES)
    odd = set(english) ^ set(german)
    # German takes more room: its pack may have a page more.
    assert {figure for figure in odd if figure not in map(str, range(10, 40))} == set()
    assert sum(english.values()) > 500


@pytest.mark.slow
def test_drawings_are_german(drawn):
    assert set(drawn["en"]) == set(drawn["de"])
    assert len(drawn["de"]) >= 6
    for name, text in drawn["de"].items():
        assert english_in(text) == {}, name
        assert english_in(drawn["en"][name]), name


@pytest.mark.slow
def test_drawings_have_the_same_figures_in_both_languages(drawn):
    # Longer words may leave a view a smaller scale; that figure belongs to the sheet, not to the run.
    english, german = (
        {name: set(figures_in(re.sub(r"\b1:\d+", "", text))) for name, text in drawn[said_in].items()}
        for said_in in LANGUAGES
    )
    assert german == english


@pytest.mark.slow
def test_dxf_is_german(answers, tmp_path):
    import ezdxf

    write_dxf_files(answers["de"], tmp_path)
    for path in tmp_path.iterdir():
        texts = [one.dxf.text for one in ezdxf.readfile(path).modelspace().query("TEXT")]
        assert len(texts) > 10, path.name
        assert english_in("\n".join(texts)) == {}, path.name


@pytest.mark.slow
def test_papers_of_a_jig_are_german_and_have_the_same_figures(jig_texts):
    english, german = jig_texts["en"], jig_texts["de"]
    for name, text in german.items():
        assert english_in(re.sub(r"\((?:go|fine|balanced|allowance)\)", "", text)) == {}, name
        assert figures_in(text) == figures_in(english[name]), name
    assert sum(figures_in(german["sheet"]).values()) > 150


@pytest.mark.slow
def test_columns_of_the_jigs_tables_stand_under_their_heads(jig_texts):
    """In both languages, every figure of a row ends where its column's rule ends."""
    for said_in, texts in jig_texts.items():
        lines = texts["sheet"].splitlines()
        rules = [number for number, line in enumerate(lines) if line.startswith("  ------")]
        assert len(rules) == 4, said_in
        for number in rules[:2]:
            ends = {found.end() for found in re.finditer("-+", lines[number])}
            # The last two columns of the first table are words.
            row = lines[number + 1]
            figures = [found.end() for found in re.finditer(r"(?<=  )[\d.,]+(?= |$)", row)]
            assert figures, row
            assert {end for end in figures if row[end : end + 1] in ("", " ")} & ends, row


@pytest.mark.slow
@pytest.mark.parametrize("said_in", LANGUAGES)
@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_words_stay_on_the_sheet(answers, said_in, paper):
    width, height = PAPERS[paper]
    answer, units = answers[said_in], units_for("mm", said_in)
    sheets = [answer.drawings.of_job((height, width)), *answer.drawings.of_runs((height, width))]
    for piece in answer.pieces:
        sheets += [pull_pictures(piece.solved, card, units).sheet for card in piece.cards]
        of_piece = [(piece.solved, piece.plan)]
        for page in [
            *(page for one in templates_of(*of_piece[0], (width, height), units) for page in one.pages),
            *card_and_wrap_pages(of_piece, (width, height), units),
        ]:
            for placed in page.placed:
                if not placed.clipped:
                    room = width - placed.left
                    assert all(x <= room for x in _reach(placed.sheet)), placed.sheet.title
    for sheet in sheets:
        edge = EDGE if sheet.width == height else 0.0
        assert all(edge - 0.01 <= x <= sheet.width - edge + 0.01 for x in _reach(sheet)), sheet.title


def _reach(sheet):
    return [x for item in sheet.primitives() if isinstance(item, Text) for x, _ in box_of(item)]
