"""Volumes of the analytic cavity shapes from the OpenCASCADE kernel inside gmsh, as JSON on standard output.

Needs Debian's python3-gmsh. Run with Debian's own Python:
    /usr/bin/python3 tests/outside/gmsh-masses.py > tests/outside/gmsh-masses.json
The bodies are exact (planes, cylinders, cones, spheres, tori); getMass integrates over their faces.
"""
import json
import math

import gmsh

gmsh.initialize()
gmsh.option.setNumber("General.Terminal", 0)
occ = gmsh.model.occ
masses = {}


def keep(name, tag):
    masses[name] = occ.getMass(3, tag)


def below(tag):
    """The part of a body under z = 0."""
    slab = occ.addBox(-100, -100, -100, 200, 200, 100)
    out, _ = occ.intersect([(3, tag)], [(3, slab)])
    assert len(out) == 1, out
    return out[0][1]


def between(tag, low, high):
    slab = occ.addBox(-100, -100, low, 200, 200, high - low)
    out, _ = occ.intersect([(3, tag)], [(3, slab)])
    assert len(out) == 1, out
    return out[0][1]


def fuse(first, *others):
    out, _ = occ.fuse([(3, first)], [(3, tag) for tag in others])
    assert len(out) == 1, out
    return out[0][1]


def ruled(length, width, floor_length, floor_width, depth):
    """A body between two rectangles, by its faces."""

    def corners(l, w, z):
        return [occ.addPoint(x * l / 2, y * w / 2, z) for x, y in ((-1, -1), (1, -1), (1, 1), (-1, 1))]

    top, floor = corners(length, width, 0), corners(floor_length, floor_width, -depth)

    def ring(points):
        return [occ.addLine(points[i], points[(i + 1) % 4]) for i in range(4)]

    tops, floors = ring(top), ring(floor)
    uprights = [occ.addLine(top[i], floor[i]) for i in range(4)]
    faces = [occ.addPlaneSurface([occ.addCurveLoop(edges)]) for edges in (tops, floors)]
    for i in range(4):
        loop = occ.addCurveLoop([tops[i], uprights[(i + 1) % 4], -floors[i], -uprights[i]])
        faces.append(occ.addPlaneSurface([loop]))
    return occ.addVolume([occ.addSurfaceLoop(faces)])


def turned(profile):
    """A body turned from radius, depth corners that run from the rim to the axis."""
    points = [occ.addPoint(r, 0, -z) for r, z in profile] + [occ.addPoint(0, 0, 0)]
    lines = [occ.addLine(points[i], points[(i + 1) % len(points)]) for i in range(len(points))]
    face = occ.addPlaneSurface([occ.addCurveLoop(lines)])
    out = occ.revolve([(2, face)], 0, 0, 0, 0, 0, 1, 2 * math.pi)
    bodies = [tag for dim, tag in out if dim == 3]
    assert len(bodies) == 1, out
    return bodies[0]


keep("cap", below(occ.addSphere(0, 0, 7, 10)))
keep("cone", occ.addCone(0, 0, 0, 0, 0, -6, 8, 0))
keep("frustum", occ.addCone(0, 0, 0, 0, 0, -8, 10, 5))
# slice of the ball of radius sqrt(69.0625) whose centre stands 5.75 over the larger face
keep("segment", between(occ.addSphere(0, 0, 5.75, math.sqrt(69.0625)), -2, 0))
# a parabola is a quadratic Bezier curve: ends (5, 0) and (-5, 0), middle control point at twice the depth
points = [occ.addPoint(5, 0, 0), occ.addPoint(2.5, 0, -3), occ.addPoint(0, 0, -3), occ.addPoint(0, 0, 0)]
curve = occ.addBezier(points[:3])
face = occ.addPlaneSurface(
    [occ.addCurveLoop([curve, occ.addLine(points[2], points[3]), occ.addLine(points[3], points[0])])]
)
keep("paraboloid", [tag for dim, tag in occ.revolve([(2, face)], 0, 0, 0, 0, 0, 1, 2 * math.pi) if dim == 3][0])
# stretching the ball (occ.dilate) makes splines, over which getMass is only right to 0.2 %: the cap of the ball itself,
# times what an affine map does to every volume
masses["ellipsoid"] = occ.getMass(3, below(occ.addSphere(0, 0, 3, 5))) * (6 / 5) * (4 / 5)
keep("ring groove", below(occ.addTorus(0, 0, 0, 10, 1.5)))
keep("obelisk", ruled(10, 8, 8, 6, 2))
keep("slab", occ.addBox(-9, -6, -2, 18, 12, 2))
feather = 4 * math.tan(math.radians(10))
keep("feather", turned([(13, 0), (9, feather), (6, 4), (0, 4)]))
keep("t-slot", fuse(occ.addBox(-2.5, -8, -2, 5, 16, 2), occ.addBox(-4.5, -8, -4, 9, 16, 2)))
centre = -1 - math.sqrt(5.5**2 - 4**2)
chamber = between(occ.addSphere(0, 0, centre, 5.5), -20, -1)
keep("bulb", fuse(occ.addCylinder(0, 0, 0, 0, 0, -1, 4), chamber))
keep("rising bulb", turned([(3, 0), (3, 2.5), (6, 1), (6, 6), (0, 6)]))

print(json.dumps({"program": "gmsh (OpenCASCADE getMass)", "version": gmsh.__version__, "volumesMm3": masses}, indent=1))
gmsh.finalize()
