"""What the hands have to do for a plan of pulls, and for every order there is, by the words of the rule alone."""

import itertools

from pipemodel.pulls.piece import kg_per_mm


def turned(plan):
    """How often the other end goes into the stop, and how often another side of the tube has to face up."""
    return sum(pull.turn_round for pull in plan.pulls), sum(pull.turn_over for pull in plan.pulls)


def former_changes(plan):
    """How often another former is put in."""
    return sum(pull.change_former for pull in plan.pulls)


def swung(run, plan):
    """The mass of what swings at each pull, over all pulls: the side of the bend that is not held; kg."""
    bends = {b.number: b for b in run.table.bends}
    free = [
        run.table.length_mm - bends[pull.bend].finish_mm if pull.held == "start" else bends[pull.bend].start_mm
        for pull in plan.pulls
    ]
    return sum(free) * kg_per_mm(run.tube)


def straights(run, bend, held, made):
    """The straight on the held side and on the other side, scanned along the flat tube."""
    bends = {b.number: b for b in run.table.bends}
    left, right = 0.0, run.table.length_mm
    for number in made:
        if number < bend:
            left = max(left, bends[number].finish_mm)
        else:
            right = min(right, bends[number].start_mm)
    before, after = bends[bend].start_mm - left, right - bends[bend].finish_mm
    return (before, after) if held == "start" else (after, before)


def up(run, bend, held):
    turned = sum(b.turn_deg for b in run.table.bends[:bend])
    return (turned + (180 if held == "finish" else 0)) % 360


def every_order(run):
    """Every order that works, pull by pull, with its (turn-rounds and changes of former, turn-overs, swinging mass)."""
    formers, n = run.formers, len(run.table.bends)
    for order in itertools.permutations(range(1, n + 1)):
        for helds in itertools.product(("start", "finish"), repeat=n):
            mass, ok = 0.0, True
            for i, (bend, held) in enumerate(zip(order, helds, strict=True)):
                hold, guide = straights(run, bend, held, order[:i])
                if hold < formers[bend - 1].hold_mm - 1e-6 or guide < formers[bend - 1].guide_mm - 1e-6:
                    ok = False
                    break
                b = run.table.bends[bend - 1]
                mass += (run.table.length_mm - b.finish_mm if held == "start" else b.start_mm) * kg_per_mm(run.tube)
            if not ok:
                continue
            rounds = sum(a != b for a, b in itertools.pairwise(helds))
            changes = sum(formers[a - 1].name != formers[b - 1].name for a, b in itertools.pairwise(order))
            sides = [up(run, b, h) for b, h in zip(order, helds, strict=True)]
            overs = sum(min((a - b) % 360, (b - a) % 360) > 0.5 for a, b in itertools.pairwise(sides))
            yield (rounds + changes, overs, mass), tuple(zip(order, helds, strict=True))


def every_cost(run):
    """The cost of every order that works, as in `every_order`."""
    return [cost for cost, _ in every_order(run)]
