"""A splayed U, wider than the passage it must come through: it goes in sprung, by as much as a beam says."""

import json
import re
from math import cos, radians, sin, tan

import numpy as np
import pytest
from command_line import run
from rooms_with_openings import in_a_wall
from scipy.integrate import quad
from scipy.spatial.transform import Rotation
from way_jobs import HATCH, results_with_way, stood
from wide import few_or_many

from pipemodel.geometry.centreline import Arc, Centreline, Straight
from pipemodel.geometry.shapes import Box
from pipemodel.ways_in.judge import Judge
from pipemodel.ways_in.judge_room import Obstacle
from pipemodel.ways_in.springs import sprung_line
from pipemodel.ways_in.sprung import CLOSE_MM, SprungShape, _Change
from pipemodel.ways_in.sprung_words import way_in_words
from pipemodel.ways_in.values import IN_PLACE, SprungEnd

LEG, BACK, SPLAY, DEEP, R, TUBE, MARGIN = 400.0, 200.0, 1.0, 300.0, 55.0, 15.0, 2.0
TIPS = BACK + 2.0 * LEG * sin(radians(SPLAY))
"""Between the ends of the legs, which lie by so many degrees out of parallel."""


def room(wide):
    """A flat chamber, and a passage into it that is as deep as the piece cannot turn in; nothing but flat goes in."""
    half, tall = wide / 2.0, TUBE / 2.0 + MARGIN + 3.0
    boxes = in_a_wall((-900, 900), (-300, 300), (-half, half), (-tall, tall), (-DEEP, 0))
    boxes += [((-900, 0, -300), (900, 900, -tall)), ((-900, 0, tall), (900, 900, 300))]
    boxes += [
        ((-900, 0, -tall), (-260, 900, tall)),
        ((260, 0, -tall), (900, 900, tall)),
        ((-900, 800, -300), (900, 900, 300)),
    ]
    corners = [(-half, -DEEP, -tall), (half, -DEEP, -tall), (half, -DEEP, tall), (-half, -DEEP, tall)]
    return boxes, corners


def job(wide, spread, tube="15", effort=900):
    boxes, corners = room(wide)
    x = BACK / 2.0
    out = x + LEG * sin(radians(SPLAY))
    y = 700.0 - LEG * cos(radians(SPLAY))
    lines = [f"job: in\ntube: {tube}\nformer: {{radius: {R}, hold: 1, guide: 1, springback: {{fixed: 0}}}}\nroom:"]
    lines += [f"  b{i}: {{box: {{from: {list(low)}, to: {list(high)}}}}}" for i, (low, high) in enumerate(boxes)]
    lines.append(f"openings: {{hatch: {{corners: {[list(c) for c in corners]}, outside: [0, -2000, 0]}}}}")
    lines.append(f"bring in: {{through: hatch, margin: {MARGIN}, effort: {effort}, spread: {spread}}}")
    lines.append(f"runs: {{u: {{points: [[{-out}, {y}, 0], [{-x}, 700, 0], [{x}, 700, 0], [{out}, {y}, 0]]}}}}")
    return "\n".join(lines) + "\n"


def checked(tmp_path, *args, **kw):
    file = tmp_path / "job.yaml"
    file.write_text(job(*args, **kw))
    done = run("check", file, "--format", "json")
    assert done.code in (0, 1), done.err
    return json.loads(done.out)


def opens(strain):
    """How far an end goes at a strain, by the energy of bending; fibres within a bend are (R - c) / R long."""
    angle = radians(90.0 - SPLAY)
    leg, c = LEG - R * tan(angle / 2.0), TUBE / 2.0
    along, _ = quad(lambda x: x * x, 0.0, leg)
    round_, _ = quad(lambda t: (leg + R * sin(t)) ** 2 * R, 0.0, angle)
    return strain * (R - c) / (R * c) / (leg + R * sin(angle)) * (along + round_)


LIMIT = 0.5 * 150.0 / 130_000.0
"""Half of what 150 N/mm2, the least proof stress of R250, strains copper by at its stiffest, both from memory."""
JUST = TIPS + TUBE + 2.0 * MARGIN - 2.0 * opens(LIMIT) * cos(radians(SPLAY))


@pytest.mark.slow
def test_a_splayed_u_goes_in_sprung_closed_by_what_a_beam_says(tmp_path):
    record = checked(tmp_path, JUST + 0.2, "yes", effort=20_000)
    (way,) = record["ways_in"]
    assert way["found"]
    sprung = way["sprung"]
    assert {one["end"] for one in sprung["ends"]} == {"start", "finish"}
    assert [one["by_mm"] for one in sprung["ends"]] == pytest.approx([-opens(LIMIT)] * 2, rel=1e-6)
    assert sprung["strain"] == pytest.approx(LIMIT)
    (said,) = [finding["message"] for finding in record["findings"] if finding["code"] == "I106"]
    assert "closed by 4.3 mm" in said
    assert "must spring back" in said
    assert way["states"][-1] == {"position": [0.0, 0.0, 0.0], "rotation": [1.0, 0.0, 0.0, 0.0]}
    # Gone through by our own arithmetic: points of the sprung axis against the blocks, its flat ends as if round.
    axis, boxes = np.array(sprung["axis"]), [np.array(box) for box in room(JUST + 0.2)[0]]
    held = way["states"][: sprung["until"] + 1]
    for a, b in zip(held, held[1:], strict=False):
        turn = Rotation.from_quat(np.roll(a["rotation"], -1))
        on = (Rotation.from_quat(np.roll(b["rotation"], -1)) * turn.inv()).as_rotvec()
        for share in np.linspace(0.0, 1.0, 120):
            at = (1.0 - share) * np.array(a["position"]) + share * np.array(b["position"])
            points = (Rotation.from_rotvec(share * on) * turn).apply(axis) + at
            for low, high in boxes:
                off = np.linalg.norm(np.maximum(np.maximum(low - points, points - high), 0.0), axis=1)
                assert off.min() >= TUBE / 2.0 + MARGIN - 0.05


@pytest.mark.slow
@pytest.mark.parametrize(
    ("more", "spread", "tube"), [(-0.3, "yes", "15"), (1.0, "{at most: 2}", "15"), (1.0, "yes", "15 R220")]
)
def test_it_does_not_go_in_where_it_springs_too_little(tmp_path, more, spread, tube):
    """A passage narrower than that; sprung by less; and of soft tube, which stays bent before it is sprung so far."""
    record = checked(tmp_path, JUST + more, spread, tube, effort=few_or_many(250, 600))
    (way,) = record["ways_in"]
    assert not way["found"]
    assert not way["impossible"]
    assert "sprung" not in way
    assert "I107" in [finding["code"] for finding in record["findings"]]


@pytest.mark.slow
def test_what_is_in_the_way_of_a_leg_that_is_let_go_is_seen() -> None:
    """A leg that opens by 6 towards a wall beside its end: to 2 mm from it, and not where the wall is nearer."""
    line = Centreline(
        (
            Straight((0.0, 0.0, 0.0), (1.0, 0.0, 0.0), 200.0),
            Arc((200.0, 0.0, R), (0.0, -1.0, 0.0), (0.0, 0.0, -1.0), R, 90.0),
            Straight((200.0 + R, 0.0, R), (0.0, 0.0, 1.0), 400.0),
        )
    )
    ends = (SprungEnd("finish", 6.0, 1),)
    shape = SprungShape(ends, sprung_line(line, "finish", 6.0), 0.0)
    for gap, least in ((8.0, 2.0), (5.9, None)):
        wall = Obstacle("wall", Box((200.0 + R + TUBE / 2.0 + gap, -500.0, -500.0), (900.0, 500.0, 900.0)))
        judge = Judge(shape.line, TUBE, [wall], 0.0)
        change = _Change(judge, line, shape)
        assert change.least(IN_PLACE, CLOSE_MM) == (None if least is None else pytest.approx(least, abs=0.4))


def test_words_go_on_where_it_is_let_go() -> None:
    """A way laid by hand, its finish end sprung up to a state half way: said once to spring it, once to let it go."""
    results = results_with_way(sprung=5.0)
    solved, way = results.ways_shown[0].solved, results.report.ways_in[0]
    line = way.sprung.line
    words = way_in_words(solved.centreline, way, HATCH, {})
    first, *moves = words.steps
    assert str(first.said).startswith(
        "spring its finish end open by 5.0 mm, pushing there with about 12 N (the weight of 1.2 kg), held beside bend 2"
    )
    ends = [step.last for step in moves]
    assert [step.first for step in moves] == [0, *ends[:-1]]
    assert ends[-1] == len(way.states) - 1
    assert [step.last for step in moves if "let it spring back" in str(step.said)] == [7]
    assert sum("through hatch" in str(step.said) for step in moves) == 1
    stood_at = stood(way.states[0], np.array(line.finish))
    said = [float(x) for x in re.findall(r"[xyz] (-?[\d.]+) mm", str(first.said).split("its finish at")[1])]
    assert said == pytest.approx(stood_at.tolist(), abs=words.step_mm)
