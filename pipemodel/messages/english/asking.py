"""What `pipemodel new --ask` asks, in English."""

ASKING = {
    "ask.what": (
        "What is to be bent? Lengths are mm, or carry a unit: 40 cm, 1 1/2 in. Enter takes what stands in brackets."
    ),
    "ask.which": "Which one (1, 2 or 3)",
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
}
