"""What is wrong with a name, or with what a job names, in English."""

TEMPLATES = {
    "name.none": "a {what|job=job|run=run|thing=thing|opening=opening} needs a name",
    "name.long": (
        "the name of this {what|job=job|run=run|thing=thing|opening=opening} has {n} characters; use at most {most}"
    ),
    "name.expression": "the name of a {what|job=job|run=run|thing=thing|opening=opening} cannot be an expression",
    "name.control": "the name {name} holds a control character; leave it out",
    "name.space": "the name {name} begins or ends with a space; leave it out",
    "name.no file": "the name {name} cannot be a file's; write {better}",
    "name.device": "the name {name} belongs to a device on some machines; write {better}",
    "name.taken": (
        "a run called {name} would have the same file as job.step, which holds the whole job; call it otherwise"
    ),
    "name.revision": "a revision is a few letters or figures, such as B, at most {most}",
    "name.same file": (
        "the runs {name} and {earlier} would share a file{why|capitals= where capitals do not count|same=}; rename one"
    ),
    "name.as text": "the job's name is text; put it in quotes",
    "fault.a bed": "a bed is its sizes, such as [220, 220, 250], or one of {names}",
    "fault.jig tolerance": (
        "a {key} tolerance of {mm}: a printed slot is no truer than 0.3, so write 0.3 or more, such as 3"
    ),
    "fault.jig within": "{key} is {value}; it must be from {low} to {high}{meant}",
    "fault.jig timber": (
        ": the side of a square batten, such as 44; on a thinner one a cradle's two screws, 27 apart or more, "
        "have no wood round them"
    ),
    "fault.criteria": "write a list of {there}",
    "fault.no criterion": "{one} is nothing to compare ways by; there are {there}",
    "fault.strain": (
        "strain is {strain}; it must be more than 0 and less than {most}, from where on copper stays bent: 0.0005 "
        "is 0.05 %"
    ),
    "fault.bender part": "a part is one of box, cylinder, below (everything below that height)",
    "fault.no bender": "no bender is called {name}; there is {there}",
    "file.benders": "{file}: a file of benders holds names, each with a bender below it",
    "file.no formers": "{file} holds no formers; it is a group of names, each with radius and so on",
    "file.former key": (
        "leave out the {key|name=name|history=history} of the former {name}: {key|name=its name stands before its "
        "figures already|history=a job names it}"
    ),
    "file.whole": "the file {file}: {said}",
    "file.at line": "{file}, line {line}: {of}{said}",
    "file.of": "{name}: ",
    "file.ending": "{file} is no file that can be read here; its ending may be {endings}",
    "fault.holes go": (
        "holes of this thing go {way|up=up and down|thickness=through its thickness}; leave 'through' out"
    ),
    "fault.hole beside": "the middle of this hole lies beside the thing, or in an opening that is wider",
    "fault.no such kind": "{name}: no rules name {kind}; a thing may be {may}",
    "rules.to from": "to {to} must be more than from {from_}",
    "rules.row twice": "two rows are of tube {what|from=from|bore=up to a bore of} {size}; write one",
    "rules.runs": "runs is no key of a set of rules; in the job it stands beside 'file'",
    "rules.none called": "no rules are called {name}; there is {there}",
    "history.not in": "{file} holds no bend of {of} ({tube}); it has {there}",
    "history.former": "the former {former} with tube {tube}",
    "history.text": "at most {most} letters, figures and signs on one line, without a space before or after",
    "history.quotes": "this is text; put it in quotes",
    "history.nameless": "this needs a name",
    "history.number": "a whole number from 0 to {most}",
    "history.bend": "a bend is at most 200 degrees, and is pulled a little further than that",
    "fault.history radius": "a measured radius needs radius_sd: how well it was read, as a standard deviation",
    "history.turn": "turn and turned go together: what was asked for, and what it came out as",
    "file.all": "{said}",
}
