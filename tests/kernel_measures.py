"""What the kernel itself says of a shape: volume, centre of mass, faces, validity."""

from collections import Counter


def measured(shape, about=(0.0, 0.0, 0.0)):
    """Volume and centre of mass by the kernel's integration, about a point near the shape."""
    from OCP.BRepGProp import BRepGProp
    from OCP.gp import gp_Pnt
    from OCP.GProp import GProp_GProps

    properties = GProp_GProps(gp_Pnt(*about))
    BRepGProp.VolumeProperties_s(shape, properties)
    centre = properties.CentreOfMass()
    return properties.Mass(), (centre.X(), centre.Y(), centre.Z())


def valid(shape):
    from OCP.BRepCheck import BRepCheck_Analyzer

    return BRepCheck_Analyzer(shape).IsValid()


def listed(shape, kind):
    """The different sub-shapes of a kind, numbered from 1 by the kernel."""
    from OCP.TopExp import TopExp
    from OCP.TopTools import TopTools_IndexedMapOfShape

    found = TopTools_IndexedMapOfShape()
    TopExp.MapShapes_s(shape, kind, found)
    return found


def faces(shape):
    from OCP.TopAbs import TopAbs_FACE
    from OCP.TopoDS import TopoDS

    found = listed(shape, TopAbs_FACE)
    return [TopoDS.Face(found.FindKey(i)) for i in range(1, found.Extent() + 1)]


def surfaces(shape):
    """How many faces of each kind of surface a shape has."""
    from OCP.BRepAdaptor import BRepAdaptor_Surface

    return Counter(BRepAdaptor_Surface(face).GetType().name.split("_")[-1] for face in faces(shape))
