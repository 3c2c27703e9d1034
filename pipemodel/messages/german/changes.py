"""What changed against an earlier pack, in German."""

TEMPLATES = {
    "changes.list": "Änderungen",
    "changes.title": "Änderungen: {job}",
    "changes.since": "{n} {n|Änderung|Änderungen} {of}{to}.{only}",
    "changes.none since": "Keine Änderungen {of}{to}.{only}",
    "changes.from revision": "gegenüber Revision {revision}",
    "changes.from earlier": "gegenüber der früheren Mappe",
    "changes.to revision": ", jetzt Revision {revision}",
    "changes.schedule only": (
        " Nur der Biegeplan: neben der früheren schedule.json lag keine check.json desselben Auftrags."
    ),
    "changes.nothing": "nichts",
    "changes.changed": "Leitung {run}: {what} geändert von {was} auf {now}",
    "changes.moved": "Leitung {run}: {what} verschoben von {was} nach {now}",
    "changes.clearance": "der verlangte Abstand ist geändert von {was} auf {now}",
    "changes.run gone": "Leitung {run} ist entfallen",
    "changes.run new": "Leitung {run} ist neu",
    "changes.stands": (
        "Leitung {run}: das Biegegerät steht jetzt {now|flat=flach auf der Werkbank|upright=aufrecht vor Ihnen}; die neuen Karten nehmen"
    ),
    "changes.bends": "Leitung {run}: aus {was} Bögen sind {now} geworden; das Rohr neu anreißen",
    "changes.mark": "Anriss {bend}",
    "changes.radius of bend": "Radius von Bogen {bend}",
    "changes.pull of bend": "Biegung von Bogen {bend}",
    "changes.plane at bend": "Verdrehung der Ebene bei Bogen {bend}",
    "changes.tube before pull": "Drehung des Rohrs vor Biegung {pull}",
    "changes.held": "{bend} auf der {held|start=Anfangsseite|finish=Endseite} gehalten",
    "changes.no order": "keine möglich",
    "changes.end": "{end}",
    "changes.at end": "{what} am {end}",
    # Clips
    "changes.clips": "Leitung {run}: aus {was} werden {now}; siehe Schellenliste",
    "changes.n clips": "{n} {n|Schelle|Schellen}",
    "changes.no clips": "keine Schellen",
    "changes.clip": "Schelle {n}",
    "changes.clip at": "{at} entlang des Rohrs auf {face} ({across}, {up})",
    "changes.without a clip": "Leitung {run}: ohne Schelle war entlang des Rohrs {was}, jetzt {now}",
    "changes.stretch": "{low} bis {high}",
    # The checks
    "changes.verdict": "das Ergebnis war {was} und ist {now}",
    "changes.finding new": "neu, {severity}: {said}",
    "changes.finding gone": "entfallen, {severity}: {said}",
    "changes.finding kind": "was {was} war, ist jetzt {now}: {said}",
    "changes.finding otherwise": "anders als zuvor: {said}",
    "changes.thing gone": "{thing} ist nicht mehr im Raum",
    "changes.thing new": "{thing} ist neu im Raum",
    "changes.asked": "Leitung {run}: der verlangte Abstand zu {against} ist geändert von {was} auf {now}",
    "changes.distance": "Leitung {run}: der Abstand zu {against} ist geändert von {was} auf {now}",
    "changes.far": "{n} {n|Abstand|Abstände} über {far} geändert",
}
