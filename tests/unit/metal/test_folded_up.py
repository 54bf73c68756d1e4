"""Flat patterns folded up again in space, on their own lines, against the corner they are for.

The folding here knows nothing of how the patterns are made: a flat is parted along its bend lines,
and every part is turned about the line that it hangs on.
"""

from __future__ import annotations

import math
from itertools import combinations, permutations
from pathlib import Path

import numpy as np
import pytest
import shapely
from pytest import approx
from shapely import LineString, Point, Polygon
from shapely.ops import split

from weatherlap.building.corner import build_corner
from weatherlap.building.details.shelf import details
from weatherlap.errors import InputError
from weatherlap.job.reading import read_job
from weatherlap.metal.along import profile_along
from weatherlap.metal.cutout import cut_out
from weatherlap.metal.ends import EndCut, Notch, Tab, mitred
from weatherlap.metal.flat import flat_pattern
from weatherlap.metal.model import Bend, Leg, Metal, Profile, Toward
from weatherlap.metal.round import course_of
from weatherlap.run.states import State
from weatherlap.run.worked import in_state
from weatherlap.sources.catalogue import entry

DEMO = Path(__file__).parents[3] / "demo/porch-corner.toml"
PAPER = Metal("paper", 0.004, 0.0)
"""So thin that a bend takes nothing that could be measured."""
METALS = {"aluminium", "steel", "copper", "lead-coated-copper"}
BACK, FINISH = Toward.BACK, Toward.FINISH
BEND_IN = 0.03
"""What the bends of paper may do. [in]"""
REACH_IN = 0.1
"""A bend line is drawn on by so little, to part the flat where it ends on an edge. [in]"""
PLACES_IN = 1 / 32
"""What the corner's places may be off at each edge: 1/16 in is taken as touching. [in]"""


def parts_of(pattern):
    """The flat parts of a pattern between its bend lines."""
    parts = [Polygon(pattern.outline)]
    for line in pattern.bend_lines:
        (x0, y0), (x1, y1) = line.start, line.end
        long = math.dist(line.start, line.end)
        dx, dy = (x1 - x0) / long * REACH_IN, (y1 - y0) / long * REACH_IN
        blade = LineString([(x0 - dx, y0 - dy), (x1 + dx, y1 + dy)])
        parts = [p for part in parts for p in split(part, blade).geoms]
    return [p for p in parts if p.area > 1e-4]


def folded_up(pattern):
    """The parts of a pattern in space: each a run of corners, bends made to their full angle."""
    parts = parts_of(pattern)
    placed = {0: (np.eye(3), np.zeros(3))}
    waiting = [0]
    while waiting:
        a = waiting.pop()
        for b, part in enumerate(parts):
            if b in placed:
                continue
            hinge = hinge_of(pattern, parts[a], part)
            if hinge is None:
                continue
            line, side = hinge
            turn, shift = placed[a]
            start = np.array([*line.start, 0.0])
            axis = np.array([line.end[0] - line.start[0], line.end[1] - line.start[1], 0.0])
            up = 1.0 if line.toward is FINISH else -1.0
            own = rotation(axis / np.linalg.norm(axis), math.radians(line.angle_deg) * up * side)
            placed[b] = turn @ own, turn @ (start - own @ start) + shift
            waiting.append(b)
    assert len(placed) == len(parts), "a part hangs on no other"
    return [
        [tuple(placed[n][0] @ np.array([x, y, 0.0]) + placed[n][1]) for x, y in ring(part)]
        for n, part in enumerate(parts)
    ]


def hinge_of(pattern, one, other):
    """The bend line between two parts, and on which side of it the other lies; None if none is."""
    for line in pattern.bend_lines:
        middle = Point((line.start[0] + line.end[0]) / 2, (line.start[1] + line.end[1]) / 2)
        if max(one.distance(middle), other.distance(middle)) < 1e-4:
            inside = other.representative_point()
            dx, dy = line.end[0] - line.start[0], line.end[1] - line.start[1]
            cross = dx * (inside.y - line.start[1]) - dy * (inside.x - line.start[0])
            return line, math.copysign(1.0, cross)
    return None


def ring(part):
    return list(shapely.orient_polygons(part).exterior.coords)[:-1]


def rotation(axis, angle):
    """Turning about an axis (Rodrigues)."""
    x, y, z = axis
    k = np.array([[0, -z, y], [z, 0, -x], [-y, x, 0]])
    return np.eye(3) + math.sin(angle) * k + (1 - math.cos(angle)) * (k @ k)


def measures(polygons):
    """Area, middle, outward way and length of edge of flat polygons in space."""
    found = []
    for points in polygons:
        p = np.array(points)
        fan = np.array([np.cross(p[n] - p[0], p[n + 1] - p[0]) / 2 for n in range(1, len(p) - 1)])
        whole = fan.sum(axis=0)
        area = float(np.linalg.norm(whole))
        unit = whole / area
        share = np.array([float(f @ unit) for f in fan])
        middles = np.array([(p[0] + p[n] + p[n + 1]) / 3 for n in range(1, len(p) - 1)])
        round_it = float(np.linalg.norm(np.roll(p, 1, axis=0) - p, axis=1).sum())
        found.append((area, (middles * share[:, None]).sum(axis=0) / share.sum(), unit, round_it))
    return found


def same_in_space(folded, corner):
    """Whether two sets of polygons are one figure: areas, distances, angles and hand."""
    ours, theirs = measures(folded), measures(corner)
    if len(ours) != len(theirs):
        return False
    return any(
        all(alike(ours[n], theirs[k]) for n, k in enumerate(order))
        and all(
            as_far(ours[a], ours[b], theirs[order[a]], theirs[order[b]])
            for a, b in combinations(range(len(ours)), 2)
        )
        for order in permutations(range(len(theirs)))
    )


def alike(one, other):
    """Areas that differ by no more than places do, round the whole edge."""
    return abs(one[0] - other[0]) <= PLACES_IN * other[3]


def as_far(a, b, c, d):
    """The same distance, the same angle, and each in front of or behind the other alike."""
    return (
        np.linalg.norm(a[1] - b[1]) == approx(np.linalg.norm(c[1] - d[1]), abs=BEND_IN)
        and float(a[2] @ b[2]) == approx(float(c[2] @ d[2]), abs=0.01)
        and float((b[1] - a[1]) @ a[2]) == approx(float((d[1] - c[1]) @ c[2]), abs=BEND_IN)
    )


def metal_pieces(job):
    """Pieces of bent metal with all of their panels on the pattern, and that pattern."""
    corner = build_corner(job)
    for piece in corner.pieces:
        what = piece.record.what
        if len(piece.panels) < 2 or what is None or entry(what).material not in METALS:
            continue
        try:
            course = course_of(corner, piece.index)
            profile = profile_along(piece.id, course.points, finish_on_left=True)
            cut = cut_out(profile, course, before=0, metal=PAPER)
        except InputError:
            continue
        if not (cut.notes or course.hidden or course.apart):
            yield corner, piece, cut.pattern


def panels_of(corner, piece):
    """The panels of a piece in space."""
    return [
        [corner.faces[p.face].frame.to_space(u, v) for u, v in ring(p.polygon)]
        for p in (corner.panels[n] for n in piece.panels)
    ]


def test_wraps_of_the_porch_fold_up_to_their_panels():
    """Beam wrap, channel, diverter and the rest stand in space as the faces of the porch do."""
    found = []
    job = in_state(read_job(DEMO.read_text("utf-8")), State.REPAIRED)
    for corner, piece, pattern in metal_pieces(job):
        folded = folded_up(pattern)
        if len(folded) == len(piece.panels):
            assert same_in_space(folded, panels_of(corner, piece)), piece.id
            found.append(piece.id)
    assert {"beam-wrap-long", "drip-edge", "step-10"} <= set(found)


@pytest.mark.parametrize("detail", details(), ids=lambda detail: detail.id)
def test_metal_of_ready_corners_folds_up_to_its_panels(detail):
    """What goes round the folds of a ready corner comes back to them when it is folded."""
    for corner, piece, pattern in metal_pieces(detail.job()):
        folded = folded_up(pattern)
        if len(folded) == len(piece.panels):
            assert same_in_space(folded, panels_of(corner, piece)), piece.id


def test_a_wrong_bend_does_not_fold_up_to_the_panels():
    """The comparison can fail: bent the other way, or a leg of another width, it does."""
    corner, piece, pattern = next(iter(metal_pieces(read_job(DEMO.read_text("utf-8")))))
    panels = panels_of(corner, piece)
    folded = folded_up(pattern)
    assert same_in_space(folded, panels)
    mirrored = [[(x, y, -z) for x, y, z in part] for part in folded]
    assert not same_in_space(mirrored, panels)
    wider = [[(x, y * 1.05, z) for x, y, z in part] for part in folded]
    assert not same_in_space(wider, panels)


def fascia(first=7.0, second=3.0):
    """A fascia with a return below."""
    return Profile("fascia", (Leg(first), Leg(second)), (Bend(90, BACK),))


def test_two_wraps_meet_on_the_mitre_of_an_outside_corner():
    """Wraps of two eaves: folded up, both cut edges lie in the plane between the two.

    The return goes under the soffit, which is as much longer at its outer edge as it is deep.
    """
    profile = fascia()
    far = mitred(profile, metal=PAPER, leg=2, angle_deg=-45)
    left = folded_up(flat_pattern(profile, metal=PAPER, length_in=20, far=far))
    near = mitred(profile, metal=PAPER, leg=2, angle_deg=-45)
    right = folded_up(flat_pattern(profile, metal=PAPER, length_in=20, near=near))
    (below,) = (p for p in left if abs(measures([p])[0][2][2]) < 0.5)
    cut = [(x, z) for x, _, z in below if x > 10]
    for x, z in cut:
        assert 20 - x == approx(-z, abs=BEND_IN)  # the plane at 45 degrees to both eaves
    (other,) = (p for p in right if abs(measures([p])[0][2][2]) < 0.5)
    again = [(x, z) for x, _, z in other if x < 10]
    for x, z in again:
        assert x == approx(-z, abs=BEND_IN)
    assert sorted(20 - x for x, _ in cut) == approx(sorted(x for x, _ in again), abs=BEND_IN)


def test_end_dams_stand_square_on_the_leg_at_its_ends():
    """A head flashing with end dams: each dam stands across the run, over the leg it is of."""
    profile = Profile("head", (Leg(3.0), Leg(2.0), Leg(1.5)), (Bend(90, FINISH), Bend(90, BACK)))
    tab = EndCut(tabs=(Tab(2, 0.5, FINISH),))
    parts = folded_up(flat_pattern(profile, metal=PAPER, length_in=30, near=tab, far=tab))
    dams = [p for p in parts if abs(measures([p])[0][2][0]) > 0.99]
    assert len(dams) == 2
    for dam, at in zip(sorted(dams, key=lambda p: p[0][0]), (0.0, 30.0), strict=True):
        assert all(x == approx(at, abs=BEND_IN) for x, _, _ in dam)
        ys, zs = [y for _, y, _ in dam], [z for _, _, z in dam]
        assert (min(zs), max(zs)) == approx((1 / 16, 2 - 1 / 16), abs=BEND_IN)
        assert max(ys) - min(ys) == approx(0.5, abs=BEND_IN)
        assert min(ys) < 3 - 0.4  # over the leg, on the painted side: toward the wall's leg


def test_a_notch_leaves_room_for_what_it_is_notched_round():
    """A wrap notched over a bracket of 2 in: folded up, no metal stands where the bracket is."""
    profile = fascia(6.0, 4.0)
    cut = EndCut(notches=(Notch(2, 2, 2.0),))
    parts = folded_up(flat_pattern(profile, metal=PAPER, length_in=24, near=cut))
    front, below = sorted(measures(parts), key=lambda m: -m[0])
    assert front[0] == approx(24 * 6, abs=BEND_IN * 24)
    assert below[0] == approx((24 - 2) * 4, abs=BEND_IN * 24)
    assert below[1][0] == approx((2 + 24) / 2, abs=BEND_IN)


def test_a_tapered_piece_folds_up_to_its_end_sections():
    """A wrap of a beam that gets deeper: 6 to 8 in over 10 ft, 4 in under it all along."""
    near = Profile("beam", (Leg(6.0), Leg(4.0)), (Bend(90, BACK),))
    far = Profile("beam", (Leg(8.0), Leg(4.0)), (Bend(90, BACK),))
    pattern = flat_pattern(near, metal=PAPER, length_in=120, far_profile=far)
    front, below = sorted(measures(folded_up(pattern)), key=lambda m: -m[0])
    assert front[0] == approx((6 + 8) / 2 * 120, rel=1e-3)
    assert below[0] == approx(4 * math.hypot(120, 2), rel=1e-3)
    assert float(front[2] @ below[2]) == approx(0.0, abs=1e-3)


def test_a_tongue_beside_a_fold_is_cut_free():
    """A beam wrap over a post: the front goes down between two undersides, slit from both."""
    job = next(d for d in details() if d.id == "wrapped-beam-on-post").job()
    pieces = {piece.id: (corner, piece, pattern) for corner, piece, pattern in metal_pieces(job)}
    corner, piece, pattern = pieces["beam-wrap-right"]
    folded = folded_up(pattern)
    assert len(folded) == len(piece.panels) == 3
    assert same_in_space(folded, panels_of(corner, piece))
    ears = Polygon(pattern.outline).buffer(-1 / 256).buffer(1 / 256, join_style="mitre")
    assert ears.area == approx(pattern.area_in2, abs=0.02)
