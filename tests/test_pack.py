"""The paper pack: what it says, against the record; that it prints the same everywhere; that names do nothing."""

import io
import json
import re
import unicodedata

import cv2
import gallery
import numpy as np
import pytest
from command_line import CUPBOARD, LEAST, NO_HOLD, run
from pdf_lines import fonts_of, pages_of, text_of
from pypdf import PdfReader

from pipemodel import story
from pipemodel.bending.cards import cards_of
from pipemodel.handover.cautions import CAUTIONS
from pipemodel.handover.identity import identity
from pipemodel.handover.pack.document import pack_pdf
from pipemodel.handover.paperwork import Paperwork
from pipemodel.handover.plain import to_ascii
from pipemodel.handover.units import INCHES, MM, in_units

JOBS = ("airing_cupboard", "clashing", "return_run", "straight", "unbendable_order", "two_runs")


def packed(text):
    """Text without its white space: where lines break is the layout's business."""
    return re.sub(r"\s+", "", text)


@pytest.fixture(scope="module")
def cupboard():
    answer = story.answer(gallery.airing_cupboard(), paperwork=Paperwork(revision="B", date="2026-11-25"))
    return answer, pack_pdf(answer)


@pytest.mark.parametrize("named", JOBS)
def test_all_letters_are_in_the_file(named):
    data = pack_pdf(story.answer(getattr(gallery, named)()))
    fonts = fonts_of(data)
    assert fonts
    assert all(fonts.values()), fonts
    assert all("DejaVuSans" in name for name in fonts)


@pytest.mark.parametrize("named", JOBS)
@pytest.mark.parametrize("units", [MM, INCHES], ids=["mm", "in"])
def test_it_says_what_the_record_says(named, units):
    answer = story.answer(getattr(gallery, named)(), paperwork=Paperwork(units))
    record, said = json.loads(json.dumps(answer.schedule_record)), packed(text_of(pack_pdf(answer)))
    for run_ in record["runs"]:
        assert packed(run_["name"]) in said
        assert packed(f"Cut {units.length(run_['cut_length_mm'])} {units.name}") in said
        for pull in run_["plan"]["pulls"]:
            head = f"Pull {pull['number']}: bend {pull['bend']} to"
            assert packed(f"{head} {pull['pull_deg']:.1f}".removesuffix(".0")) in said
            assert (
                packed(f"mark at {units.length(pull['mark_mm'])} {units.name} from the start end").lower()
                in said.lower()
            )
        for why in run_["plan"]["why_not"]:
            assert packed(in_units(why, units))[:20] in said
    for finding in answer.check_record["findings"]:
        assert finding["code"] in said
    for distance in answer.check_record["distances"]:
        assert packed(distance["against"]) in said
        assert packed(units.reading(distance["distance_mm"])) in said
    for caution in CAUTIONS:
        assert packed(caution) in said


def test_every_card_is_there_with_what_to_do_and_what_must_be(cupboard):
    answer, data = cupboard
    said = packed(text_of(data))
    for card in cards_of(answer.schedule.runs[0], answer.plans[0]):
        for text in (*card.to_do(MM.named), *card.to_check(MM.named)):
            assert packed(text).lower() in said.lower()


def test_the_tape_line_shows_the_marks_of_the_pulls_to_scale(cupboard):
    answer, data = cupboard
    page = next(p for p in pages_of(data) if p.text.startswith("Run: flow") and "Straight after" in p.text)
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


def test_pages_are_numbered_and_the_contents_agree(cupboard):
    _, data = cupboard
    pages = pages_of(data)
    for number, page in enumerate(pages, 1):
        assert f"page {number} of {len(pages)}" in page.text
        assert "revision B, 2026-11-25" in page.text


def test_the_contents_say_where_everything_is(cupboard):
    _, data = cupboard
    reader, pages = PdfReader(io.BytesIO(data)), pages_of(data)
    entries = [(item.title, reader.get_destination_page_number(item) + 1) for item in reader.outline]
    assert [title for title, _ in entries] == [
        "Cut list",
        "flow: schedule and pulls",
        "Findings and distances",
        "Drawings",
        "flow: templates at full size",
    ]
    first_words = ("Cut list", "Run: flow", "Findings and distances", "from the south", "bend 1, full size")
    for (title, number), words in zip(entries, first_words, strict=True):
        assert title in pages[0].text
        assert words in pages[number - 1].text
    # The numbers in the list are written last of all, in its order.
    printed = [int(n) for n in re.findall(r"(?m)^(\d+)$", pages[0].text)]
    assert printed[-len(entries) :] == [number for _, number in entries]


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_sheets_have_the_size_asked_for(paper):
    data = pack_pdf(story.answer(gallery.airing_cupboard(), paperwork=Paperwork(paper=paper)))
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


def test_it_is_dated_only_when_asked(cupboard):
    plain = pack_pdf(story.answer(gallery.airing_cupboard()))
    assert "2026" not in text_of(plain)
    assert "revision" not in text_of(plain)
    assert "2026-11-25" in text_of(cupboard[1])
    assert b"/CreationDate (D:20000101000000+00'00')" in plain


def test_the_same_job_gives_the_same_bytes(cupboard):
    answer, data = cupboard
    again = story.answer(gallery.airing_cupboard(), paperwork=answer.paperwork)
    assert pack_pdf(again) == data


def test_a_run_that_cannot_be_pulled_says_so(tmp_path):
    path = tmp_path / "no hold.yaml"
    path.write_text(NO_HOLD, encoding="utf-8")
    assert run("make", path, "--out", tmp_path / "out", "--only", "pdf").code == 1
    assert "CANNOT BE PULLED" in text_of((tmp_path / "out" / "job.pdf").read_bytes())


@pytest.mark.parametrize("name", gallery.HOSTILE_NAMES)
def test_names_can_do_nothing(name):
    job = gallery.job(name, [gallery.run(name, gallery.TWO_PLANES)], gallery.ROOM)
    data = pack_pdf(story.answer(job, paperwork=Paperwork(revision="B")))
    pages = pages_of(data)
    said = "".join(page.text for page in pages)
    shown = {c for c in said if unicodedata.category(c) in ("Cf", "Cs", "Co", "Cn") or (c < " " and c != "\n")}
    assert not shown
    assert all(fonts_of(data).values())
    # What can be shown of the name is there, letter by letter.
    for word in re.findall(r"[A-Za-z0-9]{1,60}", name)[:5]:
        assert word in packed(said)


def test_what_changed_is_told_on_paper_and_as_a_record(tmp_path):
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
