"""What is wrong with the moves of a run, in German."""

TEMPLATES = {
    "fault.beside nothing left": (
        "innen in seinen Bögen bleibt von einem Schenkel neben Schenkel {leg} von {name} nichts übrig; auf die "
        "andere Seite gehen, oder näher heran"
    ),
    "fault.in line": (
        "die Leitung liegt hier in einer Linie mit {name}; angeben, auf welcher Seite sie liegen soll, etwa `to: down`"
    ),
    "fault.not in the way": "{name} ist nicht im Weg: ein gerades Rohr ist hier schon {gap} davon frei",
    "fault.cannot clear": (
        "{name} ist zu dieser Seite ({side}) innerhalb von {farthest} m nicht zu umgehen; anders herum gehen"
    ),
    "fault.rise upright": (
        "rise sagt auf einem senkrechten Schenkel nichts; beide Seiten nennen: `to: {{north: 60, east: 40}}`"
    ),
    "fault.steep side": "auf einem steilen Schenkel angeben, auf welcher Seite das Rohr vorbeigeht, etwa `to: north`",
    "fault.from the wall": (
        "{name} zählt von der Wand, an die die Leitung geschellt wird, oder davon, wo man steht, und dieser "
        "Auftrag sagt beides nicht; angeben, auf welcher Seite man steht, etwa `seen from: south`"
    ),
    "fault.last level": (
        "{name} zählt von der letzten waagerechten Richtung, und diese Leitung hat noch keine; north, south, east"
        " oder west schreiben"
    ),
    "fault.along the tube": (
        "{name} liegt in der Richtung des Rohrs, das hier {ahead} läuft; eine Richtung zur Seite nennen"
    ),
    "fault.not towards": "dieser Schenkel läuft nicht auf {name} zu, oder er beginnt hinter dessen Fläche",
    "fault.misses": (
        "die Achse dieses Schenkels trifft {name} nicht: sie geht daran vorbei, davon weg oder beginnt darin"
    ),
    "fault.mesh no face": (
        "{name} ist ein Netz und hat keine ebene Fläche zum Messen; eine Fläche oder einen Quader dorthin setzen,"
        " wo gemessen wird"
    ),
    "fault.endless face": "{name} ist eine Fläche ohne Ende; etwas nennen, das ein Ende hat",
    "fault.mesh not measured": (
        "{name} ist ein Netz, bis zu dem hier nicht gemessen werden kann; einen Quader oder Zylinder darum setzen"
    ),
    "fault.not along face": "{turn} läuft nicht an dieser Fläche von {name} entlang, die nach {normal} sieht",
    "fault.falls no standoff": (
        "ein Schenkel mit Gefälle hält keinen Abstand von dieser Fläche von {name}, die nach {normal} sieht; den "
        "Schenkel anders messen"
    ),
    "fault.no such face": (
        "keine solche Fläche von {name} läuft am Rohr entlang, das nach {ahead} geht; für ein Rohr, das auf die "
        "Fläche zukommt, mit `turn` angeben, wohin"
    ),
    "fault.no face before": "das Rohr ist vor keiner Fläche von {name}, der es folgen könnte",
    "fault.many faces": (
        "das Rohr ist vor mehreren Flächen von {name}, die nach {looks} sehen: mit `side` angeben, vor welcher"
    ),
    "fault.nothing after": "nach {empty} steht nichts; angeben, wie weit, oder es weglassen",
    "fault.gap or standoff": (
        "{chosen} braucht entweder gap (bis zur Außenseite des Rohrs) oder standoff (bis zu seiner Achse)"
    ),
    "fault.level gap": "zu einer Höhe gap oder standoff angeben, oder keines von beiden",
    "fault.off goes with": "{off} gehört zu 'to face of', 'past' oder 'to level', nicht zu {chosen}",
    "fault.goes with": "{name} gehört zu {needs}, nicht zu {chosen}",
    "fault.set angle": "eine Etage braucht entweder einen Winkel oder die Länge, die sie am Rohr einnehmen darf",
    "fault.set by": (
        "eine Etage hat entweder offset, oder clear mit einem Ding, oder 'to' mit zwei Strecken ({{north: 60, up:"
        " 40}}): eines davon"
    ),
    "fault.rise goes": "'rise' gehört zu offset",
    "fault.clear and gap": "'clear' nennt ein Ding, und 'gap' sagt, wie weit: eines braucht das andere",
    "fault.clear angle": "eine Etage, die an etwas vorbeiführt, braucht ihren Winkel",
    "fault.both where": "{where} und {other} sagen beide, wo die Etage liegt; eines weglassen",
    "fault.set lies": "eine Etage, die an etwas vorbeiführt, liegt, wo sie muss; {where} hat hier keinen Platz",
    "fault.passover four": "die Bögen eines Überbogens aus vieren haben höchstens 90 Grad, nicht {angle}",
    "fault.passover three": "ein Überbogen aus drei Bögen hat oben kein gerades Stück; `bends: 4` schreiben",
    "fault.no bend from": (
        "hier ist kein Bogen, von dem gemessen wird: `from {start}` braucht einen gleich vor diesem Schenkel"
    ),
    "fault.no bend to": (
        "hier ist kein Bogen, bis zu dem gemessen wird: `to {finish}` braucht einen gleich nach diesem Schenkel"
    ),
    "fault.no way past": "{name} ist eine Fläche ohne Ende: daran kommt man nicht vorbei",
    "fault.past needs square": (
        "an {name} mit gap vorbei braucht danach einen rechtwinkligen Bogen oder das Ende der Leitung; dieser "
        "Bogen hat {angle} Grad: stattdessen `standoff` (bis zur Ecke) angeben"
    ),
    "fault.not passed over": (
        "{name} ist ein Netz oder eine Fläche ohne Ende, worüber kein Überbogen führt; einen Quader oder Zylinder"
        " um das setzen, was im Weg ist"
    ),
    "fault.flat short": (
        "ein gerades Stück von {flat} ist zu kurz, um {gap} von {name} zu halten: es braucht {needed} von Mitte "
        "zu Mitte"
    ),
    "fault.heads already": "das Rohr geht schon nach {way}: hier ist kein Bogen zu machen",
    "fault.turns back": (
        "das Rohr geht nach {ahead}, also kehrte es hier um; für einen Umkehrbogen die Seite angeben, etwa"
        " `turn: {{back: left}}`"
    ),
    "fault.return rises": (
        "die zwei Schenkel eines Umkehrbogens laufen genau entgegengesetzt, also stiege einer davon; "
        "stattdessen zweimal abbiegen, oder hier `fall: none` schreiben"
    ),
    "fault.return tight": (
        "ein Umkehrbogen mit {wide} von Mitte zu Mitte ist enger als die Biegematrize: zweimal ihr Radius sind {least}"
    ),
    "fault.corner here": "an dieser Ecke ist die Leitung schon",
    "fault.corner back": "diese Ecke liegt genau dort, woher das Rohr kommt",
    "fault.corner astray": (
        "diese Ecke liegt nicht geradeaus: das Rohr geht hier nach {ahead}, und die Ecke liegt {astray} Grad daneben"
    ),
    "fault.set least": (
        "zwei Bögen von {angle} Grad um {radius} versetzen das Rohr um mindestens {least}; für {offset} höchstens"
        " {most} Grad nehmen"
    ),
    "fault.set after go": "eine Etage, die an etwas vorbeiführt, liegt, wo sie muss; das `go` davor weglassen",
    "fault.falling passover": (
        "ein Schenkel mit Gefälle geht über nichts hinweg: nicht alle Schenkel eines Überbogens können fallen; "
        "mit einer Etage oder mit Bögen außen herum gehen, oder `fall: none` schreiben, wo der Schenkel beginnt"
    ),
    "fault.corner former": "die Ecke, an der dieser Bogen liegt, hat schon eine eigene Biegematrize; eine weglassen",
    "fault.outside of corner": (
        "der Schenkel davor wird bis zur Außenseite eines Bogens gemessen, den erst diese Ecke bestimmt; diesen "
        "Schenkel bis zur Mitte angeben, oder mit turn abbiegen"
    ),
    "fault.leg first": (
        "eine Leitung beginnt mit einem Schenkel, nicht mit einem Bogen; erst angeben, wie weit sie geht"
    ),
    "fault.not square": (
        "{one} und {other} stehen quer zu diesem Schenkel nicht rechtwinklig zueinander; eine verdrehte Etage "
        "geht zu zwei Seiten, die eine Vierteldrehung auseinanderliegen"
    ),
    "fault.either way": (
        "{value} kann beides heißen; 'out' (von der Wand weg), 'in' oder 'ahead' (wie die Leitung läuft) schreiben"
    ),
    "fault.directions": "eine Richtung ist eine von {directions}",
    "fault.two sides": "eine verdrehte Etage geht zu zwei Seiten zugleich, etwa {{north: 60, up: 40}}",
    "fault.three or four": "ein Überbogen hat 3 oder 4 Bögen, nicht {value}",
    "fault.legs counted": "Schenkel zählen ab 1: der erste und der letzte, etwa [2, 4], oder die Nummer von einem",
    "fault.angle range": "ein Winkel von {angle} Grad geht hier nicht: mehr als 0, höchstens {most}",
    "fault.three numbers": "eine Richtung hat drei Zahlen, und diese hat {n}; {how}",
    "fault.zero way": "eine Richtung ohne Länge; {how}",
    "fault.not a heading": "{quoted} ist keine Richtung; {how}",
    "fault.no side": "{value} ist keine Seite des Raums; {how}",
    "fault.nobody stands": "über oder unter einer Leitung steht niemand; {how}",
    "fault.no fall": "{value} ist kein Gefälle; {how}",
    "fault.fall steep": "{value} ist steiler als 1 in 2; mit bearing und rise angeben",
    "fault.gap or centres": "entweder gap zwischen den beiden Rohren angeben, oder den Abstand ihrer Mitten",
    "fault.criterion twice": "{one} kommt zweimal vor",
    "fault.one place": "alle stünden an einem Ort; angeben, wie weit es von jedem zum nächsten ist",
    "fault.one point": "Anfang und Ende sind ein Punkt; schreiben, wo das Rohr ankommen soll",
    "fault.far apart": (
        "Anfang und Ende liegen {apart} m auseinander, und ein Weg wird bis {farthest} m gesucht; nachsehen, ob "
        "beide in mm sind, oder die Leitung teilen"
    ),
    "fault.void size": "dieser Hohlraum hat keine Größe; zwei gegenüberliegende Ecken eines Quaders schreiben",
    "fault.needs start": "eine Route braucht ihren Anfang, start: [x, y, z]",
    "fault.heading with": "heading gehört zu start und route; die anderen sagen selbst, wohin die Leitung losgeht",
    "fault.found falls": (
        "ein Weg, der gesucht wird, hat waagerechte Schenkel; die Leitung als route schreiben, die fallen kann"
    ),
    "fault.how fall": (
        "ein Gefälle schreiben wie 1 in 80, 1/4 in per ft, 12.5 mm per m oder 1.25 %, oder none; oder "
        "'{{of: 1 in 80, towards: start}}'"
    ),
    "fault.how heading": (
        "{names} schreiben, eine Peilung in Grad von Norden aus im Uhrzeigersinn, oder eine Richtung [x, y, z]"
    ),
    "fault.how side": (
        "die Seite schreiben, auf der man steht: {names}, oder eine Peilung in Grad von Norden aus im Uhrzeigersinn"
    ),
    "fault.how written": (
        "eine Leitung hat entweder points: [[x, y, z], ...], oder start und route: [...], oder beside: {{run: "
        "..., gap: ...}}, oder find: {{from: ..., heading: ..., to: ..., arriving: ...}}"
    ),
    "fault.written twice": "{how}; diese hat {both}",
    "fault.not written": "{how}; diese hat nichts davon",
    "fault.start alone": "ein start braucht eine route, mit der es weitergeht; {how}",
    "fault.not to level": (
        "dieser Schenkel {way|level=ist waagerecht|away=geht davon weg} und kommt nicht zu {called}, das {off} "
        "entfernt ist; erst abbiegen"
    ),
    "fault.after": "{what|bend=dem Bogen|start=dem Anfang}",
    "fault.after passover": "dem Überbogen über {thing}",
    "fault.passover early": (
        "der Überbogen über {thing} beginnt um {early} zu früh: nach {what} davor ist nicht genug Platz"
    ),
    "fault.passover long": "der Überbogen über {thing} braucht {more} mehr, als der Schenkel noch hat",
    "fault.one of": "{what|leg=ein Schenkel|turn=ein Bogen|item=ein Eintrag einer Route} ist eines von {names}; {has}",
    "fault.against fall": (
        "dies geht {little|little=zu wenig |wrong=}{way|up=hinauf|down=hinunter}, wo die Leitung mit 1 in {ratio}"
        " zu ihrem {end|start=Anfang|finish=Ende} fällt, und Wasser bliebe darin stehen; es herausnehmen, mit "
        "`towards` das andere Ende nennen, oder `fall: none`, wo kein Wasser laufen soll"
    ),
    "fault.off standoff": (
        "das Rohr läuft um {off} {way|farther=weiter von|nearer=näher an} {thing}, als standoff sagt; den `angle`"
        " der Etage angeben, die es dorthin bringt"
    ),
    "fault.still towards": (
        "das Rohr läuft nach diesem Bogen noch auf {called} zu und hält also keinen Abstand davon; daran entlang "
        "oder davon weg abbiegen, oder diesen Schenkel anders messen"
    ),
    "fault.face of": "die Fläche von {thing}",
    "fault.level named": "die Höhe {name}",
    "fault.level at": "die Höhe {z}",
    "fault.the heading": "heading: {why}",
    "fault.this run": "diese Leitung",
    "fault.legs of": "{name} hat {most} Schenkel, und gefragt ist nach Schenkel {last}",
    "fault.outer bend": (
        "der Abstand ist um Bogen {bend} von {other} nicht zu halten: {whose} liegt außen und hat Radius {outer},"
        " die innere {inner}, um {missing} zu eng dafür; Biegematrizen nehmen, die höchstens {apart} "
        "auseinanderliegen, oder weiter entfernt bleiben"
    ),
    "corner.no length": "die Leitung hat keine Länge: ihre Punkte liegen alle an einer Stelle",
    "corner.doubles back": (
        "bei Punkt {point} läuft die Leitung in sich zurück (ein Bogen von {angle} Grad an einer Ecke); ein "
        "Umkehrbogen braucht zwei Ecken im Abstand von {apart}"
    ),
    "corner.too slight": (
        "Punkt {point} verlangt einen Bogen von {angle} Grad, zu klein zum Biegen (mindestens {least}); {why}: den "
        "Punkt in die Flucht legen oder stärker biegen"
    ),
    "corner.slight aside": (
        "geradeaus ginge das Rohr um {aside} mm an ihm vorbei, und mehr als {most} mm wird nicht begradigt"
    ),
    "corner.slight beside return": "und neben einem Umkehrbogen wird nichts begradigt",
    "corner.no return": (
        "die Punkte {one} und {other} sind kein Umkehrbogen: er braucht zwei Ecken im Abstand von {apart} und Schenkel "
        "im rechten Winkel zur Linie zwischen ihnen, die genau entgegengesetzt laufen; hier fehlen daran {off} mm"
    ),
    "corner.too near": (
        "die Punkte {one} und {other} liegen {has} auseinander, ihre Bögen brauchen aber {needs} dazwischen: es fehlen "
        "{missing}"
    ),
    "fault.of run": "Leitung {run}: {why}",
    "fault.no bend": (
        "einen Bogen {bend} gibt es nicht: die Leitung {which|only=hat|most=mit den meisten Bögen hat} {most}; den "
        "ersten Bogen und den letzten schreiben, etwa [1, {most}]"
    ),
    "fault.no bends": (
        "einen Bogen {bend} gibt es nicht: die Leitung {which|only=hat|most=mit den meisten Bögen hat} keinen; bends "
        "weglassen"
    ),
    "fault.measures in a ring": (
        "eine Leitung kann kein Maß nehmen an {which}; eine davon mit points oder anderen Schritten schreiben"
    ),
    "fault.only itself": "sich selbst",
    "fault.goes by": "{run}, deren Weg von dieser abhängt",
    "fault.lies beside": "{run}, die neben dieser liegt",
    "fault.beside in a ring": (
        "eine Leitung kann nicht liegen neben {which}; eine davon mit points oder Schritten schreiben"
    ),
    "fault.not yet found": (
        "der Weg von {run} ist noch zu suchen; neben einer Leitung liegen oder nach ihr messen kann man nur, wenn sie "
        "geschrieben ist"
    ),
    "fault.say where": "{way} gilt vom Monteur aus; angeben, auf welcher Seite man steht, etwa `seen from: south`",
    "fault.finish behind": (
        "das Ende liegt gerade hinter dem Anfang, und das Rohr soll von ihm weg loslaufen und ankommen; heading und "
        "arriving umdrehen oder from und to tauschen"
    ),
}
