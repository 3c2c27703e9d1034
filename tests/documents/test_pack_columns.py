"""Tables of the pack as they lie on paper: each figure stands under its own heading, with the job worked by hand."""

import numpy as np
import pytest
from pack_sheets import POINT, THINGS, WORKED, flowing, sheets

from pipemodel.documents.pack.document import PackReader
from pipemodel.messages.units import INCHES, MM

TUBE = "15 x 0.7 copper, R250 (EN 1057)"
DISTANCES = ["to", "distance", "asked", "along the run"]


def columns(page, number):
    """Read a table by where its words stand: what is set to a heading's left or right edge is in its column.

    Returns the cells of each column, row by row; a row goes from rule to rule. What has no heading is under "".
    """
    rules = page.tables()[number]
    near = [w for w in page.words if rules[0][0] < w.low < rules[0][0] + 5.0 and w.bold and w.size < 9.5]
    # Heads of one line stand level with the last line of those of two.
    last = [w.low for w in near if not any(v.low < w.low - 1.0 and _meet(v, w) for v in near)]
    assert np.ptp(last) < 0.01
    heads = []
    for word in sorted(near, key=lambda w: (-w.low, w.left)):
        over = next((h for h in heads if abs(h[1] - word.left) < 0.3 or abs(h[2] - word.right) < 0.3), None)
        if over:
            over[0] += f" {word.said}"
            over[1], over[2] = min(over[1], word.left), max(over[2], word.right)
        else:
            heads.append([word.said, word.left, word.right])
    out = {"": [], **{head[0]: [] for head in sorted(heads, key=lambda h: h[1])}}
    for upper, lower in zip(rules, rules[1:], strict=False):
        row = {name: [] for name in out}
        for word in sorted(page.words, key=lambda w: (-w.low, w.left)):
            if lower[0] < word.low < upper[0] and not word.drawn:
                at = [h[0] for h in heads if abs(h[1] - word.left) < 0.3 or abs(h[2] - word.right) < 0.3]
                assert len(at) <= 1, word
                row[at[0] if at else ""].append(word.said)
        for name, cells in row.items():
            out[name].append("; ".join(cells))
    if not any(out[""]):
        del out[""]
    return out


def _meet(one, other):
    """Whether two words share a side, as the lines of one heading do."""
    return abs(one.left - other.left) < 0.3 or abs(one.right - other.right) < 0.3


@pytest.fixture(scope="module")
def pack():
    return flowing()


@pytest.fixture(scope="module")
def design():
    return flowing(WORKED, MM, PackReader.DESIGNER)


@pytest.mark.slow
def test_runs_and_what_they_are_cut_from(pack):
    assert columns(pack[0], 0) == {
        "run": ["rise", "stub"], "tube": [TUBE, TUBE], "bends": ["2", "0"], "pulls": ["2", "0"],
        "cut": ["1483.5", "560"],
    }  # fmt: skip
    # 3000 less 1483.388, 560 and two cuts of 2 mm.
    assert columns(pack[0], 1) == {
        "from": ["length of 3000"], "pieces": ["\u25a1 1483.5 rise; \u25a1 560 stub"], "left over": ["952.5"],
    }  # fmt: skip


@pytest.mark.slow
def test_pulls_and_bends_of_a_run(pack, design):
    assert columns(pack[1], 0) == {
        "pull": ["1", "2"], "bend": ["1", "2"], "held by": ["start", "start"], "mark": ["565.5", "1142"],
        "pull to": ["92.8\u00b0", "92.8\u00b0"],
        "turn the tube before it": ["first pull: any side up", "90 anticlockwise"],
    }  # fmt: skip
    assert columns(design[1], 0) == {
        "bend": ["1", "2"], "straight before": ["555.5", "490"], "bend takes": ["86.5", "86.5"],
        "angle": ["90\u00b0", "90\u00b0"], "turn of the plane since the bend before": ["first bend", "90 clockwise"],
    }  # fmt: skip


@pytest.mark.slow
def test_pulls_of_a_run_in_inches():
    """Leg 500 - 55 = 445 mm = 17.52 in, where the mark is too; a bend takes 86.394 mm, 3.40 in."""
    page = flowing(THINGS, INCHES)[1]
    assert columns(page, 0) == {
        "pull": ["1"], "bend": ["1"], "held by": ["start"], "mark": ["17 1/2 (17.52)"], "pull to": ["91.8\u00b0"],
        "turn the tube before it": ["first pull: any side up"],
    }  # fmt: skip
    read = columns(flowing(THINGS, INCHES, PackReader.DESIGNER)[1], 0)
    assert read["straight before"] == ["17 1/2 (17.52)"]
    assert read["bend takes"][0].endswith("(3.40)")


def test_clips_and_distances(pack, design):
    page = pack[3]
    read = columns(page, 0)
    assert list(read) == ["clip", "along the tube", "leg", "where on the face"]
    assert read["clip"] == ["\u25a1 1", "\u25a1 2"]
    assert read["along the tube"] == ["310.5", "1109.5"]
    assert read["leg"] == ["1", "2"]
    assert [text.split(":")[0] for text in read["where on the face"]] == ["north wall"] * 2
    # The rise: 3 off the post's edge, 6 asked there; 15 - 7.5 off the wall, 5 asked, and 9 more for insulated tube.
    first = columns(design[2], 1)
    assert list(first) == DISTANCES
    assert first["to"][:4] == ["post", "north wall", "stub", "floor"]
    assert first["distance"][:4] == ["3.0", "7.5", "208.6", "492.5"]
    assert first["asked"][:4] == ["6.0", "5.0", "14.0", "5.0"]
    assert first["along the run"][0] == "1189.6"
    stub = columns(design[2], 2)
    assert list(stub) == DISTANCES
    assert stub["distance"] == ["50.5", "107.5", "208.6", "292.5"]
    assert stub["asked"] == ["15.0", "14.0", "14.0", "14.0"]
    assert stub["along the run"][0] == "560.0"


@pytest.mark.parametrize("reader", ["pack", "design"])
def test_findings_have_their_kind_and_words_and_for_designers_their_code(reader, request):
    page, number = {"pack": (3, 1), "design": (2, 0)}[reader]
    read = columns(request.getfixturevalue(reader)[page], number)
    assert read[""][:3] == ["error"] * 3
    assert read.get("code", [])[:3] == (["C102", "S101", "S101"] if reader == "design" else [])
    assert read["what was found"][0].startswith("run 'rise' comes within 3 mm of 'post', 1190 mm from the start end")
    assert read["what was found"][0].endswith("1189.6 along the run, at x 607.5, y -42.5, z 1092.6")


@pytest.mark.slow
@pytest.mark.parametrize("asked", [(), (THINGS, INCHES, PackReader.DESIGNER)], ids=["mm", "in"])
def test_tables_are_as_wide_as_the_sheet_and_rows_stand_between_their_rules(asked):
    tables = rows = 0
    for page in flowing(*asked):
        for rules in page.tables():
            assert [rule[2:] for rule in rules] == [
                (pytest.approx(15.0, abs=0.1), pytest.approx(195.0, abs=0.1))
            ] * len(rules)
            tables += 1
            for upper, lower in zip(rules, rules[1:], strict=False):
                row = [w for w in page.words if lower[0] < w.low < upper[0]]
                if not row:
                    assert upper[0] == pytest.approx(lower[0])  # a table that begins a page
                    continue
                assert min(w.left for w in row) > 15.9
                assert max(w.right for w in row) < 195.0
                # Three points under the rule above, and three over the next, but for the tails of letters.
                assert 0.6 < upper[0] - max(w.low + 0.74 * w.size * POINT for w in row) < 3.2
                assert 0.7 < min(w.low for w in row) - lower[0] < 3.0
                rows += 1
    assert tables >= 5
    assert rows >= 12


@pytest.mark.slow
def test_a_table_that_goes_over_a_page_has_its_head_on_every_page():
    pages = flowing(THINGS, INCHES, PackReader.DESIGNER)
    pages = [p for p in pages if any(w.said == "along the run" and w.bold for w in p.words)]
    assert len(pages) >= 2
    for page in pages:
        heads = [w.said for w in page.words if w.bold and w.size == 8.0]
        at = heads.index(DISTANCES[0])
        assert heads[at : at + 4] == DISTANCES


def test_the_list_of_contents_is_a_list_of_links():
    reader, pages = sheets()
    titles = [item.title for item in reader.outline]
    page = pages[0]
    low = min(w.low for w in page.words if w.said == "In this pack" and w.bold)
    entries = [next(w for w in page.words if w.said == title and w.low < low and not w.bold) for title in titles]
    assert len(entries) >= 6
    # 15 points from one to the next, the first under the heading.
    steps = [a.low - b.low for a, b in zip(entries, entries[1:], strict=False)]
    assert steps == [pytest.approx(15.0 * POINT)] * (len(titles) - 1)
    assert 2.0 < low - entries[0].low < 9.0
    assert [(w.left, w.size) for w in entries] == [(pytest.approx(15.0), 10.0)] * len(entries)
    lines = [rule for rule in page.level if any(abs(rule[0] - (w.low - 3.5 * POINT)) < 0.01 for w in entries)]
    assert [(r[1], r[2], r[3]) for r in lines] == [(0.4, pytest.approx(15.0), pytest.approx(195.0))] * len(entries)
    links = [a.get_object() for a in reader.pages[0]["/Annots"] if a.get_object()["/Subtype"] == "/Link"]
    assert len(links) == len(entries)
    for entry, item, link in zip(entries, reader.outline, links, strict=True):
        to = reader.get_destination_page_number(item) + 1
        (number,) = (w for w in page.words if w.said == str(to) and abs(w.low - entry.low) < 0.01)
        assert (number.right, number.size) == (pytest.approx(195.0), 10.0)
        left, bottom, right, top = (float(x) * POINT for x in link["/Rect"])
        assert left < number.left < number.right <= right + 0.01
        assert bottom < number.low < top
        assert top - bottom == pytest.approx(15.0 * POINT)
        assert right - left == pytest.approx(154.0 * POINT)
        assert reader.get_page_number(link["/Dest"][0].get_object()) == to - 1
        assert float(link["/Border"][2]) == 0.0
        # What is linked to is there, under its own name.
        said, whose = {w.said for w in pages[to - 1].words}, item.title.split(":")[0]
        assert item.title.startswith(("Drawings", "Templates, ")) or any(whose in text for text in said), whose
    assert np.all(np.diff([reader.get_destination_page_number(item) for item in reader.outline]) >= 0)
