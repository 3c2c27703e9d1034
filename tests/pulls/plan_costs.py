"""What the hands have to do for a plan of pulls, counted pull by pull."""


def turned(plan):
    """How often the other end goes into the stop, and how often another side of the tube has to face up."""
    return sum(pull.turn_round for pull in plan.pulls), sum(pull.turn_over for pull in plan.pulls)


def former_changes(plan):
    """How often another former is put in."""
    return sum(pull.change_former for pull in plan.pulls)
