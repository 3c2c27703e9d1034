"""The comments of the job that `pipemodel new` writes, in English."""

TEMPLATES = {
    "starter.name": "my first job",
    "starter.opening": (
        "# A job for pipemodel. What stands behind a # is for people.\n"
        "#\n"
        "# Lengths are in mm, or carry a unit: 60 cm, 0.6 m, 23 5/8 in. Angles are in degrees.\n"
        "# x runs east, y north, z up. A run is measured along the centre of the tube unless it says otherwise.\n"
        "# Names are yours to choose; they come back in every answer."
    ),
    "starter.tube": (
        "# A size out of the table (see: pipemodel tables tubes), or measures: {{outside: 15, wall: 0.7}}"
    ),
    "starter.former": (
        "# The former. Left out, a generic one for the tube serves. Better measure your own: its "
        "finished radius to the\n"
        "# centre of the tube, what the tube springs back by, how far its mark stands from the "
        "beginning of the bend, and\n"
        "# the straight tube it holds before a bend and guides after it."
    ),
    "starter.own former": "springback, hold and guide left out are generic ones; write 0 where 0 is meant",
    "starter.clearance": "# Asked for between the tube and everything in the room.",
    "starter.seen from": "# The side on which you stand: left, right, in and out of the runs are as you see them.",
    "starter.parameters": (
        "# Figures to be changed in one place; elsewhere write ${{rise}} or ${{rise - 40}}.\n"
        "# On the command line: pipemodel check JOB.yaml --set rise=500"
    ),
    "starter.room": (
        "# What the tube must keep clear of. A thing is a box, a cylinder, a cone, a face (a wall, "
        "floor or ceiling), an\n"
        "# extrusion of a plan outline, a plate, or a mesh file."
    ),
    "starter.runs": "# The runs. Each goes from its start to its finish; say how, in moves:",
    "starter.go": "straight on, to the centre of the next bend (or to the finish)",
    "starter.back": "to the back of the next bend",
    "starter.face": "until its outside is 10 off the wall",
    "starter.turn": "or north, south, east, west, down, left, right, in, out",
    "starter.angle": "a bend of 30 degrees towards up",
    "starter.north": "turn north and go 600",
    "starter.set": "over to the side by two equal bends",
    "starter.corners": "# or as bare corners:",
    "starter.axis": "its axis {off} off the wall, as the clips hold it",
    "starter.wall": "wall",
    "starter.floor": "floor",
    "starter.pipe": "waste pipe",
    "starter.tail": "tail",
}
