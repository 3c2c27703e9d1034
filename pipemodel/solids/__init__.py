"""The tube and the room as solids, and the only door to the CAD kernel.

    kernel     the kernel, loaded once; only what needs it imports it
    brep       a run as the kernel's exact solid: cylinders, tori, two flat ends
    room       the things in the room as the kernel's solids
    step       both in STEP files; step_text puts right what the kernel writes
    mesh       a run as triangles, straight from its centreline, to a chord that can be set
    stl        triangles in an STL file
    meshfile   mesh and STEP files of things in the room, read and placed; step_facets those of STEP
    facets     a closed mesh of flat faces as the kernel's exact solid
    hidden     what is seen of solids from one side, for drawings
    libraries  runs, things and whole jobs as objects of CadQuery, trimesh and pyvista
    extent     how far a job reaches; where a wall without end is cut off
    colours    of runs

Triangles need no kernel (those of things are made by the shapes themselves), and a run's solid and its STEP file
need no numpy.
"""
