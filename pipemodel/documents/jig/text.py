"""The jig's sheet to read: how to print it, put it together, lay the piece in, and read a miss."""

from pipemodel.bending.bends import BendTable
from pipemodel.jigs.accuracy import check_distances, give_of
from pipemodel.jigs.design import Jig
from pipemodel.jigs.posts import TRUE_MM, Timber
from pipemodel.jigs.reading import readings
from pipemodel.jigs.worth import Worth
from pipemodel.job.jig import FAST_CM3_H, SLOW_CM3_H
from pipemodel.lists.jig_bench import TITLE as BENCH
from pipemodel.lists.jig_bench import bench_said
from pipemodel.lists.jig_limits import MEANING, TITLE, limit_rows, weight_said, wider_said
from pipemodel.lists.jig_steps import STEPS, own_steps, reading_said
from pipemodel.lists.jig_totals import timber_said
from pipemodel.lists.jig_worth import TITLE as WORTH
from pipemodel.lists.jig_worth import checks_said, part_said, worth_said
from pipemodel.messages.say import say, words
from pipemodel.messages.units import MM, Units
from pipemodel.messages.values import Angle, Count, Length, Name, Number, Size, Word, counts, listed, message
from pipemodel.wording.cautions import caution_lines
from pipemodel.wording.text_page import WIDTH, TextPage

_CRADLES_RULE = "  ------  ---  ------  ------  -----  -------  -------------  -------------"
_HOLES_RULE = "  ------  ---------------  -----------  -----"
_PART_NAME = 17
"""How wide the column of names is at the least."""
_PARTS_RULE = "  -----------------  ---------------------  -------  ------  ------"
_LIMITS_RULE = "  --------------  --------  --------  --------  -----------"
DECISIONS = {
    "go": message("jig sheet.go"),
    "fine": message("jig sheet.fine"),
    "balanced": message("jig sheet.balanced"),
}


def jig_text(jig: Jig, units: Units = MM, width: int = WIDTH) -> str:
    """Return what there is to read about a jig; lengths in mm."""
    page = TextPage(language=units.language, width=width)
    settings, tolerance = jig.settings, jig.settings.tolerance
    revision = Name(settings.revision, quoted=False)
    page.heading(words(units, "jig sheet.title", run=Name(jig.solved.name, quoted=False), revision=revision))
    page.raw("")
    page.text(
        words(
            units,
            "jig sheet.asked",
            outside=_tidy(jig.solved.tube.outside_mm),
            position=_tidy(tolerance.position_mm),
            angle=_tidy(tolerance.angle_deg),
            start=_tidy(tolerance.at_start_mm),
            finish=_tidy(tolerance.at_finish_mm),
        )
    )
    if settings.bends:
        first, last = (Count(n) for n in settings.bends)
        page.text(words(units, "jig sheet.part", first=first, last=last))
    write_worth(page, jig.worth, jig.solved.table, units, whole=settings.bends is None)
    page.raw("", words(units, "jig sheet.lay it in"))
    for step in (*STEPS, *own_steps(jig)):
        page.text(say(step, units), "  - ")
    _write_slots(page, jig, units)
    _write_limits(page, jig, units)
    decision = "go" if settings.inserts else settings.decision
    page.text(say(DECISIONS[decision], units))
    if settings.inserts:
        page.text(words(units, "jig sheet.fine liners"))
    for leg in jig.layout.unjudged:
        page.text(words(units, "jig sheet.short leg", leg=Count(leg + 1)))
    if jig.without_cradle:
        legs = counts([leg + 1 for leg in jig.without_cradle], ",")
        page.text(words(units, "jig sheet.left off", legs=legs))
    for leg in jig.layout.lone:
        page.text(words(units, "jig sheet.one cradle", leg=Count(leg + 1)))
    _write_readings(page, jig, units)
    _write_assembly(page, jig, units)
    _write_parts(page, jig, units)
    if jig.bench:
        page.notes(say(BENCH, units), (say(one, units) for one in bench_said(jig.bench)))
    gauges = (f"{say(g.name, units)}: {say(g.use, units)}" for g in jig.gauges if g.use is not None)
    others = (
        say(message("jig sheet.gauge elsewhere", gauge=g.name, run=Name(run, quoted=False), use=g.use), units)
        for g, run in jig.elsewhere
        if g.use is not None
    )
    page.notes(words(units, "jig sheet.gauges"), [*gauges, *others])
    page.notes(words(units, "jig sheet.left out"), (say(note, units) for note in jig.notes))
    page.notes(words(units, "paper.cautions"), caution_lines(units))
    return page.finished()


def write_worth(page: TextPage, worth: Worth, table: BendTable, units: Units, whole: bool = True) -> None:
    """Write whether a jig is worth printing, and what checks as well; of a `whole` piece, which part of it would do."""
    page.raw("", say(WORTH, units))
    page.text(say(worth_said(worth, len(table.bends)), units))
    for said in part_said(worth, table) if whole else ():
        page.text(say(said, units))
    for check in checks_said(worth):
        page.text(say(check, units), "  - ")


def _tidy(value: float) -> Number:
    """A figure with no more places than it has, two at most."""
    return Number(round(value, 2))


def _write_slots(page: TextPage, jig: Jig, units: Units) -> None:
    head = words(units, "jig sheet.head slots")
    page.raw("", words(units, "jig sheet.slots"), *head.split("\n"), _CRADLES_RULE)
    for t in jig.layout.towers:
        c = t.cradle
        low, high = jig.held_mm(t)
        lean = words(units, "jig sheet.degrees", angle=Angle(c.accepts_deg, ".1f"))
        stop = ""
        if c.stop:
            stop = f"{words(units, 'word', word=Word(c.stop))} {units.figure(f'{c.stop_mm:.1f}')}"
        row = (
            f"  {c.number:>6}  {c.leg + 1:>3}  {low:>6.0f}  {high:>6.0f}  {2 * (t.radius + c.clearance_mm):>5.1f}  "
            f"{c.clearance_mm:>7.2f}"
        )
        page.raw(f"{units.figure(row)}  {lean:>13}  {stop}")


def _write_parts(page: TextPage, jig: Jig, units: Units) -> None:
    parts = (*jig.parts, *jig.gauges)
    more = max(max(len(part.stem) for part in parts) - _PART_NAME, 0)
    head, name_ends = words(units, "jig sheet.head parts"), 2 + _PART_NAME
    page.raw("", words(units, "jig sheet.to print"))
    page.raw(head[:name_ends] + " " * more + head[name_ends:], "  " + "-" * more + _PARTS_RULE[2:])
    for part in parts:
        x, y, z = (float(v) for v in part.body.size)
        figures = (
            f"{x:>5.0f} x {y:>5.0f} x {z:>5.0f}  {part.plastic.plastic_cm3:>5.0f} cm3  "
            f"{part.plastic.mass_g:>4.0f} g  {part.plastic.hours:>4.1f} h"
        )
        page.raw(f"  {part.stem:<{_PART_NAME + more}}  {units.figure(figures)}")
    total, making = jig.total, jig.settings.print
    page.text(
        words(
            units,
            "jig sheet.total",
            parts=Count(len(jig.parts)),
            volume=Number(total.volume_cm3, ".0f"),
            plastic=Number(total.plastic_cm3, ".0f"),
            mass=Number(total.mass_g, ".0f"),
            hours=Number(total.hours, ".1f"),
            quick=Number(total.quick_hours, ".1f"),
            slow=Number(total.slow_hours, ".1f"),
            timber=timber_said([jig]),
        )
    )
    price = jig.settings.price_per_kg
    if price is not None:
        cost = Number(price * total.mass_g / 1000.0, ".2f")
        page.text(words(units, "jig sheet.cost", price=_tidy(price), cost=cost))
    page.text(
        words(
            units,
            "jig sheet.estimate",
            nozzle=_tidy(making.nozzle_mm),
            layer=_tidy(making.layer_mm),
            walls=Count(making.walls),
            infill=Number(making.infill * 100.0, ".0f"),
            density=_tidy(making.density_g_cm3),
            rate=_tidy(making.rate_cm3_h),
            slow=_tidy(SLOW_CM3_H),
            fast=_tidy(FAST_CM3_H),
            allowance=_tidy(making.allowance_mm),
        )
    )


def _write_limits(page: TextPage, jig: Jig, units: Units) -> None:
    page.raw("", say(TITLE, units), *words(units, "jig sheet.head limits").split("\n"), _LIMITS_RULE)
    for of, asked, passes, refused, certain in limit_rows(jig, units):
        page.raw(f"  {of:<14}  {asked:>8}  {passes:>8}  {refused:>8}  {certain:>11}")
    page.raw("")
    page.text(say(MEANING, units))
    if jig.settings.inserts:
        page.text(words(units, "jig sheet.bare slots"))
    page.text(say(wider_said(jig), units))
    first, *legs = weight_said(jig)
    page.text(say(first, units))
    for leg in legs:
        page.text(say(leg, units), "  - ")


def _write_readings(page: TextPage, jig: Jig, units: Units) -> None:
    table = readings(jig.solved.table, jig.layout)
    if not table:
        return
    page.raw("", words(units, "jig sheet.miss"))
    page.text(words(units, "jig sheet.how to read"))
    for r in table:
        page.text(say(reading_said(r), units), "  - ")


def _write_assembly(page: TextPage, jig: Jig, units: Units) -> None:
    give = give_of(jig.plan.base, jig.plan.cut, jig.settings)
    page.raw("", words(units, "jig sheet.together"))
    if jig.plan.timber:
        _write_timber(page, jig, jig.plan.timber, units)
    elif jig.settings.base == "board":
        page.text(words(units, "jig sheet.on a board"))
    elif give:
        swing, far = Angle(give.joint_deg, ".1f"), Length(give.far_mm, ".0f")
        page.text(words(units, "jig sheet.keys", swing=swing, far=far))
    else:
        page.text(words(units, "jig sheet.one piece"))
    distances = check_distances(jig.plan.base, jig.plan.cut)
    if distances and (give or jig.settings.base != "printed"):
        page.text(words(units, "jig sheet.rule"))
        for d in distances:
            one, other, far = Count(d.cradle), Count(d.other), Length(d.distance_mm, ".1f")
            page.text(words(units, "jig sheet.distance", one=one, other=other, far=far), "  - ")


def _write_timber(page: TextPage, jig: Jig, timber: Timber, units: Units) -> None:
    x, y = Size(timber.board_mm[0]), Length(timber.board_mm[1], ".0f")
    page.text(words(units, "jig sheet.timber board", x=x, y=y, screw=_tidy(jig.settings.screw_mm)))
    if timber.batten_mm:
        posts = [
            message("jig sheet.timber post", cradle=Count(p.cradle), length=Length(p.length_mm, ".0f"))
            for p in timber.posts
        ]
        props = [
            message(
                "jig sheet.timber prop",
                prop=Name(p.letter, quoted=False),
                at=Length(p.at_mm, ".0f"),
                length=Length(p.length_mm, ".0f"),
            )
            for p in timber.props
            if p.length_mm
        ]
        total = Length(timber.batten_mm, ".0f")
        side = Size(timber.side_mm)
        page.text(words(units, "jig sheet.timber posts", side=side, posts=listed([*posts, *props], ";"), total=total))
    else:
        page.text(words(units, "jig sheet.timber no posts"))
    page.text(words(units, "jig sheet.timber cradles"))
    narrow = [t.cradle.number for t in jig.layout.towers if t.clearance < TRUE_MM]
    if narrow:
        page.text(words(units, "jig sheet.timber narrow", cradles=counts(narrow, ","), true=Length(TRUE_MM)))
    if timber.props:
        letters = listed(
            [
                message("jig sheet.timber wedge", prop=Name(p.letter, quoted=False), at=Length(p.at_mm, ".0f"))
                for p in timber.props
            ],
            ",",
        )
        page.text(words(units, "jig sheet.timber props", props=letters))
    page.raw("", words(units, "jig sheet.holes"), words(units, "jig sheet.head holes"), _HOLES_RULE)
    lengths = {str(p.cradle): p.length_mm for p in timber.posts} | {p.letter: p.length_mm for p in timber.props}
    for name, holes in jig.holes:
        for hole in holes - timber.board_low:
            post = f"{lengths[name]:.0f}" if name in lengths else "-"
            page.raw(units.figure(f"  {name:>6}  {hole[0]:>15.1f}  {hole[1]:>11.1f}  {post:>5}"))
    page.raw("")
