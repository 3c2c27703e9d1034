"""The cards: marks, rolls and measures, against points on the skin of the piece and cases worked by hand."""

import itertools
import math
from dataclasses import replace

import numpy as np
import pytest
from follower.shape import Piece
from made_runs import SPRINGY, made_run, random_run
from scipy.spatial.transform import Rotation

from pipemodel.bending.part_bent import part_bent
from pipemodel.messages.say import say
from pipemodel.pulls.bench_measures import on_the_bench
from pipemodel.pulls.cards import _from_back, _stands, cards_of
from pipemodel.pulls.limits import FINISH, START
from pipemodel.pulls.measures import MeasureKind, with_tape_and_card
from pipemodel.pulls.piece import PieceToBend
from pipemodel.pulls.plan import Plan, _pulls, plan_pulls
from pipemodel.trade.model import Tube


def cards(run):
    return cards_of(run, plan_pulls(run))


def measures_after(piece, number):
    """Every measure that could be taken of a bend just pulled."""
    index = [bend.number for bend in piece.bends].index(number)
    return [one.measure for one in (*with_tape_and_card(piece, index), *on_the_bench(piece, index))]


def offered(run, card):
    """Every measure that could be taken after a pull."""
    return measures_after(part_bent(run, card.pull.made | {card.pull.bend}), card.pull.bend)


def measured(run):
    """What each kind of measure reads after the last pull of a run."""
    return {m.kind: m.value for m in reversed(offered(run, cards(run)[-1]))}


def stations(line):
    """Places along a centreline, its very end included."""
    return np.append(np.arange(0, line.length, 4.0), line.length)


def skin(line, outside):
    """Points on the outside of a tube: a ring of 72 at each station."""
    rings = []
    for s in stations(line):
        ahead = np.array(line.direction_at(s))
        side = np.cross(ahead, [0.31, -0.52, 0.79])
        side /= np.linalg.norm(side)
        up = np.cross(ahead, side)
        angles = np.linspace(0, 2 * np.pi, 72, endpoint=False)[:, None]
        rings.append(np.array(line.point_at(s)) + outside / 2 * (np.cos(angles) * side + np.sin(angles) * up))
    return np.concatenate(rings)


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
    ]
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
    assert any(m.kind is MeasureKind.ASIDE and m.value == 0.0 for m in second.measures)
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


def test_pull_to_and_let_go():
    (card,) = cards(made_run([300, 300], [90], springback=SPRINGY))
    assert "pull towards you to 96° and let go; it springs back to 90°" in list(map(str, card.steps))


# ---- the skin of the piece tells the same


def random_cards(seeds, bends, **former):
    """The cards of random runs, each with its run."""
    for seed in range(seeds):
        run = random_run(seed, bends, hold_mm=20.0, guide_mm=10.0, **former)
        yield from ((run, card) for card in cards(run))


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


# ---- how the tube lies


@pytest.mark.slow
def test_rolls_and_levels_describe_how_the_tube_really_lies():
    """Put the part-bent piece into the bender by rotation alone, and look which way things face."""
    levels = faced = 0
    made_cards = [(run, cards(run)) for run in (random_run(s, 3, hold_mm=20.0, guide_mm=10.0) for s in range(60))]
    for run, last, card in ((run, *pair) for run, page in made_cards for pair in itertools.pairwise((None, *page))):
        made = part_bent(run, card.pull.made)
        turned = {b.number: sum(x.turn_deg for x in run.table.bends[: b.number]) for b in run.table.bends}
        # On the straight part the pulled bend lies on, its axis is the first one's turned about the tube.
        near = max((n for n in card.pull.made if n < card.pull.bend), default=None)
        if near is None:
            ahead = np.array(run.table.direction)
            axis = Rotation.from_rotvec(math.radians(turned[card.pull.bend]) * ahead).apply(run.table.normal)
        else:
            arc = made.arcs[[b.number for b in made.bends].index(near)]
            ahead = np.array(arc.finish_direction)
            by = math.radians(turned[card.pull.bend] - turned[near])
            axis = Rotation.from_rotvec(by * ahead).apply(arc.axis)
        # Held by the start side the tube goes along x and bends about minus z; by the finish side, the other way.
        along = np.array([1.0, 0, 0]) if card.left_end == "start" else np.array([-1.0, 0, 0])
        about = np.array([0, 0, -1.0]) if card.left_end == "start" else np.array([0, 0, 1.0])
        here = np.stack([ahead, axis, np.cross(ahead, axis)])
        there = np.stack([along, about, np.cross(along, about)])
        lie = there.T @ here
        if card.level is not None:
            leg = made.legs[_leg_index(made, str(card.level.leg))]
            out = (lie @ leg.direction) * (-1 if _before_the_pull(made, card) else 1)
            assert math.sin(math.radians(card.level.above_level_deg)) == pytest.approx(out[2], abs=1e-6)
            levels += 1
        if last is not None:
            by = math.radians(turned[last.pull.bend] - turned[card.pull.bend])
            inside = np.cross(Rotation.from_rotvec(by * ahead).apply(axis), ahead)
            faces = lie @ inside
            for words, way in {"faces up": (0, 0, 1), "faces down": (0, 0, -1), "faces you": (0, -1, 0)}.items():
                if str(card.roll).endswith(words):
                    assert faces == pytest.approx(way, abs=0.02)
                    faced += 1
            if str(card.roll).endswith("faces away from you"):
                assert faces == pytest.approx((0, 1, 0), abs=0.02)
                faced += 1
    assert levels >= 20
    assert faced >= 15


def _leg_index(made, name):
    numbers = [b.number for b in made.bends]
    if "start tail" in name:
        return 0
    if "finish tail" in name:
        return len(numbers)
    words = [int(w) for w in name.split() if w.isdigit()]
    before = [n for n in numbers if n <= words[0]]
    return len(before)


def _before_the_pull(made, card):
    """Whether the leg of the level check lies towards the start from the pull."""
    return _leg_index(made, str(card.level.leg)) <= sum(b.number < card.pull.bend for b in made.bends) - 1


@pytest.mark.slow
def test_marks_from_the_back_and_from_the_end_agree():
    """Both find the same place: along the tube from the back of the bend, and from the start end less that."""
    agreed = {True: 0, False: 0}
    for run, card in random_cards(80, 4, mark_mm=30.0):
        if card.mark_from_back is None:
            continue
        made = part_bent(run, card.pull.made)
        i = [b.number for b in made.bends].index(card.mark_from_back.bend)
        if made.bends[i].angle_deg != 90:
            continue
        after = card.mark_from_back.bend < card.pull.bend
        arc = made.arcs[i]
        ahead = np.array(arc.finish_direction) if after else -np.array(arc.direction)
        mark = np.array(made.centreline.point_at(card.pull.mark_mm))
        # The back of a square bend: its far leg's centre and half a tube.
        back = np.array(arc.start if after else arc.finish)
        assert card.mark_from_back.mm == pytest.approx((mark - back) @ ahead + 7.5)
        agreed[after] += 1
    assert min(agreed.values()) >= 3, agreed


# ---- what the fitter reads


def test_the_steps_of_a_pull_guard_against_the_four_classic_mistakes():
    """Guide in, which way round and over, the measures, the leg level: on every card, in words."""
    run = made_run([345, 140, 295], [90, 90], [90], springback=SPRINGY)
    first, second = cards(run)
    assert tuple(map(str, first.to_do)) == (
        "mark at 345 mm from the start end, square round the tube",
        "start end to your left, in the stop; finish end to your right",
        "any side up; the inside of bend 1 will face you: draw a line along it",
        "guide in, lever up to it",
        "pull towards you to 96° and let go; it springs back to 90°",
    )
    assert tuple(map(str, second.to_do)) == (
        # 7.5 of tube outside its corner, 250 less 55 from there; a quarter of the way round 15 mm tube is 11.8.
        "mark at 571.5 mm from the start end, square round the tube; check: 202.5 mm from the back of bend 1",
        "draw the inside line of bend 2: 11.8 mm round the tube (90°) clockwise, seen from the start end, "
        "from that of bend 1",
        "start end to your left, in the stop; finish end to your right",
        "roll the tube a quarter turn, its top away from you; the inside line of bend 1 then faces up",
        "guide in, lever up to it; the tube beyond bend 1 stands plumb, upwards",
        "pull towards you to 96° and let go; it springs back to 90°",
    )
    assert second.steps == (*second.to_do, *second.to_check)
    assert second.to_check


def test_a_mark_that_falls_on_a_bend_is_not_given_from_its_back():
    """Bend 1 ends 30 before bend 2 begins, and the former's mark stands 40 short of that: on bend 1."""
    run = made_run([400, 30, 200], [90, 90], [0], hold_mm=20.0, guide_mm=20.0, mark_mm=-40.0)
    second = next(card for card in cards(run) if card.pull.bend == 2)
    assert second.pull.held == "start"
    assert second.pull.made == {1}
    assert second.mark_from_back is None


def test_a_bend_that_hangs_below_the_bench_between_its_ends_is_said():
    """Down by 5 degrees and up again by 60: the lowest place, 0.6 down, is within the last bend, not at its ends."""
    run = made_run([400, 100, 2, 200], [90, 5, 60], [-90, 180], hold_mm=0.0, guide_mm=0.0)
    offers = measures_after(part_bent(run, {1, 2, 3}), 1)
    (stand_off,) = [m for m in offers if m.kind is MeasureKind.STAND_OFF and "both legs of bend 1 " in str(m.how)]
    assert str(stand_off.how).endswith("what hangs lower past its edge")
    dip = 2 * 55 * (1 - math.cos(math.radians(5))) + 2 * math.sin(math.radians(5))
    assert 0.5 < dip < 0.6
    assert 55 * (1 - math.cos(math.radians(5))) + 2 * math.sin(math.radians(5)) < 0.5


# ---- what points which way, and what is measured from where


def lying(run, card):
    """How the part-bent piece lies in the bender at the beginning of a pull, by rotation alone: legs, and the inside.

    Returns the directions of the legs, and of the inside of every bend on the straight that the pulled bend lies on.
    """
    made = part_bent(run, card.pull.made)
    turned = {b.number: sum(x.turn_deg for x in run.table.bends[: b.number]) for b in run.table.bends}
    near = max((n for n in card.pull.made if n < card.pull.bend), default=None)
    if near is None:
        ahead, axis, rolled = np.array(run.table.direction), np.array(run.table.normal), 0.0
    else:
        arc = made.arcs[[b.number for b in made.bends].index(near)]
        ahead, axis, rolled = np.array(arc.finish_direction), np.array(arc.axis), turned[near]

    def axis_of(number):
        return Rotation.from_rotvec(math.radians(turned[number] - rolled) * ahead).apply(axis)

    from_start = card.left_end == "start"
    along, about = np.array([1.0 if from_start else -1.0, 0, 0]), np.array([0, 0, -1.0 if from_start else 1.0])
    own = axis_of(card.pull.bend)
    here = np.stack([ahead, own, np.cross(ahead, own)])
    lie = np.stack([along, about, np.cross(along, about)]).T @ here
    return made, lie, lambda number: lie @ np.cross(axis_of(number), ahead)


WAYS = {
    "towards you": (0, -1, 0),
    "away from you": (0, 1, 0),
    "right": (1, 0, 0),
    "left": (-1, 0, 0),
    "up": (0, 0, 1),
    "down": (0, 0, -1),
}


def turning_runs():
    """Runs with square turns; the short start tails of every other one are held by the finish side."""
    for seed in range(80):
        dice = np.random.default_rng(seed)
        n = int(dice.integers(2, 5))
        legs = [float(dice.choice([25.0, 150.0, 260.0])) if seed % 2 else 200.0, *dice.choice([90.0, 160.0], n)]
        angles, turns = dice.choice([90.0, 60.0, 45.0], n), dice.choice([90.0, -90.0, 180.0, 45.0], n - 1)
        yield made_run([float(x) for x in legs], [*map(float, angles)], [*map(float, turns)], hold_mm=30, guide_mm=20)


@pytest.mark.slow
def test_the_words_for_the_leg_beyond_point_where_it_points():
    seen = {}
    for run in turning_runs():
        for card in cards(run):
            if card.level is None or not (str(card.level.stands).startswith(("lies level, pointing", "points"))):
                continue
            made, lie, _ = lying(run, card)
            out = lie @ made.legs[_leg_index(made, str(card.level.leg))].direction
            out = out * (-1 if _before_the_pull(made, card) else 1)
            way = next(w for w in WAYS if w in card.level.stands)
            flat = np.array([out[0], out[1], 0.0])
            assert np.dot(flat, WAYS[way]) >= np.linalg.norm(flat) * math.sqrt(0.5) - 1e-6
            seen[way] = seen.get(way, 0) + 1
    assert min(seen.get(way, 0) for way in ("towards you", "away from you")) >= 5


@pytest.mark.slow
def test_the_words_of_a_roll_say_where_top_and_inside_line_go():
    """Both ways of holding it, and also where the tube is turned end for end before it is rolled."""
    rolled, turned_round = 0, 0
    pages = [(run, cards(run)) for run in turning_runs()]
    for first, turn in itertools.product((START, FINISH), (90, -90)):
        run = made_run([300, 200, 300], [90, 90], [turn])
        steps = ((0, first), (1, START + FINISH - first))
        pages.append((run, cards_of(run, Plan(_pulls(run, PieceToBend.of(run), steps)))))
    for run, page in pages:
        for last, card in itertools.pairwise(page):
            if "its top" not in card.roll:
                continue
            _, _, inside = lying(run, card)
            now = inside(last.pull.bend)
            # The inside line faced the fitter; turned end for end about an upright axis, it faces away.
            before = np.array([0.0, 1.0 if card.pull.turn_round else -1.0, 0.0])
            by = math.atan2(np.cross(before, now)[0], np.dot(before, now))
            # A roll about x that takes the top (z) away from the fitter (y) goes the left-handed way about x.
            assert ("its top away from you" in card.roll) == (by < 0.0)
            for way in ("up", "down"):
                if str(card.roll).endswith(f"faces {way}"):
                    assert now == pytest.approx(WAYS[way], abs=0.02)
                    turned_round += card.pull.turn_round
            rolled += 1
    assert rolled >= 30
    assert turned_round >= 4


def test_the_mark_is_checked_from_the_bend_on_the_side_that_is_held():
    """Bend 2 pulled last between two others: the tape goes from the one that lies in the stop's side."""
    run = made_run([200, 150, 150, 200], [90, 90, 90], [90, 90], hold_mm=30.0, guide_mm=10.0)
    plan = plan_pulls(run)
    for held, near in (("start", 1), ("finish", 3)):
        pull = replace(plan.pulls[1], bend=2, held=held, made=frozenset({1, 3}))
        back = _from_back(pull, part_bent(run, {1, 3}))
        assert back.bend == near
        assert f"from the back of bend {near}" in str(back.how)


@pytest.mark.parametrize(
    ("bend", "held", "near", "mm"),
    [
        (1, "start", 2, 150 + 55 * math.pi / 2),
        (1, "finish", 2, 150.0),
        (2, "start", 1, 150.0),
        (2, "finish", 1, 150 + 55 * math.pi / 2),
    ],
)
def test_the_mark_is_checked_from_the_only_bend_there_is_whichever_side_is_held(bend, held, near, mm):
    """Two square bends with 150 between; the mark is where the pull begins, the back 62.5 beyond where a bend ends."""
    run = made_run([200, 150, 200], [90, 90], [0], hold_mm=30.0, guide_mm=10.0)
    steps = ((near - 1, START), (bend - 1, START if held == "start" else FINISH))
    pull = _pulls(run, PieceToBend.of(run), steps)[1]
    back = _from_back(pull, part_bent(run, {near}))
    assert (back.bend, str(back.how)) == (near, f"from the back of bend {near}")
    assert back.mm == pytest.approx(mm + 62.5)


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


@pytest.mark.parametrize("turn", [0, 180])
@pytest.mark.parametrize("helds", list(itertools.product((START, FINISH), repeat=2)))
def test_with_no_roll_or_half_a_roll_the_inside_line_faces_where_it_says(turn, helds):
    """Held by either end, turned end for end between the pulls or not; the fitter stands in the south of the bench."""
    run = made_run([300, 200, 300], [90, 90], [turn])
    last, card = cards_of(run, Plan(_pulls(run, PieceToBend.of(run), ((0, helds[0]), (1, helds[1])))))
    _, _, inside = lying(run, card)
    way = inside(last.pull.bend)
    faces = "you" if way[1] < 0.0 else "away from you"
    assert abs(way[1]) == pytest.approx(1.0)
    # Before the roll it faced the fitter; turned end for end about an upright axis, it faces away.
    rolled = (faces == "you") == card.pull.turn_round
    assert card.pull.turn_round == (helds[0] != helds[1])
    before = (
        "roll the tube half a turn; the inside line of bend 1 then faces "
        if rolled
        else ("the same side up as before: the inside line of bend 1 faces ")
    )
    assert str(card.roll) == before + faces


@pytest.mark.parametrize(
    ("direction", "above", "said"),
    [
        ((0.0, -1.0, 0.0), 0.0, "lies level, pointing towards you"),
        ((0.0, 1.0, 0.0), 0.0, "lies level, pointing away from you"),
        ((1.0, 0.3, 0.0), 0.0, "lies level, pointing right"), ((-1.0, -0.3, 0.0), 0.0, "lies level, pointing left"),
        ((0.0, 0.0, 1.0), 90.0, "stands plumb, upwards"), ((0.0, 0.0, -1.0), -90.0, "hangs plumb, downwards"),
        ((0.0, 1.0, 1.0), 45.0, "away from you"), ((0.0, -1.0, -1.0), -45.0, "towards you"),
    ],
)  # fmt: skip
def test_which_way_tube_beyond_a_bend_lies_for_whoever_stands_in_the_south(direction, above, said):
    assert said in say(_stands(direction, above))
