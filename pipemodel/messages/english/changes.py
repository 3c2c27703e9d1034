"""What changed against an earlier pack, in English."""

TEMPLATES = {
    "changes.list": "What changed",
    "changes.title": "What changed: {job}",
    "changes.since": "{n} {n|change|changes} {of}{to}.{only}",
    "changes.none since": "No changes {of}{to}.{only}",
    "changes.from revision": "from revision {revision}",
    "changes.from earlier": "from the earlier pack",
    "changes.to revision": " to revision {revision}",
    "changes.schedule only": (
        " Of the schedule only: there was no check.json of the same job beside the earlier schedule.json."
    ),
    "changes.nothing": "nothing",
    "changes.changed": "run {run}: {what} changed from {was} to {now}",
    "changes.moved": "run {run}: {what} moved from {was} to {now}",
    "changes.clearance": "the clearance asked for changed from {was} to {now}",
    "changes.run gone": "run {run} is gone",
    "changes.run new": "run {run} is new",
    "changes.stands": (
        "run {run}: the bender now stands {now|flat=flat on a bench|upright=upright in front of you}; take the new cards"
    ),
    "changes.bends": "run {run}: {was} bends became {now}; mark the tube again",
    "changes.mark": "mark {bend}",
    "changes.radius of bend": "radius of bend {bend}",
    "changes.pull of bend": "pull of bend {bend}",
    "changes.plane at bend": "turn of the plane at bend {bend}",
    "changes.tube before pull": "turn of the tube before pull {pull}",
    "changes.held": "{bend} held by the {held}",
    "changes.no order": "none that works",
    "changes.end": "{end} end",
    "changes.at end": "{what} at the {end}",
    # Clips
    "changes.clips": "run {run}: {was} became {now}; see the clip list",
    "changes.n clips": "{n} {n|clip|clips}",
    "changes.no clips": "no clips",
    "changes.clip": "clip {n}",
    "changes.clip at": "{at} along the tube on {face} ({across}, {up})",
    "changes.without a clip": "run {run}: without a clip was {was} along the tube, and is {now}",
    "changes.stretch": "{low} to {high}",
    # The checks
    "changes.verdict": "the verdict was {was} and is {now}",
    "changes.finding new": "new, {severity}: {said}",
    "changes.finding gone": "gone, {severity}: {said}",
    "changes.finding kind": "what was {was} is now {now}: {said}",
    "changes.finding otherwise": "otherwise than before: {said}",
    "changes.thing gone": "{thing} is gone from the room",
    "changes.thing new": "{thing} is new in the room",
    "changes.asked": "run {run}: the distance asked for to {against} changed from {was} to {now}",
    "changes.distance": "run {run}: the distance to {against} changed from {was} to {now}",
    "changes.far": "{n} {n|distance|distances} over {far} changed",
}
