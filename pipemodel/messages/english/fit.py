"""How likely a run is to fit, in English."""

TEMPLATES = {
    "fit.lands": (
        "run {run}: bent by hands such as the job says, the finish lands within {sideways} sideways and {along} along "
        "its last leg of where it is drawn, 19 times in 20; {share} fit, {within}; {most}{reading}{joints}{tail}{plan}"
    ),
    "fit.as drawn": "run {run}: nothing in it is bent by hands that err, so the finish lies where it is drawn",
    "fit.within": "within {sideways} sideways and {along} along{assumed}",
    "fit.within and trim": "within {sideways} sideways, with {trim} left on to cut where it has to end{assumed}",
    "fit.assumed": " (common practice; write within under the run's finish)",
    "fit.share": "about {n} in 100 pieces",
    "fit.of tried": "{hits} of {n} pieces tried",
    "fit.nearly all": "more than 99 in 100 pieces",
    "fit.nearly none": "fewer than 1 in 100 pieces",
    "fit.source": "the {what|mark=mark of|angle=angle of|turn=roll to} bend {bend}",
    "fit.room": "how well the room is measured",
    "fit.most": "{what} matters most",
    "fit.reading": "; of all checks the one that gains most is {which}",
    "fit.joints": ("; at {n} {n|joint|joints} what follows is rolled to where the finish lands best"),
    "fit.after pull of piece": "after pull {pull} of piece {piece}: {how}",
    "fit.and tail": "; {tail}",
    "fit.leave": "leave the finish {long} long and cut it with the bent piece held in its place: {share} fit",
    "fit.leave start": (
        "leave {end|start=the start|both=each end} {long} long, every mark that much farther from the start, and cut "
        "it with the bent piece held in its place: {share} fit"
    ),
    "fit.and plan": "; {plan}",
    "fit.by plan": "pulled in the order that is most accurate, {share} fit",
    "fit.after pull": "after pull {pull}: {how}",
    "fit.touches": "run {run}: {share} touch {against}, {near} clear as drawn ({n} pieces tried)",
    "fit.touched": "{against}: {share}",
    "fit.row": "{items}",
    "fit.label chance": "chance",
    "fit.label lands": "finish lands",
    "fit.label matters": "matters most",
    "fit.label touches": "touches",
    "fit.label tail": "leave long",
    "fit.label plan": "other plan",
    "fit.label check": "best check",
    "fit.fits": "{share} fit, {within}",
    "fit.19 in 20": "within {sideways} sideways and {along} along, 19 times in 20",
    "fit.part": "{what}: {n} % of the scatter",
    "fit.touches nothing": "nothing, in {n} pieces tried",
    "fit.check gains": "{which}; put right after it, the finish scatters {n} % as far",
    "fit.not linear": (
        "run {run}: with errors as large as these the finish does not follow them in proportion; the figures of {n} "
        "simulated pieces count, the covariance is a first estimate"
    ),
    "fit.list": "Chance that it fits",
    "fit.more": "by hands such as the job says, start end and first leg as drawn",
}
