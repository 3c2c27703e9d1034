"""The hand-over page of the job worked by hand: its lists, its walk, its picture's data; see `worked_job`."""

import re
from html import unescape

import pytest
from worked_job import SHORT_STOCK, WORKED, worked

from pipemodel.documents.page.data import page_data
from pipemodel.documents.page.page import page_html
from pipemodel.documents.page.parts import listing_view, parts_view
from pipemodel.documents.page.room import room_parts
from pipemodel.documents.page.steps import steps_of
from pipemodel.lists.all_lists import apart
from pipemodel.lists.run_block import run_block
from pipemodel.messages.units import INCHES, MM

ARC = 86.39379797371932  # 55 pi / 2
TUBE = "15 x 0.7 copper, R250 (EN 1057)"
PULL_1 = (
    "Mark at 565.5 mm from the start end, square round the tube.",
    "Start end to your left, in the stop; finish end to your right.",
    "Any side up; the inside of bend 1 will face you: draw a line along it.",
    "Slide the tube until the mark stands 10 mm past the rim's start, square across.",
    "Guide in, lever up to it.",
    "Pull towards you to 92.8° and let go; it springs back to 90°.",
)
ROUND = (
    "Bend 1 is round, with no flat and no ripple: by caliper across its middle at most 1.20 mm wider one way than the "
    "other, or the guide was not in."
)


def steps(yaml=WORKED, units=MM):
    answer = worked(yaml, units)
    return steps_of(answer, answer.pieces)


def test_the_walk():
    whole, cut, one, two, fixed, stub, stub_fixed = steps()
    assert (whole.run, whole.piece, whole.view, whole.name, whole.title) == (-1, -1, "place", "worked", "All of it")
    assert whole.lines == (f"rise: cut 1483.5, 2 bends, {TUBE}", f"stub: cut 560, straight, {TUBE}")
    assert [text[:20] for text in whole.wrong] == [
        "run 'rise' comes wit",
        "run 'rise': 354 mm w",
        "run 'stub': 560 mm w",
    ]
    assert (cut.run, cut.piece, cut.view, cut.title, cut.done) == (0, 0, "flat", "Cut and mark", "Marked")
    (figure,) = cut.figures
    assert (figure.name, figure.value, figure.words) == (
        "Cut", "1483.5", "mm; 20 comes off the finish after bending",
    )  # fmt: skip
    assert cut.marks == ((1, 1, "565.5"), (2, 2, "1142"))
    assert cut.actions == (f"Tube: {TUBE}.", "All marks from the start end: write start on it.")
    for step, number, mark, made in ((one, 1, "565.5", (0, 0)), (two, 2, "1142", (1, 0))):
        assert (step.run, step.piece, step.view, step.held) == (0, 0, "bender", "start")
        assert (step.title, step.done) == (f"Pull {number}: bend {number}", "Pulled")
        assert [(f.name, f.value, f.words) for f in step.figures] == [
            ("To your left", "start", ""),
            ("Mark", mark, "from the start end"),
            ("Pull to", "92.8°", "springs back to 90°"),
        ]
        assert (step.before, step.bend) == (made, number - 1)
    assert one.actions == PULL_1
    assert [(c.name, c.said, c.unit, c.wanted) for c in one.checks] == [
        ("1a", "Bend 1 is 90° by its angle card, both edges along its legs.", "deg", "90°"),
        ("1b", "618 mm from the start end to the back of bend 1.", "mm", "618 mm"),
        ("1c", ROUND, "mm", "at most 1.20 mm"),
    ]
    assert "562.5 mm from the back of bend 1." in two.actions[0]
    assert two.checks[1].said == "327.5 mm from the finish end to the back of bend 2."
    assert two.checks[2].said.startswith("The start end stands plumb over the line of the leg before bend 2,")
    assert (fixed.run, fixed.piece, fixed.view, fixed.title, fixed.done) == (0, -1, "place", "In its place", "Fixed")
    assert fixed.lines == ()
    assert [text[:20] for text in fixed.wrong] == ["run 'rise' comes wit", "run 'rise': 354 mm w"]
    assert (stub.run, stub.piece, stub.figures[0].value, stub.figures[0].words) == (1, 1, "560", "mm")
    assert stub.marks == ()
    assert [text[:20] for text in stub_fixed.wrong] == ["run 'stub': 560 mm w"]
    ticks = [step.tick for step in steps()]
    assert ticks[0] == ""
    assert len(set(ticks)) == len(ticks)


def test_the_walk_where_all_is_well():
    calm = WORKED.replace("clips: {face: [north wall]}\n", "").replace("[610.5, -200, 0]", "[690, -200, 0]")
    whole, *_, fixed, _, stub_fixed = steps(calm)
    assert whole.wrong == fixed.wrong == stub_fixed.wrong == ()
    assert fixed.lines == stub_fixed.lines == ("Clear of everything it was checked against.",)
    plain = calm.replace("springback: {per_degree: 0.02, fixed: 1}", "springback: {fixed: 0}")
    assert steps(plain)[2].figures[2].value == "90°"
    assert steps(plain)[2].figures[2].words == "no springback given"


def test_the_walk_in_pieces_and_in_inches():
    held = [(step.title, step.held, step.figures[1].value) for step in steps(SHORT_STOCK) if step.view == "bender"]
    assert held == [("Pull 1: bend 1", "start", "565.5"), ("Pull 1: bend 1", "finish", "321.5")]
    cut = steps(WORKED, INCHES)[1].figures[0]
    # 1483.388 mm are 58.401 in; 20 are 0.787, nearest 12/16.
    assert (cut.value, cut.words) == ("58 3/8", "(58.40) in; 3/4 (0.79) comes off the finish after bending")


def test_a_job_with_much_wrong_says_how_much_more():
    posts = "".join(
        f"  pole {k}: {{box: {{from: [{x}, -30, 480], to: [{x + 10}, 0, 520]}}}}\n"
        for k, x in enumerate((100, 200, 300, 400))
    )
    whole = steps(WORKED.replace("runs:\n", posts + "runs:\n"))[0]
    # Three as before, and four poles in the way.
    assert len(whole.wrong) == 4
    assert whole.wrong[3] == "and 4 more, below among the findings"


def lists_of(results):
    """Return the lists at the page's foot by their key: a dict of parts for each group, by its name."""
    views = [listing_view(listing, results.paper_options.units) for listing in apart(results)]
    return {view["key"]: {group["name"]: group["parts"] for group in view["groups"]} for view in views}


def rows_of(parts):
    """Return the rows of the tables among some parts, as texts."""
    return [[cell["text"] for cell in row] for part in parts if part["kind"] == "table" for row in part["rows"]]


def facts_of(parts):
    return dict(row for part in parts if part["kind"] == "facts" for row in part["rows"])


def test_the_schedule_at_the_foot():
    rise, stub = (parts_view(run_block(piece), MM, piece.name, "Schedule") for piece in worked().pieces)
    facts = facts_of(rise)
    assert (facts["Tube"], facts["Straight after"]) == (TUBE, "245 mm")
    cut = "1483.5 mm, of which 10.5 goes into the fittings and 20 is trimmed off the finish after bending"
    assert facts["Cut length"] == cut
    pulls, bends = rows_of(rise)[:2], rows_of(rise)[2:]
    assert pulls == [
        ["1", "1", "start", "565.5", "92.8", "first pull: any side up"],
        ["2", "2", "start", "1142", "92.8", "90 anticlockwise"],
    ]
    assert bends == [["1", "555.5", "86.5", "90", "first bend"], ["2", "490", "86.5", "90", "90 clockwise"]]
    assert facts_of(stub)["Cut length"] == "560 mm"


def test_the_lists_at_the_foot():
    lists = lists_of(worked())
    cuts = lists_of(worked(SHORT_STOCK))["cuts"]
    saw, jointed = (part["text"] for part in cuts[""])
    assert saw == "The saw takes 2 mm at each cut."
    assert jointed.startswith(
        "Run rise is jointed at 887 along it, from its start. The joint at 887 is made from the west"
    )
    table = next(part for part in cuts[TUBE] if part["kind"] == "table")
    assert [(row[0]["text"], row[1]["named"], row[2]["text"]) for row in table["rows"]] == [
        ("offcut of 900", [("887", "rise piece 1")], "11"),
        ("length of 1000", [("596.5", "rise piece 2")], "401.5"),
        ("length of 1000", [("560", "stub")], "438"),
    ]
    assert rows_of(lists["cuts"][TUBE])[0][2] == "952.5"
    rule, source, _, gap = lists["clips"]["rise"]
    assert rule["text"].startswith("Clips for water, at most 1200 apart on level tube and 1800 on upright")
    assert source["look"] == "aside"
    right = "to the right of the start of the run"
    assert rows_of(lists["clips"]["rise"]) == [
        ["1", "310.5", "1", f"north wall: 310.5 {right}, 500 from floor"],
        ["2", "1109.5", "2", f"north wall: 610.5 {right}, 1022.5 from floor"],
    ]
    assert gap["text"] == "nothing holds it from 1109.5 to 1463.5: leg 3 lies along no face of north wall"
    assert rows_of(lists["clips"]["stub"]) == []
    cells = [
        (row[0]["text"], row[1]["text"], row[2]["text"], row[1]["too_near"])
        for parts in lists["distances"].values()
        for row in parts[0]["rows"]
    ]
    assert cells == [
        ("post", "3.0", "6.0", True),
        ("north wall", "7.5", "5.0", False),
        ("stub", "208.6", "14.0", False),
        ("floor", "492.5", "5.0", False),
        ("post", "50.5", "15.0", False),
        ("north wall", "107.5", "14.0", False),
        ("rise", "208.6", "14.0", False),
        ("floor", "292.5", "14.0", False),
    ]
    first = lists["findings"][""][0]["items"][0]
    assert (first["sign"], first["code"]) == ("\u2715 wrong", "C102")


def test_only_the_nearest_things_are_listed_and_the_rest_counted():
    poles = "".join(
        f"  pole {k}: {{box: {{from: [{100 + 20 * k}, -900, 0], to: [{110 + 20 * k}, {-600 - 10 * k}, 2000]}}}}\n"
        for k in range(11)
    )
    of = lists_of(worked(WORKED.replace("runs:\n", poles + "runs:\n")))["distances"]
    # Eleven poles, the post, the wall, the floor and the other run: 15, of which 12 are shown.
    assert (of["rise"][0]["more"], len(of["rise"][0]["rows"])) == ("And 3 more, all further off.", 12)
    assert of["stub"][0]["more"] == "And 3 more, all further off."
    near = [float(row[1]) for row in rows_of(of["rise"])]
    assert near == sorted(near)


def test_what_is_joined_is_asked_for_nothing():
    joined = WORKED.replace("trim: 20", "trim: 0").replace("{fitting: capillary}}", "{joins: north wall}}")
    rows = {row[0]["text"]: row for row in lists_of(worked(joined))["distances"]["rise"][0]["rows"]}
    assert (rows["north wall"][2]["text"], rows["north wall"][1]["too_near"]) == ("joined", False)
    assert rows["post"][2]["text"] == "6.0"


def test_what_the_picture_is_made_of():
    answer = worked()
    data = page_data(answer, answer.pieces, room_parts(answer.schedule))
    rise, stub = data["runs"]
    assert rise["base"]["here"] == pytest.approx((-10.6, -15.0, 500.0))
    assert rise["base"]["ahead"] == pytest.approx((1.0, 0.0, 0.0))
    assert (rise["after"], rise["trim"], rise["outside"], rise["insulation"]) == (pytest.approx(245.0), 20.0, 15.0, 0.0)
    keys = ("before", "angle", "pull", "turn", "radius", "arc", "at")
    assert [b[key] for b in rise["bends"] for key in keys] == pytest.approx(
        [555.6, 90.0, 92.8, 0.0, 55.0, ARC, 565.6, 490.0, 90.0, 92.8, 90.0, 55.0, ARC, 555.6 + ARC + 490.0 + 10.0]
    )
    assert [b["mark"] for b in rise["bends"]] == ["565.5", "1142"]
    begins = 555.6 + 2 * ARC + 490.0
    assert [x for s in rise["straights"] for x in (s["from"], s["to"])] == pytest.approx(
        [0.0, 555.6, 555.6 + ARC, 555.6 + ARC + 490.0, begins, begins + 245.0]
    )
    assert [s["text"] for s in rise["straights"]] == ["555.5", "490", "245"]
    assert [(leg["from"], leg["to"], leg["text"]) for leg in rise["legs"]] == [
        ([-10.6, -15.0, 500.0], [600.0, -15.0, 500.0], "610.5"),
        ([600.0, -15.0, 500.0], [600.0, -15.0, 1100.0], "600"),
        ([600.0, -15.0, 1100.0], [600.0, -315.0, 1100.0], "300"),
    ]
    assert [(c["number"], c["s"], c["point"], c["face"]) for c in rise["clips"]] == [
        (1, pytest.approx(310.6), [300.0, -15.0, 500.0], [300.0, 0.0, 500.0]),
        (2, pytest.approx(555.6 + ARC + 467.5), [600.0, -15.0, 1022.5], [600.0, 0.0, 1022.5]),
    ]
    assert (stub["insulation"], stub["after"], stub["bends"]) == (9.0, 560.0, [])
    assert (rise["insulated"], stub["insulated"]) == ([], [(0.0, 560.0)])
    assert data["clashes"][0] == {"point": pytest.approx([607.5, -42.5, 1092.6], abs=0.1), "text": "post"}
    assert [clash["text"] for clash in data["clashes"]] == ["post", "supports", "supports"]
    assert {part["name"]: (part["hit"], part["endless"]) for part in data["room"]} == {
        "north wall": (False, True),
        "floor": (False, True),
        "post": (True, False),
    }
    short = worked(SHORT_STOCK)
    (joint,) = page_data(short, short.pieces, room_parts(short.schedule))["runs"][0]["joints"]
    assert (joint["s"], joint["point"]) == (pytest.approx(887.0), pytest.approx([600.0, -15.0, 800.006], abs=1e-3))


def test_the_page_says_it_all():
    page = page_html(worked())
    said = " ".join(unescape(re.sub(r"<(script|style)\b.*?</\1>|<[^>]+>", " ", page, flags=re.DOTALL)).split())
    for words in (
        "2 runs, 2 bends",
        "Cut length 1483.5",
        "1142",
        "90 anticlockwise",
        "90 clockwise",
        "length of 3000",
        "952.5",
        "The piece in the bender before bend 1 is pulled",
        "The piece after bend 1 is pulled",
        "comes within 3 mm of 'post'",
    ):
        assert words in said or words in page, words
    assert page.index("before bend 1 is pulled") < page.index("after bend 1 is pulled")
