"""Hidden lines: what is seen of some solids from one side, and what lies behind, as flat strokes.

The kernel's exact algorithm; edges where faces run smoothly into each other are left out, outlines are kept.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from pipemodel.geometry.vectors import Vec3, cross, unit

CHORD_MM = 0.1
"""How far a stroke may stray from the curve it stands for, in mm of the room."""


@dataclass(frozen=True)
class Stroke:
    """A stroke on the view plane, mm of the room, x to the right and y up; `solid` counts the solids given."""

    points: tuple[tuple[float, float], ...]
    solid: int
    visible: bool


def hidden_lines(solids: Sequence[Any], toward_eye: Vec3, up: Vec3) -> list[Stroke]:
    """Project solids onto the plane facing the eye.

    Args:
        solids: kernel shapes.
        toward_eye: direction from the room to the eye.
        up: direction that points up on the drawing; need not be square to the view.
    """
    from OCP.BRepLib import BRepLib
    from OCP.gp import gp_Ax2, gp_Dir, gp_Pnt
    from OCP.HLRAlgo import HLRAlgo_Projector
    from OCP.HLRBRep import HLRBRep_Algo, HLRBRep_HLRToShape

    eye = unit(toward_eye)
    right = unit(cross(up, eye))
    frame = gp_Ax2(gp_Pnt(0.0, 0.0, 0.0), gp_Dir(*eye), gp_Dir(*right))
    algorithm = HLRBRep_Algo()
    for solid in solids:
        BRepLib.EncodeRegularity_s(solid, 1e-6)  # where faces run smoothly into each other there is no line
        algorithm.Add(solid, 0)
    algorithm.Projector(HLRAlgo_Projector(frame))
    algorithm.Update()
    algorithm.Hide()
    reader = HLRBRep_HLRToShape(algorithm)
    strokes: list[Stroke] = []
    for i, solid in enumerate(solids):
        for compound, visible in (
            (reader.VCompound(solid), True),
            (reader.OutLineVCompound(solid), True),
            (reader.HCompound(solid), False),
            (reader.OutLineHCompound(solid), False),
        ):
            if compound is not None and not compound.IsNull():
                strokes += [Stroke(points, i, visible) for points in _edges(compound)]
    return strokes


def _edges(compound: Any) -> list[tuple[tuple[float, float], ...]]:
    from OCP.BRepAdaptor import BRepAdaptor_Curve
    from OCP.BRepLib import BRepLib
    from OCP.GCPnts import GCPnts_QuasiUniformDeflection
    from OCP.TopAbs import TopAbs_EDGE
    from OCP.TopExp import TopExp_Explorer
    from OCP.TopoDS import TopoDS

    BRepLib.BuildCurves3d_s(compound)
    out = []
    explorer = TopExp_Explorer(compound, TopAbs_EDGE)
    while explorer.More():
        curve = BRepAdaptor_Curve(TopoDS.Edge_s(explorer.Current()))
        explorer.Next()
        points = GCPnts_QuasiUniformDeflection(curve, CHORD_MM)
        if points.IsDone() and points.NbPoints() >= 2:
            places = [points.Value(k) for k in range(1, points.NbPoints() + 1)]
            out.append(tuple((p.X(), p.Y()) for p in places))
    return out
