"""What the papers of a checking jig say, and what its gauges are called and for, in English."""

TEMPLATES = {
    "jig.part": "part {part} of {parts}",
    "jig.none": "run {run} gets no jig: {why}",
    # The sheet to read
    "jig sheet.title": "Checking jig: {run}, revision {revision}",
    "jig worth.across": "from {one} straight across to {other}",
    "jig worth.end": "the middle of the {end} end",
    "jig worth.back": "the back of bend {bend} at its middle",
    "jig worth.title": "Is it worth printing?",
    "jig worth.few bends": "Not worth printing: with one bend or none, an angle card and a tape tell all there is.",
    "jig worth.flat": (
        "Not worth printing: the piece lies flat, and its template at full size (in the pack, or by "
        "\u201cpipemodel make --only templates\u201d), on a flat bench, shows all of it."
    ),
    "jig worth.taped": (
        "Not worth printing: tape and card, by the checks on its sheet, show all that is asked, or nearly (from at "
        "most 1.25 times as much)."
    ),
    "jig worth.one angle": (
        "Worth printing for one angle alone: tape and card show {of} from {size} on. Where that is close enough, no "
        "jig is needed.{rest} All else they show, by the checks on its sheet."
    ),
    "jig worth.yes": (
        "Worth printing: the jig shows what tape and card do not show as closely as is asked: {things}.{rest} All "
        "else they show, by the checks on its sheet."
    ),
    "jig worth.open": " The jig does not decide as closely as is asked: {things}.",
    "jig worth.no better": (
        "Not worth printing: the legs are so short that a jig would tell hardly more than tape and card do. Not "
        "decided as closely as is asked: {things}."
    ),
    "jig worth.either": "{of}, refused by the jig from {jig}, shown by tape or card from {checks}",
    "jig worth.not at all": "nowhere",
    "jig worth.part": (
        "The legs beside are long: a jig of bends {first} to {last} alone (bends: [{first}, {last}]) does for that."
    ),
    "jig sheet.part": (
        "For bends {first} to {last} alone. What is beyond, and what no cradle shows, has no limit in the table: "
        "measure it with a tape."
    ),
    "jig worth.shows": "{check}; shows {things}",
    "jig worth.from": "{of} from {size}",
    "jig worth.degrees": "{angle}\u00b0",
    "jig worth.all the same": "run {run}: {why} The jig is written all the same.",
    "jig worth.none": "run {run}: {why} No jig is made; --anyway makes one.",
    "jig answer.title": "Checking jig: {run} needs none",
    "jig answer.anyway": (
        "A jig for it is made all the same with when: always in the job, under jig:, or with pipemodel jig --anyway."
    ),
    "jig answer.totals": "Checking jigs: what all of them take",
    "jig sheet.asked": (
        "For a piece of {outside} mm tube. Asked: every leg within {position} mm of its place, every bend within "
        "{angle}\u00b0, the start within {start} mm and the finish within {finish} mm along the tube. What the jig "
        "makes of that is below."
    ),
    "jig sheet.lay it in": "Lay it in",
    "jig sheet.slots": "What each slot accepts (mm along the tube from its start)",
    "jig sheet.head slots": (
        "  Cradle  Leg    From      To   Slot  Accepts   Leg may lean  Stop\n"
        "                              printed   +/- mm      at most     +/- mm"
    ),
    "jig sheet.degrees": "{angle} deg",
    "jig sheet.head limits": (
        "  Of                 Asked    Passes   Refuses   Refuses for\n"
        "                   at most     up to      from  certain from"
    ),
    "jig sheet.bare slots": "The table is for the bare slots, without liners.",
    "jig sheet.go": (
        "Slots for go: no piece is refused whose legs and ends all lie within the position. What passes beside that "
        "may be out by more than asked, as the table says."
    ),
    "jig sheet.fine": (
        "Slots for fine: no piece passes that has a leg out of place or a bend out by more than asked, whatever "
        "else is out, unless the table says otherwise. A good piece may be refused."
    ),
    "jig sheet.balanced": (
        "Slots balanced: what is out of tolerance in one thing alone is refused, unless the table says "
        "otherwise; the slots and stops that judge a thing share its tolerance between them. A piece that is a little "
        "out in several things at once may be refused though each is within, or pass though one is not, up to where "
        "it is refused for certain."
    ),
    "jig sheet.fine liners": (
        "With the fine liners in, the slots are those for fine; between the two verdicts, measure."
    ),
    "jig sheet.short leg": "Leg {leg} is too short for a cradle: it is judged by its neighbours only.",
    "jig sheet.one cradle": "Leg {leg} has one cradle only, for want of room beside the rest of the tube.",
    "jig sheet.to print": "To print (no supports, flat face down, as the files lie)",
    "jig sheet.head parts": "  File                       Size            Plastic   Mass   Time",
    "jig sheet.estimate": (
        "Estimated for a {nozzle} mm nozzle, {layer} mm layers, {walls} walls, {infill}% infill, {density} g/cm3, "
        "{rate} cm3 an hour with all moves; small printers lay down {slow} to {fast} (common practice, no "
        "source), so look at what yours did last time. Slots are drawn {allowance} mm wider than they are to be, for "
        "what the printer closes them by: print one cradle, measure, and set the allowance."
    ),
    "jig sheet.gauges": "Gauges",
    "jig sheet.left out": "Left out",
    # Laying the piece in
    "jig step.lower": ("Lower the piece straight down; it must drop in under its own weight. Don't spring it in."),
    "jig step.right": (
        "It is right when it lies in every slot, nothing stands above the high cheeks (lay a straightedge "
        "across), and each end lies between its stop and the line farthest from the stop, looking square to "
        "the tube."
    ),
    "jig step.proud": (
        "If it stands proud in one place only, press it down there and look at the others: it may lie anywhere "
        "in its slots, but all at once."
    ),
    "jig step.lines": (
        "The low step of each cheek shows where the top of a perfect piece would be, halfway up its play; the "
        "lines in the floor, where its edges would be; a line between stop and limit, where that end would be."
    ),
    "jig step.upright end": (
        "At cradle {cradles} the end looks up: it must lie between the first line and the last; the stop is no measure."
    ),
    "jig step.measured end": "One end has too little straight for a stop: measure it.",
    "jig step.slope": ("On a slope the piece may slide until a stop or a bend holds it: hold it to its end lines."),
    # What it passes and what it refuses
    "jig limits.title": "What it passes and what it refuses (too much or too little alike)",
    "jig limits.meaning": (
        "Passes and refuses: with this one thing out and all else true. For certain: whatever else is out as well. "
        "Found for the slots as printed, of a rigid piece and of one that bends as far as its weight can bend it: it "
        "passes if it does so both ways, and is refused if it is so both ways. The printer and loose joints come on "
        "top. A turn asks for as much as leaves the legs beside it the angle out; between bends that are nearly "
        "180\u00b0 it asks for nothing by itself."
    ),
    "jig limits.angle": "bend {n} angle",
    "jig limits.turn": "bend {n} turn",
    "jig limits.leg": "leg {n} length",
    "jig limits.any": "any",
    "jig limits.none": "no limit",
    "jig limits.degrees": "deg",
    "jig limits.nothing wider": "Nothing that is out of tolerance in one thing alone passes.",
    "jig limits.wider": (
        "Out of tolerance alone, this may still pass: {things}. Hold the angle gauge or the turn gauge to those "
        "bends, and a rule to those legs."
    ),
    # Reading a miss, putting it together
    "jig sheet.miss": "Reading a miss",
    "jig sheet.how to read": (
        "Lay the start leg in against its stop and go along the run: the first cradle the tube strays from "
        "comes after the bend that is out. A degree too much shows there as:"
    ),
    "jig sheet.together": "Put it together",
    "jig sheet.on a board": (
        "Lay the 1:1 plan on a flat board, drill through it at the crosses, and screw each tower down, its "
        "number as on the plan."
    ),
    "jig sheet.timber board": (
        "A board of {x} x {y}, flat, 18 mm or thicker. Draw on it the two lines of every drilling card, at its "
        "distances from the left and lower edge, lay the card on them (or measure the crosses by the table below, or "
        "lay the 1:1 plan on it) and drill {screw} mm right through at every cross."
    ),
    "jig sheet.timber posts": (
        "Cut posts from batten of {side} x {side}, ends square, to half a millimetre: {posts}. {total} of batten in "
        "all. Screw each up through the board's two holes, its sides along the outline on the plan."
    ),
    "jig sheet.timber no posts": "No posts: every cradle stands on the board itself.",
    "jig sheet.timber post": "cradle {cradle}: {length}",
    "jig sheet.timber cradles": (
        "Screw each cradle down through its two ears, on the post or on the board over the same holes, its number as "
        "on the plan and towards the start."
    ),
    "jig sheet.timber narrow": (
        "Cradle {cradles} {cradles|accepts|accept} less than {true}, which is about as true as a post is cut and a "
        "hole drilled: measure its height and place once screwed down, and put card under it, or open its holes, until "
        "they are right."
    ),
    "jig sheet.timber props": (
        "Props, which judge nothing: a wedge pushed in until it just touches the tube and lifts nothing, on a post "
        "where one is listed, else on the board: {props}."
    ),
    "jig sheet.timber wedge": "{prop} at {at}",
    "jig sheet.timber prop": "{prop} at {at} along the tube: {length}",
    "jig sheet.head holes": "  Cradle   Hole from left   from below   Post",
    "jig sheet.holes": "Crosses on the board, from its left and lower edges",
    "jig sheet.left off": (
        "Leg {legs} {legs|has|have} no cradle: what is out there shows in the others, as the table says."
    ),
    "jig sheet.total": (
        "In all {parts} {parts|part|parts}: {volume} cm3 of solid, {plastic} cm3 of plastic, {mass} g, {hours} h "
        "({quick} to {slow} h).{timber}"
    ),
    "jig sheet.cost": "At {price} a kilogram: {cost}.",
    "jig sheet.keys": (
        "Slide the keys in from above, on the 1:1 plan on a flat board, and screw or glue every part down: "
        "the joints alone could swing by {swing} degrees each, and the farthest cradle by {far}."
    ),
    "jig sheet.one piece": "It is of one piece; stand it on a flat board, and screw it down if it rocks.",
    "jig sheet.rule": (
        "Check with a rule, from the screw hole beside one number to that beside the other, within 0.5 mm:"
    ),
    "jig sheet.distance": "{one} to {other}: {far}",
    # Drawings of it, and its sheet in the pack
    "jig drawing.title": "{run}: the piece in its jig",
    "jig drawing.head": "{run}: the piece in its jig; lower it straight down",
    "jig plan.title": "{run}: plan of the jig, 1:1, revision {revision}",
    "jig plan.foot": "{run}: drill {screw} mm at the crosses; seen from above, revision {revision}",
    "jig board.title": "{run}: the board, {x} x {y} mm, 1:{scale}; measure from the corner with the dot",
    "jig card.title": "{run}, {name}, 1:1: its lines on the board's",
    "jig card.page": "{run}: drilling cards, 1:1",
    "jig card.left": "{mm} from left",
    "jig card.below": "{mm} from below",
    "jig card.post": "post {mm} mm",
    "jig drawing.posts": "{run}: posts on the board",
    "jig drawing.cradles": "{run}: every cradle screwed down by its number",
    "jig pdf.title": "Checking jig, {run}",
    "jig totals": "All jigs: {parts} {parts|part|parts} and {gauges} {gauges|gauge|gauges}, {amount}{paper}.{timber}",
    "jig totals.timber": " On timber (base: timber): {plastic} cm3 of plastic and {hours} h for {runs}.",
    "jig totals.worth": "Without what is not worth printing ({runs}): {amount}.",
    "jig totals.amount": "{plastic} cm3 of plastic, {mass} g, {hours} h ({quick} to {slow} h){cost}",
    "jig totals.cost": ", cost {cost}",
    "jig totals.sheets": ", {sheets} {sheets|sheet|sheets} of paper",
    "jig totals.without": "No jig, since it is not worth printing: {runs}.",
    "jig totals.refused": "No jig can be made for: {runs}.",
    "jig sheet.gauge elsewhere": "{gauge}, printed with {run}: {use}",
    "jig brief.every": "With every jig",
    "jig brief.none": "It gets no jig:",
    "jig brief.printing": (
        "{parts} {parts|part|parts}, about {mass} g of plastic and {hours} {hours|hour|hours}; revision {revision}."
        "{timber}"
    ),
    "jig brief.slots": "What each slot accepts ({unit}, along the tube from its start)",
    "jig brief.miss": "Reading a miss: a degree too much shows as",
    "jig brief.head cradle": "cradle",
    "jig brief.head leg": "leg",
    "jig brief.head from": "from",
    "jig brief.head to": "to",
    "jig brief.head slot": "slot",
    "jig brief.head accepts": "accepts \u00b1",
    "jig brief.head stop": "stop \u00b1",
    "jig brief.head of": "of",
    "jig brief.head asked": "asked, at most",
    "jig brief.head passes": "passes up to",
    "jig brief.head refuses": "refuses from",
    "jig brief.head certain": "refuses for certain from",
    # Rests to pull by
    "jig bench.title": (
        "On the bench, to pull by (from where the bend begins, as the bender stands; check every first setting by the "
        "card)"
    ),
    "jig bench.rest": (
        "pull {pull}: a post of {post} with the rest's cap on it under the leg beyond bend {bend}, {at} from where "
        "that bend ends; it stands {along}, {aside}. The leg in the cap, the tube is rolled as it should be: half a "
        "millimetre of height is {turn}\u00b0 of turn. Keep it there while you pull, unless that leg swings."
    ),
    "jig bench.stop": "pull {pull}: a block against the {end} end, {far} from where the bend begins, sets the mark",
    "jig bench.without": (
        "{pulls|pull|pulls} {pulls}: no rest serves (the leg is too short, too steep, over the tube or under the "
        "bench): roll by the card"
    ),
    "jig bench.towards free": "{far} towards the free end",
    "jig bench.towards stop": "{far} towards the stop",
    "jig bench.away": "{far} off the tube's line on the side away from you",
    "jig bench.near": "{far} off the tube's line on your side",
    "gauge.rest": "cap of a rest",
    "gauge.rest use": (
        "Glue or tape it on the end of a post from the list for the bench, groove up, and lay the leg in."
    ),
    # Gauges and liners
    "gauge.none": "no {gauge}: {why}",
    "gauge.angle": "angle gauge {angle} degrees",
    "gauge.angle use": (
        "Hold it to the back of the bend, both arms along the legs. It touches along both when the bend is "
        "{angle} degrees; with one arm flat on its leg, a gap of more than {gap} at the tip of the other is more than "
        "{off}\u00b0 out."
    ),
    "gauge.no angle": ("no angle gauge for {angle} degrees: only {straight} of straight beside the bend to touch"),
    "gauge.turn": "turn gauge {turn} degrees",
    "gauge.turn use": (
        "Clip it on the leg before bend {bends}, lettering towards the start, and turn arm A to the leg before that. "
        "The other arm, {turn} degrees {way} seen from the start, points to where the tube goes after the bend. "
        "Set it by whichever of the two bends is made, and pull the other to it."
    ),
    "gauge.spacer": "standoff spacer {standoff}",
    "gauge.spacer use": ("Stand it on the face, groove up, and lay the tube in: its axis is {standoff} off the face."),
    "gauge.no spacer": (
        "no spacer for a standoff of {standoff}: the tube's underside is nearer the face "
        "than a printed floor is thick; {least} or more makes one"
    ),
    "liner": "fine liner for cradle {cradle}",
    "liner.use": (
        "Lay it in cradle {cradle}, lip uphill against the ends of the cheeks (hold it with tape where "
        "the stop is uphill). With every liner in, the slots are as tight as those for fine."
    ),
    "liner.none": ("no liner for cradle {cradle}: it would be {thick} thick, and the nozzle needs {least}"),
}
