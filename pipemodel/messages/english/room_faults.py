"""What is wrong with a thing of the room."""

TEMPLATES = {
    "fault.room one of": "this is one of {compass}",
    "fault.two lengths": "a size is two lengths, [width, depth]",
    "fault.number or over": "say how many with 'number', or how far with 'over', one of the two",
    "fault.row most": "{value} of them; at most {most} stand in one row",
    "fault.row overlap": "they are {width} wide and {spacing} apart from middle to middle: they overlap",
    "fault.hole beyond": "hole {number} is at {at}, and they end at {whole}",
    "fault.row side": "joists that go {along} stand in a row to a side of that, not {row}",
    "fault.hole down": "hole {number} of joists says how far 'down' from their top its middle is",
    "fault.notch deep": "notch {number} is as deep as the joist, or reaches past its end",
    "fault.no bay": "there is no bay {bay}; between {joists} joists there are {bays}",
    "fault.across bay": "{across} across is not in the bay, which is {clear} wide",
    "fault.hole across": "hole {number} of studs says how far 'across' its middle is, half if left out",
    "fault.beam no length": "the beam has no length: 'from' and 'to' are the same point",
    "fault.top or bottom": "say where it lies with 'top' or with 'bottom', one of the two",
    "fault.boxing side": "a side of a boxing is {facing}, not {side}",
    "fault.boxing full": "between boards of {board} this boxing has no room; is its thickness right?",
    "fault.stack no height": "the stack has no height: 'from' and 'to' are the same",
    "fault.branch off": "branch {number} is {up} up a stack that goes from {low} to {high}",
    "fault.branch no length": "branch {number} has no length",
    "fault.same points": "points {number} and {other} are the same",
    "fault.radii": "radii: {radii}, corners: {corners}; give each corner its own",
    "fault.room corner back": "corner {number} turns right back; write a return as two corners",
    "fault.pipe tight": (
        "a bend of radius {radius} is tighter than half of {outside} outside; leave the radius out where it is mitred"
    ),
    "fault.leg taken": "leg {number} is {leg} long, and its bends take {taken} of that",
    "fault.radiator level": "a radiator faces level; for a panel in a floor or ceiling write a box",
    "fault.duct slanted": "leg {number} of the duct is neither level nor upright; write a plate for each side",
    "fault.wall not bay": "'wall' names a wall, and the bay is 'of' joists",
    "fault.joists lie": "these joists do not stand upright; write the bay as an outline",
    "fault.sleeve bore": "the sleeve is {outside} outside and {diameter} within: outside it is more than its bore",
    "fault.opening size": "an opening has 'width' and 'height', or is round, with 'diameter'",
    "fault.chase way": "a chase goes level or upright: its ends differ along the wall, or in height",
    "fault.wall no length": "the wall has no length: 'from' and 'to' are the same point",
    "fault.wall faces": "a wall faces to one side of its line; this is along it",
    "fault.chase past": "chase {number} reaches past the wall, {size} long and {height} high",
    "fault.chase through": "chase {number} goes through the wall; write that as an opening",
    "fault.opening ends": "an opening has 'from' and 'to', or is round, with 'at' and 'diameter'",
    "fault.slab far": "say how far it goes with 'from' and 'to', or with 'outline'",
    "fault.void side": "a side of a void is {sides}, not {side}",
    "fault.void form": "a void has 'from' and 'to', an 'outline' with 'bottom' and 'top', or a 'bay' and 'of'",
    "fault.void open": "a void of an outline may be open 'up' and 'down'; its outline has no others",
    "fault.void empty": "a void with no room in it: its ends are the same, or its top is below its bottom",
    "fault.void all open": "a void that is open on all its sides holds nothing",
    "fault.door way": "a door goes level from its hinges, and opens to a level side square to that",
    "fault.faces level": "it faces level, or straight up or down",
    "fault.box flat": (
        "the box has no thickness along {axis|x=x (west to east)|y=y (south to north)|z=z (bottom to top)}: both "
        "corners are at {a}; give it some, or make it a face"
    ),
    "fault.cylinder no length": "the cylinder has no length: 'from' and 'to' are the same point",
    "fault.cone diameters": "a cone has two diameters, [that at 'from', that at 'to']",
    "fault.cone no length": "the cone has no length: 'from' and 'to' are the same point",
    "fault.extrusion flat": "the extrusion has no height: 'from' and 'to' are both {z}",
    "fault.plate square": "'across' and 'up' of a plate are square to each other; these are not",
    "fault.why free": "say why it is kept free, such as reach of a hand; a solid thing has no such key",
    "fault.cut within": "what is cut out of a {given} stands within it, as its openings or holes",
    "fault.free size": "what is kept free has a size of its own; write a box, or an outline carried up",
    "fault.sleeve for": "a sleeve says what goes through it with 'for', and stands once; write each by itself",
    "fault.runs with": "'runs' goes with a void, or with what is kept free; a solid thing is in everyone's way",
    "fault.no facing": "{value} is no way to face; write {facing} or a direction [x, y, z]",
    "fault.face looks": "a face looks {facing}, or in a direction of three numbers [x, y, z]",
    "fault.no way": "a direction of no length; a face looks north, south, east, west, up, down or [x, y, z]",
    "fault.plan point": "a point of a plan outline is two lengths, [x, y]",
    "fault.strain or proof": "strain and proof stress both give the limit; leave one out",
    "fault.proof range": "proof stress is {stress}; it must be from 1 to {most} N/mm2",
    "fault.how far": "{value} does not say how far; write yes, no, or {example}",
    "fault.arm size": "no arm is longer or thicker than {most}; see that the figures are mm",
    "fault.hole through": "a hole goes through {through}, not {value}",
    "fault.hole for": "'clearance' and 'bare' of a hole are of the runs that it is for; name them: for: [...]",
    "fault.hole form": "a hole is round, with 'at' and 'diameter', or an opening with square corners, 'from' and 'to'",
    "fault.outline most": "the outline and its openings have more than {most} corners together",
    "fault.opening beside": "opening {number} lies beside the outline",
    "fault.opening within": "of the openings {other} and {number} one lies within the other",
    "fault.holes same way": "all holes of one thing go through it the same way; make two things of it",
    "fault.box thin": "this box is as thin one way as another; say which way a hole goes: through: {thin}",
    "fault.holes in": "only a box, an extrusion or a plate can have holes; give this thing as one of them",
    "fault.opening flat": "this opening has no size: seen along it, its corners lie in one line",
    "fault.plate openings": "this plate has 'openings'; write those with square corners there too",
    "fault.opening edge": "an opening reaches the outline of this thing; put a notch into the outline",
    "fault.nothing left": "the openings leave nothing of this thing",
    "fault.openings touch": "two openings, or an opening and a side, touch at a corner; let them overlap or part",
    "fault.hole breaks": (
        "this hole breaks through a side of the thing: its middle is {side} from it, its radius {radius}; an "
        "opening with square corners may"
    ),
    "fault.hole runs": "this hole runs into one before it by {near}; make one opening of them",
    "fault.outline crosses": "the outline crosses itself; give the corners in order round the hole",
    "fault.outside plane": (
        "outside lies in the plane of the opening; give a point on the side one comes from, off that plane"
    ),
    "fault.no hole": (
        "the opening {opening} is no hole: {thing} fills it; cut a hole in {thing} there, or move the corners"
    ),
    "fault.touches nothing": (
        "the opening {opening} touches nothing: no side of it lies within {near} mm of a thing in the room; describe "
        "the wall or board that it is a hole in"
    ),
    "fault.outside side": (
        "outside of the opening {opening} lies on the side where {run} is to be; give a point on the other side, from "
        "where one comes"
    ),
    "fault.margin wide": (
        "a tube of {outside} with a margin of {margin} all round needs {needs}, and the opening {opening} is {wide} at "
        "its least; {cure}"
    ),
    "fault.margin less": "ask for {most} or less",
    "fault.widen": "widen it",
    "fault.spread unknown": (
        "how far {tube} springs back is not known; write its material and temper (copper, R250), its material and "
        "spread: {{proof stress: 150}}, or the strain you allow: spread: {{strain: 0.0005}}"
    ),
    "fault.reach": "{there}; a hand reaches through an opening: write openings, and the name of one",
    "fault.reach there": "there {names|is|are} {names}",
    "fault.reach none": "the job has no openings",
    "fault.outside void": (
        "the {end|start=start|finish=finish} of {run} lies {by} outside the void {void} ({side}); enlarge the void, "
        "open that side, or name the runs it is meant for: runs: [...]"
    ),
    "fault.no area": "these corners enclose no area; give the outline of a hole, corner after corner",
    "fault.not plane": "these corners do not lie in one plane (one stands {off} mm off it); an opening is flat",
    "fault.corner twice": "a corner is there twice; give each corner once, and do not repeat the first at the end",
    "fault.a thing": "a thing is one of {names}; {has}",
    "fault.outline three": "an outline needs at least three corners",
    "fault.outline repeats": "corner {corner} of the outline is repeated; leave one out",
    "fault.outline meets itself": (
        "the outline crosses or touches itself: the side from corner {one} meets the one from corner {other}; "
        "give the corners in order round it"
    ),
    "fault.opening n": "opening {n}",
    "fault.the outline": "the outline",
    "fault.opening meets": "opening {number} meets {what}",
    "fault.cone even": (
        "both ends of the cone have a diameter of {d}; {mend|cylinder=write a cylinder of that diameter|more=one "
        "has to be more than 0}"
    ),
    "fault.opening past": "opening {number} ends {end} {way|along=along|up=up} the wall, which is {whole} that way",
    "fault.off wall": (
        "{at} {way|along=along|up=up} is not on it: the wall is {most} {way|along=long|up=high}; beyond it, give "
        "[x, y, z]"
    ),
    "fault.along bay": "{along} along is not in the bay: the joists are {long} long; beyond them, give [x, y, z]",
    "fault.down bay": "{down} down is not in the bay: the joists are {deep} deep; below them, give [x, y, z]",
    "fault.in number": "{what|hole=hole|notch=notch} {its} is in number {n}; there are {all}",
}
