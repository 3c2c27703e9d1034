"""What is said of checking jigs, in English."""

TEMPLATES = {
    "jig.of part": "{part}: {fault}",
    "jig.steep leg": "leg {leg} would stand at {slope} degrees, steeper than an open saddle holds",
    "jig.no straight": "no leg has straight enough for a cradle: lengthen the end legs",
    "jig.too high": (
        "on leg {leg} the jig would stand {high} high and the bed has {bed}: "
        "print on a taller printer, or split the run at a fitting and make a jig for each piece"
    ),
    "jig.long post": (
        "on leg {leg} a cradle would need a post of {post}, and longer than {most} they sway: make a jig for a part "
        "of the piece (bends:), or check it with tape and card"
    ),
    "jig.posts too long": (
        "whichever way up it lies, some cradle would stand {post} high, and posts longer than {most} sway: make a jig "
        "for a part of the piece (bends:), or check it with tape and card"
    ),
    "jig.crowded": (
        "no {what} on leg {leg} stands clear of the rest of the tube within the {bed} the bed has in height: "
        "the run passes too near itself; in two pieces, joined by a fitting, it gets two jigs"
    ),
    "jig.through itself": "the run passes through itself {at} along: give it another way, and its jig will follow",
    "jig.lowest too high": (
        "the lowest way up stands {high} high and the bed has {bed}: print on a taller printer, "
        "or split the run at a fitting and make a jig for each piece"
    ),
    "jig.always steep": (
        "whichever way up it lies, some leg stands steeper than {most} degrees, and an open saddle would not hold it: "
        "split the run at a fitting and make a jig for each piece"
    ),
    "jig.no such bend": (
        "there is no bend {bend}, it has {count}: write bends: with its first and its last, such as [1, 2]"
    ),
    "jig.topples": "the piece would topple out of its saddles: its weight falls outside them; lengthen an end leg",
    "jig.needs bed": (
        "{towers} need a bed of {x} x {y}; the bed is {bed}: print on a larger printer, "
        "or put towers on a board (base: board)"
    ),
    "jig.one cradle": "cradle {cradle} and its pad",
    "jig.cradles": "cradles {cradles} stand too close together for a joint between them, and",
    "jig.weight is little": (
        "Weight: no leg bends under its own by more than {most}, less than a quarter of its slot ("
        "cantilever w L^4 / 8EI, Roark's table of beams under uniform load). In this jig that holds for legs "
        "up to {longest}."
    ),
    "jig.weight hides": (
        "Weight (cantilever w L^4 / 8EI, Roark's table of beams under uniform load; counted in the table) hides "
        "part of a miss up or down where a level leg is longer than {longest}, for it presses itself into its slots. "
        "Look at such a leg before its far end is let down, or judge its bends by the angle gauge:"
    ),
    "jig.leg sags": "leg {leg}: up to {hides} at its far cradle, {angle}\u00b0; sags {sags} between its cradles",
    "jig.reading": "bend {bend}, {shows}",
    "jig.shows": "{what}: {shows}",
    "jig.shows nowhere": "bend {bend}, no cradle after it",
    "jig.stray": "{off} at cradle {cradle}",
    "jig.left": "{off} left",
    "jig.right": "{off} right",
    "jig.up": "{off} up",
    "jig.down": "{off} down",
    "jig.both": "{one} {other}",
    "jig.next to nothing": "next to nothing",
    "print.open": "its mesh does not close",
    "print.bodies": "it is {n} bodies, or held together by less than {neck}",
    "print.slit": "a slit narrower than {slit} over {over} mm2 of a slice",
    "print.too long": "it reaches {reach} along {axis}, and the bed has {has}",
    "print.too small": "too small to handle: {volume} cm3, {wide} wide",
    "print.not flat": "only {flat} mm2 of it lies on the bed",
    "print.overhang": "an overhang of {angle} degrees from upright",
    "print.thin": "walls thinner than {wall} over {over} mm2 of a slice",
}
