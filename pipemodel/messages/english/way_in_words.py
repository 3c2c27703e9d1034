"""How a piece is brought to its place, motion by motion, and why it cannot be, in English."""

TEMPLATES = {
    "way in.list": "Bringing it in",
    "way in.label answer": "brought in",
    "way in.label least": "least clearance",
    "way in.label margin": "asked for",
    "way in.found": "yes{through}",
    "way in.not found": "no way was found{through}; one may exist all the same",
    "way in.impossible": "no: it cannot be{through}",
    "way in.by opening": " through {opening}",
    "way in.least": "{least}",
    "way in.frames": "the way in, step by step; the state before each step is drawn pale",
    "way in.frame title": "{run} brought in, steps {low} to {high}",
    "way in.opening": "{name}: {wide} by {high}",
    "way in.caution": (
        "The way is for the bent piece alone, with bare ends, and rigid where it is not said to be sprung; keep "
        "hands clear of edges, and let two carry what is long."
    ),
    "way in.begin": "begin outside: its start at {start}; its finish at {finish}",
    "way in.begin sprung": (
        "spring {ends}; no more, and keep it so until it is let go, for it must spring back; so {begin}"
    ),
    "way in.sprung end": (
        "its {end|start=start end|finish=finish end} {how|open=open|closed=closed} by {by}{push}, held "
        "beside bend {bend}"
    ),
    "way in.push": ", pushing there with about {push} N (the weight of {weight} kg)",
    "way in.end sprung": "{end|start=start|finish=finish}, {how|open=open|closed=closed} by {by}",
    "way in.let go": "{motion}; there let it spring back",
    "way in.sprung": (
        "run {run} goes in only sprung by hand: {ends}; no more than that, and it must spring back. Its worst fibre is "
        "then strained by {strain} %, of {limit} % allowed, {basis}. By hand alone, not where it is heated or jointed, "
        "nor if it is softer than stated; what does not spring back is out of its measures: check it again"
    ),
    "way in.half of proof": "half of what {proof} N/mm\u00b2 of proof stress strains it by",
    "way in.own strain": "as the job says",
    "way in.reach": "its {end|start=start end|finish=finish end} by {by}",
    "way in.sprung in vain": (
        "run {run}: no way in was found even with it sprung by hand, open or closed, {reach}, which strains it by "
        "{limit} % at the most, {basis}"
    ),
    "way in.not sprung": (
        "run {run}: within {limit} % of strain, {basis}, its ends spring by next to nothing; it was not tried sprung"
    ),
    "way in.through": "{leads} first through {opening}: {motion}",
    "way in.end leads": "{end|start=start end|finish=finish end}",
    "way in.bend leads": "bend {bend}",
    "way in.leg leads": "leg {leg}, sideways,",
    "way in.slide": "slide {moves}",
    "way in.slide along": "along leg {leg} ",
    "way in.slide at once": "slide {along}in one straight line {moves}",
    "way in.go": "{way|north=north|south=south|east=east|west=west|up=up|down=down} {far}",
    "way in.a little": "a little",
    "way in.towards": "{way|north=to the north|south=to the south|east=to the east|west=to the west|up=up|down=down}",
    "way in.towards wall": "towards {wall}",
    "way in.about end": (
        "hold the {end|start=start|finish=finish} end where it is and {kind|turn=turn|tip=tip} the "
        "{end|start=finish|finish=start} end {ways}, by {angle}\u00b0, until it has gone {moves}"
    ),
    "way in.about bend": (
        "hold bend {bend} where it is and {kind|turn=turn|tip=tip} the piece by {angle}\u00b0, until its start has "
        "gone {start}, and its finish {finish}"
    ),
    "way in.about leg": (
        "hold leg {leg} where it is and roll the piece about it by {angle}\u00b0, until the "
        "{end|start=start|finish=finish} end has gone {moves}"
    ),
    "way in.about middle leg": (
        "hold leg {leg} where it is and roll the piece about it by {angle}\u00b0, until its start has gone {start}, "
        "and its finish {finish}"
    ),
    "way in.turn": (
        "{kind|turn=turn|tip=tip} it by {angle}\u00b0, until its start has gone {start}, and its finish {finish}"
    ),
    "way in.roll": (
        "roll it about its own length by {angle}\u00b0 {hand|clockwise=clockwise|anticlockwise=anticlockwise}, seen "
        "from its start"
    ),
    "way in.and roll": (
        "{motion}, rolling it {angle}\u00b0 {hand|clockwise=clockwise|anticlockwise=anticlockwise} as seen from its "
        "start"
    ),
    "way in.near": "{motion}; {left} stays free at the narrowest, from {thing}",
    "way in.rounded": (
        "lengths are rounded to {mm} and angles to {deg}\u00b0; moved so, at least {kept} stays free all the way"
    ),
    "way in.rounded too far": (
        "lengths are rounded to {mm} and angles to {deg}\u00b0, and the way is narrower than that: go by eye where it "
        "is said how little stays free"
    ),
    "way in.no: too small": (
        "the tube needs {need} to pass {opening} with its margin on both sides, and no circle larger than {has} across "
        "lies in it"
    ),
    "way in.no: no straight way inside": (
        "the straight leg of {leg} cannot lie straight in from {opening}, however it is turned, and it would have to "
        "when its last end goes through"
    ),
    "way in.no: no straight way outside": (
        "the straight leg of {leg} cannot lie straight out from {opening}, however it is turned, and it would have to "
        "when its first end comes to it"
    ),
    "way in.no: no straight way across": (
        "the straight leg of {leg} cannot stand half through {opening}, however it is turned, and it would have to on "
        "the way"
    ),
    "way in.no: bend does not pass": (
        "bend {bend} cannot stand in {opening}, however the piece is turned, and it would have to on the way"
    ),
    "way in.help order": "it can be brought in before {others}",
    "way in.help bend": (
        "with bend {bend} left straight it can be brought in, and that bend made in place, if the bender gets there"
    ),
    "way in.help joint": "with 1 joint it can be brought in piece by piece: {joint}",
    "way in.help joints": "with {n} joints it can be brought in piece by piece (with fewer no way was found): {joints}",
    "way in.joint": "{at} from the start, in leg {leg}",
    "way in.joint from": "{at} from the start, in leg {leg}, made from {side}",
    "way in.help opening": "with {opening} larger by {by} all round it can be brought in",
    "way in.help opening no less": (
        "with {opening} larger by {by} all round it can be brought in (with {less} no way was found)"
    ),
    "way in.help write": "{help}: {write}, and cut {things} back to there",
    "way in.no: too wide": (
        "it does not fit into {opening}, a passage deeper than the piece is long, so that all of it is in there once; "
        "however it is turned, every side would have to stand back by {by} or more for it and its margin"
    ),
    "way in.no: proved": "run {run} cannot be brought in: {why}",
    "way in.would help": "run {run}: what would help, each with a way that was found: {helps}",
    "way in.no help found": (
        "run {run}: no other order, bend left to the end, joint or larger opening was found that would help; each was "
        "tried with less effort than the search itself, so a greater effort may find one"
    ),
}
