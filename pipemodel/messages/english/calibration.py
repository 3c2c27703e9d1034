"""What is said of test pieces and the former they were bent round, in English."""

TEMPLATES = {
    "calibration.from": "From {n} test {n|piece|pieces}, each figure with its 95 % interval:",
    "calibration.pull": "for {angle} pull to",
    "calibration.radius": "finished radius",
    "calibration.mark": "mark offset",
    "calibration.fixed": "springback, fixed",
    "calibration.per degree": "springback, per degree",
    "calibration.hold": "hold",
    "calibration.guide": "guide",
    "calibration.degrees": "degrees",
    "calibration.within": "{value} \u00b1 {within} {unit}",
    "calibration.more": "{n} more like these would halve that",
    "calibration.not measured": "not measured by these pieces",
    "calibration.not settled": "not settled by these pieces: measure other angles, or to both backs",
    "calibration.not given": "not given",
    "calibration.on the bender": "{length} mm, as measured on the bender",
    "calibration.left": "{file} is left as it was: something looks wrong, see below",
    "calibration.nothing written": (
        "nothing written: these pieces do not give the radius, and {file} has none for {former} yet"
    ),
    # Notes
    "calibration.note": "Note: {note}.",
    "calibration.law": (
        "Note: the two parts of springback are surer together than apart; go by the pulls, and set their readings as "
        "well as you read the test pieces."
    ),
    "calibration.hold and guide": (
        "Note: hold and guide that stand neither here nor in the former's file come from the generic former of the "
        "tube's size; measure them on the bender with a tape, and write hold and guide beside the tube."
    ),
    "calibration.one leg": "the length of one leg alone gives neither radius nor mark: measure the other leg too",
    "calibration.none spare": "no reading is spare: the uncertainty rests on the stated accuracy alone",
    "calibration.scatter": "the readings scatter {times} times what tape and protractor should give",
    "calibration.one angle": (
        "the springback holds near {near} degrees: for its law bend a piece to another angle, at least {apart} degrees "
        "away"
    ),
    "calibration.cannot tell": (
        "pieces of one angle cannot tell these readings from a mistake: {mistakes}; bend one to another angle"
    ),
    "calibration.then would be": "{what} (then radius {radius}, mark {mark})",
    # What looks wrong
    "calibration.not a former": "These figures are not a former's: {why}.",
    "calibration.probably": "Probably {what}.",
    "calibration.or": "Or {what}.",
    "calibration.in pieces": "in piece {pieces} {what}",
    "calibration.then": "{what} (then {figures})",
    "calibration.then radius": "radius {value} mm",
    "calibration.then mark": "mark {value} mm",
    "calibration.measure again": "Measure again; if the readings are right as they stand, say --as-measured.",
    "calibration.one of these": "One of these readings is wrong; the others are too few to say which:",
    "calibration.too much": (
        "Piece {piece}: its {reading} looks wrong by {off} {unit} (more than the others say). Measure it again."
    ),
    "calibration.too little": (
        "Piece {piece}: its {reading} looks wrong by {off} {unit} (less than the others say). Measure it again."
    ),
    "suspicion.no former": "the readings agree on no former: they scatter {times} times what was stated",
    "suspicion.radius below": (
        "the radius comes out at {radius} \u00b1 {within} mm, below the smallest published, {least} mm"
    ),
    "suspicion.radius above": "the radius comes out at {radius} \u00b1 {within} mm, and formers have up to {most} mm",
    "suspicion.mark": (
        "the mark offset comes out at {mark} \u00b1 {within} mm, and a former's lies between {low} and {high} mm"
    ),
    "suspicion.opens": (
        "at {angle} degrees the tube springs back by {by} \u00b1 {within} degrees, and tube opens when let go"
    ),
    "suspicion.too much": (
        "at {angle} degrees the tube springs back by {by} \u00b1 {within} degrees, and no tube by more than {most}"
    ),
    # What people get wrong when they measure
    "mistake.to centre": "the legs were measured to the centre of the tube, not to its back",
    "mistake.to inside": "the legs were measured to the inside of the bend, not to its back",
    "mistake.mark from finish": "the mark was measured from the finish end",
    "mistake.legs exchanged": "'start to back' and 'finish to back' are exchanged",
    "mistake.other end": "mark and legs are from the other end, or the tube was held by its finish side",
    "mistake.between legs": "the angle between the legs was written, not the angle of the bend",
    "mistake.angle and pull": "angle and pull are exchanged",
    "mistake.centimetres": "the lengths are in centimetres",
}
