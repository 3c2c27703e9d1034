"""Why a run cannot be pulled, and what the hands do at each pull, in English."""

TEMPLATES = {
    # Why no order of pulls works
    "pull.bends nothing": (
        "bend {bend} of {angle} degrees would be pulled to {pull}, which bends nothing: tube springs open, "
        "so the springback of {spring} there should be above 0"
    ),
    "pull.too far": (
        "bend {bend} of {angle} degrees has to be pulled to {pull}; the former goes no further than {most}"
    ),
    "pull.too short": "{leg} is {has}; {needs} is needed {what_for}: {more} longer{cut_off}",
    "pull.can be cut off": " (it can be cut off after bending)",
    "pull.to hold": "to hold the pull beside it",
    "pull.to guide": "to guide the pull beside it",
    "pull.to hold and guide": "for the former to hold {hold} and guide {guide}, tube not bent yet included",
    "pull.spread legs": "spread its legs",
    "pull.longer keeps clear": "{leg} {more} longer keeps it clear",
    "pull.crosses itself": (
        "bent as drawn, the {place} goes {deep} into the tube's own {other}, whatever the order of pulls; {way_out}"
    ),
    "pull.blocked": (
        "bend {bend}{made}, held by the {held} side, can't be pulled: "
        "the {side} side's {place} {goes} at {angle} degrees{way_out}"
    ),
    "pull.goes in": "goes {deep} into {into}",
    "pull.touches": "comes too near to be told apart from touching {into}",
    "pull.into itself": "the tube's own {place}",
    "pull.after bends": " after {bends|bend|bends} {bends}",
    "pull.search cut short": "{way_out} (the search was cut short: an order may exist that was not looked at)",
    "pull.leg longer": "{leg} {more} longer",
    "pull.leg longer, cut off": "{leg} {more} longer, cut off after bending,",
    "pull.longer frees it": "; {legs} {legs|frees|together free} it{or_joint}",
    "pull.longer frees some": "; {legs} {legs|frees|together free} some of its bends, not all{or_joint}",
    "pull.or a joint": ", or a joint in the {leg} does",
    "pull.a joint frees it": "; a joint in the {leg} frees it",
    "pull.nothing frees it": "; neither longer legs nor a joint were found to free it",
    # Parts of a bender, as they stand after "into" and "touching"
    "bender part.own": "the {part}",
    "bender part.bench": "the bench",
    "bender part.block": "the guide",
    "bender part.far leg": "the bender's leg farther from you",
    "bender part.far plate": "the lower plate of the lever",
    "bender part.fixed handle": "the bender's fixed handle",
    "bender part.floor": "the floor",
    "bender part.former": "the former",
    "bender part.frame": "the bender's frame",
    "bender part.handle": "the lever",
    "bender part.lower rim": "the lower rim of the former",
    "bender part.near leg": "the bender's leg on your side",
    "bender part.near plate": "the upper plate of the lever",
    "bender part.post": "the bender's post",
    "bender part.right leg": "the bender's leg on your right",
    "bender part.roller": "the roller of the lever",
    "bender part.stop": "the stop",
    "bender part.stop bracket": "the bracket of the stop",
    "bender part.upper rim": "the upper rim of the former",
    "bender part.vice": "the vice",
    # What to draw otherwise, so that an order works
    "way.of bends": "the {of|set=set|passover=passover} of bends {first} to {last}",
    "way.angle": "{which} at {to}° instead of {was}°{kept}{first}",
    "way.top angle": "{which} with {to}° on top instead of {was}°{kept}{first}",
    "way.offset kept": ", with its offset of {offset} as it is",
    "way.place": "{which} drawn {by} {way|on=further from|back=nearer to} the start{first}",
    "way.offset": "{which} with an offset of {to} instead of {was}{first}{finish}",
    "way.leg": "the {leg} {more} longer{cut_off}{finish}",
    "way.first": "; pulled first",
    "way.written": "{way}; {write}",
    "way.write": "write {edits}",
    "way.points": "points: {text} in place of {instead} (run in line {line})",
    "way.point": "point {n}: {text} (line {line})",
    "way.edit": "{text} (line {line})",
    "way.finish moves": "; the finish end then moves by {by}",
    # The card of a pull
    "card.mark": "mark at {at} from the start end, square round the tube{check}",
    "card.mark beginning": (
        "mark at {at} from the start end, where the bend begins, square round the tube (the former's own mark would "
        "lie {lost}){check}"
    ),
    "mark.off the tube": "off the tube, beyond its {end} end",
    "mark.on a bend": "on or beyond bend {bend}, which is made already",
    "card.check": "; check: {far} {how}",
    "card.from back": "from the back of bend {bend}{at}",
    "card.inside line": (
        "draw the inside line of bend {bend}: {far} round the tube ({angle}°){way} from that of bend {last}"
    ),
    "card.inside line on": "draw the inside line of bend {bend} on with that of bend {last}",
    "card.seen from start": " {way}, seen from the start end,",
    "card.put in": "put in the {former}",
    "card.put in, radius": "put in the {former}, radius {radius}",
    "card.change former": "change the former: {put_in}",
    "card.lay": "{left} end to your left{stop}; {right} end to your right",
    "card.in the stop": ", in the stop",
    "card.turn end for end": "turn the tube end for end: {left} end to your left{stop}; {right} end to your right",
    "card.any side up": "any side up; the inside of bend {bend} will face {faces}: draw a line along it",
    "card.same side up": "the same side up as before: the inside line of bend {bend} faces {faces}",
    "card.roll half": "roll the tube half a turn; the inside line of bend {bend} then faces {faces}",
    "card.roll": "roll the tube {turn}, its top {side}{faces}",
    "card.then faces": "; the inside line of bend {bend} then faces {faces}",
    "card.bring to rim": "slide the tube until the mark stands at the rim's start",
    "card.bring past": "slide the tube until the mark stands {far} past the rim's start, square across",
    "card.bring short": "slide the tube until the mark stands {far} short of the rim's start, square across",
    "card.bring to square": (
        "slide the tube until the mark stands {far} past the rim's start, where a square against the rim meets the tube"
    ),
    "card.spring at mark": "slide the spring over the bend, your knee under it: the bend begins at the mark",
    "card.spring off mark": (
        "slide the spring over the bend, your knee under it: the bend begins {far} from the mark, "
        "on the side of the {end} end"
    ),
    "card.guide in": "guide in, lever up to it{level}",
    "card.spring in": "hold the tube on both sides of the spring{level}",
    "card.beyond": "; the tube beyond bend {bend} {stands}",
    "card.plumb up": "stands plumb, upwards",
    "card.plumb down": "hangs plumb, downwards",
    "card.level": "lies level, pointing {way}",
    "card.points above": "points {way}, {angle}° above level",
    "card.points below": "points {way}, {angle}° below level",
    "card.pull": "pull towards you to {angle}° and let go{back}",
    "card.pull down": "pull down to {angle}° and let go{back}",
    "card.springs back": "; it springs back to {angle}°",
    "card.take care": "{of}",
    "card.not shown": "take care, these checks do not show for sure: {mistakes}",
    "card.mistake": (
        "{mistake|angle=an angle out by |twist=a twist of |mark=a mark out by |no springback=no springback allowed for|"
        "other mark=another bend's mark|wrong end=the wrong end in the stop|not rolled=a roll left out|"
        "wrong roll=a roll the wrong way|wrong way=a bend the wrong way}{out}{moves}"
    ),
    "card.moves": " (off by {most} at most)",
    # What must be true after a pull
    "measure": "{far} {how}",
    "measure.where its backs meet": ", where the backs of its two legs meet",
    "measure.where their backs meet": ", where the backs of their legs meet",
    "measure.end to back": "from the {end} end to the back of bend {bend}{at}",
    "measure.back to back": "from the back of bend {one} to the back of bend {other}{at}",
    "measure.over legs": "over the outsides of the legs before bend {before} and after bend {after}",
    "measure.between legs": "between the insides of the legs before bend {before} and after bend {after}",
    "measure.passover": (
        "over the outsides, from the legs before bend {before} and after bend {after} up to the back of bend {top}"
    ),
    "measure.at that bend": ", at bend {bend} where the backs of its two legs meet",
    "measure.by card": "bend {bend} is {angle}° by its angle card, both edges along its legs",
    "measure.off a leg": (
        "square off a straight-edge along the leg {side} bend {bend} to the middle of the tube at {at}, "
        "the straight-edge on the side {lies|near=of|away=away from} that place"
    ),
    "measure.corner": (
        "across bend {bend}, from a pencil ring {far} from its back{at} on one leg to a ring as far from it on the "
        "other leg, over the tops of both"
    ),
    "measure.flat": "the whole piece lies flat on the bench, with both legs of bend {bend}",
    "measure.at end": "the {end} end",
    "measure.at ring": "a pencil ring {far} from the {end} end",
    "measure.at ring on leg": "a pencil ring on the leg {side} bend {bend} ({far} from the back of that bend{at})",
    "measure.off the bench": ("from the bench up to {at}, with both legs of bend {bend} flat on the bench{past}"),
    "measure.on the bench": "{at} lies on the bench too, with both legs of bend {bend} flat on it{past}",
    "measure.off the line": (
        "from the line of the leg {side} bend {bend} square across to under {at}, "
        "on the {towards|same=inside|other=outside} of that bend, with both legs of bend {bend} flat on the bench"
    ),
    "measure.on the line": (
        "{at} stands plumb over the line of the leg {side} bend {bend}, with both legs of bend {bend} flat on the bench"
    ),
    "measure.off now": "{how}: on this piece it is {far} off",
    "measure.past the edge": ", what hangs lower past its edge",
    "measure.round": (
        "bend {bend} is round, with no flat and no ripple: by caliper across its middle at most {most} wider one way "
        "than the other, or the guide was not in"
    ),
    "measure.across": "from the middle of one end to the middle of the other",
    "look.hand": (
        "both legs of bend {bend} on the bench and the {end} end up: "
        "seen from the start end, bend {bend} goes off to your {hand}"
    ),
    "look.hand of leg": (
        "both legs of bend {bend} on the bench and the leg {side} bend {other} up: "
        "seen from the start end, bend {bend} goes off to your {hand}"
    ),
    "look.way round": (
        "from the start end, bend {bend} turns {way|same=the same way round as|opposite=the opposite way to} "
        "bend {other}"
    ),
    # Why a mistake does not show
    "unseen.straight": "the tube is still straight before this pull: every side of it is alike",
    "unseen.both ways": "no roll, and half a turn, are the same both ways",
    "unseen.flat": "how far a bend flattens without its guide is not known: the caliper shows whether it is too far",
    "unseen.too little": "the clearest reading goes off by {far} and is read to ± {within}: not for sure",
    "unseen.no measure": "no measure that one person can take shows it",
    # Turns and rolls
    "turn.first bend": "first bend",
    "turn.same way": "0, the same way again",
    "turn.other way": "180, the other way",
    "turn.by": "{size} {way}",
    "turn.eighth": "an eighth of a turn",
    "turn.quarter": "a quarter turn",
    "turn.three eighths": "three eighths of a turn",
    "roll.first pull": "first pull: any side up",
    "roll.same side": "0, the same side up",
    "roll.half": "180, half a turn",
    "roll.end for end": "end for end, {roll}",
}
