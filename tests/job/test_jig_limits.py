"""The figures of a jig that a job may leave out, and their bounds: the last taken, the first refused (docs/jig.md)."""

import pytest
from short_jobs import faults, read

from pipemodel.job.schema import json_schema

JIG = {
    # key: default, least, most
    "base_thickness": (1.6, 1.6, 30),
    "bar": (20, 20, 120),
    "screw": (4, 2, 10),
    "joint_gap": (0.15, 0.02, 1),
    "steepest": (60, 5, 70),
    "allowance": (0.2, 0, 1.5),
    "nozzle": (0.4, 0.25, 1.5),
    "layer": (0.2, 0.04, 0.32),
    "walls": (3, 1, 50),
    "infill": (0.15, 0, 1),
    "density": (1.24, 0.5, 5),
    "rate": (12, 0.5, 500),
    "timber": (44, 30, 100),
}

"""Nozzle and layer go together: a layer is at most 0.8 of the nozzle, so the other's default bounds each."""


def jig_values(jig):
    p = jig.print
    return {
        "base_thickness": jig.base_mm, "bar": jig.bar_mm, "screw": jig.screw_mm, "joint_gap": jig.joint_gap_mm,
        "steepest": jig.steepest_deg, "allowance": p.allowance_mm, "nozzle": p.nozzle_mm, "layer": p.layer_mm,
        "walls": p.walls, "infill": p.infill, "density": p.density_g_cm3, "rate": p.rate_cm3_h, "timber": jig.timber_mm,
    }  # fmt: skip


def test_a_blank_jig_has_every_usual_figure():
    jig = read("jig:\n  gauges: true").jig
    assert jig_values(jig) == {key: usual for key, (usual, _, _) in JIG.items()}
    assert (jig.bed.x_mm, jig.bed.y_mm, jig.bed.z_mm) == (220, 220, 250)
    assert (jig.decision, jig.base, jig.cradles) == ("balanced", "timber", "fewest")
    assert (jig.inserts, jig.gauges) == (False, True)
    assert (jig.standoff_mm, jig.revision) == (None, "A")
    t = jig.tolerance
    assert (t.position_mm, t.angle_deg, t.start_mm, t.finish_mm, t.at_start_mm, t.at_finish_mm) == (
        3,
        1,
        None,
        None,
        3,
        3,
    )


@pytest.mark.parametrize("key", JIG)
def test_the_bounds_of_a_jigs_figures(key):
    _, least, most = JIG[key]
    for value in (least, most):
        if value:
            assert jig_values(read(f"jig: {{{key}: {value}}}").jig)[key] == value
    for value in ((least - 0.001) if least else -0.001, most + 0.001):
        if key == "walls" and value > 1:
            value = 51
        (*_, message), *_ = faults(f"jig: {{{key}: {value:g}}}")
        assert key in message or "must" in message or "too thick" in message


def test_each_figure_of_a_jig_is_its_own():
    """Every key set to a figure no other has comes out under its own name."""
    said = {"base_thickness": 7, "bar": 31, "screw": 5, "joint_gap": 0.31, "steepest": 51, "allowance": 0.13,
            "nozzle": 0.6, "layer": 0.33, "walls": 4, "infill": 0.22, "density": 1.05, "rate": 11,
            "timber": 63}  # fmt: skip
    text = ", ".join(f"{key}: {value}" for key, value in said.items())
    text += ", bed: [201, 202, 203], tolerance: {position: 2, angle: 1.5, start: 4, finish: 6}, standoff: 17"
    text += ", revision: 2.1, decision: go, base: board, inserts: true, gauges: false"
    jig = read(f"jig: {{{text}}}").jig
    assert jig_values(jig) == said
    assert (jig.bed.x_mm, jig.bed.y_mm, jig.bed.z_mm) == (201, 202, 203)
    t = jig.tolerance
    assert (t.position_mm, t.angle_deg, t.at_start_mm, t.at_finish_mm) == (2, 1.5, 4, 6)
    assert (jig.standoff_mm, jig.revision, jig.decision, jig.base) == (17, "2.1", "go", "board")
    assert (jig.inserts, jig.gauges) == (True, False)


@pytest.mark.parametrize(
    ("jig", "words"),
    [
        ("{bed: [59.9, 220, 220]}", "a bed of 59.9 x 220 x 220; each must be from 60 to 2000"),
        ("{bed: [220, 220, 2001]}", "a bed of 220 x 220 x 2001; each must be from 60 to 2000"),
        ("{bed: [220, 220]}", "a bed is its sizes, such as [220, 220, 250], or one of mini, small"),
        ("{tolerance: {angle: 0.04}}", "a tolerance of 0.04 degrees; write 0.05 to 20, such as 1"),
        ("{tolerance: {angle: 20.1}}", "a tolerance of 20.1 degrees; write 0.05 to 20, such as 1"),
        ("{tolerance: {position: 0.29}}", "a position tolerance of 0.29: a printed slot is no truer than 0.3"),
        ("{tolerance: {start: 0.29}}", "a start tolerance of 0.29"),
        ("{tolerance: {finish: 0.29}}", "a finish tolerance of 0.29"),
        ("{layer: 0.33}", "layers of 0.33 are too thick for a nozzle of 0.4: at most 0.8 of it"),
        ("{revision: ABCDEFG}", "'ABCDEFG' is no revision; write up to six letters and figures, such as A or 2.1"),
        ("{revision: a b}", "is no revision"),
        ("{revision: true}", "is no revision"),
        ("{bends: [3, 2]}", "bends 3 to 2; write the first from 1 on, and the last no lower, such as [2, 4]"),
        ("{bends: [0, 2]}", "bends 0 to 2"),
        ("{bench: 19}", "bench is 19; it must be from 20 to 1000"),
        ("{bends: 2}", "'2' is no part of a piece; write its first bend and its last, such as [2, 4]"),
        ("{bar: 19}", "bar is 19; it must be from 20 to 120"),
        ("{decision: best}", "decision is balanced, go or fine, not 'best'"),
    ],
)
def test_what_a_jig_cannot_be(jig, words):
    ((line, _, message),) = faults(f"jig: {jig}")
    assert line == 4
    assert words in message


@pytest.mark.parametrize("jig", ["{bed: [60, 60, 2000]}", "{tolerance: {angle: 0.05}}", "{tolerance: {angle: 20}}",
                                 "{tolerance: {position: 0.3, start: 0.3, finish: 0.3}}", "{revision: ABCDEF}",
                                 "{revision: 7}", "{revision: 2-1.a}", "{bed: MINI}", "{layer: 0.32}"])  # fmt: skip
def test_what_a_jig_may_just_be(jig):
    assert read(f"jig: {jig}").jig is not None


def test_an_editor_is_given_what_serves_where_a_key_is_left_out():
    """The figures shown in an editor are those that a job without the key really has."""
    properties = json_schema()["$defs"]["JigForm"]["properties"]
    for key, (usual, _, _) in JIG.items():
        assert properties[key]["default"] == usual
    whole = json_schema()["properties"]
    assert (whole["clearance"]["default"], whole["kerf"]["default"], whole["units"]["default"]) == (0, 0, "mm")
