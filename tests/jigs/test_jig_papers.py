"""A jig's papers: the text, the record and the brief, and what is said case by case."""

import math
from dataclasses import replace
from itertools import pairwise
from types import SimpleNamespace

import pytest
import trimesh
from gallery import FORMER_15, TUBE_15, run
from jig_pieces import PIECES, PLAIN, jig_of, made, whole
from scipy.spatial.transform import Rotation

from pipemodel.bending.schedule import solve_run
from pipemodel.documents.jig.files import write_jigs
from pipemodel.documents.jig.pdf import _lines
from pipemodel.documents.jig.record import jig_record
from pipemodel.documents.jig.text import jig_text
from pipemodel.jigs.design import JigRefusedError, design
from pipemodel.jigs.plan import plans
from pipemodel.job.jig import Bed, Tolerance
from pipemodel.lists.blocks import Bullets, Picture
from pipemodel.lists.jig_brief import jig_content
from pipemodel.lists.jig_limits import MEANING, limit_records, weight_records, weight_said
from pipemodel.lists.jig_steps import STEPS, own_steps
from pipemodel.lists.table import Table, as_text, say
from pipemodel.messages.units import MM, units_for
from pipemodel.messages.values import Length, Name, message

ROOMY = Bed(400.0, 400.0, 400.0)
BOARD = whole(base="board", gauges=False)


def flat(text):
    return " ".join(text.split())


@pytest.mark.slow
def test_a_board_is_drilled_through_the_plan_and_one_piece_stands_by_itself():
    board = flat(jig_text(jig_of("flat set", BOARD)))
    assert "Lay the 1:1 plan on a flat board, drill through it at the crosses, and screw each tower down" in board
    assert "Check with a rule" in board
    assert "swing by" not in board
    small = solve_run(run("small", ((0.0, 0.0, 0.0), (110.0, 0.0, 0.0), (110.0, 110.0, 0.0)), TUBE_15, FORMER_15))
    one = design(small, whole(bed=ROOMY, gauges=False))
    text = flat(jig_text(one))
    assert len(one.parts) == 1
    assert "It is of one piece; stand it on a flat board" in text
    assert "Check with a rule" not in text
    assert "swing by" not in text
    assert jig_record(one)["joints"] == {"count": 0, "gap_mm": 0.15, "swing_deg": 0.0, "far_end_mm": 0.0}


@pytest.mark.slow
def test_steps_warn_of_an_end_that_looks_up_and_of_a_slope_only_where_there_is_one():
    level = flat(jig_text(jig_of("flat set")))
    assert "looks up" not in level
    assert "On a slope" not in level
    jig = jig_of("microbore")
    ends = {jig.layout.towers[0].cradle.number: -1.0, jig.layout.towers[-1].cradle.number: 1.0}
    legs = jig.layout.axis.legs
    looks = [n for n, sign in ends.items() if sign * legs[0 if sign < 0 else -1].direction[2] > 0.03]
    text = flat(jig_text(jig))
    for n in ends:
        said = "the end looks up: it must lie between the first line and the last; the stop is no measure."
        assert (f"At cradle {n} {said}" in text) is (n in looks)
    assert looks
    assert ("On a slope the piece may slide" in text) is any(abs(g.direction[2]) > math.sin(0.27) for g in legs)


def test_an_end_without_a_stop_is_to_be_measured():
    jig = jig_of("flat set")
    assert not any("too little straight for a stop" in step for step in own_steps(jig))
    towers = jig.layout.towers
    open_end = replace(towers[-1], cradle=replace(towers[-1].cradle, stop=None, stop_mm=0.0))
    layout = replace(jig.layout, towers=(*towers[:-1], open_end))
    steps = own_steps(replace(jig, plan=replace(jig.plan, layout=layout)))
    assert "One end has too little straight for a stop: measure it." in map(str, steps)


def test_legs_without_a_cradle_or_with_one_are_named():
    jig = jig_of("flat set")
    layout = replace(jig.layout, unjudged=(1,), lone=(2,))
    text = flat(jig_text(replace(jig, plan=replace(jig.plan, layout=layout))))
    assert "Leg 2 is too short for a cradle: it is judged by its neighbours only." in text
    assert "Leg 3 has one cradle only, for want of room beside the rest of the tube." in text
    plain = flat(jig_text(jig))
    assert "too short for a cradle" not in plain
    assert "one cradle only" not in plain
    record = jig_record(replace(jig, plan=replace(jig.plan, layout=layout)))
    assert (record["legs_without_cradle"], record["legs_with_one_cradle_only"]) == ([2], [3])


@pytest.mark.slow
def test_liners_make_the_slots_those_for_go_and_the_words_say_so():
    jig = jig_of("flat set", whole(inserts=True, gauges=False, bed=ROOMY))
    text = flat(jig_text(jig))
    assert "Slots for go: no piece is refused" in text
    assert "With the fine liners in, the slots are those for fine; between the two verdicts, measure." in text
    assert "The table is for the bare slots, without liners." in text
    assert all(t.cradle.clearance_mm == 3.0 for t in jig.layout.towers)
    record = jig_record(jig)
    assert record["tolerance"]["decision"] == "go, with fine liners"
    assert [g["name"] for g in record["gauges"]] == [str(g.name) for g in jig.gauges]
    assert record["gauges"]
    assert all("lip uphill" in g["use"] for g in record["gauges"])
    without = flat(jig_text(jig_of("flat set")))
    assert "liners" not in without


@pytest.mark.slow
def test_the_record_holds_every_figure_where_its_name_says():
    settings = whole(
        bed=Bed(230.0, 210.0, 190.0),
        tolerance=Tolerance(2.5, 1.2, 1.9, 2.2),
        gauges=False,
        revision="B2",
        joint_gap_mm=0.2,
    )
    jig = jig_of("flat set", settings)
    r = jig_record(jig)
    assert (r["run"], r["revision"]) == ("flat set", "B2")
    assert r["tube"] == {"outside_mm": TUBE_15.outside_mm, "wall_mm": TUBE_15.wall_mm}
    wanted = {"position_mm": 2.5, "angle_deg": 1.2, "start_mm": 1.9, "finish_mm": 2.2, "decision": "balanced"}
    assert r["tolerance"] == wanted
    p = r["printing"]
    assert p["bed_mm"] == [230.0, 210.0, 190.0]
    assert (p["nozzle_mm"], p["layer_mm"], p["walls"], p["infill"]) == (0.4, 0.2, 3, 0.15)
    assert (p["slot_allowance_mm"], p["density_g_cm3"], p["rate_cm3_h"]) == (0.2, 1.24, 12.0)
    assert p["supports"] is False
    assert r["lift_out"] == [0.0, 0.0, 1.0]
    assert r["height_mm"] == pytest.approx(jig.whole.size[2], abs=0.01)
    stops = [(c["leg"], c["stop"]) for c in r["cradles"] if c["stop"]]
    assert stops == [(1, "start"), (3, "finish")]
    assert all((c["stop_mm"] is None) is (c["stop"] is None) for c in r["cradles"])
    assert all(c["stop_read_by_lines"] is False for c in r["cradles"])
    for a, b in pairwise(r["cradles"]):
        assert a["from_mm"] < a["to_mm"] < b["from_mm"] < b["to_mm"]
    # The stretches along the tube: the finish is where the tube ends.
    assert r["cradles"][0]["from_mm"] == pytest.approx(0.0)
    assert r["cradles"][-1]["to_mm"] == pytest.approx(jig.solved.centreline.length)
    for c in r["cradles"]:
        mine = [k for k in r["cradles"] if k["leg"] == c["leg"]]
        assert c["judges_mm_of_leg"] == pytest.approx(mine[-1]["to_mm"] - mine[0]["from_mm"])
        lean = math.degrees(math.atan(2.0 * c["clearance_mm"] / c["judges_mm_of_leg"]))
        assert c["accepts_deg_at_most"] == pytest.approx(lean)
    assert r["joints"]["count"] == len(jig.parts) - 1
    assert r["joints"]["gap_mm"] == 0.2
    assert r["total"]["parts"] == len(r["parts"])
    for key in ("volume_cm3", "plastic_cm3", "mass_g", "hours"):
        assert r["total"][key] == pytest.approx(sum(part[key] for part in r["parts"]))
    for said, part in zip(r["parts"], jig.parts, strict=True):
        mesh = trimesh.Trimesh(part.body.vertices, part.body.faces)
        assert said["size_mm"] == pytest.approx(mesh.extents, abs=1e-6)
        assert said["volume_cm3"] == pytest.approx(mesh.volume / 1000.0)
        assert said["mass_g"] == pytest.approx(1.24 * said["plastic_cm3"])
        assert said["printable"]["closed"] is True
        assert said["printable"]["bodies"] == 1
        assert said["printable"]["faults"] == []
        bottom = mesh.area_faces[(mesh.triangles[:, :, 2].max(axis=1) < 1e-6)].sum()
        assert said["printable"]["flat_on_bed_mm2"] == pytest.approx(bottom)
        assert said["printable"]["least_wall_mm"] == 0.8
        assert "use" not in said
        assert Rotation.from_matrix(said["jig_from_part"]["rotation"]).as_rotvec()[:2] == pytest.approx([0.0, 0.0])


@pytest.mark.slow
def test_limits_and_weight_are_the_same_on_paper_and_in_the_record():
    """Weight by Roark's cantilever, w L^4 / 8EI, for the legs that bend under theirs by more than a quarter."""
    jig = jig_of("two planes", BOARD)
    for record, limit in zip(limit_records(jig), jig.limits, strict=True):
        assert (record["of"], record["number"]) == (limit.fault.kind, limit.fault.number)
        assert record["unit"] == ("mm" if record["of"] == "leg" else "deg")
        assert record["asked"] <= 3.0
        assert record["passes_to"] < record["refused_from"] <= record["refused_for_certain_from"]
        assert record["wider_than_asked"] is (record["refused_from"] > 1.05 * record["asked"] + 0.05)
    outer, inner = TUBE_15.outside_mm, TUBE_15.outside_mm - 2.0 * TUBE_15.wall_mm
    metal = math.pi / 4.0 * (outer**2 - inner**2)
    newtons = (TUBE_15.mass_kg_per_m or metal * 8940e-6) * 9.81e-3
    stiff = 115_000.0 * math.pi / 64.0 * (outer**4 - inner**4)
    legs = jig.layout.axis.legs
    far = []
    for said in weight_records(jig):
        leg = legs[said["leg"] - 1]
        mine = [t for t in jig.layout.towers if t.cradle.leg == leg.index]
        level = math.hypot(*leg.direction[:2])
        reach = max(mine[-1].cradle.high_mm / level, leg.length - mine[0].cradle.low_mm / level)
        hides = newtons * level * reach**4 / (8.0 * stiff)
        assert said["hides_mm"] == pytest.approx(hides, rel=1e-6)
        slot = mine[0].cradle.clearance_mm
        assert said["matters"] is (max(hides, said["sags_mm"]) > slot / 4.0)
        if said["matters"]:
            far.append((said["leg"], hides, math.degrees(math.atan(hides / reach)), said["sags_mm"]))
    words = list(map(str, weight_said(jig)))
    assert len(words) == 1 + len(far) > 1
    for line, (leg, hides, lean, sags) in zip(words[1:], far, strict=True):
        wanted = f"leg {leg}: up to {hides:.1f} mm at its far cradle, {lean:.2f}\u00b0; sags {sags:.2f} mm"
        assert line == f"{wanted} between its cradles"
    slots = min(t.cradle.clearance_mm for t in jig.layout.towers)
    longest = (slots / 4.0 * 8.0 * stiff / newtons) ** 0.25
    assert f"a level leg is longer than {longest:.0f} mm" in words[0]
    short = jig_of("flat set")
    most = max(0.01, *(s["hides_mm"] for s in weight_records(short)))
    assert f"by more than {most:.2f} mm, less than a quarter" in weight_said(short)[0]
    assert len(weight_said(short)) == 1


@pytest.mark.slow
def test_what_may_pass_though_it_is_out_alone_is_named():
    jig = jig_of("flat set", whole(decision="go", gauges=False))
    wide = [r for r in limit_records(jig) if r["wider_than_asked"]]
    assert wide
    text = flat(jig_text(jig))
    names = ", ".join(
        f"leg {r['number']} length" if r["of"] == "leg" else f"bend {r['number']} {r['of']}" for r in wide
    )
    assert f"this may still pass: {names}. Hold the angle gauge" in text


def named(text):
    return message("tube.name", name=Name(text, quoted=False))


def said_of(jigs, units=MM):
    """What people read of some jigs: the texts of each, and the cells of its tables below their heads."""
    out = []
    for group in jig_content(jigs).to_read:
        texts, tables = [], []
        for part in group.parts:
            if isinstance(part, Table):
                shown = part.for_people
                tables.append(
                    [[as_text(v, c.kind, units) for v, c in zip(row, shown.columns, strict=True)] for row in shown.rows]
                )
            elif isinstance(part, Bullets):
                texts += [say(item, units) for item in part.items]
            elif not isinstance(part, Picture):
                texts.append(say(part.text, units))
        out.append((group.name, texts, tables))
    return out


def test_the_brief_has_a_row_a_cradle_and_adds_up_the_parts():
    jig = jig_of("flat set")
    refused = JigRefusedError("other", [message("length", mm=Length(300.0))])
    total_said, none, (name, texts, (slots, limits)) = said_of([jig, refused])
    assert "All jigs: " in total_said[1][0]
    assert name == "flat set"
    assert none == ("other", ["It gets no jig:", "300 mm"], [])
    for row, said in zip(slots, jig_record(jig)["cradles"], strict=True):
        stop = f"{MM.tidy(said['stop_mm'])}, {said['stop']}" if said["stop"] else ""
        assert row[:2] == [str(said["number"]), str(said["leg"])]
        assert [float(x) for x in row[2:4]] == pytest.approx([said["from_mm"], said["to_mm"]], abs=0.051)
        assert float(row[4]) == pytest.approx(15.0 + 2.0 * said["accepts_mm"], abs=0.051)
        assert float(row[5]) == pytest.approx(said["accepts_mm"], abs=0.051)
        assert row[6] == stop
    total = jig_record(jig)["total"]
    wanted = f"{total['parts']} parts, about {total['mass_g']:.0f} g of plastic and {total['hours']:.0f} hours"
    assert f"{wanted}; revision A." in texts
    _, none, (_, texts, (other, limits)) = said_of([jig, refused], units_for("in"))
    assert "300 mm" not in none[1]
    assert other[0] != slots[0]
    assert len(limits) == len(jig.limits)
    assert "mm" not in " ".join(cell for row in limits for cell in row)
    # The last lines say how to read a miss: every length in them is in inches.
    assert "mm" not in texts[-1]


def test_what_is_so_of_every_jig_is_said_once_in_a_job():
    """With one jig beside its own words, with two before both, and never with each."""
    jig = jig_of("flat set")
    for jigs in ([jig], [jig, jig], [jig, JigRefusedError("other", [named("too tall")]), jig]):
        texts = [text for _, said, _ in said_of(jigs) for text in said]
        for every in (*map(str, STEPS), str(MEANING)):
            assert texts.count(every) == 1
        assert sum("Weight" in text for text in texts) == sum(one is jig for one in jigs)


def test_a_run_without_a_jig_says_why_in_words_and_as_data():
    reasons = [named("too tall"), named("too near itself")]
    content = jig_content([JigRefusedError("other", reasons)])
    assert said_of([JigRefusedError("other", reasons)]) == [
        ("other", ["It gets no jig:", "too tall", "too near itself"], [])
    ]
    ((run_name, *between, why),) = content.table.rows
    assert run_name == "other"
    assert between == [None] * 7
    assert say(why, MM) == "too tall; too near itself"


MM_OPTIONS = SimpleNamespace(reading=MM, language="en")


def test_a_run_without_a_jig_is_noted_beside_the_others_files(tmp_path):
    refused = JigRefusedError("other", [named("too tall")])
    job = SimpleNamespace(jig=PLAIN)
    answer = SimpleNamespace(jigs=(refused,), schedule=SimpleNamespace(job=job, runs=()), paper_options=MM_OPTIONS)
    assert write_jigs(answer, tmp_path) == ("run 'other' gets no jig: too tall",)
    assert not list(tmp_path.iterdir())


def test_columns_of_the_text_stand_where_they_began():
    table = ["leg  length, mm", "1       12.5 mm", "   odd", "one run of words"]
    placed = {text.text: text.at[0] for text in _lines(table).items}
    assert sorted(placed) == ["1", "12.5 mm", "leg", "length, mm", "odd", "one run of words"]
    assert placed["leg"] == placed["1"] == placed["one run of words"]
    letter = placed["odd"] - placed["leg"]
    assert placed["length, mm"] - placed["leg"] == pytest.approx(letter * 5 / 3)
    assert placed["12.5 mm"] - placed["leg"] == pytest.approx(letter * 8 / 3)


def test_a_run_that_passes_through_itself_and_one_too_tall_or_steep_are_refused_with_reasons():
    loop = ((0.0, 0.0, 0.0), (300.0, 0.0, 0.0), (300.0, 200.0, 0.0), (150.0, 200.0, 0.0), (150.0, -200.0, 0.0))
    crossing = solve_run(run("loop", loop))
    with pytest.raises(JigRefusedError) as refused:
        next(plans(crossing, PLAIN))
    # The first leg is crossed 150 mm along; the tube is 15 thick.
    (reason,) = refused.value.reasons
    at = float(str(reason).split("itself ")[1].split(" mm")[0])
    assert 130.0 <= at <= 170.0
    assert "give it another way" in reason
    with pytest.raises(JigRefusedError) as refused:
        next(plans(PIECES["two planes"], replace(PLAIN, bed=Bed(400.0, 400.0, 60.0))))
    assert "the bed has 60" in str(refused.value)
    assert "taller printer" in str(refused.value)
    cube = ((0.0, 0.0, 0.0), (150.0, 0.0, 0.0), (150.0, 150.0, 0.0), (150.0, 150.0, 150.0))
    with pytest.raises(JigRefusedError) as refused:
        next(plans(solve_run(run("cube", cube)), replace(PLAIN, steepest_deg=30.0)))
    # No way up has three legs square to each other all flatter than asin(1 / sqrt 3), 35.3 degrees.
    assert "steeper than 30 degrees" in str(refused.value)
    assert made(crossing.table).table == crossing.table


def test_figures_of_what_is_printed_stand_under_each_other_however_long_a_name_is():
    jig = jig_of("flat set")
    renamed = replace(jig.parts[0], stem="turn-138-anticlockwise")
    lines = jig_text(replace(jig, parts=(renamed, *jig.parts[1:]))).splitlines()
    first = next(k for k, line in enumerate(lines) if line.startswith("To print"))
    rows = lines[first + 3 : first + 3 + len(jig.parts)]
    assert any("turn-138-anticlockwise " in row for row in rows)
    assert len({row.index(" x ") for row in rows}) == 1
    assert len({row.index(" cm3") for row in rows}) == 1
    dashes = lines[first + 2].split()
    assert len(dashes[0]) == len("turn-138-anticlockwise")
