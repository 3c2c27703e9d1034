"""Comments in a room file that is made of a model, and why elements were left out, in English."""

TEMPLATES = {
    "odd.thickness": "it has no thickness",
    "odd.coordinate": "a coordinate of it is no number",
    "odd.circle": "what it maps is mapped in a circle",
    "odd.direction": "a direction in it has no length",
    "odd.outline": "its outline has no area",
    "odd.length": "it has no length",
    "odd.openings": "its openings leave nothing of it",
    "odd.itself": "its placement stands on itself",
    "odd.scale": "it is mapped at a scale of 0",
    "odd.squeezed": "it is squeezed flat",
    "odd.no face": "it has no face with an area",
    "odd.flat": "it has no face with an area, or is scaled flat",
    "odd.corner": "a face of it names a corner that is not there",
    "odd.crosses": "its outline crosses itself",
    "odd.no body": "it has no body",
    "odd.empty": "its body is empty",
    "odd.cut off": "what cuts it off leaves nothing of it",
    "odd.of itself": "a part of it is made of itself",
    "odd.cannot be made": "its body cannot be made",
    "odd.part": "a part of its body cannot be made",
    "odd.nothing": "nothing is left of its body",
    "odd.parts": "it has more than {n} parts",
    "odd.faces": "it has more than {n} faces",
    "odd.far": "it reaches more than {km} km out",
    "odd.unread": "it cannot be read ({error})",
    "room file.made": "Made of {file} ({schema}) by pipemodel room; written again from the same model it is the same.",
    "room file.classes": "Asked for: {classes}, with what is a kind of these.",
    "room file.storeys": "Asked for: what stands on {storeys}.",
    "room file.near": "Asked for: what is within {within} of the runs of {job}.",
    "room file.axes": "Axes are the model's own, in mm: x east, y north and z up are its x, y and z.",
    "room file.north": (
        "True north lies {deg} degrees {way|clockwise=clockwise|counter=counter-clockwise} of its y; nothing was "
        "turned."
    ),
    "room file.map": "On a map its zero is at eastings {east} m, northings {north} m, height {height} m.",
    "room file.scale": (
        "Its map takes 1 m of the model for {scale} m, which can hardly be meant: its Scale is to be what one "
        "unit of the model is in units of the map; job.ifc has it as it is."
    ),
    "room file.uneven": "Its map stretches x, y and z unlike each other; job.ifc is stretched as x in all three.",
    "room file.no map": "What it says of a map was left out: its axes lean, or a figure of it cannot be.",
    "room file.moved": "It stands far from its own zero: the model's [{place}] is [0, 0, 0] here.",
    "room file.no unit": "The model does not say what its lengths are in; they were taken for metres.",
    "room file.hollow": "{n} round tubes count as filled.",
    "room file.open": "Its surface does not close, so it has no inside: {element}",
    "room file.bodies": "Of several bodies, so rules of building do not look at it: {element}",
    "room file.left out": "Left out, {n}:",
    "room file.why": "  {element}: {why}",
    "room file.further": "Left out for being further than asked for from every run: {n}",
    "room file.unnamed": "{kind}without a name{guid}",
}
