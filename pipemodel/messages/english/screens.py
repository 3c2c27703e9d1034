"""What commands say on the screen beside the papers, and the names of everyday bends, in English."""

TEMPLATES = {
    "screen.large": (
        "{file} is {size} MB: slow on a phone, and more than some can open; split the {n} runs over several jobs"
    ),
    "screen.left out": "left out {files}: {why}",
    "screen.showing": "showing {job}; stop with Ctrl-C",
    "bend.to a measure": "bend to a measure",
    "bend.set": "set",
    "bend.rolled set": "rolled set",
    "bend.passover": "passover",
    "bend.about": "One {what}. Lengths are mm unless they carry a unit; x is east, y north, z up.",
    "bend.piece": "piece",
    "bend.obstacle": "obstacle",
}
