"""Rules of building, in English."""

TEMPLATES = {
    "rules.clause": "{name}, {clause}",
    "rules.from memory": "{rule} (from memory)",
    "rules.set": "{name} ({source})",
    "rules.too near": "run {run} is {near} from {thing}, a {kind}, {where}: {rule} asks for {asked}",
    "rules.too near, unless": (
        "run {run} is {near} from {thing}, a {kind}, {where}: {rule} asks for {asked}, or for insulation between them"
    ),
    "rules.cut": "run {run} needs a {what} in {joist} that {rule} does not allow: {wrong}",
    "rules.drilled": "in {joist} there is a {what} that {rule} does not allow: {wrong}",
    "rules.hole": "the {what} {at} along it",
    "rules.wide": "it is {wide} wide, and {most} is the most",
    "rules.off the middle": "its middle is {off} {side} the middle of the depth",
    "rules.zone": "it is {at} from the nearer support, and {low} to {high} is allowed of a span of {span}",
    "rules.notch deep": "it is {deep} deep, and {most} is the most",
    "rules.both sides": "the top or the bottom may be notched, not both",
    "rules.top only": "only the top edge may be notched",
    "rules.too close": ("in {joist} the cuts for {one} and for {two} are {apart} apart, and {rule} asks for {least}"),
    "rules.never": "{rule} allows nothing to be cut in {joist}: {why}; ask the engineer",
    "rules.new hole": (
        "the way found for {run} needs a new hole in {joists}, {wide} in diameter, its middle {at} from the nearer end "
        "and {down} below the top; drill none before whoever answers for the structure has agreed"
    ),
    "rules.new notch": (
        "the way found for {run} needs a new notch in the top of {joists}, {wide} wide and {deep} deep, its "
        "middle {at} from the nearer end; cut none before whoever answers for the structure has agreed"
    ),
    "rules.row": "{row} {first} to {last}",
    "rules.joists": "{joists}",
    "rules.joists, more": "{joists} and {n} more",
    "rules.by kind": "it is a {kind}",
    "rules.shallow": "it is {deep} deep, and up to {least} nothing may be cut",
    "rules.deep": "it is {deep} deep, and the rule goes to {most}",
    "rules.chase": (
        "run {run} lies {deep} deep in {thing} in a {way} chase, {where}: {rule} allows {most} of a thickness of "
        "{thick}"
    ),
    "rules.hidden joint": (
        "the joint of run {run} {where} is closed in on all six sides within {within}: {rule} lets no joint but a "
        "soldered or brazed one lie where no hand comes; test it before it is closed"
    ),
    "rules.sleeve": (
        "run {run} goes through {thing} {where}: {rule} asks for a sleeve of tube of {size} at least, flush on both "
        "sides; a gas sleeve is sealed on the inside only"
    ),
    "rules.sleeve small": (
        "run {run} goes through {thing} {where} in a sleeve of bore {bore}: {rule} asks for a sleeve of tube of {size} "
        "at least, which has a bore of {least}"
    ),
    "rules.cover": "run {run} has {cover} of {thing} over it, {where}: {rule} asks for {least}",
    "rules.supports": (
        "run {run}: {rule} asks tube of {size} to be held every {level} at most where it lies level, and every "
        "{upright} where it stands upright; 'clips' in the job plans them"
    ),
    "rules.held": (
        "run {run} is not held from {low} to {high} along it, for {without}: {rule} allows {most} here; tube of {size} "
        "is held every {level} level and every {upright} upright{near}"
    ),
    "rules.near end": ", and within {near} of each end and coupling",
    "rules.insulated": "insulation of {thick}",
    "rules.bare": "no insulation",
    "rules.in void": " in {void}",
    "rules.any": "insulation",
    "rules.thickness": "{thick} of insulation",
    "rules.thickness, conducting": "{thick} of insulation of {of} W/(m K)",
    "rules.unless": "{rule} (unless {unless})",
    "rules.thin": "run {run} has {has}{where}: {rule} asks for {asked}",
    "rules.bare end": "the {end} of run {run} is bare for {bare}: {rule} lets no insulation stop short",
    "rules.under clips": (
        "run {run} has {n} {n|clip|clips}: {rule} lets no insulation stop at them; use clips of {round} that "
        "hold round it"
    ),
    "rules.broken": (
        "the hole of {hole} in {thing}, {where}, leaves {room} round the tube of run {run} for its insulation: {rule} "
        "asks for {asked} there, which a hole of {least} has room for"
    ),
    "rules.stops": (
        "the insulation of run {run} is to stop at the hole of {hole} in {thing} ('bare'), {where}: {rule} asks for "
        "{asked} there, which a hole of {least} has room for"
    ),
    "rules.lagging between": (
        "runs {run} and {other} are {near} apart, {where}: for both together {rule} asks for {asked}"
    ),
    "rules.lagging between, crossing": (
        "runs {run} and {other} cross {near} apart, {where}: for both together {rule} asks for {asked}, half as much "
        "as elsewhere"
    ),
    "rules.kept": "and nothing against it",
    "rules.kept, but": "{kept}; {n} of them {n|is|are} neither block nor plate, and {n|was|were} not looked at",
    "rules.not kept": "and {n} {n|place|places} against it",
    "rules.of kind": "{n} \u00d7 {kind}",
    "rules.looked at": "held against {rule}: {kinds}, {kept}; the code itself and local rules decide",
    "rules.spans looked at": (
        "held against {rule}: {kinds}, {kept}; spans are taken as drawn, heavy loads were not looked at; the code "
        "itself, local rules and the engineer decide"
    ),
    "rules.runs looked at": ("held against {rule}: {n} {n|run|runs}, {kept}; the code itself and local rules decide"),
    "rules.no run": "held against {rule}: it says nothing of tube of these sizes and materials",
    "rules.nothing to look at": (
        "held against {rule}: the room has nothing it names; give things their kind, such as is: cable"
    ),
}
