"""A small frame solver: straight bars in space, springs that may push only, imposed moves.

Direct stiffness with six freedoms a node (Bernoulli bars). Every hold is a spring, so settlement
and lift are offsets of springs. One-way springs are found by Newton steps on the stored energy,
which is convex, with an exact line search: it always ends. Every freedom carries a very soft
spring, so that a part that nothing holds is found as a part that moves absurdly far.
"""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np
import numpy.typing as npt
from scipy.sparse import csc_matrix
from scipy.sparse.linalg import SuperLU, splu

Array = npt.NDArray[np.float64]
Ints = npt.NDArray[np.intp]

RIGID_LB_PER_IN = 1e8
SOFT_LB_PER_IN = 1e-4
GROUND = -1
MOST_STEPS = 60


@dataclass(frozen=True, slots=True)
class Bars:
    """Bars by columns, shape (n_bars,).

    ``depth_dir`` (n_bars, 3) points along the depth of the section. ``strong_in4`` resists
    bending in the plane of the axis and the depth.
    """

    start: Ints
    end: Ints
    area_in2: Array
    strong_in4: Array
    weak_in4: Array
    torsion_in4: Array
    e_psi: Array
    g_psi: Array
    depth_dir: Array


@dataclass(frozen=True, slots=True)
class Springs:
    """Springs by columns, shape (n_springs,): from node ``a`` to node ``b`` or the ground (-1).

    ``freedom`` 0 to 5 is the global direction (x, y, z, then turns about them). A ``one_way``
    spring pushes ``a`` toward plus only. ``offset_in`` is the stretch a - b at which it is
    slack. Force = stiffness x (offset - stretch), positive pushes ``a`` toward plus.
    """

    a: Ints
    b: Ints
    freedom: Ints
    stiffness: Array
    one_way: npt.NDArray[np.bool_]
    offset_in: Array


@dataclass(frozen=True, slots=True)
class Frame:
    """Nodes (n_nodes, 3) [in], bars and springs."""

    nodes_in: Array
    bars: Bars
    springs: Springs


@dataclass(frozen=True, slots=True)
class CaseLoads:
    """Loads of one case: at nodes (n_nodes, 6) [lb, lb in]; along bars (n_bars, 2, 3) [lb/in].

    Bar loads are forces per inch of bar at its start and end, in global directions.
    """

    node: Array
    bar: Array


@dataclass(frozen=True, slots=True)
class Solved:
    """Answer for one case.

    ``moves`` (n_nodes, 6) [in, rad]; ``spring_force`` (n_springs,) [lb, lb in];
    ``end_force`` (n_bars, 12) on the bar ends in its own axes; ``bar_load`` (n_bars, 2, 3) and
    ``bar_moves`` (n_bars, 12) in the same axes; ``loose`` nodes that nothing holds.
    """

    moves: Array
    spring_force: Array
    end_force: Array
    bar_load: Array
    bar_moves: Array
    loose: tuple[int, ...]
    steps: int


def bar_axes(frame: Frame) -> tuple[Array, Array]:
    """Lengths (n,) [in] and rotation matrices (n, 3, 3), rows: along, across, depth."""
    bars = frame.bars
    along = frame.nodes_in[bars.end] - frame.nodes_in[bars.start]
    length = np.linalg.norm(along, axis=1)
    x = along / length[:, None]
    z = bars.depth_dir - np.sum(bars.depth_dir * x, axis=1)[:, None] * x
    z = z / np.linalg.norm(z, axis=1)[:, None]
    return length, np.stack([x, np.cross(z, x), z], axis=1)


def bar_stiffness(bars: Bars, length: Array) -> Array:
    """Stiffness of each bar in its own axes, shape (n, 12, 12). [lb/in, lb, lb in]

    Sources
    -------
    S-062 : slope-deflection of a Bernoulli bar.
    """
    k = np.zeros((len(length), 12, 12))
    for i, j, value in (
        (0, 6, bars.e_psi * bars.area_in2 / length),
        (3, 9, bars.g_psi * bars.torsion_in4 / length),
    ):
        k[:, i, i] = k[:, j, j] = value
        k[:, i, j] = k[:, j, i] = -value
    for w1, t1, w2, t2, sign, inertia in (
        (1, 5, 7, 11, 1.0, bars.weak_in4),
        (2, 4, 8, 10, -1.0, bars.strong_in4),
    ):
        ei = bars.e_psi * inertia
        a, b = 12 * ei / length**3, sign * 6 * ei / length**2
        c, d = 4 * ei / length, 2 * ei / length
        for i, j, value in (
            (w1, w1, a), (w2, w2, a), (w1, w2, -a), (w1, t1, b), (w1, t2, b), (w2, t1, -b),
            (w2, t2, -b), (t1, t1, c), (t2, t2, c), (t1, t2, d),
        ):  # fmt: skip
            k[:, i, j] = value
            k[:, j, i] = value
    return k


def held_end_force(load: Array, length: Array) -> Array:
    """Forces that a linear load puts on the ends of a bar held fast, shape (n, 12). [lb, lb in]

    Sources
    -------
    S-062 : fixed-end forces of a trapezoidal load.
    """
    f = np.zeros((len(length), 12))
    q1, q2 = load[:, 0, :], load[:, 1, :]
    f[:, 0] = length * (2 * q1[:, 0] + q2[:, 0]) / 6
    f[:, 6] = length * (q1[:, 0] + 2 * q2[:, 0]) / 6
    for axis, turn, sign in ((1, 5, 1.0), (2, 4, -1.0)):
        a, b = q1[:, axis], q2[:, axis]
        f[:, axis] = length * (7 * a + 3 * b) / 20
        f[:, axis + 6] = length * (3 * a + 7 * b) / 20
        f[:, turn] = sign * length**2 * (3 * a + 2 * b) / 60
        f[:, turn + 6] = -sign * length**2 * (2 * a + 3 * b) / 60
    return f


@dataclass(slots=True)
class FrameSolver:
    """A frame made ready: solves any number of cases, keeps factors for each contact state."""

    frame: Frame
    _factors: dict[bytes, tuple[csc_matrix, SuperLU]] = field(default_factory=dict)
    _length: Array = field(init=False)
    _turn: Array = field(init=False)
    _k_own: Array = field(init=False)
    _dofs: Ints = field(init=False)
    _fixed: tuple[Ints, Ints, Array] = field(init=False)
    _base: csc_matrix = field(init=False)
    _last: npt.NDArray[np.bool_] = field(init=False)

    def __post_init__(self) -> None:
        frame = self.frame
        self._length, rows = bar_axes(frame)
        turn = np.zeros((len(self._length), 12, 12))
        for part in range(4):
            turn[:, 3 * part : 3 * part + 3, 3 * part : 3 * part + 3] = rows
        self._turn = turn
        self._k_own = bar_stiffness(frame.bars, self._length)
        ends = np.stack([frame.bars.start, frame.bars.end], axis=1)
        self._dofs = (ends[:, :, None] * 6 + np.arange(6)).reshape(-1, 12)
        self._fixed = self._fixed_entries()
        self._base = self._matrix(~frame.springs.one_way)
        self._last = frame.springs.one_way & (frame.springs.offset_in >= 0.0)

    def _fixed_entries(self) -> tuple[Ints, Ints, Array]:
        """Row, column and value of all bars and of the soft spring of each freedom."""
        k = np.einsum("nji,njk,nkl->nil", self._turn, self._k_own, self._turn, optimize=True)
        rows = np.repeat(self._dofs, 12, axis=1).ravel()
        cols = np.tile(self._dofs, (1, 12)).ravel()
        soft = self._soft()
        every = np.arange(len(soft))
        return (
            np.concatenate([rows, every]),
            np.concatenate([cols, every]),
            np.concatenate([k.ravel(), soft]),
        )

    def _soft(self) -> Array:
        """The soft spring of each freedom. [lb/in, lb in]"""
        return np.tile(
            np.array([SOFT_LB_PER_IN] * 3 + [SOFT_LB_PER_IN * 1e4] * 3), len(self.frame.nodes_in)
        )

    def _spring_dofs(self) -> tuple[Ints, Ints]:
        """Freedom of each spring's a and b; b is -1 at the ground."""
        springs = self.frame.springs
        a = springs.a * 6 + springs.freedom
        return a, np.where(springs.b == GROUND, GROUND, springs.b * 6 + springs.freedom)

    def _matrix(self, acting: npt.NDArray[np.bool_]) -> csc_matrix:
        """Stiffness of the bars and of the acting springs."""
        size = 6 * len(self.frame.nodes_in)
        a, b = self._spring_dofs()
        k = self.frame.springs.stiffness
        own, pair = acting, acting & (b != GROUND)
        rows = np.concatenate([self._fixed[0], a[own], b[pair], a[pair], b[pair]])
        cols = np.concatenate([self._fixed[1], a[own], b[pair], b[pair], a[pair]])
        data = np.concatenate([self._fixed[2], k[own], k[pair], -k[pair], -k[pair]])
        return csc_matrix((data, (rows, cols)), shape=(size, size))

    def _stretch(self, u: Array) -> Array:
        """Move of a against b of each spring."""
        a, b = self._spring_dofs()
        return u[a] - np.where(b == GROUND, 0.0, u[b])

    def _push(self, force: Array) -> Array:
        """Springs' forces as loads on the freedoms."""
        a, b = self._spring_dofs()
        out = np.zeros(6 * len(self.frame.nodes_in))
        np.add.at(out, a, force)
        held = b != GROUND
        np.add.at(out, b[held], -force[held])
        return out

    def _answer(self, acting: npt.NDArray[np.bool_], load: Array) -> Array:
        """Moves for a fixed contact state."""
        key = acting.tobytes()
        if key not in self._factors:
            matrix = self._matrix(acting)
            self._factors[key] = (matrix, splu(matrix))
        matrix, factor = self._factors[key]
        springs = self.frame.springs
        pull = np.where(acting, springs.stiffness * springs.offset_in, 0.0)
        wanted = load + self._push(pull)
        u = factor.solve(wanted)
        return np.asarray(u + factor.solve(wanted - matrix @ u))

    def solve(self, loads: CaseLoads) -> Solved:
        """Moves and forces of one case.

        Parameters
        ----------
        loads : CaseLoads
            Loads at nodes and along bars. [lb, lb in, lb/in]
        """
        rows = self._turn[:, :3, :3]
        own_load = np.einsum("nij,nkj->nki", rows, loads.bar)
        held = held_end_force(own_load, self._length)
        load = loads.node.ravel().copy()
        np.add.at(load, self._dofs.ravel(), np.einsum("nji,nj->ni", self._turn, held).ravel())
        u, acting, steps = self._settle(load)
        springs = self.frame.springs
        force = np.where(acting, springs.stiffness * (springs.offset_in - self._stretch(u)), 0.0)
        own_moves = np.einsum("nij,nj->ni", self._turn, u[self._dofs])
        ends = np.einsum("nij,nj->ni", self._k_own, own_moves) - held
        return Solved(
            u.reshape(-1, 6), force, ends, own_load, own_moves, self._loose(u, load), steps
        )

    def _settle(self, load: Array) -> tuple[Array, npt.NDArray[np.bool_], int]:
        """Newton steps until the contacts that push are those assumed."""
        springs = self.frame.springs
        always = ~springs.one_way
        acting = always | (springs.one_way & self._last)
        u = self._answer(acting, load)
        for step in range(1, MOST_STEPS):
            touching = springs.one_way & (self._stretch(u) < springs.offset_in)
            if np.array_equal(always | touching, acting):
                self._last = touching
                return (u if step == 1 else self._answer(acting, load)), acting, step
            acting = always | touching
            target = self._answer(acting, load)
            u = u + self._line_search(u, target - u, load) * (target - u)
        raise ArithmeticError(f"contacts did not settle in {MOST_STEPS} steps")

    def _line_search(self, u: Array, step: Array, load: Array) -> float:
        """Fraction of a step, 0 to 1, at which the stored energy is least."""
        springs = self.frame.springs
        one = springs.one_way
        free = ~one
        pull = self._push(np.where(free, springs.stiffness * springs.offset_in, 0.0))
        slope0 = float(step @ (self._base @ u - load - pull))
        curve = float(step @ (self._base @ step))
        gap, rate = (self._stretch(u) - springs.offset_in)[one], self._stretch(step)[one]
        k = springs.stiffness[one]

        def slope(t: float) -> float:
            return slope0 + t * curve + float(np.sum(k * np.minimum(gap + t * rate, 0.0) * rate))

        if slope(1.0) <= 0.0:
            return 1.0
        low, high = 0.0, 1.0
        for _ in range(60):
            middle = 0.5 * (low + high)
            low, high = (middle, high) if slope(middle) < 0.0 else (low, middle)
        return high

    def _loose(self, u: Array, load: Array) -> tuple[int, ...]:
        """Nodes whose soft springs carry load: nothing else holds them."""
        held = np.abs(self._soft() * u).reshape(-1, 6)[:, :3].max(axis=1)
        limit = 1e-3 + 1e-5 * float(np.abs(load.reshape(-1, 6)[:, :3]).max(initial=0.0))
        return tuple(int(i) for i in np.nonzero(held > limit)[0])
