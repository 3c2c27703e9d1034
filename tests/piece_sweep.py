"""An independent look at a way in: the tube as a mesh made here, moved through the states, measured by python-fcl.

Shares no code with `pipemodel.ways_in`: corner points to a centreline, quaternions to matrices and the steps between
states are worked out here from what docs/ways-in.md says of the states.
"""

import fcl
import numpy as np
import trimesh

SIDES = 24


def centreline(corners, radius, step_deg=3.0):
    """Points along the axis: straights and arcs of one radius, as close as the chords of `step_deg`."""
    corners = np.asarray(corners, dtype=float)
    out = [corners[0]]
    for before, at, after in zip(corners, corners[1:], corners[2:], strict=False):
        u, v = (at - before) / np.linalg.norm(at - before), (after - at) / np.linalg.norm(after - at)
        angle = np.arccos(np.clip(u @ v, -1.0, 1.0))
        if angle < 1e-9:
            continue
        back = radius * np.tan(angle / 2.0)
        square = v - (v @ u) * u
        square /= np.linalg.norm(square)
        centre = at - back * u + radius * square
        for t in np.linspace(0.0, angle, max(int(np.ceil(np.degrees(angle) / step_deg)), 2) + 1):
            out.append(centre - radius * np.cos(t) * square + radius * np.sin(t) * u)
    out.append(corners[-1])
    return np.array(out)


def tube_mesh(points, radius, grow=0.0):
    """The tube round an axis of points as a closed mesh; its flats touch the round outside from within."""
    ways = np.diff(points, axis=0)
    keep = np.linalg.norm(ways, axis=1) > 1e-9
    points = np.concatenate([points[:1], points[1:][keep]])
    ways = np.diff(points, axis=0)
    ways /= np.linalg.norm(ways, axis=1)[:, None]
    tangent = np.concatenate([ways[:1], ways[:-1] + ways[1:], ways[-1:]])
    tangent /= np.linalg.norm(tangent, axis=1)[:, None]
    u = np.cross(tangent[0], np.eye(3)[np.argmin(np.abs(tangent[0]))])
    u /= np.linalg.norm(u)
    turns = np.linspace(0.0, 2.0 * np.pi, SIDES, endpoint=False)
    rings = []
    for p, t in zip(points, tangent, strict=True):
        u = u - (u @ t) * t
        u /= np.linalg.norm(u)
        rings.append(p + (radius + grow) * (np.outer(np.cos(turns), u) + np.outer(np.sin(turns), np.cross(t, u))))
    vertices = np.concatenate([*rings, points[:1], points[-1:]])
    faces, n = [], len(points)
    for i in range(n - 1):
        for k in range(SIDES):
            a, b = i * SIDES + k, i * SIDES + (k + 1) % SIDES
            faces += [(a, b, a + SIDES), (b, b + SIDES, a + SIDES)]
    for k in range(SIDES):
        after = (k + 1) % SIDES
        faces += [(n * SIDES, after, k), (n * SIDES + 1, (n - 1) * SIDES + k, (n - 1) * SIDES + after)]
    return trimesh.Trimesh(vertices, faces, process=False)


def flats_off(radius):
    """How far the flats of a mesh stand within the tube."""
    return radius * (1.0 - np.cos(np.pi / SIDES))


def fcl_mesh(mesh):
    model = fcl.BVHModel()
    model.beginModel(len(mesh.vertices), len(mesh.faces))
    model.addSubModel(np.asarray(mesh.vertices), np.asarray(mesh.faces))
    model.endModel()
    return model


def box_mesh(low, high):
    return trimesh.creation.box(bounds=[low, high])


def matrix(q):
    w, x, y, z = q
    return np.array(
        [
            [1 - 2 * (y * y + z * z), 2 * (x * y - w * z), 2 * (x * z + w * y)],
            [2 * (x * y + w * z), 1 - 2 * (x * x + z * z), 2 * (y * z - w * x)],
            [2 * (x * z - w * y), 2 * (y * z + w * x), 1 - 2 * (x * x + y * y)],
        ]
    )


def poses(states, points, step_mm):
    """Yield rotation and position along the states, no point of `points` moving farther than `step_mm` from one to the
    next: position straight, rotation even about one axis the shorter way round."""
    for (p, q), (s, r) in zip(states, states[1:], strict=False):
        p, q, s, r = (np.asarray(x, dtype=float) for x in (p, q, s, r))
        if q @ r < 0.0:
            r = -r
        half = np.arccos(np.clip(q @ r, -1.0, 1.0))
        far = np.linalg.norm(s - p) + 2.0 * half * np.linalg.norm(points, axis=1).max()
        count = max(int(np.ceil(far / step_mm)), 1)
        for k in range(count + 1):
            t = k / count
            turn = q if half < 1e-9 else (np.sin((1 - t) * half) * q + np.sin(t * half) * r) / np.sin(half)
            yield matrix(turn / np.linalg.norm(turn)), p + t * (s - p)


def least_distance(states, mesh, things, step_mm):
    """The least distance from the mesh to other meshes over all poses looked at, 0 where they touch."""
    moving = fcl.CollisionObject(fcl_mesh(mesh), fcl.Transform())
    obstacles = [fcl.CollisionObject(fcl_mesh(thing), fcl.Transform()) for thing in things]
    least = np.inf
    for rotation, position in poses(states, mesh.vertices, step_mm):
        moving.setTransform(fcl.Transform(rotation, position))
        points = mesh.vertices @ rotation.T + position
        low, high = points.min(axis=0), points.max(axis=0)
        for obstacle, thing in zip(obstacles, things, strict=True):
            under, over = thing.bounds
            # What stands farther off than the least so far, block against block, is not asked.
            if np.linalg.norm(np.maximum(np.maximum(under - high, low - over), 0.0)) >= least:
                continue
            least = min(least, fcl.distance(moving, obstacle, fcl.DistanceRequest(), fcl.DistanceResult()))
            if least <= 0.0:
                return 0.0
    return least
