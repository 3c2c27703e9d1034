"""The lists as workbook, Markdown and CSV: the same figures as the record, and nothing in them that runs."""

import csv
import io
import re
import zipfile

import gallery
import openpyxl
import pytest
from command_line import CUPBOARD, run
from markdown_it import MarkdownIt

from pipemodel import story
from pipemodel.documents.tables.csv_table import COLUMNS, schedule_csv
from pipemodel.documents.tables.markdown import markdown, plain
from pipemodel.documents.tables.workbook import workbook
from pipemodel.lists.all_lists import listings
from pipemodel.lists.table import Kind, as_text
from pipemodel.messages.units import INCHES, MM
from pipemodel.results.paper_options import PaperOptions

JOBS = ("airing_cupboard", "clashing", "return_run", "straight", "unbendable_order", "two_runs")


def opened(data):
    return openpyxl.load_workbook(io.BytesIO(data))


def rows(sheet):
    heads, *body = sheet.iter_rows(values_only=True)
    return [dict(zip(heads, row, strict=True)) for row in body]


@pytest.mark.parametrize("named", JOBS)
def test_a_sheet_for_each_list_with_the_records_figures(named):
    answer = story.results(getattr(gallery, named)())
    book = opened(workbook(answer))
    holes = ["holes"] if named == "clashing" else []  # its run goes through a wall
    assert book.sheetnames == [
        "job", "runs", "corners", "schedule", "pulls", "cut list", "clips", "findings", "distances", *holes,
        "setting out",
    ]  # fmt: skip
    record, check = answer.schedule_record, answer.check_record
    bends = [(r["name"], b) for r in record["runs"] for b in r["bends"]]
    stated = rows(book["schedule"])
    assert [(row["run"], row["bend"]) for row in stated] == [(name, bend["number"]) for name, bend in bends]
    for row, (_, bend) in zip(stated, bends, strict=True):
        assert row["start in full, mm"] == pytest.approx(bend["start_mm"], abs=1e-6)
        assert row["angle, degrees"] == pytest.approx(bend["angle_deg"], abs=1e-6)
        assert row["turn of the plane, degrees"] == pytest.approx(bend["turn_deg"], abs=1e-6)
    pulls = [(r["name"], p) for r in record["runs"] for p in r["plan"]["pulls"]]
    for row, (name, pull) in zip(rows(book["pulls"]), pulls, strict=True):
        assert (row["run"], row["pull"], row["bend"], row["held by"]) == (
            name,
            pull["number"],
            pull["bend"],
            pull["held"],
        )
        assert row["mark, mm"] == float(MM.short(pull["mark_mm"]))
        assert row["what to do"] == "; ".join(pull["card"]["to_do"])
    assert [row["code"] for row in rows(book["findings"])] == [f["code"] for f in check["findings"]]
    nearest = sorted(check["distances"], key=lambda d: d["distance_mm"])
    for row, distance in zip(rows(book["distances"]), nearest, strict=True):
        assert (row["run"], row["to"]) == (distance["run"], distance["against"])
        assert row["distance, mm"] == pytest.approx(distance["distance_mm"], abs=0.05 + 1e-9)


def test_taped_figures_add_up_in_the_workbook():
    answer = story.results(gallery.airing_cupboard())
    book = opened(workbook(answer))
    (whole,) = rows(book["runs"])
    bends = rows(book["schedule"])
    total = sum(row["straight before, mm"] + row["bend takes, mm"] for row in bends) + whole["straight after, mm"]
    assert total == whole["cut length, mm"]


def test_in_inches_it_shows_what_a_tape_shows():
    answer = story.results(gallery.airing_cupboard(), paper_options=PaperOptions(INCHES))
    book = opened(workbook(answer))
    marks = {pull.bend: pull.mark_mm for pull in answer.plans[0].pulls}
    for row in rows(book["pulls"]):
        assert row["mark, in"] == INCHES.length(marks[row["bend"]])
    for row in rows(book["schedule"]):
        assert row["mark in full, in"] == pytest.approx(marks[row["bend"]] / 25.4, abs=1e-6)


@pytest.mark.slow
@pytest.mark.parametrize("name", gallery.HOSTILE_NAMES)
def test_no_cell_is_a_formula_or_a_link(name):
    answer = story.results(gallery.job(name, [gallery.run(name, gallery.TWO_PLANES)], gallery.ROOM))
    data = workbook(answer)
    book = opened(data)
    for sheet in book:
        for row in sheet.iter_rows():
            for cell in row:
                assert cell.data_type in ("s", "n"), cell
                assert cell.hyperlink is None
                if isinstance(cell.value, str) and cell.value.lstrip()[:1] in tuple("=+-@"):
                    assert cell.quotePrefix
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        assert not any(b"<f>" in archive.read(part) for part in archive.namelist())


def test_the_same_job_gives_the_same_bytes():
    one, two = (workbook(story.results(gallery.airing_cupboard())) for _ in range(2))
    assert one == two
    assert all(info.date_time[0] == 1980 for info in zipfile.ZipFile(io.BytesIO(one)).infolist())
    assert opened(one).properties.created.year == 2000


@pytest.mark.parametrize("units", [MM, INCHES], ids=["mm", "in"])
def test_markdown_says_what_the_tables_say(units):
    answer = story.results(gallery.clashing(), paper_options=PaperOptions(units))
    html = MarkdownIt("commonmark").enable("table").render(markdown(answer))
    text = html.replace("&quot;", '"').replace("&amp;", "&").replace("&lt;", "<").replace("&gt;", ">")
    tables = {one.key: one.content.table.in_words for one in listings(answer)}
    said = 0
    for table in tables.values():
        for row in table.rows:
            for value, column in zip(row, table.columns, strict=True):
                if column.kind is Kind.TEXT:
                    assert as_text(value, column.kind, units) in text
                    said += bool(value)
    assert said > 50
    lengths = [as_text(row[2], Kind.TAPED, units) for row in tables["bends"].rows]
    assert len(lengths) >= 2
    assert all(f'style="text-align:right">{length}</td>' in html for length in lengths)


@pytest.mark.slow
@pytest.mark.parametrize(
    "name", [*gallery.HOSTILE_NAMES, "http://larch.example/x", "www.larch.example", "a | b", "*b*"]
)
def test_names_make_no_markup_in_markdown(name):
    answer = story.results(gallery.job(name, [gallery.run(name, gallery.TWO_PLANES)], gallery.ROOM))
    tokens = MarkdownIt("commonmark").enable("table").parse(markdown(answer))
    kinds = {t.type for token in tokens for t in (token, *(token.children or []))}
    opening = ("heading", "paragraph", "table", "thead", "tbody", "tr", "th", "td", "bullet_list", "list_item")
    allowed = {f"{kind}_{side}" for kind in opening for side in ("open", "close")}
    assert kinds <= allowed | {"inline", "text", "text_special", "hardbreak", "softbreak"}
    blocks = [block.splitlines() for block in markdown(answer).split("\n\n") if block.startswith("|")]
    assert blocks
    for block in blocks:
        assert len({len(re.findall(r"(?<!\\)\|", line)) for line in block}) == 1


def test_addresses_are_no_links_in_github_s_markdown_either():
    # GitHub's flavour makes links of bare addresses: "http://", "www." and mail (GFM spec 0.29, 6.9).
    assert "http://" not in plain("http://larch.example")
    assert "www." not in plain("www.larch.example")
    assert "a@b" not in plain("a@b.example")


def test_csv_in_inches():
    answer = story.results(gallery.airing_cupboard(), paper_options=PaperOptions(INCHES))
    text = schedule_csv(answer.schedule_record, INCHES).removeprefix("\ufeff")
    table = list(csv.DictReader(io.StringIO(text)))
    plain_table = list(csv.DictReader(io.StringIO(schedule_csv(answer.schedule_record).removeprefix("\ufeff"))))
    assert len(table[0]) == len(COLUMNS) + 2
    for row, mm in zip(table, plain_table, strict=True):
        for name in COLUMNS:
            if name.endswith("_mm"):
                assert float(row[name.removesuffix("_mm") + "_in"]) == pytest.approx(float(mm[name]) / 25.4, abs=1e-6)
        assert row["mark_to_draw"] == INCHES.short(float(mm["pull_mark_mm"]))
        assert row["cut_length"] == INCHES.short(float(mm["cut_length_mm"]))


def test_make_writes_them(tmp_path):
    assert run("make", CUPBOARD, "--out", tmp_path / "out", "--only", "xlsx,md").code == 0
    assert (tmp_path / "out" / "schedule.xlsx").read_bytes()[:2] == b"PK"
    assert (tmp_path / "out" / "schedule.md").read_text(encoding="utf-8").startswith("# flow from the airing cupboard")


def test_corners_and_directions_of_every_run():
    """The corners as the job gives them; the legs' directions from one to the next."""
    answer = story.results(gallery.airing_cupboard())
    stated = rows(opened(workbook(answer))["corners"])
    assert [(row["x, mm"], row["y, mm"], row["z, mm"]) for row in stated] == list(gallery.FLOW)
    assert [row["what"] for row in stated] == ["start", *["corner"] * 4, "finish"]
    ways = [(row["goes east"], row["goes north"], row["goes up"]) for row in stated]
    half = round(0.5**0.5, 6)
    assert ways == [(0, 0, -1), (1, 0, 0), (half, half, 0), (1, 0, 0), (0, 0, 1), (None, None, None)]
    assert [row["to the next point, mm"] for row in stated] == [545.0, 420.0, 169.7, 1321.0, 395.0, None]
    (run,) = answer.schedule_record["runs"]
    assert [tuple(corner) for corner in run["corners"]] == list(gallery.FLOW)
    for leg, way in zip(run["legs"], ways, strict=False):
        assert leg["direction"] == pytest.approx(way, abs=1e-6)
        gone = [b - a for a, b in zip(leg["start"], leg["finish"], strict=True)]
        assert gone == pytest.approx([leg["length_mm"] * x for x in leg["direction"]], abs=1e-9)
    # Of the first leg the bend takes 55.
    assert (run["legs"][0]["number"], run["legs"][0]["length_mm"]) == (1, pytest.approx(490.0))
