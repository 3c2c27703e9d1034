"""The paper pack: what it says, against the record; that it prints the same everywhere; that names do nothing."""

import io
import json
import re
import unicodedata
from fractions import Fraction

import cv2
import gallery
import numpy as np
import pytest
from command_line import CUPBOARD, LEAST, NO_HOLD, run
from follower.bench import Former
from follower.cards import do_cards
from follower.figures import length
from follower.pack import pack_lines, pack_runs
from follower.shape import compare, piece_from_corners
from made_once import kept
from pdf_lines import fonts_of, pages_of, text_of
from pypdf import PdfReader
from wide import few_or_many

from pipemodel import story
from pipemodel.documents.pack.document import PackReader, pack_pdf
from pipemodel.messages.units import INCHES, MM
from pipemodel.results.identity import identity
from pipemodel.results.paper_options import PaperOptions
from pipemodel.wording.cautions import caution_lines
from pipemodel.wording.safe_text import to_ascii

JOBS = ("airing_cupboard", "clashing", "return_run", "straight", "unbendable_order", "two_runs")


def packed(text):
    """Text without its white space: where lines break is the layout's business."""
    return re.sub(r"\s+", "", text)


@kept
def pack_of(named, units=MM):
    """A job of the gallery and its pack, made once."""
    answer = story.results(getattr(gallery, named)(), paper_options=PaperOptions(units))
    return answer, pack_pdf(answer)


@pytest.fixture(scope="module")
def cupboard():
    answer = story.results(gallery.airing_cupboard(), paper_options=PaperOptions(revision="B", date="2026-11-25"))
    return answer, pack_pdf(answer)


def inches_of(figure):
    """Return what 2.17 or 1 1/2 is."""
    return float(sum(Fraction(part) for part in figure.split()))


@pytest.mark.slow
@pytest.mark.parametrize("named", JOBS)
def test_all_letters_are_in_the_file(named):
    fonts = fonts_of(pack_of(named)[1])
    assert fonts
    assert all(fonts.values()), fonts
    assert all("DejaVuSans" in name for name in fonts)


LENGTH = re.compile(r"(?:[\d /]+\()?(-?(?:\d+ )?\d+/\d+|-?[\d.]+)\)? (mm|in)\b(?! that)")
"""A length as it is written; of one taped in inches the decimals beside it, where they are said."""


SOME = [*JOBS[::2], "two_runs"]


@pytest.mark.slow
@pytest.mark.parametrize(
    ("named", "units"),
    [
        *((named, MM) for named in JOBS),
        *((named, INCHES) for named in few_or_many(["two_runs"], [*JOBS[::2], "two_runs"])),
    ],
    ids=lambda one: getattr(one, "name", one),
)
def test_it_says_what_the_record_says(named, units):
    """Read as people read it, figure by figure: cut, pulls and cards of every run, findings, distances, cautions."""
    answer, data = pack_of(named, units)
    record, lines = json.loads(json.dumps(answer.schedule_record)), pack_lines(io.BytesIO(data))
    unit, step = (units.name, 0.26) if units is MM else ("in", 0.13)  # half a mm; the decimals' hundredth of an inch
    for read, wanted in zip(pack_runs(lines, unit), record["runs"], strict=True):
        assert read.name == wanted["name"]
        assert read.cut == pytest.approx(wanted["cut_length_mm"], abs=step)
        pulls = wanted["plan"]["pulls"]
        assert [(s.number, s.bend, s.held) for s in read.steps] == [(p["number"], p["bend"], p["held"]) for p in pulls]
        assert [s.mark for s in read.steps] == pytest.approx([p["mark_mm"] for p in pulls], abs=step)
        assert [s.pull for s in read.steps] == pytest.approx([p["pull_deg"] for p in pulls], abs=0.051)
        heads = [(n, bend, pull, length(mark, unit).mm) for n, bend, pull, mark in read.facts["heads"]]
        assert heads == [(s.number, s.bend, s.pull, s.mark) for s in read.steps]
        assert read.impossible == (not wanted["plan"]["possible"])
    ends = "error$|warning$|note$|Least |from the |Holes "
    text = "\n".join(lines) + "\n"
    stated = re.findall(rf"^(error|warning|note)\n((?:(?!{ends}).+\n)+)", text, flags=re.M)
    stated = [(kind, re.sub(r"(?m)^([\d.]+ along the run|at x).*\n", "", words)) for kind, words in stated]
    findings = answer.check_record["findings"]
    assert [kind for kind, _ in stated] == [f["severity"] for f in findings]
    assert not re.search(r"\b[A-Z]\d{3}\b", text)
    for (_, words), finding in zip(stated, findings, strict=True):
        said, true = packed(words), packed(finding["message"])
        if units is INCHES:
            mm, inches = LENGTH.findall(finding["message"]), LENGTH.findall(" ".join(words.split()))
            assert [float(x) / 25.4 for x, _ in mm] == pytest.approx([inches_of(x) for x, _ in inches], abs=0.03)
            assert {u for _, u in inches} <= {"in"}
            said, true = (packed(LENGTH.sub("", " ".join(x.split()))) for x in (words, finding["message"]))
        assert said == true
    lines = pack_lines(io.BytesIO(pack_pdf(answer, PackReader.DESIGNER)))
    distances = sorted(answer.check_record["distances"], key=lambda d: d["distance_mm"])
    at = next((i for i, line in enumerate(lines) if line.startswith("Least distances in")), None)
    for run_name in [one["name"] for one in record["runs"]] if distances else ():
        assert lines[at + 1 : at + 6] == [run_name, "to", "distance", "asked", "along the run"]
        at += 6
        for distance in (d for d in distances if d["run"] == run_name):
            to, *figures = lines[at : at + 4]
            at += 4
            assert to == distance["against"]
            wanted = [distance[key] for key in ("distance_mm", "required_mm", "at_mm")]
            scale, give = (1.0, 0.051) if units is MM else (25.4, 0.13)
            assert [float(x) * scale for x in figures] == pytest.approx(wanted, abs=give)
        at -= 1
    for caution in caution_lines():
        assert packed(caution) in packed("".join(lines))


@pytest.mark.slow
def test_the_cards_of_the_pack_bend_the_piece_that_the_corners_mean(cupboard):
    """What they say to do and what must then be so, done at a bench of the tests' own; 15 mm tube, R 55."""
    _, data = cupboard
    (read,) = pack_runs(pack_lines(io.BytesIO(data)))
    piece, claims = do_cards(read.cards, read.cut, {"former of the job": Former(55.0, 1.0, 0.02)}, 15.0)
    assert len(read.cards) == 4
    assert claims >= 20
    assert compare(piece, piece_from_corners(gallery.FLOW, 55.0)).within(0.6, 0.06, 0.11)


@pytest.mark.slow
def test_the_tape_line_shows_the_marks_of_the_pulls_to_scale(cupboard):
    answer, data = cupboard
    page = next(p for p in pages_of(data) if p.text.startswith("Run: flow") and "Pull in this order" in p.text)
    tube = next(p.points for p in page.paths if p.closed and len(p.points) == 4 and np.ptp(p.points[:, 0]) > 150)
    left, right = tube[:, 0].min(), tube[:, 0].max()
    scale = (right - left) / answer.schedule.runs[0].cut_length_mm
    uprights = {
        round(float(p.points[0, 0]), 3)
        for p in page.paths
        if len(p.points) == 2 and abs(p.points[0, 0] - p.points[1, 0]) < 1e-3 and np.ptp(p.points[:, 1]) > 8.0
    }
    for pull in answer.plans[0].pulls:
        assert any(abs(left + pull.mark_mm * scale - x) < 0.05 for x in uprights), pull


@pytest.mark.slow
def test_pages_are_numbered_and_the_contents_agree(cupboard):
    _, data = cupboard
    pages = pages_of(data)
    for number, page in enumerate(pages, 1):
        assert f"page {number} of {len(pages)}" in page.text
        assert "revision B, 2026-11-25" in page.text


@pytest.mark.slow
def test_the_contents_say_where_everything_is(cupboard):
    _, data = cupboard
    reader, pages = PdfReader(io.BytesIO(data)), pages_of(data)
    entries = [(item.title, reader.get_destination_page_number(item) + 1) for item in reader.outline]
    assert [title for title, _ in entries] == [
        "Cut list",
        "flow: schedule and pulls",
        "Findings",
        "Drawings",
        "Templates, angle cards and wraps, full size",
    ]
    first_words = ("Cut list", "Run: flow", "Findings", "from the south", ", full size")
    for (title, number), words in zip(entries, first_words, strict=True):
        assert title in pages[0].text
        assert words in pages[number - 1].text
    # The numbers in the list are written last of all, in its order.
    printed = [int(n) for n in re.findall(r"(?m)^(\d+)$", pages[0].text)]
    assert printed[-len(entries) :] == [number for _, number in entries]


@pytest.mark.slow
@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_sheets_have_the_size_asked_for(paper):
    data = pack_pdf(story.results(gallery.return_run(), paper_options=PaperOptions(paper=paper)))
    # ISO 216: A4 is 210 by 297; a US letter sheet is 8.5 by 11 inches.
    wide, high = {"A4": (210.0, 297.0), "Letter": (8.5 * 25.4, 11 * 25.4)}[paper]
    sizes = {(round(p.width, 1), round(p.height, 1)) for p in pages_of(data)}
    assert sizes == {(round(wide, 1), round(high, 1)), (round(high, 1), round(wide, 1))}


def code_at(dark, size):
    """What a QR reader makes of the dark modules, drawn with so many dots to the mm; "" where it finds none."""
    picture = np.full((60 * size, 60 * size), 255, dtype=np.uint8)
    for points in dark:
        (x0, y0), (x1, y1) = points.min(axis=0), points.max(axis=0)
        rows = slice(round((297.0 - y1) * size), round((297.0 - y0) * size))
        picture[rows, round((x0 - 155.0) * size) : round((x1 - 155.0) * size)] = 0
    return cv2.QRCodeDetector().detectAndDecode(picture)[0]


@pytest.mark.slow
def test_the_code_reads_as_identity_and_revision(cupboard):
    answer, data = cupboard
    page = pages_of(data)[0]
    dark = [
        p.points
        for p in page.paths
        if p.filled and len(p.points) == 4 and p.points[:, 0].min() > 160 and p.points[:, 1].min() > 240
    ]
    # This reader misses a code at one size that it reads at the next.
    words = next(filter(None, (code_at(dark, size) for size in (8, 10, 12, 14, 20, 30))), "")
    assert words == to_ascii(f"{identity(answer.schedule)}; revision B, 2026-11-25")
    assert "://" not in words


@pytest.mark.slow
def test_it_is_dated_only_when_asked(cupboard):
    _, plain = pack_of("airing_cupboard")
    assert "2026" not in text_of(plain)
    assert "revision B" not in text_of(plain)
    assert "2026-11-25" in text_of(cupboard[1])
    assert b"/CreationDate (D:20000101000000+00'00')" in plain


@pytest.mark.slow
def test_the_same_job_gives_the_same_bytes(cupboard):
    answer, data = cupboard
    again = story.results(gallery.airing_cupboard(), paper_options=answer.paper_options)
    assert pack_pdf(again) == data


@pytest.mark.slow
def test_a_run_that_cannot_be_pulled_says_so(tmp_path):
    path = tmp_path / "no hold.yaml"
    path.write_text(NO_HOLD, encoding="utf-8")
    assert run("make", path, "--out", tmp_path / "out", "--only", "pdf").code == 1
    assert "CANNOT BE PULLED" in text_of((tmp_path / "out" / "job.pdf").read_bytes())


@pytest.mark.slow
@pytest.mark.parametrize("name", gallery.HOSTILE_NAMES[:: few_or_many(2, 1)])
def test_names_can_do_nothing(name):
    job = gallery.job(name, [gallery.run(name, gallery.QUARTER)], gallery.ROOM[:1])
    data = pack_pdf(story.results(job, paper_options=PaperOptions(revision="B")))
    pages = pages_of(data)
    said = "".join(page.text for page in pages)
    shown = {c for c in said if unicodedata.category(c) in ("Cf", "Cs", "Co", "Cn") or (c < " " and c != "\n")}
    assert not shown
    assert all(fonts_of(data).values())
    # What can be shown of the name is there, letter by letter.
    for word in re.findall(r"[A-Za-z0-9]{1,60}", name)[:5]:
        assert word in packed(said)


@pytest.mark.slow
def test_what_changed_is_given_on_paper_and_as_a_record(tmp_path):
    path = tmp_path / "towel rail.yaml"
    path.write_text("revision: A\n" + LEAST, encoding="utf-8")
    assert run("make", path, "--out", tmp_path / "a", "--only", "json").code == 0
    path.write_text("revision: B\n" + LEAST.replace("[600, 0, 0], [600, 400, 0]", "[606, 0, 0], [606, 400, 0]")
                    .replace("[600, 400, 350]", "[606, 400, 350]"), encoding="utf-8")  # fmt: skip
    earlier = tmp_path / "a" / "schedule.json"
    said = run("make", path, "--out", tmp_path / "b", "--only", "json,txt,pdf", "--against", earlier)
    assert said.code == 0
    record = json.loads((tmp_path / "b" / "changes.json").read_text())
    before = json.loads(earlier.read_text())["runs"][0]
    after = json.loads((tmp_path / "b" / "schedule.json").read_text())["runs"][0]
    marks = [{p["bend"]: p["mark_mm"] for p in r["plan"]["pulls"]} for r in (before, after)]
    moved = {c["bend"]: (c["from"], c["to"]) for c in record["changes"] if c["what"] == "mark"}
    assert moved == {bend: (marks[0][bend], marks[1][bend]) for bend in (1, 2)}
    text = f"run return: mark 1 moved from {MM.length(marks[0][1])} to {MM.length(marks[1][1])}"
    assert text in [c["text"] for c in record["changes"]]
    assert (record["from_revision"], record["to_revision"]) == ("A", "B")
    for paper in (text_of((tmp_path / "b" / "job.pdf").read_bytes()), (tmp_path / "b" / "changes.txt").read_text()):
        for change in record["changes"]:
            assert packed(change["text"]) in packed(paper)
        assert packed("from revision A to revision B") in packed(paper)


def test_against_itself_nothing_changed(tmp_path):
    run("make", CUPBOARD, "--out", tmp_path / "a", "--only", "json")
    earlier = tmp_path / "a" / "schedule.json"
    run("make", CUPBOARD, "--out", tmp_path / "b", "--only", "json,txt", "--against", earlier)
    assert json.loads((tmp_path / "b" / "changes.json").read_text())["changes"] == []
    assert "No changes" in (tmp_path / "b" / "changes.txt").read_text()


@pytest.mark.parametrize(
    "text",
    ["", "{}", "[1]", '{"format": "pipemodel.schedule/1"}', '{"format": "pipemodel.check/1", "job": "a", "runs": []}',
     '{"format": "pipemodel.schedule/1", "job": "a", "runs": [{"name": "x"}]}', "[" * 100_000],
)  # fmt: skip
def test_what_is_no_earlier_pack_is_refused(tmp_path, text):
    earlier = tmp_path / "schedule.json"
    earlier.write_text(text)
    said = run("make", CUPBOARD, "--out", tmp_path / "out", "--only", "json", "--against", earlier)
    assert said.code == 2
    assert "Traceback" not in said.err
    assert not (tmp_path / "out").exists()


@pytest.mark.parametrize(
    "option",
    [("--date", "25/11/2026"), ("--date", "2026-13-01"), ("--revision", ""), ("--revision", "x" * 21),
     ("--paper", "A5"), ("--units", "feet"), ("--against", "nowhere.json")],
)  # fmt: skip
def test_options_that_make_no_sense_are_refused(tmp_path, option):
    said = run("make", CUPBOARD, "--out", tmp_path / "out", "--only", "json", *option)
    assert said.code == 2
    assert not (tmp_path / "out").exists()
