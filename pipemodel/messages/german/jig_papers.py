"""What the papers of a checking jig say, and what its gauges are called and for, in German."""

TEMPLATES = {
    "jig.part": "Teil {part} von {parts}",
    "jig.none": "Leitung {run} bekommt keine Lehre: {why}",
    # The sheet to read
    "jig sheet.title": "Prüflehre: {run}, Revision {revision}",
    "jig worth.across": "von {one} gerade hinüber zu {other}",
    "jig worth.end": "der Mitte am {end}",
    "jig worth.back": "dem Rücken von Bogen {bend} in seiner Mitte",
    "jig worth.title": "Lohnt sich der Druck?",
    "jig worth.few bends": (
        "Der Druck lohnt sich nicht: bei einem Bogen oder keinem sagen Winkelkarte und Bandmaß alles."
    ),
    "jig worth.flat": (
        "Der Druck lohnt sich nicht: das Stück liegt eben, und seine Schablone 1:1 (in der Mappe oder mit "
        "\u201epipemodel make --only templates\u201c) auf ebener Werkbank zeigt alles."
    ),
    "jig worth.taped": (
        "Der Druck lohnt sich nicht: Bandmaß und Karte zeigen mit den Proben auf ihrem Blatt alles Verlangte, "
        "oder beinahe (von höchstens 1,25-mal so viel an)."
    ),
    "jig worth.one angle": (
        "Der Druck lohnt sich nur für einen Winkel: {of} zeigen Bandmaß und Karte ab {size}. Wo das genügt, braucht "
        "es keine Lehre.{rest} Alles Übrige zeigen sie mit den Proben auf ihrem Blatt."
    ),
    "jig worth.yes": (
        "Der Druck lohnt sich: die Lehre zeigt, was Bandmaß und Karte nicht so genau wie verlangt zeigen: {things}."
        "{rest} Alles Übrige zeigen sie mit den Proben auf ihrem Blatt."
    ),
    "jig worth.open": " Nicht so genau wie verlangt entscheidet die Lehre: {things}.",
    "jig worth.no better": (
        "Der Druck lohnt sich nicht: die Schenkel sind so kurz, dass eine Lehre kaum mehr sagt als Bandmaß und Karte. "
        "Nicht so genau wie verlangt wird entschieden: {things}."
    ),
    "jig worth.either": "{of}, von der Lehre abgewiesen ab {jig}, von Bandmaß oder Karte gezeigt ab {checks}",
    "jig worth.not at all": "nirgends",
    "jig worth.part": (
        "Die Schenkel daneben sind lang: eine Lehre nur für die Bögen {first} bis {last} (bends: [{first}, {last}]) "
        "genügt dafür."
    ),
    "jig sheet.part": (
        "Nur für die Bögen {first} bis {last}. Was darüber hinausgeht und was kein Sattel zeigt, hat in der Tabelle "
        "keine Grenze: mit dem Bandmaß messen."
    ),
    "jig worth.shows": "{check}; zeigt {things}",
    "jig worth.from": "{of} von {size} an",
    "jig worth.degrees": "{angle}\u00b0",
    "jig worth.all the same": "Leitung {run}: {why} Die Lehre wird trotzdem geschrieben.",
    "jig worth.none": "Leitung {run}: {why} Es wird keine Lehre gemacht; --anyway macht eine.",
    "jig answer.title": "Prüflehre: {run} braucht keine",
    "jig answer.anyway": (
        "Trotzdem gibt es eine Lehre mit when: always im Auftrag, unter jig:, oder mit pipemodel jig --anyway."
    ),
    "jig answer.totals": "Prüflehren: was alle zusammen brauchen",
    "jig sheet.asked": (
        "Für ein Stück aus Rohr mit {outside} mm. Verlangt: jeder Schenkel auf {position} mm an seinem Platz, jeder "
        "Bogen auf {angle}\u00b0 genau, der Anfang auf {start} mm und das Ende auf {finish} mm entlang des Rohrs. Was "
        "die Lehre daraus macht, steht unten."
    ),
    "jig sheet.lay it in": "Einlegen",
    "jig sheet.slots": "Was jede Rille annimmt (mm entlang des Rohrs vom Anfang)",
    "jig sheet.head slots": (
        "  Sattel  Sch     von     bis  Rille    Spiel        Neigung  Anschlag\n"
        "                               gedr.   +/- mm      höchstens    +/- mm"
    ),
    "jig sheet.degrees": "{angle} Grad",
    "jig sheet.head limits": (
        "  Größe           verlangt  nimmt an  weist ab    sicher ab\n"
        "                   höchst.       bis       von          von"
    ),
    "jig sheet.bare slots": "Die Tabelle gilt für die bloßen Rillen, ohne Einlagen.",
    "jig sheet.go": (
        "Rillen auf Gut (go): kein Stück wird abgewiesen, dessen Schenkel und Enden alle innerhalb der Lagetoleranz "
        "liegen. Was sonst durchgeht, kann um mehr als verlangt abweichen, wie die Tabelle sagt."
    ),
    "jig sheet.fine": (
        "Rillen auf Fein (fine): kein Stück geht durch, bei dem ein Schenkel um mehr als verlangt versetzt oder ein "
        "Bogen falsch ist, was auch sonst abweicht, es sei denn, die Tabelle sagt etwas anderes. Ein gutes Stück kann "
        "abgewiesen werden."
    ),
    "jig sheet.balanced": (
        "Rillen ausgewogen (balanced): was in einer einzigen Größe außer Toleranz ist, wird abgewiesen, es sei denn, "
        "die Tabelle sagt etwas anderes; die Rillen und Anschläge, die eine Größe beurteilen, teilen sich deren "
        "Toleranz. Ein Stück, das in mehreren Größen zugleich ein wenig abweicht, kann abgewiesen werden, obwohl jede "
        "innerhalb liegt, oder durchgehen, obwohl eine außerhalb liegt, bis dorthin, wo es sicher abgewiesen wird."
    ),
    "jig sheet.fine liners": (
        "Mit den feinen Einlagen sind die Rillen die für Fein; zwischen den beiden Urteilen nachmessen."
    ),
    "jig sheet.short leg": ("Schenkel {leg} ist zu kurz für einen Sattel: er wird nur nach seinen Nachbarn beurteilt."),
    "jig sheet.one cradle": ("Schenkel {leg} hat nur einen Sattel, weil neben dem übrigen Rohr kein Platz ist."),
    "jig sheet.to print": "Zum Drucken (ohne Stützen, flache Seite unten, wie die Dateien liegen)",
    "jig sheet.head parts": "  Datei                      Maße            Kunstst.   Masse    Zeit",
    "jig sheet.estimate": (
        "Geschätzt für Düse {nozzle} mm, Schichten {layer} mm, {walls} Wände, {infill} % Füllung, {density} g/cm3, "
        "{rate} cm3 je Stunde mit allen Wegen; kleine Drucker legen {slow} bis {fast} ab (übliche Praxis, keine "
        "Quelle). Die Rillen sind {allowance} mm weiter gezeichnet, "
        "als sie werden sollen, weil der Drucker sie um so viel verengt: einen Sattel drucken, messen und den Zuschlag "
        "(allowance) einstellen."
    ),
    "jig sheet.gauges": "Einzellehren",
    "jig sheet.left out": "Weggelassen",
    # Laying the piece in
    "jig step.lower": (
        "Das Stück gerade nach unten ablassen; es muss durch sein eigenes Gewicht hineinfallen. Nicht hineinspannen."
    ),
    "jig step.right": (
        "Es stimmt, wenn es in jeder Rille liegt, nichts über die hohen Wangen hinaussteht (ein Lineal darüberlegen) "
        "und jedes Ende zwischen seinem Anschlag und der vom Anschlag entferntesten Linie liegt, rechtwinklig zum Rohr "
        "gesehen."
    ),
    "jig step.proud": (
        "Steht es nur an einer Stelle über, dort hinunterdrücken und die anderen ansehen: es darf überall in seinen "
        "Rillen liegen, aber in allen zugleich."
    ),
    "jig step.lines": (
        "Die niedrige Stufe jeder Wange zeigt, wo die Oberkante eines genauen Stücks läge, auf halber Höhe seines "
        "Spiels; die Linien im Boden, wo seine Kanten lägen; eine Linie zwischen Anschlag und Grenze, wo dieses Ende "
        "läge."
    ),
    "jig step.upright end": (
        "An Sattel {cradles} schaut das Ende nach oben: es muss zwischen der ersten und der letzten Linie liegen; der "
        "Anschlag ist dort kein Maß."
    ),
    "jig step.measured end": "Ein Ende hat zu wenig gerades Rohr für einen Anschlag: dieses messen.",
    "jig step.slope": (
        "Am Gefälle kann das Stück rutschen, bis ein Anschlag oder ein Bogen es hält: an seinen Endlinien festhalten."
    ),
    # What it passes and what it refuses
    "jig limits.title": "Was sie annimmt und was sie abweist (zu viel wie zu wenig)",
    "jig limits.meaning": (
        "Nimmt an und weist ab: wenn nur diese eine Größe abweicht und alles andere stimmt. Sicher: was auch sonst "
        "abweicht. Ermittelt in den Rillen, wie sie gedruckt sind, für ein starres Stück und für eines, das sich so "
        "weit durchbiegt, wie sein Gewicht kann: angenommen wird, was es beide Male wird, abgewiesen, was es beide "
        "Male wird. Drucker und lose Verbindungen kommen hinzu. Von einer Verdrehung wird so viel verlangt, dass die "
        "Schenkel daneben um den Winkel abweichen; zwischen Bögen von fast 180\u00b0 wird von ihr allein nichts "
        "verlangt. Die Zahl ist die Nummer des Bogens oder Schenkels."
    ),
    "jig limits.angle": "Winkel {n}",
    "jig limits.turn": "Verdrehung {n}",
    "jig limits.leg": "Schenkel {n}",
    "jig limits.any": "frei",
    "jig limits.none": "offen",
    "jig limits.degrees": "\u00b0",
    "jig limits.nothing wider": "Nichts, was in einer einzigen Größe außer Toleranz ist, geht durch.",
    "jig limits.wider": (
        "Dies kann, wenn es allein außer Toleranz ist, noch durchgehen: {things}. An diese Bögen die Winkellehre oder "
        "die Verdrehlehre halten, an diese Schenkel einen Maßstab."
    ),
    # Reading a miss, putting it together
    "jig sheet.miss": "Eine Abweichung deuten",
    "jig sheet.how to read": (
        "Den Anfangsschenkel am Anschlag einlegen und die Leitung entlanggehen: der erste Sattel, den das Rohr "
        "verlässt, kommt nach dem Bogen, der falsch ist. Ein Grad zu viel zeigt sich dort als:"
    ),
    "jig sheet.together": "Zusammenbauen",
    "jig sheet.on a board": (
        "Den Plan 1:1 auf ein ebenes Brett legen, an den Kreuzen durchbohren und jeden Turm festschrauben, seine "
        "Nummer wie auf dem Plan."
    ),
    "jig sheet.timber board": (
        "Ein Brett von {x} x {y}, eben, 18 mm oder dicker. Die zwei Linien jeder Bohrkarte in ihren "
        "Abständen von linker und unterer Kante anreißen, die Karte darauflegen (oder die Kreuze nach der Tabelle "
        "unten messen, oder den Plan 1:1 darauflegen) und an jedem Kreuz mit {screw} mm durchbohren."
    ),
    "jig sheet.timber posts": (
        "Pfosten aus Kantholz {side} x {side} rechtwinklig auf einen halben Millimeter genau ablängen: {posts}. "
        "Zusammen {total} Kantholz. Jeden von unten durch die zwei Bohrungen anschrauben, die Seiten am Umriss des "
        "Plans."
    ),
    "jig sheet.timber no posts": "Keine Pfosten: jeder Sattel steht auf dem Brett selbst.",
    "jig sheet.timber post": "Sattel {cradle}: {length}",
    "jig sheet.timber cradles": (
        "Jeden Sattel durch seine zwei Laschen anschrauben, auf dem Pfosten oder über denselben Bohrungen auf dem "
        "Brett, seine Nummer wie auf dem Plan und zum Anfang hin."
    ),
    "jig sheet.timber narrow": (
        "Sattel {cradles} {cradles|lässt|lassen} weniger als {true} zu, etwa so viel, wie ein Pfosten und eine Bohrung "
        "genau sind: festgeschraubt Höhe und Lage nachmessen und Karton unterlegen oder die Löcher aufbohren, bis sie "
        "stimmen."
    ),
    "jig sheet.timber props": (
        "Stützen, die nichts beurteilen: ein Keil, so weit eingeschoben, bis er das Rohr gerade berührt und nichts "
        "anhebt, auf einem Pfosten, wo einer genannt ist, sonst auf dem Brett: {props}."
    ),
    "jig sheet.timber wedge": "{prop} bei {at}",
    "jig sheet.timber prop": "{prop} bei {at} am Rohr: {length}",
    "jig sheet.head holes": "  Sattel   Loch von links  von unten  Pfosten",
    "jig sheet.holes": "Kreuze auf dem Brett, von seiner linken und unteren Kante",
    "jig sheet.left off": (
        "Schenkel {legs} {legs|hat|haben} keinen Sattel: was dort falsch ist, zeigt sich in den anderen, wie die "
        "Tabelle sagt."
    ),
    "jig sheet.total": (
        "Zusammen {parts} {parts|Teil|Teile}: {volume} cm3 massiv, {plastic} cm3 Kunststoff, {mass} g, {hours} h "
        "({quick} bis {slow} h).{timber}"
    ),
    "jig sheet.cost": "Bei {price} je Kilogramm: {cost}.",
    "jig sheet.keys": (
        "Die Federn von oben einschieben, auf dem Plan 1:1 auf einem ebenen Brett, und jedes Teil festschrauben oder "
        "festkleben: die Verbindungen allein könnten sich um je {swing} Grad drehen, der fernste Sattel um {far} "
        "wandern."
    ),
    "jig sheet.one piece": (
        "Sie ist aus einem Stück; auf ein ebenes Brett stellen und festschrauben, wenn sie wackelt."
    ),
    "jig sheet.rule": (
        "Mit einem Maßstab prüfen, vom Schraubenloch neben der einen Nummer zu dem neben der anderen, auf 0,5 mm:"
    ),
    "jig sheet.distance": "{one} bis {other}: {far}",
    # Drawings of it, and its sheet in the pack
    "jig drawing.title": "{run}: das Stück in seiner Lehre",
    "jig drawing.head": "{run}: das Stück in seiner Lehre; gerade nach unten ablassen",
    "jig plan.title": "{run}: Plan der Lehre, 1:1, Revision {revision}",
    "jig plan.foot": "{run}: an den Kreuzen mit {screw} mm bohren; von oben gesehen, Revision {revision}",
    "jig board.title": "{run}: das Brett, {x} x {y} mm, 1:{scale}; von der Ecke mit dem Punkt aus messen",
    "jig card.title": "{run}, {name}, 1:1: Linien auf die des Bretts",
    "jig card.page": "{run}: Bohrkarten, 1:1",
    "jig card.left": "{mm} von links",
    "jig card.below": "{mm} von unten",
    "jig card.post": "Pfosten {mm} mm",
    "jig drawing.posts": "{run}: Pfosten auf dem Brett",
    "jig drawing.cradles": "{run}: jeder Sattel nach seiner Nummer festgeschraubt",
    "jig pdf.title": "Prüflehre, {run}",
    "jig totals": (
        "Alle Lehren: {parts} {parts|Teil|Teile} und {gauges} {gauges|Einzellehre|Einzellehren}, "
        "{amount}{paper}.{timber}"
    ),
    "jig totals.timber": " Auf Holz (base: timber): {plastic} cm3 Kunststoff und {hours} h für {runs}.",
    "jig totals.worth": ("Ohne das, was den Druck nicht lohnt ({runs}): {amount}."),
    "jig totals.amount": "{plastic} cm3 Kunststoff, {mass} g, {hours} h ({quick} bis {slow} h){cost}",
    "jig totals.cost": ", Kosten {cost}",
    "jig totals.sheets": ", {sheets} {sheets|Blatt|Blatt} Papier",
    "jig totals.without": "Keine Lehre, da sich der Druck nicht lohnt: {runs}.",
    "jig totals.refused": "Keine Lehre möglich für: {runs}.",
    "jig sheet.gauge elsewhere": "{gauge}, mit {run} gedruckt: {use}",
    "jig brief.every": "Bei jeder Lehre",
    "jig brief.none": "Dafür gibt es keine Lehre:",
    "jig brief.printing": (
        "{parts} {parts|Teil|Teile}, etwa {mass} g Kunststoff und {hours} {hours|Stunde|Stunden}; Revision {revision}."
        "{timber}"
    ),
    "jig brief.slots": "Was jede Rille annimmt ({unit}, entlang des Rohrs vom Anfang)",
    "jig brief.miss": "Eine Abweichung deuten: ein Grad zu viel zeigt sich als",
    "jig brief.head cradle": "Sattel",
    "jig brief.head leg": "Sch.",
    "jig brief.head from": "von",
    "jig brief.head to": "bis",
    "jig brief.head slot": "Rille",
    "jig brief.head accepts": "Spiel \u00b1",
    "jig brief.head stop": "Anschlag \u00b1",
    "jig brief.head of": "Größe",
    "jig brief.head asked": "verlangt, höchstens",
    "jig brief.head passes": "nimmt an bis",
    "jig brief.head refuses": "weist ab von",
    "jig brief.head certain": "sicher ab von",
    "jig bench.title": (
        "Auf der Werkbank, zum Biegen (vom Bogenanfang aus, wie die Biegevorrichtung steht; jede erste Einstellung "
        "nach der Karte prüfen)"
    ),
    "jig bench.rest": (
        "Biegung {pull}: ein Pfosten von {post} mit der Kappe darauf unter dem Schenkel hinter Bogen {bend}, {at} vom "
        "Ende dieses Bogens; er steht {along}, {aside}. Liegt der Schenkel in der Kappe, ist das Rohr richtig gedreht: "
        "ein halber Millimeter Höhe ist {turn}\u00b0 Drehung. Beim Biegen dort lassen, außer dieser Schenkel schwenkt."
    ),
    "jig bench.stop": "Biegung {pull}: ein Klotz am Ende ({end}), {far} vom Bogenanfang, setzt die Marke",
    "jig bench.without": (
        "{pulls|Biegung|Biegungen} {pulls}: keine Stütze hilft (Schenkel zu kurz, zu steil, über dem Rohr oder unter "
        "der Werkbank): nach der Karte drehen"
    ),
    "jig bench.towards free": "{far} zum freien Ende hin",
    "jig bench.towards stop": "{far} zum Anschlag hin",
    "jig bench.away": "{far} neben der Rohrlinie, von Ihnen weg",
    "jig bench.near": "{far} neben der Rohrlinie, zu Ihnen hin",
    "gauge.rest": "Kappe einer Stütze",
    "gauge.rest use": (
        "Auf das Ende eines Pfostens aus der Liste für die Werkbank kleben, Rille nach oben, und den Schenkel einlegen."
    ),
    # Gauges and liners
    "gauge.none": "{gauge} entfällt: {why}",
    "gauge.angle": "Winkellehre {angle} Grad",
    "gauge.angle use": (
        "An den Rücken des Bogens halten, beide Arme an den Schenkeln. Sie liegt an beiden an, wenn der Bogen {angle} "
        "Grad hat; liegt ein Arm flach an seinem Schenkel, ist er bei einem Spalt von mehr als {gap} an der Spitze des "
        "anderen um mehr als {off}\u00b0 falsch."
    ),
    "gauge.no angle": (
        "keine Winkellehre für {angle} Grad: neben dem Bogen sind nur {straight} gerades Rohr zum Anlegen"
    ),
    "gauge.turn": "Verdrehlehre {turn} Grad",
    "gauge.turn use": (
        "Auf den Schenkel vor Bogen {bends} klemmen, Schrift zum Anfang, und Arm A zum Schenkel davor drehen. Der "
        "andere Arm, {turn} Grad {way} vom Anfang aus gesehen, zeigt dorthin, wo das Rohr nach dem Bogen weitergeht. "
        "Nach dem der beiden Bögen ausrichten, der schon gebogen ist, und den anderen danach biegen."
    ),
    "gauge.spacer": "Abstandshalter {standoff}",
    "gauge.spacer use": (
        "Auf die Fläche stellen, Nut nach oben, und das Rohr einlegen: seine Achse ist {standoff} von der Fläche weg."
    ),
    "gauge.no spacer": (
        "kein Abstandshalter für einen Wandabstand von {standoff}: die Rohrunterseite liegt näher an der Fläche, als "
        "ein gedruckter Boden dick ist; ab {least} gibt es einen"
    ),
    "liner": "feine Einlage für Sattel {cradle}",
    "liner.use": (
        "In Sattel {cradle} legen, Lippe bergauf gegen die Enden der Wangen (mit Klebeband halten, wo der Anschlag "
        "bergauf ist). Mit allen Einlagen sind die Rillen so eng wie die für Fein."
    ),
    "liner.none": ("keine Einlage für Sattel {cradle}: sie wäre {thick} dick, und die Düse braucht {least}"),
}
