"""Whether a jig is worth printing, what a tape tells instead, and one set of gauges: held against tubes bent here."""

import json
import re
from dataclasses import replace

import numpy as np
import pytest
import trimesh
from gallery import FORMER_15, STRAIGHT, TUBE_15, run
from jig_simulation import Jig as Held
from jig_simulation import bent, wrong

from pipemodel.bending.schedule import solve_run
from pipemodel.documents.jig.record import jig_record
from pipemodel.jigs.design import MUCH_CM3, design
from pipemodel.jigs.of_job import NotWorth, jigs_of, sharing_gauges
from pipemodel.jigs.worth import worth_of
from pipemodel.job.jig import JigSettings, Tolerance
from pipemodel.lists.jig_totals import totals_of, totals_said
from pipemodel.lists.jig_worth import worth_said
from pipemodel.results.record import to_json
from pipemodel.trade.model import Former, Tube

LONG = [(0, 0, 0), (900, 0, 0), (900, 500, 0), (900, 500, 400), (1400, 500, 400), (1400, 1100, 400)]
COMPACT = [(0, 0, 0), (200, 0, 0), (200, 200, 0), (200, 200, 200), (400, 200, 200)]
FLAT = [(0, 0, 0), (300, 0, 0), (400, 100, 0), (700, 100, 0)]


def solved(corners, name="piece", tube=TUBE_15, former=FORMER_15):
    return solve_run(run(name, corners, tube, former))


@pytest.mark.parametrize(
    ("corners", "printing", "flat"),
    [
        (STRAIGHT, False, True),
        ([(0, 0, 0), (280, 0, 0), (280, 240, 0)], False, True),
        (FLAT, False, True),
        # The same set, longer than a template is laid out for, has its diagonals instead, or a jig.
        (COMPACT, True, False),
        (LONG, False, False),
    ],
)
def test_what_is_worth_printing(corners, printing, flat):
    worth = worth_of(solved(corners), Tolerance())
    assert (worth.printing, worth.flat) == (printing, flat)
    assert worth.printing is bool(worth.unseen) or worth.flat


def test_a_jig_for_one_angle_alone_says_from_where_its_card_tells_it():
    worth = worth_of(solved(COMPACT), Tolerance())
    (one,) = worth.unseen
    said = str(worth_said(worth, 3))
    assert f"one angle alone: tape and card show bend {one.fault.number} angle from {one.shows_from:.1f}° on" in said
    assert "one angle alone" not in str(worth_said(worth_of(solved(COMPACT), Tolerance(angle_deg=0.5)), 3))


SHORT = [(0, 0, 0), (210, 0, 0), (210, 150, 0), (210, 150, 120)]


@pytest.mark.slow
@pytest.mark.parametrize(("corners", "printing"), [(COMPACT, True), (SHORT, False)])
def test_a_jig_is_worth_it_that_refuses_most_of_what_tape_and_card_leave(corners, printing):
    """Each fault that the checks show late, as far out as they show it: held or not by `jig_simulation`'s programs."""
    piece, settings = solved(corners), JigSettings(gauges=False)
    (answer,) = jigs_of([piece], settings)
    assert isinstance(answer, NotWorth) is not printing
    jig = answer if printing else design(piece, settings)
    rows = [(b.straight_before_mm, b.angle_deg, b.turn_deg) for b in piece.table.bends]
    first, arc = piece.centreline.pieces[:2]
    frame = 55.0, np.array(first.start), np.array(first.direction), np.array(arc.axis)
    held = Held(json.loads(to_json(jig_record(jig))), bent(rows, piece.table.straight_after_mm, *frame))
    found = []
    for one in worth_of(piece, Tolerance()).unseen:
        out = [(*wrong(rows, piece.table.straight_after_mm, one.fault.kind, one.fault.number, by), *frame)
               for by in (-0.9 * one.shows_from, 0.9 * one.shows_from)]  # fmt: skip
        found.append(all(held.room(bent(*piece_out))[0] < 0.0 for piece_out in out))
    assert (2 * sum(found) > len(found)) is printing
    assert jig.worth.printing is printing


UP = re.compile(r".*from the bench up to the (\w+) end, with both legs of bend (\d+) flat on the bench$")


def height(said, legs):
    """How high an end lies over the plane of the axes of two legs; the undersides of all lie half a tube lower."""
    end, bend = UP.match(said).groups()
    (s, d, _), (_, other, _) = legs[int(bend) - 1], legs[int(bend)]
    across = np.cross(d, other)
    first, (last, way, length) = legs[0][0], legs[-1]
    point = first if end == "start" else last + way * length
    return float(abs((point - s) @ across) / np.linalg.norm(across))


@pytest.mark.parametrize("tube", [(TUBE_15, FORMER_15), (Tube(22.0, 0.9, "22"), Former(77.0))])
def test_a_height_over_the_bench_is_what_the_sheet_says_and_shows_the_fault_from_there(tube):
    """Tube bent by plain rotations; shares no code with the tool."""
    piece = solved(LONG, "long", *tube)
    radius = tube[1].radius_mm
    rows = [(b.straight_before_mm, b.angle_deg, b.turn_deg) for b in piece.table.bends]
    after = piece.table.straight_after_mm
    worth = worth_of(piece, Tolerance())
    seen = 0
    for number, check in enumerate(worth.checks):
        if not UP.match(str(check.said)):
            continue
        reads = height(str(check.said), bent(rows, after, radius))
        assert check.value == pytest.approx(reads, abs=1e-6)
        for shown in worth.shown:
            if shown.check == number:
                seen += 1
                for sign in (-1.0, 1.0):
                    by = sign * 1.1 * shown.shows_from
                    out = bent(*wrong(rows, after, shown.fault.kind, shown.fault.number, by), radius)
                    assert abs(height(str(check.said), out) - reads) >= 3.0
    assert seen


OVER = re.compile(r".*(?:outsides|insides) of the legs before bend (\d+) and after bend (\d+)$")
STEPS = [(0, 0, 0), (0, -330, 0), (0, -330, -900), (0, -890, -900), (330, -890, -900)]


@pytest.mark.parametrize("corners", [STEPS, LONG])
def test_what_a_tape_over_two_legs_shows_it_shows_wherever_on_them_it_is_held(corners):
    """Legs bent by plain rotations; the tape is square to one leg, at either end of it, or square to the other."""
    piece = solved(corners, "steps", Tube(28.0, 0.9, "28"), Former(118.0))
    rows = [(b.straight_before_mm, b.angle_deg, b.turn_deg) for b in piece.table.bends]

    def readings(legs, one, two):
        for (s, d, length), (onto, way, _) in ((legs[one], legs[two]), (legs[two], legs[one])):
            for at in (0.0, length):
                yield np.linalg.norm(np.cross(s + d * at - onto, way))

    worth = worth_of(piece, Tolerance())
    seen = 0
    for number, check in enumerate(worth.checks):
        if not (found := OVER.match(str(check.said))):
            continue
        one, two = int(found[1]) - 1, int(found[2])
        right = list(readings(bent(rows, piece.table.straight_after_mm, 118.0), one, two))
        for shown in worth.shown:
            if shown.check == number:
                seen += 1
                by = 1.1 * shown.shows_from
                out = wrong(rows, piece.table.straight_after_mm, shown.fault.kind, shown.fault.number, by)
                for true, read in zip(right, readings(bent(*out, 118.0), one, two), strict=True):
                    assert abs(read - true) >= 3.0, (shown.fault, str(check.said))
    assert seen or corners is LONG


@pytest.mark.slow
def test_one_set_of_gauges_serves_all_runs():
    settings = JigSettings(base="board", price_per_kg=20.0)
    short = [(0, 0, 0), (120, 0, 0), (120, 150, 0), (120, 150, 130)]
    alone = design(solved(short, "two"), settings)
    jigs = sharing_gauges([design(solved(COMPACT, "one"), settings), alone])
    first, second = jigs
    assert "angle-90" in [g.stem for g in first.gauges]
    assert "angle-90" not in [g.stem for g in second.gauges]
    assert ("angle-90", "one") in [(g.stem, run) for g, run in second.elsewhere]
    # The shorter arms are those that fit both runs: legs of 65 mm and more.
    (short_one,) = [g for g in alone.gauges if g.stem == "angle-90"]
    (printed,) = [g for g in first.gauges if g.stem == "angle-90"]
    assert printed.plastic.volume_cm3 <= short_one.plastic.volume_cm3 + 1e-9
    totals = totals_of(jigs)
    every = [p for j in jigs for p in (*j.parts, *j.gauges)]
    assert totals.all.mass_g == pytest.approx(sum(p.plastic.mass_g for p in every))
    assert totals.gauges == len({(g.stem) for j in jigs for g in j.gauges})
    (said, *_) = map(str, totals_said(totals))
    assert f"cost {20.0 * totals.all.mass_g / 1000.0:.2f}" in said


def test_runs_without_a_jig_are_named_and_no_parts_are_counted_for_them():
    (said,) = map(str, totals_said(totals_of(jigs_of([solved(FLAT, "flat")], JigSettings(price_per_kg=20.0)), 0)))
    assert said == "No jig, since it is not worth printing: 'flat'."
    (said,) = map(str, totals_said(totals_of(jigs_of([solved(FLAT, "flat")], JigSettings(bends=(3, 9))), 0)))
    assert said == "No jig can be made for: 'flat'."


@pytest.mark.slow
def test_a_jig_of_much_plastic_says_what_timber_would_take(monkeypatch):
    """The figure is that of the jig on timber of the same run, its parts by trimesh; a light one says nothing."""
    assert MUCH_CM3 == 150.0
    printed = JigSettings(base="printed", gauges=False)
    small = design(solved(COMPACT, "compact"), printed)
    assert small.total.volume_cm3 < 150.0
    assert small.on_timber is None
    monkeypatch.setattr("pipemodel.jigs.design.MUCH_CM3", small.total.volume_cm3)
    heavy, light = replace(small), design(small.solved, replace(printed, base="timber"))
    solid = sum(trimesh.Trimesh(p.body.vertices, p.body.faces).volume for p in light.parts) / 1000.0
    assert heavy.on_timber.volume_cm3 == pytest.approx(solid, rel=1e-6)
    assert light.on_timber is None
    (said, *_) = map(str, totals_said(totals_of([heavy])))
    assert f"On timber (base: timber): {light.total.plastic_cm3:.0f} cm3" in said
    assert "imber" not in str(totals_said(totals_of([light]))[0])
