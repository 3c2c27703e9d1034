"""What a machine refuses or lacks, in English."""

TEMPLATES = {
    "refused": (
        "{why|none=No such file or directory|denied=Permission denied|folder=Is a directory|no folder=Not a "
        "directory|full=No space left on device|read only=Read-only file system|there=File exists|long=File name "
        "too long|in use=Address already in use|broken=Input/output error}"
    ),
    "folder.name": "{name} cannot be a file's name on every system; nothing was written",
    "folder.same file": (
        "two documents would have the same file, {first} and {second}; nothing was written. Give one of the runs "
        "another name"
    ),
    "folder.link": "{out} is a link to nothing; name a folder",
    "folder.file": "{out} is a file, not a folder; name another with --out",
    "folder.strange": (
        "{out} holds what was not written here, or was changed since: {names}{more}. Nothing was overwritten; "
        "name another folder with --out, or move these away"
    ),
    "folder.more": " and {n} more",
    "folder.beside": "cannot write beside {out}: {why}",
    "folder.cannot": "cannot write {out}: {why}; nothing was changed",
    "folder.not ours": "{file} was not written here, or was changed since; nothing was overwritten",
    "file.unwritten": "{file} cannot be written: {why}",
    "file.unread": "{file} cannot be read: {why}",
    "history.other": (
        "{file} has bend {bend} of this piece with other readings. If it is another piece, say which: --piece 2; "
        "if it was measured again, first take its line out. Nothing was written"
    ),
    "history.there": "{file} is there already; name it among the files too, or write another",
    "history.left": "{file} is left as it was: {why}",
    "history.changed now": "{file} was changed by somebody else just now and is left as it is; try again",
    "missing.models": (
        "building models are read by ifcopenshell, which is missing; pip install 'pipemodel[models]' brings it"
    ),
    "missing.needs": (
        "on Debian and Ubuntu the packages libegl1, libgl1, libgl1-mesa-dri and libxrender1 bring what it asks for"
    ),
    "missing.library": (
        "{what|meshes=what reads mesh and STEP files|step=what reads STEP files|kernel=the CAD kernel} cannot be "
        "loaded ({reason}); {needs}"
    ),
    "missing.loading": "a library it needs cannot be loaded ({reason})",
    "missing.no jig": "the job asks for no jig; write jig: in it, or run pipemodel jig",
    "missing.numba": (
        "to find a way in, the library numba is needed, and it cannot be loaded ({reason}); install it with pip "
        "install numba, or leave out bring in and openings"
    ),
    "missing.memory": (
        "the job needs more memory than this machine gives; leave out what is far off, take meshes with fewer "
        "triangles, or divide the job"
    ),
    "fault.not closed": (
        "the bend table worked out gives legs or a finish {off} mm from what is asked for, and {within} mm is "
        "allowed; this is a fault of pipemodel, so nothing is printed: please report it with the job"
    ),
    "fault.which run": "the job has {n} runs; say which one: {there}",
    "fault.find written": "this run is written already; write find: {{from, heading, to, arriving}} in its place",
    "fault.find none": "no run of this job is to be found; write find: {{from, heading, to, arriving}} in its place",
    "child.slow": "was not done after {seconds} s",
    "child.stopped": "stopped with {signal}",
    "child.ended": "ended with code {code}",
    "child.failed": "{reason}",
    "child.read slow": "{what} cannot be read: reading it takes more than {seconds} s{fewer}",
    "child.read memory": "{what} cannot be read: it takes more than {gb} GB of memory",
    "child.read died": "{what} is damaged: its reader {how}; export it again",
    "child.read failed": "{what} cannot be read: its reader failed ({how})",
    "child.of job": "{file}: the process that worked on it {how}",
    "picture.driver": "rendering needs OpenGL without a screen; {needs}",
    "picture.none": "no picture could be drawn: {why}",
    "picture.slow": "it {how}, which is as long as a picture may take",
    "picture.died": "the renderer {how}; {driver}",
    "picture.failed": "{reason}; {driver}",
    "missing.step room": "the STEP files of the room cannot be put into it: {why}",
    "missing.kernel": "the kernel {how}",
    "refused.answer": "the answer",
    "refused.file": "{file}: {why}",
    "folder.there": "{file} is there already; nothing was overwritten. Give another name, or move it away.",
    "calibration.no utf-8": "{file} cannot be read: it is not UTF-8",
    "calibration.no such former": "{file} is left as it was: no job could use such a former: {why}",
    "calibration.layout": "{file} is left as it was: its layout cannot be kept; write into it yourself:",
    "earlier.no schedule": "{file} is not the schedule.json of an earlier pack ({format})",
    "earlier.no checks": "{file} beside it is not a record of checks ({format})",
    "earlier.pipe": "{file} is not a file that can be read to its end",
    "earlier.large": "{file} is too large for a record of a pack",
    "earlier.no json": "{file} cannot be read as JSON ({why})",
    "earlier.no keys": "{file} is not the record of a pack: it holds no keys",
    "earlier.damaged": "{file} is damaged: {fault}",
    "history.no room": "its layout has no room for new lines at its end: begin each record with '- ' at the margin",
    "earlier.two runs": "there are two runs {run}",
    "earlier.number": "{where} is {value} and should be {right}",
    "earlier.no bend": "{where} is {value}, and there is no such bend",
    "earlier.lacks": "{where} has no {name}",
    "earlier.cannot be": "{where} cannot be {value}",
    "step.block": "shown as its bounding block: its {n} triangles are too many for STEP",
    "step.surface": "shown as a surface: its triangles do not close a solid",
    "step.note": "{thing}: {note}",
    "stl.from": "{file} is measured from {place}: STL has few digits",
}
