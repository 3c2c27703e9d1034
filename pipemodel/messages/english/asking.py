"""What `pipemodel new --ask` asks, in English."""

TEMPLATES = {
    "said.interrupted": "interrupted",
    "ask.what": (
        "What is to be bent? Lengths are mm, or carry a unit: 40 cm, 1 1/2 in. Enter takes what stands in brackets."
    ),
    "ask.which": "Which one (1 to {last})",
    "ask.set": "a set: over to another distance from the wall, round something",
    "ask.passover": "a passover: over a pipe that crosses, and back into line",
    "ask.corner": "a corner: one square bend between two walls",
    "ask.tube": "Tube, outside diameter",
    "ask.angle": "Angle of the bends, degrees",
    "ask.set back": "From the end of the tube to the back of the first bend",
    "ask.set near": "Tube held in its clip before the set: from the wall to the near side of the tube",
    "ask.set far": "Tube held in its clip after the set: from the same wall to the near side of the tube",
    "ask.set after": "From the second bend to the other end",
    "ask.passover total": "From end to end, once bent",
    "ask.passover at": "From the end of the tube to the middle of the pipe that crosses",
    "ask.passover over": "Outside diameter of the pipe that crosses, level with the tube",
    "ask.passover gap": "Gap to leave between the two",
    "ask.corner first": "From the first end to the back of the bend",
    "ask.corner second": "From the back of the bend to the other end",
    "ask.too little": "{answer} is too little; give a length of more, such as 400",
    "ask.no length": "{answer} is no length; give one such as 400, 40 cm or 15 3/4 in",
    "ask.no tube": "{answer} is no tube of the tables; write its outside diameter, such as 15",
    "ask.no angle": "{answer} is no angle; give one in degrees, such as 45",
    "ask.wrong angle": "{answer} is no angle for these bends; give one of more than 0 and at most {most} degrees",
    "ask.same distance": (
        "that is as far from the wall as before the set, {far}: a straight tube does it; measure again, or give the "
        "distance the set is to bring it to"
    ),
    "ask.clear of the step": (
        "held {near} from the wall, a straight tube keeps that gap to the step already; measure again, or give a "
        "larger gap"
    ),
    "ask.beyond the rise": "the rise from the floor to the valve is {rise}; give less than that",
    "ask.step in the wall": "a set round a step in the wall: found from how far the step stands out",
    "ask.tail": "a radiator tail: up out of the floor, and over to the valve",
    "ask.step at": "From the end of the tube to the step in the wall",
    "ask.step out": "How far the step stands out from the wall",
    "ask.step gap": "Tube held in its clip past the step: from the step's face to the near side of the tube",
    "ask.tail near": "Where the tube comes up: from the wall to the near side of the tube",
    "ask.tail valve": "From the wall to the middle of the valve",
    "ask.tail side": "How far right of the tube the valve stands, below 0 for left",
    "ask.tail rise": "From the floor up to the mouth of the valve",
    "ask.tail straight": "Straight tube to leave below the valve",
    "ask.name": "Name of the job",
    "ask.radius": "Finished radius of your former (Enter for a generic one)",
    "ask.clearance": "Clearance to everything else",
    "ask.set round a step": "set round a step in the wall",
    "ask.radiator tail": "radiator tail",
    "ask.about the job": (
        "Seen from the room, the wall to the north. Lengths are mm unless they carry a unit; x is east, y north, z up."
    ),
    "ask.again": "So the answers make no piece. Give them again; Enter keeps one as it is.",
    "ask.now": "Now change it, and try: pipemodel check {file}",
    "ask.wall": "wall",
    "ask.step": "step",
}
