"""A job small enough to be worked by hand, for the tests that read its papers.

The rise: 600 east, 600 up, 300 south, both bends square, radius 55. A bend takes 55 pi / 2 = 86.394 of tube. The
start goes 10.6 into a fitting, and 20 comes off the finish. Along the tube: straight 10.6 + 600 - 55 = 555.6; bend 1
to 641.994; straight 600 - 110 = 490 to 1131.994; bend 2 to 1218.388; straight 300 - 55 = 245 to 1463.388; cut
1483.388. The former's mark stands 10 past the beginning: 565.6 and 1141.994. Rounded to halves: 555.5, 642, 1132,
1218.5, 1463.5 and 1483.5; marks 565.5 and 1142. Pull angle: 90 + 1 + 0.02 * 90 = 92.8. A back lies 55 + 7.5 = 62.5
beyond where its bend begins or ends: 555.6 + 62.5 = 618.1 from the start end to that of bend 1, 1483.388 - 641.994 +
62.5 = 903.9 from the finish end; 245 + 20 + 62.5 = 327.5 to that of bend 2; 490 + 125 = 615 from back to back; and
mark 2 stands 62.5 + 490 + 10 = 562.5 from the back of bend 1. A quarter round a tube of 15 is 15 pi / 4 = 11.8.

Bend 1 lies in a plane square to south (its legs go east and up), bend 2 in one square to east. From south to east is
anticlockwise on a map, seen from above; from below, as one looks from the start end along leg 2, it is clockwise. To
bring bend 2 into the bender the tube rolls the other way.

The axis stands 15 off the north wall and 10.5 off the post's face, the outside 7.5 less. The stub has 9 of
insulation, and ends 50.5 short of the post. The rise and the stub run 100 apart across and 200 in height: 223.607
from axis to axis, 15 less from outside to outside. Clips for water: 300 from the fitting, 310.6 along the tube; on
leg 2, 22.5 short of the bend, 1109.494. From there to 1463.388 nothing holds it: 353.9, and its middle is 1286.4
along.

Of a length of 3000 are left 3000 - 1483.388 - 560 - 2 cuts of 2 = 952.6; with the cuts, 956.6.
"""

from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory

from pipemodel import story
from pipemodel.messages.units import MM
from pipemodel.results.paper_options import PaperOptions

WORKED = """\
job: worked
tube: 15
stock: {length: 3000}
kerf: 2
former: {radius: 55, springback: {per_degree: 0.02, fixed: 1}, mark: 10, hold: 40, guide: 25, max_angle: 120}
clearance: 5
clips: {face: [north wall]}
room:
  north wall: {face: {at: [0, 0, 0], facing: south}}
  floor:      {face: {at: [0, 0, 0], facing: up}}
  post:       {box: {from: [610.5, -200, 0], to: [700, -40, 2000]}, clearance: 6}
runs:
  rise:
    points: [[0, -15, 500], [600, -15, 500], [600, -15, 1100], [600, -315, 1100]]
    ends: {start: {fitting: capillary}}
    trim: 20
  stub:
    points: [[0, -115, 300], [560, -115, 300]]
    insulation: 9
"""

SHORT_STOCK = WORKED.replace("length: 3000", "length: 1000, offcuts: [900]")
"""The rise is jointed in the middle of leg 2: 641.994 + 245, to the whole millimetre 887. Piece 2 is 596.388 and has
its bend from 245 to 331.394; held by its finish, its mark stands 10 before the far end of the bend, 321.394."""


@cache
def worked(yaml=WORKED, units=MM, **more):
    """Return the answer of the job, or of another."""
    with TemporaryDirectory() as folder:
        path = Path(folder) / "worked.yaml"
        path.write_text(yaml, encoding="utf-8")
        return story.results(story.read(path, {}, False), paper_options=PaperOptions(units, **more))
