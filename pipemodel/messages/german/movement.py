"""How runs grow with temperature, in German."""

TEMPLATES = {
    "movement.grows": "Leitung {run} wird zwischen {cold} und {hot} °C von Ende zu Ende um {grows} länger",
    "movement.clips": "an beiden Enden fest und gleitend in {n} {n|Schelle|Schellen}",
    "movement.no clips": "an beiden Enden fest, ohne Schelle dazwischen",
    "movement.stress": "{held} hat die Rohrwand höchstens {stress} N/mm² Spannung (zulässig {allowed}), {where}",
    "movement.free": "{grows}; {stressed}; sie weicht bis zu {moves} zur Seite aus: so viel frei halten",
    "movement.held": "{grows}; {stressed}{cure}",
    "movement.loose": (
        "; mit {n|Schelle|den Schellen} {clips} so, dass das Rohr dort zur Seite kann, wären es {stress} N/mm²"
    ),
    "movement.loop": (
        "; eine Schleife mit {free} geradem Rohr quer dazu nimmt das auf, oder ein Versatz ohne Schelle nahe seinen "
        "Bögen (Regel eines Handbuchs: zeichnen und erneut prüfen)"
    ),
    "movement.only growth": "{grows}; für {material} ist keine Spannung veröffentlicht: Platz zum Ausweichen lassen",
    "movement.unknown": (
        "Leitung {run}: wie weit {material} mit der Temperatur länger wird, steht hier in keiner Tabelle; ungeprüft"
    ),
}
