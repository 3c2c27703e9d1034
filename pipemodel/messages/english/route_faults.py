"""What is wrong with the moves of a run."""

TEMPLATES = {
    "fault.beside nothing left": (
        "on the inside of its bends nothing is left of a leg beside leg {leg} of {name}; go on its other side, or"
        " nearer to it"
    ),
    "fault.in line": "the run is in line with {name} here; say on which side to lie, such as `to: down`",
    "fault.not in the way": "{name} is not in the way: a straight tube here clears it by {gap} already",
    "fault.cannot clear": "{name} cannot be cleared within {farthest} m to that side ({side}); go round it another way",
    "fault.rise upright": "a rise means nothing on an upright leg; name both sides: `to: {{north: 60, east: 40}}`",
    "fault.steep side": "on a steep leg say to which side the tube passes, such as `to: north`",
    "fault.from the wall": (
        "{name} is counted from the wall the run is clipped to, or from the fitter, and this job tells neither; "
        "say on which side you stand, such as `seen from: south`"
    ),
    "fault.last level": (
        "{name} is counted from the last level heading, and this run has none yet; say north, south, east or west"
    ),
    "fault.along the tube": "{name} lies along the tube, which runs {ahead}; name a direction to the side of it",
    "fault.not towards": "this leg does not run towards {name}, or starts behind its face",
    "fault.misses": (
        "the axis of this leg does not meet {name}: it passes beside it, runs away from it or starts inside it"
    ),
    "fault.mesh no face": (
        "{name} is a mesh, which has no flat face to measure to; put a face or a box in the room where the "
        "measure is taken"
    ),
    "fault.endless face": "{name} is a face that goes on for ever; name a thing with an end to it",
    "fault.mesh not measured": "{name} is a mesh, which cannot be measured to here; put a box or a cylinder round it",
    "fault.not along face": "{turn} does not run along that face of {name}, which looks {normal}",
    "fault.falls no standoff": (
        "a leg that falls keeps no standoff from that face of {name}, which looks {normal}; measure the leg another way"
    ),
    "fault.no such face": (
        "no such face of {name} runs along the tube, which heads {ahead}; for a tube that comes towards the face "
        "say which way to `turn`"
    ),
    "fault.no face before": "the tube is not in front of a face of {name} that it could follow",
    "fault.many faces": "the tube is in front of several faces of {name}, looking {looks}: say which by `side`",
    "fault.nothing after": "{empty} has nothing written after it; write how far, or leave it out",
    "fault.gap or standoff": "{chosen} needs either a gap (to the outside of the tube) or a standoff (to its axis)",
    "fault.level gap": "to a level, give a gap or a standoff, or neither",
    "fault.off goes with": "{off} goes with 'to face of', 'past' or 'to level', not with {chosen}",
    "fault.goes with": "{name} goes with {needs}, not with {chosen}",
    "fault.set angle": "a set needs either an angle, or the length it may take along the tube",
    "fault.set by": (
        "a set is by an offset, or to clear a thing, or 'to' gives two distances ({{north: 60, up: 40}}): one of these"
    ),
    "fault.rise goes": "'rise' goes with an offset",
    "fault.clear and gap": "'clear' names a thing and 'gap' says by how much: each needs the other",
    "fault.clear angle": "a set that clears a thing needs its angle",
    "fault.both where": "{where} and {other} both say where the set is; leave one out",
    "fault.set lies": "a set that clears a thing lies where it must; {where} has no place here",
    "fault.passover four": "the bends of a passover with four are of 90 degrees at most, not {angle}",
    "fault.passover three": "a passover with three bends has no flat on top; say `bends: 4`",
    "fault.no bend from": "there is no bend here to measure from: `from {start}` needs one right before this leg",
    "fault.no bend to": "there is no bend here to measure to: `to {finish}` needs one right after this leg",
    "fault.no way past": "{name} is a face that goes on for ever: there is no getting past it",
    "fault.past needs square": (
        "past {name} by a gap needs a square bend after it, or the end of the run; this bend is of {angle} "
        "degrees: give `standoff` (to the corner) instead"
    ),
    "fault.not passed over": (
        "{name} is a mesh or a face without end, which cannot be passed over; put a box or a cylinder round what "
        "is in the way"
    ),
    "fault.flat short": "a flat of {flat} is too short to keep {gap} from {name}: it needs {needed} centre to centre",
    "fault.heads already": "the tube heads {way} already: there is no bend to make",
    "fault.turns back": (
        "the tube heads {ahead}, so this turns straight back; for a return bend say to which side, such as `turn:"
        " {{back: left}}`"
    ),
    "fault.return rises": (
        "a return bend's two legs run exactly opposite ways, so one of them would rise; turn twice instead, or "
        "say `fall: none` in this turn"
    ),
    "fault.return tight": "a return of {wide} centre to centre is tighter than the former: twice its radius is {least}",
    "fault.corner here": "this corner is where the run is already",
    "fault.corner back": "this corner lies straight back where the tube comes from",
    "fault.corner astray": (
        "this corner is not straight ahead: the tube heads {ahead} here, and the corner lies {astray} degrees off that"
    ),
    "fault.set least": (
        "two bends of {angle} degrees round {radius} move the tube {least} aside at the least; for {offset} use "
        "{most} degrees or less"
    ),
    "fault.set after go": "a set that clears a thing lies where it must; leave out the `go` before it",
    "fault.falling passover": (
        "a leg that falls passes over nothing: not all the legs of a passover can fall; go round by a set or by "
        "turns, or say `fall: none` where the leg sets out"
    ),
    "fault.corner former": "the corner that this bend is made at has a former of its own already; leave one out",
    "fault.outside of corner": (
        "the leg before is measured to the outside of a bend that only this corner decides; give that leg to the "
        "centre, or turn by name"
    ),
    "fault.leg first": "a run starts with a leg, not with a bend; say how far it goes first",
    "fault.not square": (
        "{one} and {other} are not square to each other across this leg; a rolled set goes to two sides a "
        "quarter turn apart"
    ),
    "fault.either way": "{value} may be either way; say 'out' (from the wall), 'in', or 'ahead' (as the run heads)",
    "fault.directions": "a direction is one of {directions}",
    "fault.two sides": "a rolled set goes to two sides at once, such as {{north: 60, up: 40}}",
    "fault.three or four": "a passover has 3 or 4 bends, not {value}",
    "fault.legs counted": "legs are counted from 1: the first and the last, such as [2, 4], or the number of one",
    "fault.angle range": "an angle of {angle} degrees is not possible here: more than 0, at most {most}",
    "fault.three numbers": "a direction has three numbers, and this has {n}; {how}",
    "fault.zero way": "a direction of no length; {how}",
    "fault.not a heading": "{quoted} is no heading; {how}",
    "fault.no side": "{value} is no side of the room; {how}",
    "fault.nobody stands": "nobody stands above or below a run; {how}",
    "fault.no fall": "{value} is no fall; {how}",
    "fault.fall steep": "{value} is steeper than 1 in 2; say it with a bearing and a rise",
    "fault.gap or centres": "say either the gap between the two tubes, or the distance of their centres",
    "fault.criterion twice": "{one} is there twice",
    "fault.one place": "they would all stand in one place; say how far it is from each to the next",
    "fault.one point": "start and finish are one point; write where the tube is to arrive",
    "fault.far apart": (
        "start and finish are {apart} m apart, and a way is looked for up to {farthest} m; see that both are in "
        "mm, or divide the run"
    ),
    "fault.void size": "this void has no size; write two opposite corners of a block",
    "fault.needs start": "a route needs its start: [x, y, z]",
    "fault.heading with": (
        "a heading goes with a start and a route; the others say themselves which way the run sets out"
    ),
    "fault.found falls": "a way that is found has level legs; write the run as moves, which can fall",
    "fault.how fall": (
        "write a fall such as 1 in 80, 1/4 in per ft, 12.5 mm per m or 1.25 %, or none; or "
        "'{{of: 1 in 80, towards: start}}'"
    ),
    "fault.how heading": "write {names}, a bearing in degrees clockwise from north, or a direction [x, y, z]",
    "fault.how side": "write the side you stand on: {names}, or a bearing in degrees clockwise from north",
    "fault.how written": (
        "a run is either points: [[x, y, z], ...], or a start and a route: [...], or beside: {{run: ..., gap: "
        "...}}, or find: {{from: ..., heading: ..., to: ..., arriving: ...}}"
    ),
    "fault.written twice": "{how}; this has {both}",
    "fault.not written": "{how}; this has none of these",
    "fault.start alone": "a start needs a route to go on with; {how}",
    "fault.not to level": (
        "this leg {way|level=is level|away=goes away from it} and does not come to {called}, which is {off} off; "
        "turn first"
    ),
    "fault.after": "{what|bend=the bend|start=the start}",
    "fault.after passover": "the passover of {thing}",
    "fault.passover early": (
        "passing over {thing} begins {early} too early: there is not the room after {what} before it"
    ),
    "fault.passover long": "passing over {thing} takes {more} more than the leg has left",
    "fault.one of": "{what|leg=a leg|turn=a turn|item=an item of a route} is one of {names}; {has}",
    "fault.against fall": (
        "this {way|up=rises|down=goes down}{little|little= too little|wrong=} where the run falls 1 in {ratio} "
        "towards its {end|start=start|finish=finish}, and water would stand in it; take it out, say `towards` the"
        " other end, or `fall: none` where no water is meant to run"
    ),
    "fault.off standoff": (
        "the tube runs {off} {way|farther=farther from|nearer=nearer to} {thing} than the standoff; say the "
        "`angle` of the set that brings it there"
    ),
    "fault.still towards": (
        "the tube still runs towards {called} after this bend, so it holds no distance from it; turn along it or "
        "away from it, or measure this leg another way"
    ),
    "fault.face of": "the face of {thing}",
    "fault.level named": "the level {name}",
    "fault.level at": "level {z}",
    "fault.the heading": "the heading: {why}",
    "fault.this run": "this run",
    "fault.legs of": "{name} has {most} {most|leg|legs}, and this asks for leg {last}",
    "fault.outer bend": (
        "the distance cannot be kept round bend {bend} of {other}: {whose} lies outside and is bent to {outer}, "
        "the inner one to {inner}, {missing} too tight for it; use formers no more than {apart} apart, or lie "
        "farther off"
    ),
    "corner.no length": "the run has no length: its points are all in one place",
    "corner.doubles back": (
        "point {point} doubles back on itself (a bend of {angle} degrees at one corner); a return bend needs two "
        "corners {apart} apart"
    ),
    "corner.too slight": (
        "point {point} asks for a bend of {angle} degrees, too small to be pulled (the least is {least}); {why}: put "
        "the point in line, or bend more"
    ),
    "corner.slight aside": (
        "straight on, the tube would pass it at {aside} mm, and no more than {most} mm is straightened"
    ),
    "corner.slight beside return": "and beside a return bend nothing is straightened",
    "corner.no return": (
        "points {one} and {other} are no return bend: it needs two corners {apart} apart, and legs square to the line "
        "between them that run exactly opposite ways; this is {off} mm off"
    ),
    "corner.too near": (
        "points {one} and {other} are {has} apart, but their bends need {needs} between them: {missing} is missing"
    ),
    "fault.of run": "run {run}: {why}",
    "fault.no bend": (
        "there is no bend {bend}: the run {which|only=has|most=with the most bends has} {most}; write its first bend "
        "and its last, such as [1, {most}]"
    ),
    "fault.no bends": (
        "there is no bend {bend}: the run {which|only=has|most=with the most bends has} none; leave bends out"
    ),
    "fault.measures in a ring": "a run cannot measure to {which}; give one of them in points or other moves",
    "fault.only itself": "itself",
    "fault.goes by": "{run}, whose way goes by this one's",
    "fault.lies beside": "{run}, which lies beside this one",
    "fault.beside in a ring": "a run cannot lie beside {which}; give one of them in points or moves",
    "fault.not yet found": (
        "the way of {run} is yet to be found; a run can lie beside, or be measured to, only one that is written"
    ),
    "fault.say where": "{way} is the fitter's; say on which side you stand, such as `seen from: south`",
    "fault.finish behind": (
        "the finish lies straight behind the start, and the tube is to set out and arrive looking away from it; turn "
        "heading and arriving round, or exchange from and to"
    ),
}
