"""Each value of a sentence that hands follow stands where it is meant: hold where hold is said, start where start is.

The sentences are written by hand, as a fitter would say them; the values are all different, so that two exchanged
show. In German the same figures stand at the words that mean the same.
"""

import re

import pytest

from pipemodel.messages.say import say, templates
from pipemodel.messages.units import units_for
from pipemodel.messages.values import NOTHING, Angle, Count, Length, Name, Number, Size, Tape, Word, counts, message

ENGLISH, GERMAN = units_for("mm", "en"), units_for("mm", "de")
NO = NOTHING


def figure(n):
    return Name(str(n), quoted=False)


SAID = [
    (
        message("pull.to hold and guide", hold=Length(60.0), guide=Length(45.0)),
        r"hold 60 mm and guide 45 mm", r"60 mm halten .* 45 mm führen",
    ),
    (
        message("former.needs", hold=figure(60), guide=figure(45), generic=NO),
        r"holds 60, guides 45", r"gerade 60 zum Halten, 45 zum Führen",
    ),
    (
        message("former.needs, block", hold=figure(60), guide=figure(45), generic=NO),
        r"holds 60, guides at least 45", r"gerade 60 zum Halten, mindestens 45 zum Führen",
    ),
    (message("former.hold", hold=Length(60.0)), r"hold \(60 mm\)", r"Einspannlänge \(60 mm\)"),
    (message("former.guide", guide=Length(45.0)), r"guide \(45 mm\)", r"Führungslänge \(45 mm\)"),
    (
        message("former.guide, block", guide=Length(45.0), block=Length(95.0)),
        r"guide \(45 mm, with a block of 95 mm\)", r"Führungslänge \(45 mm, mit einem Gleitstück von 95 mm\)",
    ),
    (message("pull.to hold"), r"to hold", r"halten"),
    (message("pull.to guide"), r"to guide", r"führen"),
    (
        message("pull.bends nothing", bend=Count(3), angle=Angle(2.0), pull=Angle(1.5), spring=figure("-0.5")),
        r"bend 3 of 2 degrees would be pulled to 1\.5, .* springback of -0\.5",
        r"Bogen 3 von 2 Grad würde bis 1,5 gebogen, .* Rückfederung von -0\.5",
    ),
    (
        message("pull.too far", bend=Count(3), angle=Angle(170.0), pull=Angle(178.0), most=Angle(175.0)),
        r"bend 3 of 170 degrees has to be pulled to 178; .* no further than 175",
        r"Bogen 3 von 170 Grad muss bis 178 gebogen werden; .* nicht weiter als 175",
    ),
    (
        message("pull.too short", leg=figure("L"), has=Length(30.0), needs=Length(45.0), what_for=figure("W"),
                more=Length(15.0), cut_off=NO),
        r"L is 30 mm; 45 mm is needed W: 15 mm longer", r"L: 30 mm vorhanden, 45 mm nötig, W: um 15 mm verlängern",
    ),
    (
        message("card.mark", at=Tape(565.5), check=NO),
        r"mark at 565\.5 mm from the start end", r"565,5 mm vom Anfang",
    ),
    (message("card.lay", stop=message("card.in the stop"), left=Word("start"), right=Word("finish")),
     r"start end to your left, in the stop; finish end to your right",
     r"Anfang nach links, in den Anschlag; Ende nach rechts"),
    (message("card.turn end for end", stop=message("card.in the stop"), left=Word("finish"), right=Word("start")),
     r"end for end: finish end to your left, in the stop; start end to your right",
     r"Ende nach links, in den Anschlag; Anfang nach rechts"),
    (message("card.inside line", bend=Count(4), far=Length(11.8, ".1f"), angle=Angle(90.0), way=figure(" W"),
             last=Count(2)),
     r"inside line of bend 4: 11\.8 mm round the tube \(90°\) W from that of bend 2",
     r"Innenlinie von Bogen 4 anreißen: 11,8 mm um das Rohr herum \(90°\) W von der von Bogen 2"),
    (message("card.inside line on", bend=Count(4), last=Count(2)),
     r"inside line of bend 4 on with that of bend 2", r"Innenlinie von Bogen 4 in der Flucht der von Bogen 2"),
    (message("card.roll", turn=figure("T"), side=Word("towards you"), faces=NO),
     r"roll the tube T, its top towards you", r"um T drehen, Oberseite zu Ihnen hin"),
    (message("card.roll", turn=figure("T"), side=Word("away from you"), faces=NO),
     r"its top away from you", r"Oberseite von Ihnen weg"),
    (message("card.then faces", bend=Count(4), faces=Word("up")),
     r"inside line of bend 4 then faces up", r"Innenlinie von Bogen 4 zeigt dann nach oben"),
    (message("card.then faces", bend=Count(4), faces=Word("down")),
     r"inside line of bend 4 then faces down", r"zeigt dann nach unten"),
    (message("card.plumb up"), r"plumb, upwards", r"lotrecht nach oben"),
    (message("card.plumb down"), r"plumb, downwards", r"lotrecht nach unten"),
    (message("card.points above", way=Word("left"), angle=Angle(30.0)),
     r"points left, 30° above level", r"zeigt nach links, 30° über der Waagerechten"),
    (message("card.points below", way=Word("right"), angle=Angle(30.0)),
     r"points right, 30° below level", r"zeigt nach rechts, 30° unter der Waagerechten"),
    (message("card.pull", angle=Angle(92.8), back=message("card.springs back", angle=Angle(90.0))),
     r"pull towards you to 92\.8° and let go; it springs back to 90°",
     r"zu sich hin bis 92,8° biegen und loslassen; es federt auf 90° zurück"),
    (message("measure.end to back", end=Word("finish"), bend=Count(2), at=NO),
     r"from the finish end to the back of bend 2", r"vom Ende bis zum Rücken von Bogen 2"),
    (message("measure.end to back", end=Word("start"), bend=Count(2), at=NO),
     r"from the start end to the back of bend 2", r"vom Anfang bis zum Rücken von Bogen 2"),
    (message("measure.over legs", before=Count(1), after=Count(3)),
     r"over the outsides of the legs before bend 1 and after bend 3",
     r"über die Außenseiten der Schenkel vor Bogen 1 und nach Bogen 3"),
    (message("measure.between legs", before=Count(1), after=Count(3)),
     r"between the insides of the legs before bend 1 and after bend 3",
     r"zwischen den Innenseiten der Schenkel vor Bogen 1 und nach Bogen 3"),
    (message("measure.passover", before=Count(1), after=Count(3), top=Count(2)),
     r"legs before bend 1 and after bend 3 up to the back of bend 2",
     r"vor Bogen 1 und nach Bogen 3 bis zum Rücken von Bogen 2"),
    (message("measure.off the bench", at=message("measure.at end", end=Word("finish")), bend=Count(2), past=NO),
     r"from the bench up to the finish end, with both legs of bend 2 flat",
     r"zum Rohr am Ende, beide Schenkel von Bogen 2"),
    (message("measure.on the line", at=message("measure.at ring", far=Tape(900.0), end=Word("start")), bend=Count(2),
             side=Word("before")),
     r"^a pencil ring 900 mm from the start end stands plumb", r"^das Rohr am Bleistiftring 900 mm vom Anfang steht"),
    (message("mark.past", past=figure(10)), r"^10 past where the bend begins", r"^10 hinter dem Bogenanfang"),
    (message("mark.short", past=figure(10)), r"^10 short of where the bend begins", r"^10 vor dem Bogenanfang"),
    (message("roll.half"), r"half a turn", r"halbe Umdrehung"),
    (message("turn.by", size=Angle(90.0), way=Word("clockwise")), r"^90 clockwise$", r"^90 im Uhrzeigersinn$"),
    (message("turn.by", size=Angle(90.0), way=Word("anticlockwise")),
     r"^90 anticlockwise$", r"^90 gegen den Uhrzeigersinn$"),
    (message("schedule.former and turn", put_in=figure("F"), roll=figure("R")), r"^F; R$", r"^F; R$"),
    (message("place.before bend", bend=Count(2)), r"before bend 2", r"vor Bogen 2"),
    (message("place.after bend", bend=Count(2)), r"after bend 2", r"nach Bogen 2"),
    (message("place.start"), r"at the start end", r"am Anfang"),
    (message("place.finish"), r"at the finish end", r"am Ende"),
    (message("leg.start tail"), r"start tail", r"Anfangsschenkel"),
    (message("leg.finish tail"), r"finish tail", r"Endschenkel"),
    (message("clash.hole", diameter=Length(25.0), length=Length(103.0), start=figure("A"), finish=figure("B"),
             round_it=NO),
     r"hole of 25 mm, 103 mm long, from A to B", r"Loch mit 25 mm Durchmesser, 103 mm lang, von A bis B"),
    (message("bender.other radius", bender=figure("X"), measured=Length(55.0), formers=Count(1), radius=Length(60.0)),
     r"measured with a former of radius 55 mm, .* bent to 60 mm",
     r"vom Radius 55 mm ausgemessen, gebogen wird .* mit 60 mm"),
    (message("bender.one pull, by finish", bend=Count(2)), r"bend 2 held by the finish", r"Bogen 2, auf der Endseite"),
    (message("clips.title", service=Word("water"), level=Size(1200.0), upright=Size(1800.0)),
     r"1200 apart on level tube and 1800 on upright", r"1200 auseinander an waagerechtem und 1800 an senkrechtem"),
    (message("clips.where", face=figure("wall"), across=Tape(310.5, unit=False), across_from=figure("right of S"),
             up=Tape(500.0, unit=False), up_from=figure("over F")),
     r"wall: 310\.5 right of S, 500 over F", r"wall: 310,5 right of S, 500 over F"),
    (message("clips.nothing holds", low=Tape(1109.0, unit=False), high=Tape(1463.0, unit=False), reason=figure("R")),
     r"from 1109 to 1463: R", r"von 1109 bis 1463: R"),
    (message("tape.edge", side=Word("left"), thing=Name("wall")), r"left edge of 'wall'", r"link.*wall"),
    (message("ends.trim", trim=Tape(20.0)), r"20 mm .* at the finish.* after bending", r"am Ende .*20 mm.* nach dem"),
    (message("schedule.trim", length=figure(20)), r"20 is trimmed off the finish", r"20, die am Ende"),
    (message("ends.ends beyond", goes_in=figure("G"), beyond=Length(10.6), point=Word("mouth")),
     r"G, so it ends 10\.6 mm beyond the point given, .* mouth", r"10,6 mm hinter dem .*Mündung"),
    (message("ends.ends short", goes_in=figure("G"), beyond=Length(10.6), point=Word("centre")),
     r"G, so it ends 10\.6 mm short of the point given, .* centre", r"10,6 mm vor dem .*Mitte"),
    (message("cuts.joint", at=Tape(887.0, unit=False), side=figure("S"), other=figure("O")),
     r"joint at 887 is made from S, away from O", r"Muffe bei 887 wird von S gelötet, abgewandt von O"),
    (message("cuts.best", used=figure(3000), waste=figure(952)), r"3000 of stock, 952 left over", r"3000 .*, 952 Rest"),
    (message("stock.too long", run=Name("a"), cut=Tape(7000.0), longest=Tape(6000.0), assumed=NO),
     r"needs 7000 mm and the longest stock is 6000 mm", r"braucht 7000 mm, und die längste Stange hat 6000 mm"),
    (message("passover.too high", thing=figure("T"), has=Length(30.0), gap=Length(10.0)),
     r"clears by 30 mm, not 10 mm", r"ist 30 mm, nicht 10 mm"),
    (message("damage.below least", radius=Length(40.0), below=Number(3.0), published=figure("P")),
     r"radius of 40 mm is 3 below P", r"Radius von 40 mm liegt 3 unter dem P"),
    (message("bender.pulls, some by finish", bends=counts([1, 3, 2]), some=figure(3)),
     r"bends 1, 3 and 2 in that order; 3 held by the finish", r"1, 3 und 2 in dieser .*, dabei 3 auf der Endseite"),
]  # fmt: skip


@pytest.mark.parametrize(("said", "english", "german"), SAID, ids=[said.template for said, *_ in SAID])
def test_each_figure_stands_at_the_word_it_belongs_to(said, english, german):
    for wanted, units in ((english, ENGLISH), (german, GERMAN)):
        read = say(said, units)
        assert re.search(wanted, read), read


OPPOSITES = [
    ("start", "finish"), ("clockwise", "anticlockwise"), ("east", "west"), ("north", "south"), ("up", "down"),
    ("above", "below"), ("towards you", "away from you"), ("left", "right"), ("hold", "guide"),
]  # fmt: skip
MEANT = {
    "start": "Anfang", "finish": "Ende", "clockwise": "im Uhr", "anticlockwise": "gegen", "east": "Ost", "west": "West",
    "north": "Nord", "south": "Süd", "up": "oben", "down": "unten", "above": "oben", "below": "unten",
    "towards you": "zu Ihnen", "away from you": "von Ihnen weg", "left": "links", "right": "rechts",
    "hold": "Einspann", "guide": "Führung",
}  # fmt: skip


@pytest.mark.parametrize("pair", OPPOSITES, ids=" or ".join)
def test_opposite_words_are_opposite_in_every_language(pair):
    for one, other in (pair, pair[::-1]):
        assert say(message("word", word=Word(one)), ENGLISH) == one
        german = say(message("word", word=Word(one)), GERMAN)
        assert MEANT[one] in german
        assert MEANT[other] not in german


@pytest.mark.parametrize(
    ("side", "english", "german"),
    [("to the left of", "left of", "links vom"), ("to the right of", "right of", "rechts vom"),
     ("below", "below", "unter dem"), ("above", "above", "über dem"), ("west of", "west of", "westlich vom"),
     ("east of", "east of", "östlich vom"), ("south of", "south of", "südlich vom"),
     ("north of", "north of", "nördlich vom")],
)  # fmt: skip
def test_sides_of_the_start_of_a_run(side, english, german):
    said = message("tape.of start", side=Word(side))
    assert say(said, ENGLISH) == f"{side} the start of the run"
    assert english in say(said, ENGLISH)
    assert say(said, GERMAN).startswith(german)


def test_what_is_called_no_says_no_in_every_language():
    """Templates named after what is not there: no room, no such spring, no move that clears it."""
    refused = {"en": r"\b(no|not|none|cannot|neither|nothing)\b", "de": r"\b(kein\w*|nicht|nichts|weder|ohne)\b"}
    named = [name for name in templates("en") if re.search(r"\b(no|nothing|cannot)\b", name)]
    assert len(named) > 15
    for name in named:
        for language, words in refused.items():
            text = templates(language)[name]
            assert not text or re.search(words, text, re.IGNORECASE), (name, text)
            assert not re.search(r"\byes\b", text), name
