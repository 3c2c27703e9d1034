"""How runs grow with temperature, in English."""

TEMPLATES = {
    "movement.grows": "run {run} grows by {grows} from end to end between {cold} and {hot} °C",
    "movement.clips": "fixed at both ends and sliding in its {n} {n|clip|clips}",
    "movement.no clips": "fixed at both ends, with no clip between them",
    "movement.stress": "{held}, its wall is stressed to {stress} N/mm² ({allowed} is allowed) {where}",
    "movement.free": "{grows}; {stressed}; it moves aside by up to {moves}: keep that free",
    "movement.held": "{grows}; {stressed}{cure}",
    "movement.loose": (
        "; with {n|clip|clips} {clips} such that the tube can move aside there it would be {stress} N/mm²"
    ),
    "movement.loop": (
        "; a loop with {free} of straight tube across that direction takes it up, or an offset with no clip near its "
        "bends (a handbook's rule: draw it and check again)"
    ),
    "movement.only growth": "{grows}; no stress is published for {material}: leave it room to move",
    "movement.unknown": (
        "run {run}: how far {material} grows with temperature stands in no table here; nothing was looked at"
    ),
}
