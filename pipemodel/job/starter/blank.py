"""A commented job to start from: it reads, it passes its checks, and each line says what it could be instead."""

from dataclasses import dataclass
from math import ceil

from pipemodel.job.quantities import parse_non_negative_length, parse_positive_length
from pipemodel.job.starter.lines import JobLines
from pipemodel.trade.formers import generic_former
from pipemodel.trade.model import UnknownSizeError
from pipemodel.trade.tubes import find_tube


@dataclass(frozen=True)
class Wishes:
    """What a starter job is asked for, as text with units where the user gave them; `radius` is None for generic."""

    name: str = "my first job"
    tube: str = "15"
    radius: str | None = None
    clearance: str = "5"


def starter(wishes: Wishes) -> JobLines:
    """Return a commented job for a tube: a tail along a wall and up it, past a boxing.

    Its legs are as long as the bends need, whatever the tube. Values that cannot be read are written all the same;
    reading the job says what is wrong with them.
    """
    radius, outside, straight, clear = _sizes(wishes)
    leg = 50 * ceil((2.0 * radius + straight + clear + 60.0) / 50.0)
    off = 5 * ceil((outside / 2.0 + clear + 10.0) / 5.0)
    lines = JobLines()
    lines.say(_OPENING)
    lines.give("job: ", wishes.name, "--name")
    lines.say(_TUBE)
    lines.give("tube: ", wishes.tube, "--tube")
    lines.say(_FORMER)
    if wishes.radius is None:
        lines.say("# former: {radius: 55, springback: {fixed: 1, per_degree: 0.02}, mark: 0, hold: 60, guide: 45}")
    else:
        lines.say("former:")
        lines.give("  radius: ", wishes.radius, "--radius")
        lines.say(_OWN)
    lines.say(_CLEARANCE)
    lines.give("clearance: ", wishes.clearance, "--clearance")
    for text in (_PARAMETERS, _ROOM, _RUN):
        lines.say(
            text.format(
                leg=leg,
                wall=2 * leg,
                rise=leg + 50,
                off=off,
                far=leg // 2,
                low=-leg - 50,
                high=3 * leg,
                pipe=-leg - 25,
            )
        )
    return lines


def _sizes(wishes: Wishes) -> tuple[float, float, float, float]:
    """Return radius, outside diameter, straight needed beside a bend, and clearance; the usual for what is wrong."""
    try:
        tube = find_tube(wishes.tube)
        former = generic_former(tube)
        radius = former.radius_mm if wishes.radius is None else parse_positive_length(wishes.radius)
        clear = parse_non_negative_length(wishes.clearance)
        return radius, tube.outside_mm, max(former.hold_mm, former.guide_mm), clear
    except (ValueError, UnknownSizeError):
        return 55.0, 15.0, 60.0, 5.0


_OPENING = """\
# A job for pipemodel. What stands behind a # is for people.
#
# Lengths are in mm, or carry a unit: 60 cm, 0.6 m, 23 5/8 in. Angles are in degrees.
# x runs east, y north, z up. A run is measured along the centre of the tube unless it says otherwise.
# Names are yours to choose; they come back in every answer.
"""
_TUBE = """
# A size out of the table (see: pipemodel tables tubes), or measures: {outside: 15, wall: 0.7}"""
_FORMER = """
# The former. Left out, a generic one for the tube serves. Better measure your own: its finished radius to the
# centre of the tube, what the tube springs back by, how far its mark stands from the beginning of the bend, and
# the straight tube it holds before a bend and guides after it."""
_OWN = """\
  # springback: {fixed: 1, per_degree: 0.02}     # pull = angle + fixed + per_degree x angle
  # mark: 0
  # hold: 60
  # guide: 45     # springback, hold and guide left out are generic ones; write 0 where 0 is meant"""
_CLEARANCE = """
# Asked for between the tube and everything in the room."""
_PARAMETERS = """
# Figures to be changed in one place; elsewhere write ${{rise}} or ${{rise - 40}}.
# On the command line: pipemodel check JOB.yaml --set rise=500
parameters:
  rise: {rise}
"""
_ROOM = """\
# What the tube must keep clear of. A thing is a box, a cylinder, a face (a wall, floor or ceiling), an extrusion
# of a plan outline, or a mesh file.
room:
  wall: {{face: {{at: [0, {wall}, 0], facing: south}}}}
  floor: {{face: {{at: [0, 0, {low}], facing: up}}}}
  waste pipe: {{cylinder: {{from: [{far}, {low}, {pipe}], to: [{far}, {high}, {pipe}], diameter: 43}}}}
"""
_RUN = """\
# The runs. Each goes from its start to its finish; say how, in moves:
#   - go: 600                                   straight on, to the centre of the next bend (or to the finish)
#   - go: {{to back: 600}}                        to the back of the next bend
#   - go: {{to face of: wall, gap: 10}}           until its outside is 10 off the wall
#   - turn: up                                  or north, south, east, west, down, left, right
#   - turn: {{to: up, angle: 30}}                 a bend of 30 degrees towards up
#   - north: 600                                turn north and go 600
#   - set: {{offset: 60, to: north, angle: 30}}   over to the side by two equal bends
#   - pass over: {{thing: waste pipe, gap: 10, angle: 45}}
# or as bare corners:  points: [[0, 0, 0], [600, 0, 0], [600, 400, 0]]
runs:
  tail:
    start: [0, 0, 0]
    route:
      - east: {leg}
      - north: {{to face of: wall, standoff: {off}}}     # its axis {off} off the wall, as the clips hold it
      - up: ${{rise}}"""
