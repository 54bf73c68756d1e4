"""A header over any posts: many choices of post places at once, by the three-moment equation.

Loads are points (the rafters or joists) and the header's own weight. Posts are firm and may be
anywhere; what reaches past the outer ones overhangs.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from weatherlap.structure.frame import Array


@dataclass(frozen=True, slots=True)
class HeaderLoads:
    """Points along a header (n_points,), their loads (n_points,) and its even weight. [in, lb]"""

    at_in: Array
    load_lb: Array
    even_lb_per_in: float
    start_in: float
    end_in: float


@dataclass(frozen=True, slots=True)
class HeaderForces:
    """Forces for each choice of posts.

    ``reaction_lb`` (n_choices, n_posts); ``sagging_lb_in``, ``hogging_lb_in`` and ``shear_lb``
    (n_choices,).
    """

    reaction_lb: Array
    sagging_lb_in: Array
    hogging_lb_in: Array
    shear_lb: Array


def _overhang_moment(posts: Array, loads: HeaderLoads, *, left: bool) -> Array:
    """Moment over the outer post from what reaches past it (negative is hogging)."""
    post = posts[:, 0] if left else posts[:, -1]
    arm = post[:, None] - loads.at_in if left else loads.at_in - post[:, None]
    points = (loads.load_lb * np.maximum(arm, 0.0)).sum(axis=1)
    free = post - loads.start_in if left else loads.end_in - post
    return np.asarray(-(points + loads.even_lb_per_in * np.maximum(free, 0.0) ** 2 / 2))


def _span_terms(posts: Array, loads: HeaderLoads) -> tuple[Array, Array]:
    """Load terms of the three-moment equation at the left and right post of each span."""
    a = loads.at_in[None, None, :] - posts[:, :-1, None]
    length = np.diff(posts, axis=1)[:, :, None]
    inside = (a > 0) & (a < length)
    b = length - a
    left = np.where(inside, loads.load_lb * b * (length**2 - b**2) / length, 0.0).sum(axis=2)
    right = np.where(inside, loads.load_lb * a * (length**2 - a**2) / length, 0.0).sum(axis=2)
    even = loads.even_lb_per_in * length[:, :, 0] ** 3 / 4
    return left + even, right + even


def post_moments(posts: Array, loads: HeaderLoads) -> Array:
    """Moments over the posts, shape (n_choices, n_posts). [lb in]

    Parameters
    ----------
    posts : ndarray, shape (n_choices, n_posts)
        Places of the posts, in order, at least two. [in]

    Sources
    -------
    S-062 : three-moment equation, even stiffness.
    """
    choices, n = posts.shape
    moments = np.zeros((choices, n))
    moments[:, 0] = _overhang_moment(posts, loads, left=True)
    moments[:, -1] = _overhang_moment(posts, loads, left=False)
    if n == 2:
        return moments
    span = np.diff(posts, axis=1)
    left, right = _span_terms(posts, loads)
    k = np.zeros((choices, n - 2, n - 2))
    rhs = -(right[:, :-1] + left[:, 1:])
    rows = np.arange(n - 2)
    k[:, rows, rows] = 2 * (span[:, :-1] + span[:, 1:])
    if n > 3:
        k[:, rows[1:], rows[:-1]] = k[:, rows[:-1], rows[1:]] = span[:, 1:-1]
    rhs[:, 0] -= span[:, 0] * moments[:, 0]
    rhs[:, -1] -= span[:, -1] * moments[:, -1]
    moments[:, 1:-1] = np.linalg.solve(k, rhs[:, :, None])[:, :, 0]
    return moments


def header_forces(posts: Array, loads: HeaderLoads) -> HeaderForces:
    """Reactions, moments and shear of a header for each choice of posts.

    Parameters
    ----------
    posts : ndarray, shape (n_choices, n_posts)
        Places of the posts, in order, at least two. [in]

    Sources
    -------
    S-062 : statics.
    """
    moments = post_moments(posts, loads)
    span = np.diff(posts, axis=1)
    a = loads.at_in[None, None, :] - posts[:, :-1, None]
    length = span[:, :, None]
    inside = (a >= 0) & (a < length)
    from_points_left = np.where(inside, loads.load_lb * (length - a) / length, 0.0).sum(axis=2)
    from_points_right = np.where(inside, loads.load_lb * a / length, 0.0).sum(axis=2)
    tilt = np.diff(moments, axis=1) / span
    v_left = from_points_left + loads.even_lb_per_in * span / 2 + tilt
    v_right = from_points_right + loads.even_lb_per_in * span / 2 - tilt
    past_left, past_right = _past(posts, loads)
    reaction = np.zeros_like(posts)
    reaction[:, :-1] += v_left
    reaction[:, 1:] += v_right
    reaction[:, 0] += past_left
    reaction[:, -1] += past_right
    sides = np.concatenate([v_left, v_right], axis=1)
    shear = np.max(np.abs(np.column_stack([sides, past_left, past_right])), axis=1)
    inner = _moments_at_loads(posts, loads, moments, v_left)
    return HeaderForces(
        reaction,
        np.maximum(np.maximum(inner, moments.max(axis=1)), 0.0),
        np.maximum(-moments.min(axis=1), 0.0),
        shear,
    )


def _past(posts: Array, loads: HeaderLoads) -> tuple[Array, Array]:
    """Loads past the outer posts. [lb]"""
    first, last = posts[:, :1], posts[:, -1:]
    left = np.where(loads.at_in[None, :] < first, loads.load_lb, 0.0).sum(axis=1)
    right = np.where(loads.at_in[None, :] >= last, loads.load_lb, 0.0).sum(axis=1)
    w = loads.even_lb_per_in
    return (
        left + w * np.maximum(first[:, 0] - loads.start_in, 0.0),
        right + w * np.maximum(loads.end_in - last[:, 0], 0.0),
    )


def _moments_at_loads(posts: Array, loads: HeaderLoads, moments: Array, v_left: Array) -> Array:
    """Moment in the spans at each point load and at each middle. [lb in]"""
    middles = (posts[:, :-1] + posts[:, 1:]) / 2
    places = np.concatenate(
        [np.broadcast_to(loads.at_in, (len(posts), len(loads.at_in))), middles], axis=1
    )
    x = places[:, None, :] - posts[:, :-1, None]
    inside = (x >= 0) & (x <= np.diff(posts, axis=1)[:, :, None])
    before = loads.at_in[None, None, None, :] - posts[:, :-1, None, None]
    arms = np.where(before >= 0, np.maximum(x[..., None] - before, 0.0), 0.0)
    value = (
        moments[:, :-1, None]
        + v_left[:, :, None] * x
        - loads.even_lb_per_in * x**2 / 2
        - (arms * loads.load_lb).sum(axis=3)
    )
    return np.asarray(np.where(inside, value, -np.inf).max(axis=(1, 2)))
