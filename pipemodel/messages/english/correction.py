"""What is said of a piece once checks are read, in English."""

TEMPLATES = {
    "correct.go on": "fine, go on",
    "correct.mistake": (
        "bend {bend}: {what|wrong way=rolled the wrong way|not rolled=not rolled|wrong roll=rolled the wrong way round"
        "|no springback=pulled without what it springs back|other mark=another bend's mark was used"
        "|wrong end=the wrong end was in the stop}, by what was read"
    ),
    "correct.angle": "bend {bend} came out at {angle}° ({low}° to {high}°; {aim}° is right)",
    "correct.start": (
        "bend {bend} begins {far} (± {within}) {side|further=too far from|nearer=too near to} the start end"
    ),
    "correct.turn": (
        "bend {bend} is twisted {angle}° (± {within}°) too far {way}, seen from the start end along the tube"
    ),
    "correct.waiting": "working out what was bent …",
    "correct.wait": "wait: this card may change yet",
    "correct.unexplained": (
        "these readings are not those of a piece bent nearly right; looking for what explains them …"
    ),
    "correct.which side": (
        "{checks} may stand off to either side, and one of these would not do: lay both legs of the bend flat with the "
        "gap under the rest, look from the start end, and write to which side the bend goes off, as in 4 left; or "
        "4 either, where you cannot tell"
    ),
    "correct.choose side": (
        "{checks} may stand off to either side, and one of these would not do: choose left or right beside it, "
        "or that you cannot tell"
    ),
    "correct.side": "with the gap under the rest, seen from the start end, bend {bend} goes off to your",
    "correct.side not known": (
        "to which side {checks} stands off is not known: this is for the middle, or where all is bent the better one"
    ),
    "correct.side either": "cannot tell",
    "correct.side left": "left",
    "correct.side right": "right",
    "correct.pull on": (
        "pull bend {bend} on by {more}°, until it is {angle}° when let go (about {scale}° on the scale), "
        "and measure again"
    ),
    "correct.at pull": "pull {pull}, bend {bend}: {changes}",
    "correct.mark": "move the mark to {at} (planned {was})",
    "correct.pull": "pull to {angle}° (planned {was}°)",
    "correct.roll": (
        "roll {more}° further {way}, seen from the start end: draw its inside line {angle}° ({far}) {round} "
        "from that of bend {last}"
    ),
    "correct.held": "hold it by the {end} side",
    "correct.lands": (
        "{how|lands=the finish then lies|at best=at best the finish lies} {sideways} off sideways and {along} too "
        "{way}, its last leg {angle}° off"
    ),
    "correct.give or take": (
        "the finish lies there give or take {sideways} sideways, {along} along it and {angle}° in direction"
    ),
    "correct.not shown": (
        "the readings taken do not show that it is fine: the finish lies there give or take {sideways} sideways, "
        "{along} along it and {angle}° in direction, so it may be too far off"
    ),
    "correct.not read": "not read on this card: {checks}; read it too",
    "correct.read twice": "all checks of this card are read: read them again, write both, or see after the next pull",
    "correct.hold up": "all measures of this card are read: hold the piece up where it goes to see",
    "correct.other order": (
        "the answer after pull {pull} changed the order of pulls: later checks are not those of its cards; "
        "start a file for the new cards"
    ),
    "correct.no order": "no order of the pulls left works",
    "correct.trim": "cut {far} off the finish end",
    "correct.slip": "slip the piece {far} along in its clips, towards its {end} end",
    "correct.recut": "cut a new piece: {why}",
    "correct.flattened": (
        "bend {bend} is flattened, {by} wider one way than the other where {most} is the most: the guide was not in, "
        "or had slipped"
    ),
    "correct.if again": "if it reads the same again, this piece will not do: {why}",
    "correct.again": "these readings do not go together; take {n|this one|these} again: {checks}",
    "correct.alone": (
        "only {checks} says so: take it again first, and write both readings, as in [609, 610]; then it counts"
    ),
    "correct.verdict": (
        "{verdict|go on=GO ON|pull on=PULL ON|change=CHANGE WHAT IS LEFT"
        "|trim=TRIM|recut=CUT A NEW PIECE|contradiction=MEASURE AGAIN|which side=SAY TO WHICH SIDE}"
    ),
    "correct.fill in": "Write behind each check what you measured; leave empty what you did not.",
    "correct.title": "{run}, after pull {after}",
    "correct.lay": "lay it in with that line facing {faces}",
    "correct.mark same": "mark at {at}, as planned",
    "correct.beyond": "the tube beyond bend {bend} then {stands}",
    "correct.again alone": "only {checks} says so: measure it again, and type what it reads then",
    "correct.corrected": "Corrected after pull {pull}",
    "correct.twice": "{check} reads the same again",
    "correct.wanted": "corrected, should be {wanted}",
    "correct.undo": "Bend the rest as planned",
    "correct.redo": "Bend the rest as corrected",
    "correct.not looked at": ("clearances and bender are not checked again here; pipemodel measured does that"),
    "correct.to do": "Still to do, as corrected",
    # A reading that cannot be meant
    "unlikely.slip": (
        "check {check}: {value} is far from the {right} on the card and looks like {slip|centimetres=centimetres|"
        "inches=inches|decimetres=decimetres|metres=metres|ten=ten times too much|"
        "millimetres=mm written as inches}; is {meant} meant?"
    ),
    "unlikely.below": "check {check}: {value} is below 0, which no piece has; the card has {right}",
    "unlikely.long": "check {check}: {value} is more than this tube is long ({long}); the card has {right}",
    "unlikely.round below": "check {check}: {value} is below 0; write how much wider it is one way than the other",
    "unlikely.round": "check {check}: {value} is a diameter; write how much wider it is one way than the other",
    "unlikely.angle": "check {check}: {value}° is no angle of a bend; the card has {right}°",
    "unlikely.legs": "check {check}: {value}° is the angle between the legs; the bend goes {meant}°: write that",
    "unlikely.times": "check {check}: {value}° is far from the {right}° on the card; is {meant}° meant?",
    "readings.none": "no check has a reading yet: write what you measured behind its name, such as 2a: 609",
    "fault.readings group": "readings are a group of keys, such as {{after: 2, readings: {{2a: 609, 2b: 91}}}}",
    "fault.readings hold": "readings holds what was read: {{2a: 609, 2b: 91}}",
    "readings.run": "these are readings of run {run}, and the run asked for is {own}",
    "readings.corrected": "corrected is true or false: whether the pulls went by corrected cards",
    "readings.after lacks": "'after' is missing: the number of the pull after which these were read",
    "readings.no pull": "after is the number of a pull; there is no pull {pull}, run {run} has {most}",
    "readings.order": "pull {pull} is read after pull {last}: put them in order",
    "readings.comma": "a comma parts one reading from the next; write check {check} with a point: {check}: {right}",
    "readings.no check": "run {run} has no check {check}; {mend}",
    "readings.checks": "the checks after that pull are {checks}",
    "readings.later": "check {check} is of pull {pull}, and these were read after pull {made}",
    "readings.twice": "check {check} is read already; write all its readings in one list",
    "readings.many": "check {check} has 1 to {most} readings; this has {has}",
    "readings.both ways": "check {check} is seen both ways; look again",
    "readings.differ": "the readings of check {check} differ by more than it is read to; read it again",
    "readings.measured": "check {check} is no look: write what it reads; {right} is right",
    "readings.no side": "check {check} has no side: write what it reads alone, {figure}",
    "readings.look": "check {check} is a look: write {one} or {other}, or yes for as the card has it, or no",
}
