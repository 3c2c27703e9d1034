"""What an IFC model becomes, held against ifcopenshell's own geometry kernel: volume, bounds, points in and out.

The kernel's triangles are finer here than any that the program asks for, and trimesh tells which points lie in them.
"""

import pytest
from ifc_made import MadeModel
from models.ifc_bodies import CASES
from models.ifc_read import assert_same, furnished, kernel_mesh

pytestmark = pytest.mark.slow


@pytest.fixture(scope="module")
def all_cases(tmp_path_factory):
    """Every case in one model, which is read once: the file, and of each case its kinds of shapes and its things."""
    folder, made = tmp_path_factory.mktemp("cases"), MadeModel()
    kinds, owner = {}, {}
    for case in CASES:
        before = set(owner)
        kinds[case] = case(made)
        owner.update((one.GlobalId, case) for one in made.file.by_type("IfcElement") if one.GlobalId not in before)
    model, things = furnished(made.written(folder / "model.ifc"), folder)
    assert not model.left_out
    return made.file, {
        case: (kinds[case], [thing for thing in things if owner[thing.source.guid] is case]) for case in CASES
    }


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.__name__.replace("_", " "))
def test_each_body_by_the_librarys_own_kernel(case, all_cases):
    file, cases = all_cases
    kinds, things = cases[case]
    assert {thing.shape.kind for thing in things} <= kinds
    assert_same(things, kernel_mesh(file, things[0].source.guid))
