"""What a route is refused with: the item at fault and each figure in the words, worked out by hand."""

import math

import pytest
from routes import box, corners, faults, pipe, route

OVER = {"pass over": {"thing": "waste pipe", "gap": 10, "angle": 45}}
SETBACK = 55 * math.tan(math.radians(11.25))
"""Of the outer bends of a passover of 45 degrees: half of 22.5 each, round 55."""


@pytest.fixture(scope="module")
def reach():
    """How far before and after its middle a passover of the pipe takes up the leg."""
    made = corners({"east": 1500}, OVER, things=[pipe(800)])
    assert made[1][0] + made[3][0] == pytest.approx(1600)
    return 800 - made[1][0] + SETBACK


def only(*items, **where):
    ((item, message),) = faults(*items, **where)
    return item, message


def test_a_passover_too_near_the_start_of_its_leg(reach):
    said = "passing over 'waste pipe' begins {:.1f} too early: there is not the room after {} before it"
    assert only({"east": 900}, OVER, things=[pipe(60)]) == (1, said.format(reach - 60, "the start"))
    assert only({"up": 300}, {"east": 900}, OVER, things=[pipe(130, z=300)]) == (
        2, said.format(55 - (130 - reach), "the bend"))  # fmt: skip
    second = {"pass over": {**OVER["pass over"], "thing": "cable"}}
    room = [pipe(800), pipe(950, name="cable")]
    early = 800 + reach - (950 - reach)
    said = said.replace("waste pipe", "cable")
    assert only({"east": 1500}, OVER, second, things=room) == (2, said.format(early, "the passover of 'waste pipe'"))


def test_a_passover_too_near_the_end_of_its_leg(reach):
    said = "passing over 'waste pipe' takes {:.1f} more than the leg has left"
    assert only({"east": 850}, OVER, things=[pipe(800)]) == (1, said.format(800 + reach - 850))
    assert only({"east": 900}, OVER, {"up": 300}, things=[pipe(800)]) == (1, said.format(800 + reach - (900 - 55)))


def test_a_passover_with_just_the_room_it_takes(reach):
    assert len(corners({"east": 800 + reach + 0.001}, OVER, things=[pipe(800)])) == 5
    assert len(corners({"east": 800 + reach + 55.001}, OVER, {"up": 300}, things=[pipe(800)])) == 6
    assert len(corners({"east": 900}, OVER, things=[pipe(reach + 0.001)])) == 5
    only({"east": 800 + reach - 0.001}, OVER, things=[pipe(800)])


@pytest.mark.parametrize(
    ("items", "item", "message"),
    [
        ([{"east": 50}, {"up": 300}], 0,
         "this leg is 50.0 long, measured to the corners, but its bend takes 55.0 of that: 5.0 is missing"),
        ([{"east": 300}, {"up": 100}, {"north": 300}], 1,
         "this leg is 100.0 long, measured to the corners, but its bends take 55.0 and 55.0 of that: 10.0 is missing"),
        ([{"east": 300}, {"turn": {"to": "up", "angle": 60}}, {"go": 30}], 2,
         "this leg is 30.0 long, measured to the corners, but its bend takes 31.8 of that: 1.8 is missing"),
        ([{"east": 0}, {"up": 300}], 0,
         "this leg has no length; a bend needs straight tube on both sides, or at least its own room"),
        ([{"east": {"to face of": "w", "gap": 50}}, {"up": 300}], 0,
         "this leg comes out at -17.5: what it is measured to lies behind it"),
        ([{"east": 300}, {"set": {"to": "up", "offset": 10, "angle": 30}}, {"go": 300}], 1,
         "two bends of 30 degrees round 55 move the tube 14.7 aside at the least; for 10 use 24.6 degrees or less"),
        ([{"east": 300}, {"turn": {"back": "up", "apart": 100}}, {"go": 300}], 1,
         "a return of 100 centre to centre is tighter than the former: twice its radius is 110"),
        ([{"east": 300}, {"turn": "west"}, {"go": 9}], 1,
         "the tube heads east, so this turns straight back; for a return bend say to which side, such as "
         "`turn: {back: left}`"),
        ([{"east": 300}, {"turn": "east"}, {"go": 9}], 1, "the tube heads east already: there is no bend to make"),
        ([{"turn": "east"}, {"corner": [0, 0, 0]}], 1, "this corner is where the run is already"),
        ([{"east": 300}, {"corner": [100, 0, 0]}], 1, "this corner lies straight back where the tube comes from"),
        ([{"turn": "east"}, {"corner": [90, 90, 0]}], 1,
         "this corner is not straight ahead: the tube heads east here, and the corner lies 45 degrees off that"),
        ([{"east": 300}, {"turn": "up"}], 1, "the run ends in a bend; say how far it goes on after it"),
        ([{"turn": "east"}], 0, "the run goes nowhere; say how far"),
        ([{"go": 300}], 0,
         "the run has no heading yet; begin with a direction, such as east: 600 or turn: east"),
        ([{"east": 300}, {"turn": "up"}, {"turn": "north"}, {"go": 300}], 2,
         "there is no leg between this bend and the one before it; say how far the tube goes"),
        ([{"up": 300}, {"set": {"to": "left", "offset": 60, "angle": 30}}, {"go": 300}], 1,
         "'left' is counted from the last level heading, and this run has none yet; say north, south, east or west"),
        ([{"up": 300}, {"set": {"to": "north", "offset": 60, "rise": 9, "angle": 30}}, {"go": 300}], 1,
         "a rise means nothing on an upright leg; name both sides: `to: {north: 60, east: 40}`"),
        ([{"east": 300}, {"set": {"clear": "w", "gap": 5, "to": "up", "angle": 30}}, {"go": 300}], 1,
         "a set that clears a thing lies where it must; leave out the `go` before it"),
        ([{"east": 300}, {"set": {"to": {"north": 60, "south": 40}, "angle": 30}}, {"go": 300}], 1,
         "north and south are not square to each other across this leg; a rolled set goes to two sides a quarter turn "
         "apart"),
    ],
)  # fmt: skip
def test_each_refusal_with_its_item_and_its_figures(items, item, message):
    room = [box((40.0, -90.0, -90.0), (60.0, 90.0, 90.0), "w")]
    assert only(*items, things=room) == (item, message)


@pytest.mark.parametrize(
    "items",
    [
        [{"east": 55}, {"up": 55}],
        [{"east": 300}, {"up": 110}, {"north": 300}],
        [{"east": 300}, {"turn": {"back": "up", "apart": 110}}, {"go": 300}],
        [{"east": 300}, {"set": {"to": "up", "offset": 14.74, "angle": 30}}, {"go": 300}],
        [{"east": 300}, {"set": {"to": "up", "offset": 10, "angle": 24.6}}, {"go": 300}],
    ],
)
def test_what_has_just_the_room_it_needs(items):
    assert len(corners(*items)) > 2


def test_after_a_leg_that_cannot_be_measured_only_what_does_not_hang_on_it_is_said():
    """The first leg misses the thing; the corner after it has no place, the turn back none to make."""
    found = faults(
        {"east": {"to face of": "w", "gap": 5}}, {"up": 20}, {"turn": "up"}, {"go": 9},
        things=[box((-90.0, -90.0, -90.0), (-60.0, 90.0, 90.0), "w")],
    )  # fmt: skip
    assert [item for item, _ in found] == [0, 2]
    assert "does not meet 'w'" in found[0][1]
    assert found[1][1] == "the tube heads up already: there is no bend to make"


@pytest.mark.slow
def test_a_flat_too_short_is_given_by_what_it_needs():
    """Over a box 200 wide with 45 degree bends; one a little longer is taken, one shorter is not."""
    room = [box((900.0, -400.0, -60.0), (1100.0, 400.0, 20.0))]
    ask = {"thing": "boxing", "gap": 10, "angle": 45, "bends": 4}
    item, message = only({"east": 2400}, {"pass over": {**ask, "flat": 60}}, things=room)
    assert item == 1
    assert message.startswith("a flat of 60 is too short to keep 10 from 'boxing': it needs ")
    need = float(message.split("needs ")[1].split()[0])
    assert len(corners({"east": 2400}, {"pass over": {**ask, "flat": need + 0.06}}, things=room)) == 6
    only({"east": 2400}, {"pass over": {**ask, "flat": need - 0.06}}, things=room)


def test_a_line_along_the_very_edge_of_a_thing_meets_it():
    """A box from 40 to 60: a tube whose axis runs at its edge stops at its face, one a hair beside it does not."""
    room = [box((40.0, 0.0, 0.0), (60.0, 90.0, 90.0), "w")]
    ask = {"east": {"to face of": "w", "standoff": 10}}
    for y, z in ((0.0, 0.0), (90.0, 90.0), (0.0, 90.0)):
        assert corners(ask, start=(-300.0, y, z), things=room)[-1][0] == 30
    only(ask, start=(-300.0, -0.001, 45.0), things=room)
    only(ask, start=(-300.0, 45.0, 90.001), things=room)


def test_four_bends_that_stand_higher_than_they_need_say_by_how_much():
    """Over a rod 10 through on the line: two bends of 90 degrees round 55 lift the tube 110 at the least, its outside
    then clears the rod by 110 - 7.5 - 5."""
    made = route({"east": 1500}, {"pass over": {"thing": "rod", "gap": 3, "angle": 90, "bends": 4}},
                 things=[pipe(800, diameter=10.0, name="rod")])  # fmt: skip
    assert str(made.notes[0]).startswith(
        "bends of this radius and angle lift the tube higher over 'rod' than it needs: it clears by "
    )
    assert str(made.notes[0]).endswith(", not 3 mm; a smaller angle follows closer")
    clears = float(str(made.notes[0]).split("clears by ")[1].split(" mm")[0])
    assert 3 < clears <= 97.5
