"""What is said of a room file made of a building model, in English."""

TEMPLATES = {
    "model.things": "{file}: {elements} {elements|element|elements} ({kinds})",
    "model.same": "{file} is up to date",
    "model.nothing": "{file}: nothing in the model is what was asked for",
    "model.box": "{n} {n|box|boxes}",
    "model.cone": "{n} {n|cone|cones}",
    "model.cylinder": "{n} {n|cylinder|cylinders}",
    "model.extrusion": "{n} {n|outline|outlines} carried up",
    "model.plate": "{n} {n|plate|plates}",
    "model.pipe": "{n} bent {n|tube|tubes}",
    "model.mesh": "{n} {n|surface|surfaces} of triangles",
    "model.open": (
        "{n} {n|surface does|surfaces do} not close and {n|has|have} no inside; the end of the file says which"
    ),
    "model.left out": "{n} {n|element was|elements were} left out; the end of the file says which, and why",
    "model.further": "{n} {n|element was|elements were} left out for being further from every run",
    "model.moved": "the model stands far from its own zero and was moved; the head of the file says by how much",
    "model.no unit": "the model does not say what its lengths are in; they were taken for metres",
}
