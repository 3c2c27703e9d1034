"""Findings and notes, in English."""

TEMPLATES = {
    "nothing": "",
    "several": "{said}",
    "length": "{mm}",
    "word": "{word}",
    "degrees": "{angle}°",
    "less than": "less than {length}",
    "list.and": "and",
    "list.or": "or",
    "of run": "run {run}: {said}",
    # Places on a run
    "place.start": "at the start end",
    "place.finish": "at the finish end",
    "place.along": "{at} from the start end{among}",
    "place.in bend": ", in bend {bend}",
    "place.before bend": ", before bend {bend}",
    "place.after bend": ", after bend {bend}",
    "place.between bends": ", between bends {one} and {other}",
    "part.bend": "bend {bend}",
    "part.leg": "leg {leg}",
    "leg.tube": "tube",
    "leg.start tail": "start tail",
    "leg.finish tail": "finish tail",
    "leg.between": "leg between bends {one} and {other}",
    # Clashes
    "clash.through": "run {run} passes right through {other}, {where}: {hole}; or {cure}",
    "clash.overlap": "run {run} clashes with {other}: they overlap by {deep}, {where}{asked}; {cure}",
    "clash.near": "run {run} comes within {near} of {other}, {where}{asked}; {cure}",
    "clash.overlaps": "run {run} clashes with {other} in {n} places: {places}",
    "clash.nears": "run {run} comes too near to {other} in {n} places: {places}",
    "clash.numbered place": "({n}) {place}",
    "clash.more places": "and {n} more",
    "clash.place through": "{where}: {hole}; or {cure}",
    "clash.place overlap": "{where}: they overlap by {deep}{asked}; {cure}",
    "clash.place near": "{where}: {near} apart{asked}; {cure}",
    "clash.overlap itself": (
        "run {run} runs into itself: it overlaps by {near}, {where}{asked}; moving {part} there by {move} clears it"
    ),
    "clash.near itself": (
        "run {run} comes within {near} of itself, {where}{asked}; moving {part} there by {move} clears it"
    ),
    "clash.asked": "; {asked} is asked for",
    "clash.asked, insulated": "; {asked} is asked for, {insulation} of it insulation",
    "clash.way": "{far} {way}",
    "clash.move": "{ways}",
    "clash.hole": "it needs a hole of {diameter}, {length} long, from {start} to {finish}{round_it}",
    "clash.round it": " ({asked} all round the tube)",
    "clash.round it, insulated": " ({asked} all round the tube, {insulation} of it insulation)",
    "clash.cure": "moving {part} by {move} clears it",
    "clash.held off": "the clips hold its axis {stands} off {thing}: ask for a standoff of {least} or more{less}",
    "clash.less there": ", or for a clearance of {clear} or less",
    "clash.wider": "a hole of {diameter} with the tube in its middle clears it; or {cure}",
    "clash.no move": "no move of {part} was found that clears it",
    "clash.not reached": "run {run}: its {end} is to join {other} and ends {gap} from it",
    "zone.void deep": "run {run} leaves the void {zone} by {far} at {side}, {where}{asked}{more}; {cure}",
    "zone.void near": "run {run} comes within {far} of {side}, a side of the void {zone}, {where}{asked}{more}; {cure}",
    "zone.free deep": "run {run} reaches {far} into {zone}, to be kept free ({why}), {where}{asked}{more}; {cure}",
    "zone.free near": "run {run} comes within {far} of {zone}, to be kept free ({why}), {where}{asked}{more}; {cure}",
    "zone.more": " (the worst of {n} places)",
    "sleeves.left": (
        "run {run} has {left} round it in the {what} {sleeve}, {bore}, through {thing}, {where}; fire stopping, "
        "sealing and movement as local codes ask"
    ),
    "sleeves.tight": (
        "run {run} does not fit the {what} {sleeve}, {bore}, through {thing}, {where}: {left} is left round it, "
        "{asked} is asked for; its axis is {off} off the middle, and as it lies a bore of {least} would do"
    ),
    "sleeves.tight, square": (
        "run {run} does not fit the {what} {sleeve}, {bore}, through {thing}, {where}: {left} is left round it, "
        "{asked} is asked for"
    ),
    "sleeves.bore": "bore {bore}",
    "sleeves.square": "{wide} by {tall}",
    "sleeves.missed": "the {what} {sleeve} is for run {run}, which does not go through it",
    "falls.ratio": "1 in {over}",
    "falls.drawn": "1:{over}",
    "falls.leg": "leg {leg} of run {run} {wrong}, where it is meant to fall {asked}",
    "falls.level": "is level",
    "falls.rises": "rises {rises} towards the {end}",
    "falls.little": "falls {has} only, {short} short at its low end",
    "falls.run": (
        "run {run} falls {asked} or more towards its {end}, {drop} in all: from z {high} down to z {low} on its axis"
    ),
    "falls.legs": (
        "run {run}: {n} {n|leg|legs} of it {n|falls|fall} {asked} or more, towards the {n|end|ends} asked for; on its "
        "axis the run starts at z {start} and finishes at z {finish}"
    ),
    "clash.open mesh": "{thing} is an open mesh: a surface only, so a run within it does not count as overlapping",
    "clash.flats": "{thing} was measured on flats that stand off its true faces by up to {off}",
    "clash.many pairs": "there are {n} pairs of runs: those more than {far} apart are left out of the distances",
    "clash.many things": (
        "there are {n} pairs of a run and a thing: those more than {far} apart are left out of the distances; "
        "{off} {off|thing is|things are} that far from every run"
    ),
    # The bender and the former
    "bender.order": "pull {order}",
    "bender.way out": "it can be pulled with {way}",
    "bender.one pull": "bend {bend}",
    "bender.one pull, by finish": "bend {bend} held by the finish side",
    "bender.pulls": "bends {bends} in that order",
    "bender.pulls, all by finish": "bends {bends} in that order; all held by the finish side",
    "bender.pulls, some by finish": "bends {bends} in that order; {some} held by the finish side",
    "bender.mark lost": (
        "at pull {pull} the former's own mark of bend {bend} would lie {lost}; mark where the bend begins, {at} from "
        "the start end, and bring that to the rim's start"
    ),
    "bender.generic former": (
        "run {run} is worked out for the {former}, by common practice: measure your own former before cutting"
    ),
    "bender.other radius": (
        "the {bender} was measured with a former of radius {measured}, "
        "{formers|the run|some of the run} is bent to {radius}"
    ),
    "former.not given": (
        "no former is given for {tube}: the {former} serves, with a radius of {radius}; "
        "measure your own former before cutting"
    ),
    "former.assumed": (
        "{former}: {missing} {missing|is|are} not given and taken from the {generic}, by common practice: "
        "measure your own, or write 0 where 0 is meant"
    ),
    "former.learned": "{former}: {figures}, 19 times in 20, learned from the pieces in {file}",
    "former.learned nothing": "{former}: the pieces in {file} have no reading that says something of it",
    "former.drifted": "{former}: {changes}; the bends before that count only as steady wear",
    "former.springback": "springback ({share} % of the angle)",
    "former.springback, fixed": "springback ({fixed} degrees and {share} % of the angle)",
    "former.hold": "hold ({hold})",
    "former.guide": "guide ({guide})",
    "former.guide, block": "guide ({guide}, with a block of {block})",
    # What bending does to the tube
    "damage.of runs": "{n|run|runs} {runs}{more}: {said}",
    "damage.more runs": " and {n} more",
    "damage.measured": "{radius} \u00b1 {within}",
    "damage.published": "the smallest published, {least} ({source})",
    "damage.below least": "a radius of {radius} is {below} below {published}",
    "damage.least within": (
        "the measured radius of {radius} is below {published}, which lies within its interval; "
        "more test pieces would settle it"
    ),
    "damage.breaks": (
        "the back of the bend stretches by about {stretch} %, and temper {temper} breaks at {breaks} % ({source}); "
        "anneal it, use a softer temper, or use fittings"
    ),
    "damage.left to measure": (
        "the back of a bend thins to about {wall} (estimate); across its middle, "
        "it may be {out_of_round} wider one way than the other"
    ),
    "damage.needs support": "a radius of {radius} needs support: {support}",
    "damage.keep spring in": "keep the spring in past both ends of each bend",
    "damage.guide in": "the guide goes in before every pull",
    "damage.groove": "a grooved former with its guide",
    "damage.groove or spring": "a grooved former with its guide, or a spring of the right size",
    "damage.no such spring": ("internal springs are made for tubes 12, 15 and 22, not for one of {outside} (BS 5431)"),
    "damage.tight spring": (
        "a spring bend is usually 4 x the diameter, {usual}, or more (City & Guilds Plumbing Book 1, 2019, p. 95-97; "
        "a tube maker's guide asks for about 5 x); {radius} is likely to wrinkle"
    ),
    # Clips
    "clips.planned": "run {run}: clips {clips}",
    "clips.clip": "{n}: {at} along the tube, on {face} {across} and {up}",
    "clips.gap": (
        "run {run}: {without} without a clip, from {low} to {high} along the tube, "
        "where at most {allowed} is allowed: {reason}"
    ),
    "clips.too many": "with spacings of {least} it would take more than {most} clips",
    "clips.no face": "leg {leg} lies along no face of {faces}",
    "clips.behind": "leg {leg} lies behind the face of {face}",
    "clips.standoff": "the axis of leg {leg} stands {stands} off {face}, and the clip holds {holds}",
    "clips.reach": "the axis of leg {leg} stands {stands} off {face}, and a clip reaches {holds}",
    "clips.edge": "leg {leg} is beyond the edges of {faces}, or nearer to them than the {edge} a screw needs",
    "clips.no room": "leg {leg}, {length} long, leaves no room for a clip clear of bends and fittings",
    "clips.no nearer place": "the faces and bends leave no nearer place for a clip",
    "tape.measure": "{far} {reference}",
    "tape.from": "from {thing}",
    "tape.inside corner": "from the inside corner of {thing}",
    "tape.edge": "from the {side} edge of {thing}",
    "tape.of start": "{side} the start of the run",
    "tape.of opening": "{side} the opening or step in {thing}",
    # Stock and joints
    "stock.more runs": ("{n} more runs are longer than new stock, {new}; where they can be jointed was not looked at"),
    "stock.too long": "run {run} needs {cut} and the longest stock is {longest}{assumed}",
    "stock.assumed": " (taken for granted: the job names no stock)",
    "stock.jointed": "{too_long}: joint it into {n} pieces, at {joints} along the run from its start",
    "stock.not jointed": "{too_long}; {why}",
    "stock.joint": "{at}",
    "stock.joint from": "{at} (made from {side}, away from {other})",
    "stock.piece too long": (
        "{piece} needs {needs} in one piece and the longest stock is {reach}; "
        "take stock at least {needs} long, or split the run"
    ),
    "stock.no offcut": "{piece} is longer than new stock, and no offcut is left for it",
    "joints.too many pieces": "that is more than {most} pieces: write it as several runs",
    "joints.no room": (
        "run {run} has no straight with room for a coupling: one needs {need} of straight between bends, "
        "and to be reached from one side"
    ),
    "joints.no division": (
        "run {run} cannot be divided, where a coupling can be got at, into pieces of at most {most} and at least "
        "{least} that can all be bent: make room for one, lengthen the legs the plan of pulls names, "
        "or take longer stock"
    ),
    "joints.no offcut": "run {run} needs pieces longer than new stock, {stock}, and no offcut is left for them; {why}",
    "joints.no coupling": ("how far a {outside} tube goes into a capillary fitting stands in no table: give its depth"),
    # Notes on a run
    "corner.repeated": "point {point} repeats point {one} and is merged with it",
    "corner.merged": "point {point} lies {off} from point {one} and is merged with it",
    "corner.in line": "point {point} is in line with points {one} and {other}: no bend there",
    "corner.straightened": (
        "point {point} asks for a bend of {angle} degrees, too small to be pulled (the least is {least}): the tube "
        "goes straight from point {one} to point {other} and passes it at {aside}; the finish stays where it is given"
    ),
    "item.former not used": "item {item} of the route makes no bend, so its own {former} is not used",
    "corner.former not used": "point {point} makes no bend, so its own {former} is not used",
    "bends.one corner": (
        "bends {one} and {other} touch and go the same way: they are one of {together} degrees, "
        "and written as one corner, take one pull"
    ),
    "bends.one return": (
        "bends {one} and {other} touch and go the same way: they are one of {together} degrees, "
        "and written as a return bend, take one pull"
    ),
    "ends.trim": "{trim} is left on at the finish, to be cut off after bending",
    "ends.goes in": (
        "{end}: the tube goes {depth} into "
        "{fitting|elbow=an elbow|tee=a tee|capillary=a capillary|compression=a compression|press=a press} fitting "
        "({source})"
    ),
    "ends.ends beyond": "{goes_in}, so it ends {beyond} beyond the point given, which is the fitting's {point}",
    "ends.ends short": "{goes_in}, so it ends {beyond} short of the point given, which is the fitting's {point}",
    "passover.flat": (
        "the flat over {thing} is {flat} centre to centre so that the former can hold it; the gap alone needs {needed}"
    ),
    "passover.too high": (
        "bends of this radius and angle lift the tube higher over {thing} than it needs: it clears by {has}, "
        "not {gap}; a smaller angle follows closer"
    ),
}
