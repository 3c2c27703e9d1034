"""What is wrong with a file, a key or a value of a job, in English."""

TEMPLATES = {
    "fault.no file": "there is no such file; give the path of one",
    "fault.folder": "this is a folder; give the path of a file in it",
    "fault.not permitted": "this file may not be read; change its permissions",
    "fault.cannot be read": "this file cannot be read: {reason}",
    "fault.large file": "this file is too large for a job; at most {most} MB are read",
    "fault.utf-16": "this file is saved as UTF-16; save it as UTF-8",
    "fault.no utf-8": "no UTF-8 text (byte 0x{byte}); save the job as UTF-8",
    "fault.no text": "no plain text (character U+{code} cannot be in a job); is this the right file?",
    "fault.empty file": "the file is empty; a job has job, tube, former, room and runs, each with what belongs to it",
    "fault.a job": "a job is a group of keys: job, tube, former, room and runs",
    "fault.unknown key": "unknown key {key}; {mend}",
    "fault.did you mean": "did you mean {name}?",
    "fault.stands beside": "it stands beside {name}, not in it",
    "fault.stands in": "it stands in {names}",
    "fault.keys here": "the keys here are {keys}",
    "fault.this file": "this file",
    "fault.a record": "a record",
    "fault.rules": "a set of rules",
    "fault.point on wall": "a point on a wall",
    "fault.point in bay": "a point in a bay",
    "fault.void of bay": "the void of a bay",
    "fault.leave out": "leave it out",
    "fault.lacks": "{where} lacks {key}{about}",
    "fault.about": " ({about})",
    "fault.item": "item {n} of {name}",
    "fault.the job": "the job",
    "fault.expected": "{name} is {expected}, not {value}",
    "fault.kind": (
        "{kind|keys=a group of keys|names=a group of names, each with what belongs to it|list=a "
        "list|text=text|truth=true or false|whole=a whole number|digits=a whole number of fewer "
        "digits|number=a number|finite=a finite number}"
    ),
    "fault.bound": "{sense|gt=more than |ge=|lt=less than |le=}{n}{sense|gt=|ge= or more|lt=|le= at most}",
    "fault.needs": "{name} needs at least {least}; this has {has}",
    "fault.takes": "{name} takes at most {most}",
    "fault.empty": "{name} is empty",
    "fault.long": "{name} is too long; at most {most} characters",
    "fault.not understood here": "{value} is not understood here; {would} would be",
    "fault.not understood": "{name} is not understood: {value}; `pipemodel schema` says what may stand here",
    "fault.value": "{kind|empty=empty|true=true|false=false|keys=a group of keys|list=a list}",
    "fault.subject": "{kind|empty=an empty value|true=true|false=false|list=a list|keys=a group of keys|this=this}",
    "fault.how length": "write a length such as 600, 60 cm, 0.6 m or 23 5/8 in",
    "fault.how angle": "write an angle in degrees, such as 30 or 22.5 deg",
    "fault.no length": "{value} is no length; {how}",
    "fault.no angle": "{value} is no angle; {how}",
    "fault.no number": "{value} is no number; write a plain number without a unit, such as 1.5",
    "fault.no whole number": "{value} is no number; write a whole number, such as 3",
    "fault.length above 0": "{value} must be a length of more than 0",
    "fault.from 0": "{value} must not be less than 0",
    "fault.angle above 0": "{value} must be an angle of more than 0",
    "fault.angle from 0": "{value} must be an angle of 0 or more",
    "fault.degrees": "{value}: angles are in degrees; {how}",
    "fault.decimal point": "{value} is no length; use a decimal point: {right}",
    "fault.no unit": "{value}: {unit} is no unit of length here; use mm, cm, m or in",
    "fault.fraction": "{value}: a fraction is of an inch; write {bare} in",
    "fault.by zero": "{value} divides by zero; {how}",
    "fault.finite": "{value} is no {what|length=length|angle=angle|number=number}; write a finite number",
    "fault.too much": (
        "{value} is too large; no {what|length=length|angle=angle|number=number} here is beyond "
        "{most}{what|length= mm|angle= degrees|number=}"
    ),
    "route.no heading": "the run has no heading yet; begin with a direction, such as east: 600 or turn: east",
    "route.no heading for": (
        "the run has no heading yet to count {name} from; begin with a direction, such as east: 600, or say on which "
        "side you stand, such as seen from: south"
    ),
    "route.ends in a bend": "the run ends in a bend; say how far it goes on after it",
    "route.nowhere": "the run goes nowhere; say how far",
    "route.no leg between": "there is no leg between this bend and the one before it; say how far the tube goes",
    "route.no length": "this leg has no length; a bend needs straight tube on both sides, or at least its own room",
    "route.behind": "this leg comes out at {far}: what it is measured to lies behind it",
    "route.too short": "this leg is {long} long, measured to the corners, but {bends} of that: {missing} is missing",
    "route.bend takes": "its bend takes {one}",
    "route.bends take": "its bends take {one} and {other}",
    "fault.point": "a point is three lengths, [x, y, z]; {has}{words}",
    "fault.point has": "this has {n}",
    "fault.point is": "this is {what}",
    "fault.point in words": (
        "; in words it is {{wall: NAME, along: 600}} or {{bay: 2, of: JOISTS, along: 700, down: 95}}"
    ),
}
