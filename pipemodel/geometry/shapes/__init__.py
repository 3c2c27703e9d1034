"""The kinds of things that may stand in a room, a file for each, and what each of them answers (`base.Shape`).

Everything else asks the shape. Here are the kinds that other packages call by name; a job knows the others by their
form alone. A kind's file loads no numpy until it is asked for something that needs arrays, so that reading a job and
scheduling it stay light.
"""

from pipemodel.geometry.shapes.base import KINDS, Axis, Shape
from pipemodel.geometry.shapes.box import Box
from pipemodel.geometry.shapes.cylinder import Cylinder
from pipemodel.geometry.shapes.extrusion import Extrusion
from pipemodel.geometry.shapes.half_space import FaceSlab, HalfSpace
from pipemodel.geometry.shapes.mesh import Mesh, MeshFile

__all__ = ["KINDS", "Axis", "Box", "Cylinder", "Extrusion", "FaceSlab", "HalfSpace", "Mesh", "MeshFile", "Shape"]
