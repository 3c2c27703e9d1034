"""The fixed words of the papers, in English."""

TEMPLATES = {
    "units.mm": "All in mm and degrees.",
    "units.in": (
        "All lengths in inches, to the nearest 1/16, with the decimal to 1/100 beside in brackets; angles in degrees."
    ),
    "point": "x {x}, y {y}, z {z}",
    "bends": "{bends|bend|bends} {bends}",
    # Tube and former
    "tube.name": "{name}",
    "tube.measures": "{outside} x {wall}",
    "tube.measures, named": "{outside} x {wall} {material}",
    "tube.named": "{size} {material}",
    "former.named": "{former}",
    "former.of radius": "former of radius {radius} mm",
    "former.words": "{former}: radius {radius} to the centreline{needs}{block}{travel}{most}{generic}",
    "former.needs": "; holds {hold}, guides {guide}{generic}",
    "former.needs, block": "; holds {hold}, guides at least {guide}{generic}",
    "former.generic figures": " (generic {figures})",
    "former.block": " (block of {block}: {guides} degrees)",
    "former.guide at": "{guide} at {angle}",
    "former.travel": " and {travel} more as it travels in a pull of 90",
    "former.most": "; up to {most} degrees",
    "former.generic": "; generic, measure your own",
    "spring.further": "pull further by {parts}{generic}",
    "spring.none": "none given: pull to the angle itself{generic}",
    "spring.degree": "{fixed} degree",
    "spring.degrees": "{fixed} degrees",
    "spring.share": "{share} % of the angle",
    "spring.generic": " (generic)",
    "mark.square": "where a square against the former's rim meets the tube, {past} past where the bend begins",
    "mark.at": "where the bend begins, coming from the side that is held",
    "mark.past": "{past} past where the bend begins, coming from the side that is held",
    "mark.short": "{past} short of where the bend begins, coming from the side that is held",
    # Verdict, cautions
    "verdict.pass": "PASS: clear as drawn{former}{look}",
    "verdict.former not measured": "; former not measured",
    "verdict.fail": "FAIL: {n} {n|thing is|things are} wrong{look}",
    "verdict.look": "; {n} {n|thing|things} to look at",
    "caution.offcut": ("Try one bend on an offcut first: springback and the mark differ from former to former."),
    "caution.measure": (
        "Check every measure on site before cutting. The figures are for tube as described, finished radius and all."
    ),
    "caution.licensed": (
        "Gas, structure, electrics and hot work belong to those licensed for them. Local codes, the makers' "
        "instructions and the people responsible on site come before anything said here."
    ),
    "caution.short": (
        "Try a bend on an offcut and check every measure on site before cutting. Gas, structure, electrics and hot "
        "work: licensed hands only; local codes come first."
    ),
    "paper.notes": "Notes",
    "paper.cautions": "Cautions",
    "paper.run": "RUN ",
    "paper.before": "Before you start",
    "paper.revision": "revision {revision}",
    # The check
    "check.error": "WRONG",
    "check.warning": "LOOK AT",
    "check.note": "NOTE",
    "check.along": "{at} along the run",
    "check.at": "at {point}",
    "check.distances": "Least distances",
    "check.measured from": "in {unit}, from the outside of the tube; nearest first",
    "check.head asked": "asked",
    "check.joined": "joined",
    "check.more": "and {n} more, all further off",
    "paper.far": "{n} {n|thing|things} farther than {far} from every run: not shown.",
    "findings.none": "Nothing was found, as far as it was checked.",
    # The schedule
    "schedule.head": (
        "{measured_in} Marks are measured from the start end of the straight tube. Clockwise and anticlockwise are "
        "as seen from the start end, looking along the tube."
    ),
    "schedule.longer than stock": (
        "Longer than any stock, {longest}: cut and bend it in the pieces of the cut list (pipemodel cut), "
        "each with its own marks."
    ),
    "schedule.tube": "Tube",
    "schedule.cut length": "Cut length",
    "schedule.former": "Former",
    "schedule.springback": "Springback",
    "schedule.marks": "Marks",
    "schedule.straight after": "Straight after",
    "schedule.bends": "Bends",
    "schedule.no bends": "none: a straight piece",
    "schedule.insulation": "Insulation",
    "schedule.thick": "{thick} {unit} thick, once it is fixed",
    "schedule.bender": "Bender",
    "schedule.note": "Note: ",
    "schedule.of which": "{length}, of which {parts}",
    "schedule.in fittings": "{length} goes into the fittings",
    "schedule.trim": "{length} is trimmed off the finish after bending",
    "schedule.as drawn": "The bends as drawn, from the start end.",
    "schedule.turn of the plane": (
        "The turn of the plane is how the finished piece lies; in the bender the tube turns as the list of pulls says."
    ),
    "schedule.head straight": "straight\nbefore",
    "schedule.head takes": "bend \ntakes",
    "schedule.head plane": "turn of the plane\nsince the bend before",
    "schedule.cannot": "CANNOT BE PULLED as it stands:",
    "schedule.ways out": "It can be pulled when drawn with one of these:",
    "schedule.in this order": "Pull in this order, held by the side that is named:",
    "schedule.head pull": "pull",
    "schedule.marks from": (
        "Marks from the start end, each for the side that is held. Clockwise and anticlockwise as seen from the start "
        "end, looking along the tube."
    ),
    "schedule.former and turn": "{put_in}; {roll}",
    "hands.title": (
        "What the hands do. You look down on the bender: the held end to your left, and you pull the free end "
        "towards you."
    ),
    "hands.title upright": (
        "What the hands do. The bender stands upright in front of you, the tube across its top: the held end to your "
        "left, and you pull the free end down."
    ),
    "hands.pull": "Pull {pull}: bend {bend}",
    "hands.then": "then ",
    "setting out.list": "Setting out",
    "setting out.from": (
        "To the axis of the tube; corners are where the axes of two legs meet. East-west from {first}, "
        "north-south from {second}, height from {third}."
    ),
    "setting out.face": "the face of {thing}",
    "setting out.face behind": "the face of {thing} (minus: behind it)",
    "setting out.top": "the top of {thing}",
    "setting out.underside": "the underside of {thing} (minus: below it)",
    "setting out.zero": "the zero of the job",
    "setting out.zero along": "the zero of the job, along {thing}",
    "setting out.bend": "corner of bend {n}",
    "setting out.clip": "clip {n}",
    "setting out.hole": "hole {n}, {thing}",
    "setting out.what at": "{what|clip=clip|hole=hole} {at}",
    "setting out.more": "{note}; what has no room here is in the list",
    "setting out.two": "across from {across}, heights from {up}; to the axis of the tube",
    "setting out.one": "depths from {deep}",
    "setting out.east-west": "east-\nwest",
    "setting out.north-south": "north-\nsouth",
    "holes.list": "Holes and penetrations",
    "holes.head least": "least\nhole",
    "holes.head drawn": "hole\nas drawn",
    "holes.head left": "left\nround it",
    "holes.head with": "one hole\nwith",
    "holes.where": (
        "{along} from its {end|west=west end|south=south end|lower=lower end}, {up} from its "
        "{edge|west=west edge|south=south edge|lower=lower edge}"
    ),
    "holes.least": (
        "Middles of the holes, half way through. The least hole is drilled square to the face, and leaves the distance "
        "asked for all round the tube and its insulation."
    ),
    "holes.close": (
        "{thing}: between the holes of {runs} {left} is left, less than the larger is wide: "
        "drill one hole for both, or move one."
    ),
    "holes.caution": (
        "Before you drill, look for what runs in the wall or floor, and ask whoever is responsible for the structure; "
        "fire stopping and sleeves as local codes ask."
    ),
    "clips.list": "Clip list",
    "clips.title": (
        "Clips for {service}, at most {level} apart on level tube and {upright} on upright, along the bent tube from "
        "its start end:"
    ),
    "clips.head along": "along\nthe tube",
    "clips.where": "{face}: {across} {across_from}, {up} {up_from}",
    "clips.nothing holds": "nothing holds it from {low} to {high}: {reason}",
    # The list of fittings
    "fittings.title": "Fittings",
    "fittings.head fitting": "fitting",
    "fittings.head tube": "for tube",
    "fittings.head count": "how many",
    "fittings.head where": "where",
    "fittings.at end": (
        "{fitting|elbow=elbow|tee=tee|capillary=capillary fitting|compression=compression fitting|press=press fitting}"
    ),
    "fittings.coupling": "capillary coupling",
    "fittings.end": "{run}, {end}",
    "fittings.joint": "{run} at {at}",
    "fittings.places": "{places}",
    "fittings.counted": (
        "Counted are what the ends of the runs go into, as the job says it, and the couplings of jointed runs, which "
        "are taken to be capillary. One that two runs share counts once where an end says that it joins the other "
        "run. What a fitting has on its other sides, and adapters, are not looked at."
    ),
    # The list of runs
    "runs.none works": "none works",
    "runs.head cut": "cut",
    # The cut list
    "cuts.title": "Cut list: {job}",
    "cuts.saw": "The saw takes {kerf} at each cut.",
    "cuts.not possible": "NOT POSSIBLE: {why}",
    "cuts.jointed": "Run {run} is jointed at {places} along it, from its start.",
    "cuts.joint": ("The joint at {at} is made from {side}, away from {other}; the other side cannot be reached."),
    "cuts.offcut of": "offcut of {length}",
    "cuts.length of": "length of {length}",
    "cuts.head from": "from",
    "cuts.best": "{used} of stock, {waste} left over; no plan uses less.",
    "cuts.bound": "{used} of stock, {waste} left over; no plan can use less than {bound}.",
}
