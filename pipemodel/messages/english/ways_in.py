"""How a run is brought to its place, in English."""

TEMPLATES = {
    "ways in.found": (
        "run {run} can be brought in {where}: the way goes through {n} states, at least {least} clear of everything"
    ),
    "ways in.through opening": "through {opening}",
    "ways in.from open space": "from open space",
    "reach.joint": "the joint",
    "reach.clip": "clip {n}",
    "reach.cut": "the cut in {thing}",
    "reach.arm": (
        "an arm {thick} thick that reaches {arm} from the opening, straight or bent once, its last {hand} a hand"
    ),
    "reach.missed": "run {run}: {what} {where} is not reached through {openings}: no place was found for {arm}",
    "reach.all": (
        "a hand gets through {openings} to all joints, clips and cuts ({n} of {all}): {arm}; runs were not counted as "
        "in its way, nor a torch or a drill as longer than a hand"
    ),
    "reach.some": (
        "a hand gets through {openings} to {n} of {all} joints, clips and cuts: {arm}; runs were not counted as in its "
        "way, nor a torch or a drill as longer than a hand; places for elbows were tried on a grid"
    ),
    "ways in.order": "bring in {first} first, then {rest}: each goes in past those that are there already",
    "ways in.place too near": (
        "run {run} cannot be brought in with a margin of {margin}: in its very place it stands nearer than that to "
        "{thing}; ask for a smaller margin, or move the run"
    ),
    "ways in.outside already": (
        "run {run}: all of it lies outside {opening} already; "
        "give outside on the other side of the opening, or another opening"
    ),
    "ways in.not found": (
        "run {run}: no way in was found with {n} placements tried, which is no proof that there is none; {where} at "
        "the best {left} of it are still inside; {blocked}; give more effort, a smaller margin or another seed"
    ),
    "ways in.not closed": (
        "{said}; by this opening alone there is no way, since {why}; but what stands round the place is not "
        "known to close it in everywhere else"
    ),
    "ways in.stopped": (
        "run {run}: the search for a way in was stopped after {n} placements; {where} at the best {left} of it are "
        "still inside; {blocked}"
    ),
    "ways in.of opening": "out through {opening}",
    "ways in.of open space": "out into the open",
    "ways in.blocked": "what stops it most often is {thing}",
    "ways in.not blocked": "nothing stopped it",
    "ways in.only alone": (
        "run {run} can be brought in only while {other} is not there yet; no order was found in which all of them go in"
    ),
    "ways in.not looked for": "run {run}: no way in was looked for, since the search was stopped before",
}
