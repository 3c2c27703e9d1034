"""Named specimens shared by all tests: tubes, formers, runs and jobs of one house, 12 Larch Row."""

from pipemodel.geometry.shapes import Box, Cylinder, Extrusion, HalfSpace
from pipemodel.job.model import Job, Place, Route, Run, Thing
from pipemodel.trade.model import Former, Springback, Tube

TUBE_15 = Tube(15.0, 0.7, "15 x 0.7 copper", "copper", "half hard", "EN 1057")
TUBE_22 = Tube(22.0, 0.9, "22 x 0.9 copper", "copper", "half hard", "EN 1057")
FORMER_15 = Former(55.0, "15 hand former", Springback(0.02, 1.0), hold_mm=60.0, guide_mm=45.0)
FORMER_22 = Former(77.0, "22 hand former", Springback(0.03, 1.5), mark_mm=40.0, hold_mm=80.0, guide_mm=60.0)

STRAIGHT = ((0.0, 0.0, 0.0), (1000.0, 0.0, 0.0))
QUARTER = ((0.0, 0.0, 0.0), (600.0, 0.0, 0.0), (600.0, 400.0, 0.0))
TWO_PLANES = ((0.0, 0.0, 0.0), (600.0, 0.0, 0.0), (600.0, 400.0, 0.0), (600.0, 400.0, 350.0))
SET = ((0.0, 0.0, 0.0), (300.0, 0.0, 0.0), (403.923, 60.0, 0.0), (800.0, 60.0, 0.0))
RETURN = ((0.0, 0.0, 0.0), (500.0, 0.0, 0.0), (500.0, 154.0, 0.0), (0.0, 154.0, 0.0))
"""A U, to be written with its corners 1 and 2 joined into one bend of 180."""
TIGHT_SET = ((0.0, 0.0, 0.0), (45.0, 0.0, 0.0), (105.0, 30.0, 0.0), (150.0, 30.0, 0.0))
"""Short tails and a short middle: nothing to hold."""
FLOW = (
    (0.0, 120.0, 450.0),
    (0.0, 120.0, -95.0),
    (420.0, 120.0, -95.0),
    (540.0, 240.0, -95.0),
    (1861.0, 240.0, -95.0),
    (1861.0, 240.0, 300.0),
)
"""From the airing cupboard along the joist bay, round the waste pipe, and up behind the bath panel."""


def run(name="flow", corners=FLOW, tube=TUBE_15, former=FORMER_15, joined=(), notes=()):
    places = tuple(Place(20 + i, 7) for i in range(len(corners)))
    return Run(name, tube, former, Route(tuple(corners), frozenset(joined), places, tuple(notes)), Place(19, 3))


def job(name="flow from the airing cupboard", runs=None, things=(), clearance=0.0, **more):
    return Job(name, tuple(runs) if runs is not None else (run(),), tuple(things), clearance, **more)


ROOM = (
    Thing("north joist", Box((-200.0, 400.0, -220.0), (2100.0, 450.0, -20.0))),
    Thing("south joist", Box((-200.0, -50.0, -220.0), (2100.0, 0.0, -20.0))),
    Thing("floorboards", Box((60.0, -50.0, -20.0), (1800.0, 450.0, 0.0))),
    Thing("ceiling", HalfSpace((0.0, 0.0, -220.0), (0.0, 0.0, 1.0))),
    Thing("waste pipe", Cylinder((900.0, 120.0, -95.0), (2100.0, 120.0, -75.0), 43.0)),
    Thing("heating cable", Cylinder((-200.0, 390.0, -60.0), (2100.0, 390.0, -60.0), 8.0), 25.0),
    Thing("bath panel", Box((1815.0, -50.0, 0.0), (1833.0, 450.0, 520.0))),
    Thing("end wall", HalfSpace((1900.0, 0.0, 0.0), (-1.0, 0.0, 0.0))),
)
NOGGING = Thing("nogging", Box((1000.0, 200.0, -140.0), (1050.0, 400.0, -60.0)))
"""Stands in the way of the flow."""
BAY_END = Thing("bay end", Extrusion(((1900.0, 0.0), (2000.0, 0.0), (2000.0, 400.0), (1950.0, 400.0)), -220.0, 0.0))


def airing_cupboard():
    """The four-bend run in its room: all well."""
    return job(things=ROOM, clearance=8.0)


def clashing():
    """The same with a nogging in the way."""
    return job("flow with a nogging in the way", things=(*ROOM, NOGGING), clearance=8.0)


def return_run():
    """Two bends in two planes, and no room."""
    return job("return to the towel rail", [run("return", TWO_PLANES)])


def straight():
    """A run with no bend."""
    return job("straight piece", [run("tail", STRAIGHT)])


def unbendable_order():
    """A set so tight that no order of pulls works."""
    return job("tight set", [run("stub", TIGHT_SET)])


def two_runs():
    """Flow and return of two sizes, one with a return bend of 180."""
    return job("flow and return", [run(), run("return", RETURN, TUBE_22, FORMER_22, joined=(1,))])


HOSTILE_NAMES = (
    "=HYPERLINK(1+1)",
    "+44",
    "-x",
    "@sum",
    "\tleading tab",
    "esc \x1b[31mred\x1b[0m \x07 bell",
    "right to left \u202eedoc\u202c mark",
    "<script>alert('x')</script> & \"quotes\"",
    "línea ×15 ½ – Ø 管 Ж 😀",
    "zalgo" + "\u0301" * 40,
    "long " * 80,
    "x" * 400,
    "line\nend\r\n and \u2028 more",
    "%s %d {0} \\",
    "lone \ud800 surrogate",
)
