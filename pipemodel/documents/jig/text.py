"""The jig's sheet to read: how to print it, put it together, lay the piece in, and read a miss."""

from pipemodel.jig.accuracy import check_distances, give_of
from pipemodel.jig.design import Jig
from pipemodel.jig.reading import readings
from pipemodel.lists.jig_limits import MEANING, TITLE, limit_rows, weight_said, wider_words
from pipemodel.lists.jig_steps import reading_said, steps_for
from pipemodel.wording.cautions import caution_lines
from pipemodel.wording.rounding import tidy
from pipemodel.wording.text_page import WIDTH, TextPage

_CRADLES_HEAD = (
    "  Cradle  Leg    From      To   Slot  Accepts   Leg may lean  Stop",
    "                              printed   +/- mm      at most     +/- mm",
    "  ------  ---  ------  ------  -----  -------  -------------  -------------",
)
_PARTS_HEAD = (
    "  File                       Size            Plastic   Mass   Time",
    "  -----------------  ---------------------  -------  ------  ------",
)
_LIMITS_HEAD = (
    "  Of                 Asked    Passes   Refuses   Refuses for",
    "                   at most     up to      from  certain from",
    "  --------------  --------  --------  --------  -----------",
)
DECISIONS = {
    "go": "Slots for go: no piece is refused whose legs and ends all lie within the position. What passes beside that "
    "may be out by more than asked, as the table says.",
    "fine": "Slots for fine: no piece passes that has a leg out of place or a bend out by more than asked, whatever "
    "else is out, unless the table says otherwise. A good piece may be refused.",
    "balanced": "Slots balanced: what is out of tolerance in one thing alone is refused, unless the table says "
    "otherwise; the slots and stops that judge a thing share its tolerance between them. A piece that is a little out "
    "in several things at once may be refused though each is within, or pass though one is not, up to where it is "
    "refused for certain.",
}


def jig_text(jig: Jig, ascii: bool = False, width: int = WIDTH) -> str:
    """Return what there is to read about a jig."""
    page = TextPage(ascii, width)
    settings, tolerance = jig.settings, jig.settings.tolerance
    page.heading(f"Checking jig: {jig.solved.name}, revision {settings.revision}")
    page.raw("")
    page.text(
        f"For a piece of {tidy(jig.solved.tube.outside_mm)} mm tube. Asked: every leg within "
        f"{tidy(tolerance.position_mm)} mm of its place, every bend within {tidy(tolerance.angle_deg)}\u00b0, the "
        f"start within {tidy(tolerance.at_start_mm)} mm and the finish within {tidy(tolerance.at_finish_mm)} mm "
        "along the tube. What the jig makes of that is below."
    )
    page.raw("", "Lay it in")
    for step in steps_for(jig):
        page.text(step, "  - ")
    page.raw("", "What each slot accepts (mm along the tube from its start)", *_CRADLES_HEAD)
    for t in jig.layout.towers:
        c = t.cradle
        begins = jig.solved.centreline.offsets[2 * c.leg]
        low, high = begins + c.low_mm * t.place.stretch, begins + c.high_mm * t.place.stretch
        stop = f"{c.stop} {c.stop_mm:.1f}" if c.stop else ""
        page.raw(
            f"  {c.number:>6}  {c.leg + 1:>3}  {low:>6.0f}  {high:>6.0f}  {2 * (t.radius + c.clearance_mm):>5.1f}  "
            f"{c.clearance_mm:>7.2f}  {c.accepts_deg:>9.1f} deg  {stop}"
        )
    _write_limits(page, jig)
    decision = "go" if settings.inserts else settings.decision
    page.text(DECISIONS[decision])
    if settings.inserts:
        page.text("With the fine liners in, the slots are those for fine; between the two verdicts, measure.")
    for leg in jig.layout.unjudged:
        page.text(f"Leg {leg + 1} is too short for a cradle: it is judged by its neighbours only.")
    for leg in jig.layout.lone:
        page.text(f"Leg {leg + 1} has one cradle only, for want of room beside the rest of the tube.")
    _write_readings(page, jig)
    _write_assembly(page, jig)
    page.raw("", "To print (no supports, flat face down, as the files lie)", *_PARTS_HEAD)
    for part in (*jig.parts, *jig.gauges):
        x, y, z = (float(v) for v in part.body.size)
        page.raw(
            f"  {part.stem:<17}  {x:>5.0f} x {y:>5.0f} x {z:>5.0f}  {part.plastic.plastic_cm3:>5.0f} cm3  "
            f"{part.plastic.mass_g:>4.0f} g  {part.plastic.hours:>4.1f} h"
        )
    making = settings.print
    page.text(
        f"Estimated for a {tidy(making.nozzle_mm)} mm nozzle, {tidy(making.layer_mm)} mm layers, {making.walls} "
        f"walls, {making.infill:.0%} infill, {tidy(making.density_g_cm3)} g/cm3, {tidy(making.speed_mm3_s)} "
        f"mm3/s; take a third either way. Slots are drawn {tidy(making.allowance_mm)} mm wider than they are to "
        "be, for what the printer closes them by: print one cradle, measure, and set the allowance."
    )
    page.notes("Gauges", (f"{g.name}: {g.use}" for g in jig.gauges))
    page.notes("Left out", jig.notes)
    page.notes("Cautions", caution_lines())
    return page.finished()


def _write_limits(page: TextPage, jig: Jig) -> None:
    page.raw("", TITLE, *_LIMITS_HEAD)
    for of, asked, passes, refused, certain in limit_rows(jig):
        page.raw(f"  {of:<14}  {asked:>8}  {passes:>8}  {refused:>8}  {certain:>11}")
    page.raw("")
    page.text(MEANING)
    if jig.settings.inserts:
        page.text("The table is for the bare slots, without liners.")
    for words in wider_words(jig):
        page.text(words)
    first, *legs = map(str, weight_said(jig))
    page.text(first)
    for words in legs:
        page.text(words, "  - ")


def _write_readings(page: TextPage, jig: Jig) -> None:
    table = readings(jig.solved.table, jig.layout)
    if not table:
        return
    page.raw("", "Reading a miss")
    page.text(
        "Lay the start leg in against its stop and go along the run: the first cradle the tube strays from "
        "comes after the bend that is out. A degree too much shows there as:"
    )
    for r in table:
        page.text(str(reading_said(r)), "  - ")


def _write_assembly(page: TextPage, jig: Jig) -> None:
    give = give_of(jig.plan.base, jig.plan.cut, jig.settings)
    page.raw("", "Put it together")
    if jig.settings.base == "board":
        page.text(
            "Lay the 1:1 plan on a flat board, drill through it at the crosses, and screw each tower down, its "
            "number as on the plan."
        )
    elif give:
        page.text(
            "Slide the keys in from above, on the 1:1 plan on a flat board, and screw or glue every part down: "
            f"the joints alone could swing by {give.joint_deg:.1f} degrees each, and the farthest cradle by "
            f"{give.far_mm:.0f} mm."
        )
    else:
        page.text("It is of one piece; stand it on a flat board, and screw it down if it rocks.")
    distances = check_distances(jig.plan.base, jig.plan.cut)
    if distances and (give or jig.settings.base == "board"):
        page.text("Check with a rule, from the screw hole beside one number to that beside the other, within 0.5 mm:")
        for d in distances:
            page.text(f"{d.cradle} to {d.other}: {d.distance_mm:.1f} mm", "  - ")
