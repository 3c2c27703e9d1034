"""What is wrong with a tube, a tool, an end, a reading or a jig in a job."""

TEMPLATES = {
    "fault.end into": "say what the end goes into, such as fitting: capillary, or what it joins; or leave it out",
    "fault.plain end": (
        "a plain end goes into nothing: name its fitting, or leave out 'to', 'depth' and 'centre_to_stop'"
    ),
    "fault.a tube": "a tube is a size such as 15 or '15 x 1.0', or its measures {{outside: 15, wall: 0.7}}",
    "fault.a former": "a former is the name of one, or its measures such as {{radius: 55}}",
    "fault.no bore": "a wall of {wall} leaves no bore in a tube of {outside}; it must be less than {half}",
    "fault.springback share": "springback of {share} per degree; write a share such as 0.05",
    "fault.springback fixed": "a fixed springback of {fixed} degrees; write a few degrees, such as 1.5",
    "fault.mark rim": "a mark set by a square against the rim needs the rim: its distance from the former's axis",
    "fault.bender box": "a box has no thickness one way: 'from' and 'to' must differ in x, y and z",
    "fault.bender reach": "it is out of a bender's reach",
    "fault.bender radius": "a bender needs radius (that of its former) or like (another that it is like)",
    "fault.a bender": (
        "a bender is the name of one, such as '15 mm hand bender'; or like, radius, body, lever, guide, room; or "
        "{{file: benders.yaml, name: mine}}"
    ),
    "fault.which rules": "say which rules with 'set', a name, or with 'file', one of the two",
    "fault.celsius": "{value} degrees Celsius; write from {least} to {most}",
    "fault.hottest": "hottest: {hottest} must be more than coldest: {coldest}",
    "fault.short text": "write a short text, at most {longest} letters and figures",
    "fault.date": "write a date as year, month and day, such as 2026-11-25",
    "fault.reading between": (
        "a reading goes between two `points: [A, B]`, or from a `wall: [A, B]` or `above: A` to a point"
    ),
    "fault.reading to": "`to` names the point that is measured from a wall or above a point, and belongs to those",
    "fault.reading tube": "`tube` is for a reading from a wall to tube held in its clip",
    "fault.tape reads": "a tape reads more than 0, not {reads}",
    "fault.reading same": "a reading goes between different points",
    "fault.bed size": "a bed of {x} x {y} x {z}; each must be from {least} to {most}",
    "fault.revision": "{value} is no revision; write up to six letters and figures, such as A or 2.1",
    "fault.part": "{value} is no part of a piece; write its first bend and its last, such as [2, 4]",
    "fault.part bends": "bends {first} to {last}; write the first from 1 on, and the last no lower, such as [2, 4]",
    "fault.jig angle": "a tolerance of {angle} degrees; write 0.05 to 20, such as 1",
    "fault.layers": "layers of {layer} are too thick for a nozzle of {nozzle}: at most 0.8 of it",
    "fault.needs runs": "a job needs at least one run; write its name and its points under runs",
    "fault.offcuts by size": (
        "a list of offcuts is of the job's tube, and this job has none; write them by size, {{15: [1200]}}"
    ),
    "fault.run no tube": "the run {name} has no tube; write tube: 15 for the job or for the run",
    "fault.jig position": (
        "a position tolerance of {position} is more than the tube is thick ({outside}): such a jig would judge "
        "nothing; write a few millimetres"
    ),
    "fault.cut by rules": (
        "where {key} may be cut in joists is said by rules; name some that do, such as rules: [NHBC 2020]"
    ),
    "fault.former name": "a former with a history needs a name, by which its bends are known in it",
    "fault.former size": "the {former} is for tube of {outside} mm, and this is {tube}; name a former of its size",
    "fault.has": "this has {given}",
    "fault.has none": "this has none",
    "fault.fitting centre": (
        "the centre of {kind|elbow=an elbow|tee=a tee|capillary=a capillary|compression=a compression|press=a press|"
        "plain=a plain} fitting: give its centre_to_stop, or measure to its mouth"
    ),
    "fitting.depth": (
        "how far a {outside} mm tube goes into a {kind|elbow=elbow|tee=tee|capillary=capillary|compression=compression|"
        "press=press|plain=plain} fitting stands in no table: give its depth"
    ),
    "fitting.run short": "the run is {has} long between its fittings, which together take {takes}",
    "fitting.leg short": (
        "the {end|start=start|finish=finish} leg is {has} long to the centre of its fitting, which alone takes {takes}"
    ),
    "fault.with learned": "with what {file} says of it: {why}",
    "fault.no own former": "{file} has no former {name}; it has {there}",
    "fault.unknown former": "no former {name}; the nearest are {near}; or give its own {{radius: ...}}",
    "fault.radius": (
        "a radius of {radius} mm is impossible for {tube}: the centreline's radius must be more than half the outside "
        "diameter, {half} mm; {missing} mm is missing"
    ),
    "fault.radius small": (
        "a radius of {radius} mm is smaller than {tube} allows: it needs at least {least} mm, {missing} mm is "
        "missing{where|upper end= at its upper end|itself=}; use a larger former, or say allow_tight: true"
    ),
    "tube.unknown": "no tube {tube} in the tables{else_}",
    "tube.no copper": "no copper tube {tube} in the tables; there is {there}",
    "tube.several": "tube {tube} could be {there}: say which",
    "tube.odd": ": {rest} is not understood",
    "tube.not understood": (
        "no tube {tube} in the tables{odd}; write a size as '15', '15 x 1.0', '22 stainless' or '1/2 type L'"
    ),
    "tube.no size": "no tube {tube} in the tables: {size} is not a size",
    "tube.same diameter": "; of that diameter there is {there}",
    "tube.nearest": "; the nearest are {there}{hint}",
    "tube.in inches": " (bare numbers are mm; a size in inches is written '1/2 in type L')",
    "clips.none": "no clip spacings are known for {service}; there are those for {there}",
    "clips.thin": (
        "no clip spacing is published for {service} in {outside} mm tube (the least is {least} mm): give your own"
    ),
    "fault.clips own": "{why}: spacing: {{level: ..., upright: ...}}",
}
