"""What is said of ways that are found."""

TEMPLATES = {
    "finding.run": "finding a way for {run}",
    "finding.beside": "looking beside {run}",
    "finding.bends": "looking with {n} {n|bend|bends}",
    "finding.other": "looking for another way ({n})",
    "finding.missed": "no way found; looking for the nearest miss",
    "ways.list": "Ways found",
    "ways.about": "The best first, compared by {by}; a later one only decides between equals.",
    "ways.before the first": (
        "The job takes way 1, the best of those found first with the fewest bends. Way {n} was found later and "
        "compares better; its moves, to be pasted in its place, are printed by route with --format yaml."
    ),
    "ways.head angles": "angles",
    "ways.head spare": "to\nspare",
    "ways.head nearest": "nearest to",
    "ways.head pulled": "can be\npulled",
    "ways.head gets in": "gets\nin",
    "ways.head reach": "out of\nreach",
    "ways.head joints": "joints",
    "ways.head cuts": "new\ncuts",
    "ways.head beside": "beside\nit",
    "ways.head fits": "in 100\nfit",
    "ways.head unsupported": "without\nclip",
    "ways.angles": "{angles}",
    "ways.chance": "{n}",
    "ways.yes": "yes",
    "ways.no": "no",
    "ways.line": "way {number}: {n} {n|bend|bends}, cut {length}{near}",
    "ways.near": ", {spare} from {against}",
    "ways.title": "Ways for {job}",
    "ways.none": "No way for {run}: {why}",
    "ways.paste": "As moves, to be pasted into the job in place of find:",
    "ways.cuts": (
        "New holes and notches, to be pasted under the things of the room as well. "
        "Cut nothing before whoever answers for the structure has agreed:"
    ),
    "ways.stopped": "stopped before all was looked at; this is the best so far",
    "finding.stopped": "it was stopped before a way was found",
    "finding.no room": (
        "no way was found, even through all that stands there: the ends are too near to each other for the bends it "
        "takes; give them more room, turn one of the directions, or name a former of a smaller radius"
    ),
    "finding.nearest miss": "no way was found; the nearest miss is too near to {what}, through {through}",
    "finding.near itself": "no way was found; the nearest miss is too near to itself, through {through}",
    "finding.into": "{against} (into it by {by})",
    "finding.lacking": "{against} (lacking {by})",
    "ways.caption": "the best as a tube, the others dashed and dotted, each with its number",
    "drawing.ways": "{run}: ways, seen {view}",
    "finding.breaks rules": "no way was found that breaks no rule; clear of everything is one through {through}",
    "finding.void": "a side of the void",
    "finding.end in": (
        "run {run}: its {end|start=start|finish=finish} lies in {against}; move it, or say {joins} if it is "
        "connected there"
    ),
    "finding.end near": (
        "run {run}: its {end|start=start|finish=finish} is {has} from {against}, and {asked} is asked for; move it, or "
        "say {joins} if it is connected there"
    ),
    "finding.end walled": (
        "run {run}: its {end|start=start|finish=finish} faces {against}, {has} off, where a straight and a bend need "
        "{needs}; move it back by {by}, or turn its direction"
    ),
    "finding.end out of void": (
        "run {run}: {by} of the tube at this end lies outside the void; make the void larger, or move the end"
    ),
    "finding.ends cross": (
        "run {run}: start and finish lie in each other's way: a tube with a bend is straight for {straight} at either "
        "end; move one of them, or turn one of the directions"
    ),
}
