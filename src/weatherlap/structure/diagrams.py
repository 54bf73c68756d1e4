"""Moment, shear, axial force and deflection along each member, in closed form along each bar.

At the two ends of each bar, at ten steps between, and where the shear is nought; deflection at the
even steps. Moments are positive where the lower (inner) edge is in tension.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from weatherlap.structure.assemble import Assembled, Run
from weatherlap.structure.frame import Array, FrameSolver, Solved, bar_axes

STEPS = np.linspace(0.0, 1.0, 11)


@dataclass(frozen=True, slots=True)
class BarLines:
    """Diagrams of all bars, shape (n_bars, 13); ``even_x`` and ``sag`` (n_bars, 11). [in, lb]"""

    x: Array
    strong: Array
    weak: Array
    shear: Array
    weak_shear: Array
    axial: Array
    even_x: Array
    sag: Array


@dataclass(frozen=True, slots=True)
class MemberLines:
    """Diagrams of one member by distance from its start. [in, lb, lb in]

    ``axial`` is positive in tension. ``even_in`` and ``move_in`` give the movement along the
    section's depth (up positive).
    """

    along_in: Array
    strong_lb_in: Array
    weak_lb_in: Array
    shear_lb: Array
    weak_shear_lb: Array
    axial_lb: Array
    even_in: Array
    move_in: Array


def _power_line(x: Array, first: Array, q1: Array, q2: Array, length: Array) -> Array:
    """Shear: end force plus the load so far."""
    rate = (q2 - q1) / length
    return np.asarray(first[:, None] + q1[:, None] * x + 0.5 * rate[:, None] * x**2)


def _moment_line(x: Array, end: Array, first: Array, q1: Array, q2: Array, length: Array) -> Array:
    """Moment: end moment, end force times distance, and the load's own."""
    rate = (q2 - q1) / length
    return np.asarray(
        end[:, None] + first[:, None] * x + 0.5 * q1[:, None] * x**2 + rate[:, None] * x**3 / 6
    )


def _stations(length: Array, first: Array, q1: Array, q2: Array) -> Array:
    """Even steps and the places without shear, in order. [in]"""
    a, b = 0.5 * (q2 - q1) / length, q1
    with np.errstate(divide="ignore", invalid="ignore"):
        root = np.sqrt(b**2 - 4 * a * first)
        one = np.where(np.abs(a * length) > 1e-9 * np.abs(b), (-b + root) / (2 * a), -first / b)
        two = np.where(np.abs(a * length) > 1e-9 * np.abs(b), (-b - root) / (2 * a), 0.0)
    extra = np.stack([one, two], axis=1)
    extra = np.where(np.isfinite(extra), extra, 0.0)
    extra = np.clip(extra, 0.0, length[:, None])
    return np.sort(np.concatenate([length[:, None] * STEPS, extra], axis=1), axis=1)


def _sag(x: Array, length: Array, moves: Array, q: Array, ei: Array) -> Array:
    """Movement along the depth: shape of the end moves and of the load on a bar held fast. [in]

    Sources
    -------
    S-062 : cubic of the end moves; deflection of a fixed bar under a linear load.
    """
    t = x / length[:, None]
    w1, w2 = moves[:, 2][:, None], moves[:, 8][:, None]
    s1, s2 = -moves[:, 4][:, None], -moves[:, 10][:, None]
    shape = (
        w1 * (1 - 3 * t**2 + 2 * t**3)
        + s1 * length[:, None] * (t - 2 * t**2 + t**3)
        + w2 * (3 * t**2 - 2 * t**3)
        + s2 * length[:, None] * (t**3 - t**2)
    )
    q1, rise = q[:, 0, 2][:, None], (q[:, 1, 2] - q[:, 0, 2])[:, None]
    span = length[:, None]
    held = x**2 * (span - x) ** 2 / ei[:, None]
    return np.asarray(shape + held * (q1 / 24 + rise * (x + 2 * span) / (120 * span)))


def bar_lines(solver: FrameSolver, solved: Solved) -> BarLines:
    """Diagrams of all bars for one case."""
    length, _ = bar_axes(solver.frame)
    bars, f, q = solver.frame.bars, solved.end_force, solved.bar_load
    q1, q2 = q[:, 0, :], q[:, 1, :]
    x = _stations(length, f[:, 2], q1[:, 2], q2[:, 2])
    even = length[:, None] * STEPS
    return BarLines(
        x,
        _moment_line(x, f[:, 4], f[:, 2], q1[:, 2], q2[:, 2], length),
        _moment_line(x, -f[:, 5], f[:, 1], q1[:, 1], q2[:, 1], length),
        _power_line(x, f[:, 2], q1[:, 2], q2[:, 2], length),
        _power_line(x, f[:, 1], q1[:, 1], q2[:, 1], length),
        -_power_line(x, f[:, 0], q1[:, 0], q2[:, 0], length),
        even,
        _sag(even, length, solved.bar_moves, q, bars.e_psi * bars.strong_in4),
    )


def member_lines(run: Run, lines: BarLines) -> MemberLines:
    """Diagrams of one member, bar after bar."""
    bars = slice(run.first_bar, run.first_bar + len(run.places_in) - 1)
    start = np.array(run.places_in[:-1])[:, None]
    return MemberLines(
        (start + lines.x[bars]).ravel(),
        lines.strong[bars].ravel(),
        lines.weak[bars].ravel(),
        lines.shear[bars].ravel(),
        lines.weak_shear[bars].ravel(),
        lines.axial[bars].ravel(),
        (start + lines.even_x[bars]).ravel(),
        lines.sag[bars].ravel(),
    )


def all_member_lines(
    built: Assembled, *, solver: FrameSolver, solved: Solved
) -> dict[str, MemberLines]:
    """Diagrams of every member for one case."""
    lines = bar_lines(solver, solved)
    return {name: member_lines(run, lines) for name, run in built.runs.items()}
