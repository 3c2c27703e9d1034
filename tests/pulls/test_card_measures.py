"""What is measured on a part-bent piece, against points on its skin and cases worked by hand."""

import itertools
import math
import re

import numpy as np
import pytest
from card_cases import cards, measured, measures_after, offered, random_cards, skin, stations
from follower.shape import Piece
from made_runs import SPRINGY, made_run, random_run
from wide import few_or_many

from pipemodel.bending.part_bent import part_bent
from pipemodel.pulls import choice
from pipemodel.pulls.measures import MeasureKind
from pipemodel.trade.model import Springback, Tube

# ---- worked by hand


def test_one_square_bend_to_a_measure():
    """22 mm tube, R 77, legs 150 and 250 to the centre (C&G Plumbing Book 1, p. 95): the backs lie 11 further out."""
    run = made_run([150 - 77, 250 - 77], [90], tube=Tube(22, 0.9, "22"), radius_mm=77.0)
    (card,) = cards(run)
    assert sorted(m.value for m in offered(run, card) if m.kind is MeasureKind.END_TO_BACK) == pytest.approx([161, 261])
    # The shorter of the two is taken, for the mark; the card for the angle.
    assert [(m.kind, m.value) for m in card.measures] == [
        (MeasureKind.ANGLE, 90),
        (MeasureKind.END_TO_BACK, pytest.approx(161)),
        (MeasureKind.ROUND, 0),
    ]
    # 8 % of the diameter, UFGS-15901 table 5-4.
    assert card.measures[-1].shows_from == pytest.approx(1.76)
    assert card.mark_from_back is None
    assert card.level is None


def test_height_of_a_set_is_its_offset_and_one_tube():
    """Offset 60 between centrelines at 30 degrees: travel 60 / sin 30 between corners, less both setbacks."""
    leg = 60 / math.sin(math.radians(30)) - 2 * 55 * math.tan(math.radians(15))
    run = made_run([300, leg, 300], [30, 30], [180])
    last = cards(run)[-1]
    assert measured(run)[MeasureKind.HEIGHT] == pytest.approx(75)
    assert measured(run)[MeasureKind.FLAT] == 0
    assert abs(last.round_deg) == 180
    # Half of the way round 15 mm tube: 23.6.
    assert abs(last.round_mm) == pytest.approx(15 * math.pi / 2)
    assert str(last.roll).startswith("roll the tube half a turn")


def test_height_of_a_passover_is_taken_at_its_crown():
    """22.5, 45, 22.5: the crown lies R (sec 22.5 - 1) below the corner (checks A1), and one tube is added."""
    h, r = 50.0, 55.0
    slope = h / math.sin(math.radians(22.5))  # corner to corner
    leg = slope - r * (math.tan(math.radians(11.25)) + math.tan(math.radians(22.5)))
    run = made_run([300, leg, leg, 400], [22.5, 45, 22.5], [180, 180])
    crown = h - r * (1 / math.cos(math.radians(22.5)) - 1)
    (height,) = [m for m in offered(run, cards(run)[-1]) if m.kind is MeasureKind.HEIGHT]
    assert height.value == pytest.approx(crown + 15, abs=0.02)
    assert "up to the back of bend 2" in str(height.how)


def test_open_span_of_a_u():
    """Two square bends the same way, 200 between centres: 185 between the insides."""
    run = made_run([300, 200 - 110, 300], [90, 90], [0])
    last = cards(run)[-1]
    assert measured(run)[MeasureKind.SPAN] == pytest.approx(185)
    assert str(last.roll).startswith("the same side up as before")
    # 200 to the centre and 7.5 to each back
    assert measured(run)[MeasureKind.FLAT] == 0


def test_square_bends_in_two_planes():
    """East 400, north 250, up 350, corner to corner; the mouth of the start then stands 400 and half a tube up."""
    run = made_run([345, 140, 295], [90, 90], [90])
    first, second = cards(run)
    assert [m.value for m in first.measures if m.kind is MeasureKind.END_TO_BACK] == pytest.approx([407.5])
    assert measured(run)[MeasureKind.END_TO_BACK] == pytest.approx(357.5)
    high = [m for m in offered(run, second) if m.kind is MeasureKind.STAND_OFF and "the start end" in str(m.how)]
    assert [m.value for m in high] == pytest.approx([407.5])
    # It stands upright over the leg between, so a twist leans it to a side of that line.
    assert any(m.kind is MeasureKind.ASIDE and m.value == 0.0 for m in offered(run, second))
    # One tape from end to end shows angle and twist, one back to back the mark: with the hand, three are enough.
    assert [m.kind for m in second.measures[:-1]] == [MeasureKind.BACK_TO_BACK, MeasureKind.ACROSS, MeasureKind.HAND]
    # East, north, up; bend 1 on the bench, finish up, seen from above: east then north goes off to the left.
    (hand,) = [m for m in offered(run, second) if m.kind is MeasureKind.HAND and "both legs of bend 1 " in str(m.how)]
    assert hand.looks == "left"
    # And the mirrored piece the other way.
    mirrored = made_run([345, 140, 295], [90, 90], [-90])
    offers = offered(mirrored, cards(mirrored)[1])
    assert [m.looks for m in offers if m.kind is MeasureKind.HAND and "both legs of bend 1 " in str(m.how)] == ["right"]
    # From the back of bend 1 (7.5 outside its corner) to where bend 2 begins, 250 - 55 from the corner.
    assert second.mark_from_back.mm == pytest.approx(7.5 + 195)
    assert second.round_mm == pytest.approx(15 * math.pi / 4)


# ---- the skin of the piece tells the same


def test_measures_to_the_back_of_square_bends_touch_the_skin():
    """A square laid on the back of a 90 touches the outermost points; the tape goes from there along the leg."""
    touched = {"start": 0, "finish": 0}
    for run, card in random_cards(60, 3):
        made = part_bent(run, card.pull.made | {card.pull.bend})
        for m in offered(run, card):
            numbers = [int(w.strip(",")) for w in str(m.how).split() if w.strip(",").isdigit()]
            of = {b.number: i for i, b in enumerate(made.bends)}
            if m.kind is MeasureKind.END_TO_BACK and made.bends[of[numbers[0]]].angle_deg == 90:
                i = of[numbers[0]]
                from_start = "start end" in str(m.how)
                leg = made.legs[0] if from_start else made.legs[-1]
                ahead = np.array(leg.direction) * (1 if from_start else -1)
                end = np.array(leg.start if from_start else leg.finish)
                # Only the tube up to the middle of the far leg: further bends may reach out more.
                far = made.legs[1] if from_start else made.legs[-2]
                half = (
                    np.array([far.point_at(t) for t in np.linspace(0, far.length / 2, 9)])
                    if from_start
                    else np.array([far.point_at(t) for t in np.linspace(far.length / 2, far.length, 9)])
                )
                assert m.value == pytest.approx(((half - end) @ ahead).max() + 7.5, abs=1e-6)
                assert made.arcs[i].angle_deg == 90
                touched["start" if from_start else "finish"] += 1
    assert min(touched.values()) >= 8, touched


@pytest.mark.slow
def test_heights_spans_and_stand_offs_against_the_skin():
    held = dict.fromkeys((MeasureKind.STAND_OFF, MeasureKind.HEIGHT, MeasureKind.SPAN), 0)
    dice = np.random.default_rng(5)
    # Two bends alike, the same way or back again, are rare among random ones.
    pairs = [(a, turn, dice.uniform(60, 300, 3)) for a in (30.0, 60.0, 90.0) for turn in (0.0, 180.0) for _ in range(3)]
    level = [made_run([*map(float, legs)], [a, a], [turn], hold_mm=20.0, guide_mm=10.0) for a, turn, legs in pairs]
    for run, card in (*random_cards(30, 3), *((flat, card) for flat in level for card in cards(flat))):
        made = part_bent(run, card.pull.made | {card.pull.bend})
        index = [b.number for b in made.bends].index(card.pull.bend)
        arc = made.arcs[index]
        for m in offered(run, card):
            if (
                m.kind is MeasureKind.STAND_OFF
                and f"both legs of bend {card.pull.bend} " in str(m.how)
                and "ring" not in m.how
            ):
                end = made.centreline.start if "start end" in str(m.how) else made.centreline.finish
                up = np.array(arc.axis) * np.sign(np.dot(arc.axis, np.subtract(end, arc.start)))
                # The bench touches the undersides of the bend's legs; the end's underside stands off it.
                bench = (skin(made.centreline, 15.0) @ up)[_near(made, index)].min()
                rim = skin(made.centreline, 15.0)
                rim = (rim[:72] if "start end" in str(m.how) else rim[-72:]) @ up
                assert m.value == pytest.approx(rim.min() - bench, abs=0.05)
            if m.kind in (MeasureKind.HEIGHT, MeasureKind.SPAN):
                first, last = (int(w) for w in str(m.how).split() if w.isdigit())
                numbers = [b.number for b in made.bends]
                a, b = made.legs[numbers.index(first)], made.legs[numbers.index(last) + 1]
                gap = np.subtract(b.start, a.start)
                gap = np.linalg.norm(gap - np.dot(gap, a.direction) * np.array(a.direction))
                assert m.value == pytest.approx(gap + (15 if m.kind is MeasureKind.HEIGHT else -15))
            if m.kind in held:
                held[m.kind] += 1
    assert min(held.values()) >= 3, held


def _near(made, index):
    """Which rings of `skin` lie on the arc of a bend."""
    rings = stations(made.centreline)
    start = made.centreline.offsets[2 * index + 1]
    on = (rings >= start) & (rings <= start + made.arcs[index].length)
    return np.repeat(on, 72)


@pytest.mark.parametrize("twist", [0.0, 0.1, 1.0, -2.5, 4.0, 5.5, 177.0, 180.0, -175.0])
def test_a_piece_that_is_twisted_is_not_said_to_lie_flat(twist):
    """The axis, bent again by the tests' own rotations, lies in a plane; else flattening would undo the turn."""
    said = 0
    for angles, tail in itertools.product([(15, 15), (30, 30), (45, 15), (90, 90), (15, 90)], (4.0, 30.0, 200.0)):
        run = made_run([300, 120, tail], angles, [twist], hold_mm=0.0, guide_mm=0.0)
        points, _ = Piece((300, 120, tail), angles, (0.0, twist), (55.0, 55.0)).axis()
        spread = np.linalg.svd(points - points.mean(axis=0))[2][2]
        off = np.ptp(points @ spread)
        for number in (1, 2):
            kinds = {m.kind: m for m in measures_after(part_bent(run, {1, 2}), number)}
            flat = MeasureKind.FLAT in kinds
            said += flat
            planar = abs(math.sin(math.radians(twist))) < 0.005
            assert not flat or (planar and off <= 1.0), (angles, tail, number)
            if twist in (0.0, 180.0):
                assert flat
    assert bool(said) == (abs(math.sin(math.radians(twist))) < 0.005)


def test_a_bend_that_hangs_below_the_bench_between_its_ends_is_said():
    """Down by 5 degrees and up again by 60: the lowest place, 0.6 down, is within the last bend, not at its ends."""
    run = made_run([400, 100, 2, 200], [90, 5, 60], [-90, 180], hold_mm=0.0, guide_mm=0.0)
    offers = measures_after(part_bent(run, {1, 2, 3}), 1)
    (stand_off,) = [m for m in offers if m.kind is MeasureKind.STAND_OFF and "both legs of bend 1 " in str(m.how)]
    assert str(stand_off.how).endswith("what hangs lower past its edge")
    dip = 2 * 55 * (1 - math.cos(math.radians(5))) + 2 * math.sin(math.radians(5))
    assert 0.5 < dip < 0.6
    assert 55 * (1 - math.cos(math.radians(5))) + 2 * math.sin(math.radians(5)) < 0.5


@pytest.mark.parametrize(("tail", "measured_over"), [(28, False), (32, True), (50, True)])
def test_a_set_is_measured_over_legs_of_two_diameters_or_more(tail, measured_over):
    """On less straight tube than twice its 15 nothing can be laid."""
    run = made_run([tail, 80, 300], [30, 30], [180], hold_mm=20.0, guide_mm=10.0)
    kinds = {m.kind for m in measures_after(part_bent(run, {1, 2}), 2)}
    assert (MeasureKind.HEIGHT in kinds) == measured_over


@pytest.mark.parametrize(("angle", "tan_half"), [(30, 0.2679492), (60, 0.5773503), (90, 1.0), (120, None), (180, None)])
def test_the_back_of_a_bend_lies_at_its_outermost_point_beyond_square(angle, tan_half):
    """R + D / 2 = 62.5 out. Up to 90 degrees the backs of the legs meet 62.5 tan(a / 2) on; past it, 62.5 at most."""
    piece = part_bent(made_run([200, 200], [angle]), {1})
    skin_of = skin(piece.centreline, 15.0)
    reach = skin_of[:, 0].max() - 200.0
    assert piece.back_mm(0) == pytest.approx(62.5 * tan_half if tan_half is not None else reach, abs=0.05)


def test_back_to_back_of_two_bends_is_over_both():
    """Two square bends 200 between centres: 200 and half a tube at each end."""
    run = made_run([300, 200 - 110, 300], [90, 90], [90], hold_mm=30.0, guide_mm=10.0)
    (measure,) = [m for m in measures_after(part_bent(run, {1, 2}), 2) if m.kind is MeasureKind.BACK_TO_BACK]
    assert measure.value == pytest.approx(215)


def test_straight_across_is_straight():
    """A slight bend between others that leave nothing else to measure: end to end as the crow flies."""
    run = made_run([200, 100, 100, 200], [40, 50, 30], [37, 61], hold_mm=0.0, guide_mm=0.0)
    piece = part_bent(run, {1, 2, 3})
    across = [m for n in (1, 2, 3) for m in measures_after(piece, n) if m.kind is MeasureKind.ACROSS]
    assert across
    ends = np.subtract(piece.centreline.start, piece.centreline.finish)
    for measure in across:
        assert measure.value == pytest.approx(np.linalg.norm(ends))
        assert measure.value < piece.centreline.length - 20


@pytest.mark.parametrize(("angle", "side", "radii"), [(30, "away from", 1), (90, "away from", 1), (120, "of", -1)])
def test_a_straight_edge_that_goes_past_its_leg_lies_where_no_tube_is(angle, side, radii):
    """The finish of 300 behind a bend of R 55 lies (300 + 55 tan(a / 2)) sin a off the leg before, by its corner."""
    far = (300 + 55 * math.tan(math.radians(angle) / 2)) * math.sin(math.radians(angle))
    piece = part_bent(made_run([400, 300], [angle]), {1})
    (off,) = [m for m in measures_after(piece, 1) if m.kind is MeasureKind.OFFSET and "before bend 1" in str(m.how)]
    assert f"at the finish end, the straight-edge on the side {side} that place" in str(off.how)
    assert off.value == pytest.approx(far + radii * 7.5)
    if radii > 0:
        # The first leg goes along x: past it no tube comes further out on that side than the leg's own.
        out = np.array([0.0, *piece.centreline.finish[1:]])
        beyond = skin(piece.centreline, 15.0)
        assert (beyond @ out / np.linalg.norm(out)).min() >= -7.5 - 0.01


@pytest.mark.parametrize(
    ("straights", "angles", "turns", "mistake"),
    [
        # Two slight bends near each other lean on the bench; a straight-edge along the leg before them does not.
        ([451, 33, 33, 722], [12, 5, 7], [37, -90], "wrong way"),
        # The start end is out of reach of who holds the piece at bend 2: a ring is drawn.
        ([983, 1565, 1294], [90, 23], [0], "twist"),
        # A slight bend beside it is unsteady on the bench, what lies beyond out of reach: rings are drawn further on.
        ([60, 800, 1200, 120], [15, 90, 12], [90, -90], "twist"),
        ([1200, 1200, 60, 800, 1200], [60, 60, 15, 90], [37, 180, 90], "twist"),
        # Three places nearly in line: what stands 190 mm up is not read, and which way it goes off is seen.
        ([826, 18, 804, 112], [15, 90, 45], [-64.5, -90], "wrong roll"),
    ],
)
def test_what_lies_far_from_a_pull_shows_its_mistakes(straights, angles, turns, mistake):
    run = made_run(straights, angles, turns, hold_mm=25.0, guide_mm=5.0)
    for card in cards(run)[1:]:
        power = [one for one in card.choice.power if one.mistake == mistake]
        assert power != []
        assert all(one.why_not is None or (one.piece_mm or 0.0) < choice.FAR_MM for one in power)


def test_a_fourth_check_is_taken_only_for_what_goes_by_otherwise(monkeypatch):
    """With three plain ones at the most, such a card lets by what moves a place further."""
    runs = [random_run(seed, bends=seed % 4 + 2) for seed in range(few_or_many(24, 150))]
    usual = [card for run in runs for card in cards(run)]
    monkeypatch.setattr(choice, "MOST", choice.USUAL)
    monkeypatch.setattr(choice, "offered_too", lambda piece, index: ())
    fewer = [card for run in runs for card in cards(run)]
    pairs = [both for both in zip(usual, fewer, strict=True) if _checks(both[0]) > choice.USUAL]
    assert len(pairs) > 2
    assert all(_by_far(three) > _by_far(four) for four, three in pairs)


def _checks(card):
    return sum(measure.kind is not MeasureKind.ROUND for measure in card.measures)


def _by_far(card):
    return sum(one.why_not is not None and (one.piece_mm or 0.0) > choice.FAR_MM for one in card.choice.power)


def test_a_tape_across_a_square_bend_shows_one_degree_on_long_legs():
    """The card of the pack judges 0.7 degrees; 23 mm come of one at the finish."""
    (card,) = cards(made_run([2000, 1300], [90], springback=Springback(0.0, 1.0)))
    (across,) = [m for m in card.measures if m.kind is MeasureKind.CORNER]
    ring = float(re.search(r"a pencil ring ([\d.]+) mm", str(across.how))[1])
    on = ring - 62.5
    assert across.value == pytest.approx(math.hypot(on + 55, on + 55))
    (short,) = [one for one in card.choice.power if one.mistake == "no springback"]
    assert short.why_not is None
    assert card.measures[short.check] is across
    # At 89 degrees the back lies nearer: (R + 7.5) tan 44.5, and a chord is 2 (on cos + R sin) of half the angle.
    on, half = ring - 62.5 * math.tan(math.radians(44.5)), math.radians(44.5)
    assert short.moves == pytest.approx(abs(2 * (on * math.cos(half) + 55 * math.sin(half)) - across.value))


def test_a_tape_over_two_legs_is_trusted_for_lengths_alone():
    """With bend 1 of a set 2 degrees out, its height square to the last leg is what it was: it reads as it is held."""
    seen = 0
    for legs, angle in (((80, 80), 45), ((50, 50), 30)):
        run = made_run([300.0, *map(float, legs), 300.0], [angle, 2 * angle, angle], [180, 180], springback=SPRINGY)
        for card in cards(run):
            over = [m for m in card.measures if m.kind in (MeasureKind.HEIGHT, MeasureKind.SPAN)]
            assert all(set(m.finds) <= {"mark", "other mark", "wrong end"} for m in over)
            seen += len(over)
            for one in card.choice.power:
                if one.mistake in ("angle", "no springback", "twist", "wrong way") and one.check is not None:
                    assert card.measures[one.check] not in over
    assert seen


@pytest.mark.parametrize("legs", [(300, 61), (61, 300)])
def test_a_straight_edge_on_a_short_leg_shows_what_nothing_else_does(legs):
    """No card goes beyond 150 degrees; 2 degrees on 61 mm are 2.1 mm, and 300 mm further on more than 10."""
    (card,) = cards(made_run([*map(float, legs)], [170]))
    angles = [one for one in card.choice.power if one.mistake == "angle"]
    assert [one.why_not for one in angles] == [None, None]
    for one in angles:
        assert card.measures[one.check].kind is MeasureKind.OFFSET
        assert one.moves > 0.9 * 300 * math.sin(math.radians(2))
