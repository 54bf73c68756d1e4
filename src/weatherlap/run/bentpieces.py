"""The bent metal of a job: each piece's section, flat pattern, bend order, and what must change."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import partial

from weatherlap.building.corner import Corner, Piece
from weatherlap.errors import InputError, Problem
from weatherlap.job.bendrecords import BentRecord, ProfileRecord
from weatherlap.job.model import Do, Job
from weatherlap.metal.along import profile_along
from weatherlap.metal.brake import Brake
from weatherlap.metal.cutout import cut_out
from weatherlap.metal.edges import hung_over
from weatherlap.metal.flat import FlatPattern, flat_pattern
from weatherlap.metal.model import Measure, Metal, Profile
from weatherlap.metal.round import Course, course_of, mirrored
from weatherlap.metal.tables import brakes, metals, read_brakes, read_metals
from weatherlap.run.bentmaking import Making, Runs, making
from weatherlap.run.bentshapes import end_cuts, far_of, with_edges, written
from weatherlap.run.states import State
from weatherlap.run.worked import as_drawn, in_state
from weatherlap.sources.catalogue import entry

BENT_FROM = ("roll", "sheet")
SHEET_MATERIALS = {
    "aluminium": "aluminum", "steel": "galvanized", "copper": "copper",
    "lead-coated-copper": "copper",
}  # fmt: skip
COIL_WIDTH_IN = 24.0
NEAR_THICKNESS_IN = 0.004
DEFAULT_THICKNESS_IN = 0.019
PAINTED = {"out": "one side, outside", "in": "one side, inside", "both": "both sides or none"}


@dataclass(frozen=True, slots=True)
class Shop:
    """The crew's brake and its sheets."""

    brake: Brake
    metals: Mapping[str, Metal]


@dataclass(frozen=True, slots=True)
class BentPiece:
    """One kind of bent piece and how it is made. [in]

    ``pieces`` are the ids of the job's pieces that it stands for; none for a profile that is
    written directly, which may say with ``drawn`` the piece that it makes. ``is_new`` is false of
    a piece that is there already and stays. ``ends`` name the near and the far end; ``notes`` what
    the model holds that the piece does not.
    """

    id: str
    title: str
    pieces: tuple[str, ...]
    what: str
    count: int
    metal_key: str
    metal: Metal
    painted: str
    length_in: float
    ends: tuple[str, str]
    making: Making
    notes: tuple[str, ...] = ()
    drawn: str | None = None
    is_new: bool = True

    @property
    def girth_in(self) -> float:
        """Width of its flat strip. [in]"""
        return self.making.strip.girth_in


@dataclass(frozen=True, slots=True)
class Bent:
    """All bent pieces of a job, those that cannot be, and the shop they are made in."""

    shop: Shop
    pieces: tuple[BentPiece, ...]
    faulty: tuple[tuple[str, Problem], ...] = field(default=())


def holds_bent(job: Job) -> bool:
    """Whether a job has bent metal of its own: written down, or new pieces bent from coil."""
    if job.profile or job.bent:
        return True
    new = _new_ids(job)
    rows = [*job.piece, *(c.new for c in job.change if c.new is not None)]
    return any(p.id in new and _from_coil(p.what) for p in rows)


def bent_pieces(
    job: Job, *, own: Mapping[str, str], splices: Mapping[str, Runs] | None = None
) -> Bent:
    """Every bent piece of the repaired corner, and every profile written in the job.

    Parameters
    ----------
    own : mapping
        The firm's tables: ``brake`` and ``metals`` are read here.
    splices : mapping, optional
        Where pieces of a run begin and end, by the id of the bent piece; else as few equal
        lengths as the brake can take. [in]

    Raises
    ------
    InputError
        If a table of the firm's, or a change of the job, cannot be used.
    """
    shop = shop_of(own)
    corner = as_drawn(in_state(job, State.REPAIRED if job.change else State.FOUND))
    told = {b.piece: b for b in job.bent}
    new = _new_ids(job)
    work: list[tuple[str, Callable[[], BentPiece]]] = [
        (p.id, partial(_from_corner, corner, p, told.get(p.id), shop, splices or {}, p.id in new))
        for p in corner.pieces
        if p.id in told or (p.id in new and _from_coil(p.record.what))
    ]
    work += [(r.id, partial(_from_record, r, shop, splices or {})) for r in job.profile]
    made: list[BentPiece] = []
    faulty = [(name, _gone(name)) for name in sorted(told.keys() - corner.piece_named.keys())]
    for name, make in work:
        try:
            made.append(make())
        except InputError as error:
            faulty += [(name, problem) for problem in error.problems]
    return Bent(shop, tuple(_together(made)), tuple(faulty))


def only(bent: Bent, name: str) -> Bent:
    """One of the bent pieces, by its own id or that of a piece that it stands for.

    Raises
    ------
    InputError
        If there is none of that name.
    """
    pieces = tuple(p for p in bent.pieces if name == p.id or name in p.pieces)
    faulty = tuple(row for row in bent.faulty if row[0] == name)
    if not pieces and not faulty:
        names = ", ".join([*(p.id for p in bent.pieces), *(n for n, _ in bent.faulty)])
        raise InputError("piece", f"no bent piece {name!r}", f"one of: {names}" if names else
                         "a [[bent]], a [[profile]] or new pieces of coil")  # fmt: skip
    return Bent(bent.shop, pieces, faulty)


def shop_of(own: Mapping[str, str]) -> Shop:
    """The crew's brake and sheets from the firm's tables; the built-in ones where it has none.

    Raises
    ------
    InputError
        If a table cannot be read, or the table of the brake holds none.
    """
    own_brakes = read_brakes(own["brake"]) if "brake" in own else brakes()
    if not own_brakes:
        raise InputError("brake", "the table holds no brake", "a table such as [my-brake]")
    sheets = dict(metals()) | (read_metals(own["metals"]) if "metals" in own else {})
    return Shop(next(iter(own_brakes.values())), sheets)


def _gone(name: str) -> Problem:
    return Problem(
        f"bent {name!r}", "the piece is not there in the repaired corner", "a piece that is",
        "Take the [[bent]] out, or the change that takes the piece away.",
    )  # fmt: skip


def _new_ids(job: Job) -> frozenset[str]:
    """Pieces that are made new: all of them where the job holds no change."""
    if not job.change:
        return frozenset(p.id for p in job.piece)
    made = {c.piece for c in job.change if c.do in (Do.REPLACE, Do.EXTEND)}
    made |= {c.new.id for c in job.change if c.new is not None}
    return frozenset(name for name in made if name)


def _from_coil(what: str | None) -> bool:
    """Whether a thing is bent by the crew, from a roll or a sheet of metal."""
    if what is None:
        return False
    known = entry(what)
    return known.material in SHEET_MATERIALS and known.unit in BENT_FROM


def _sheet_of(piece: Piece, told: BentRecord | None, shop: Shop) -> str:
    """The key of the sheet that a piece is made of: as told, else by its catalogue entry."""
    if told is not None and told.metal is not None:
        return _known(told.metal, shop, f"bent {piece.id!r}, metal")
    known = entry(piece.record.what) if piece.record.what else None
    wanted = SHEET_MATERIALS.get(known.material, "") if known else "aluminum"
    thick = known.thickness_in if known else DEFAULT_THICKNESS_IN
    near = [
        (abs(m.thickness_in - thick), key)
        for key, m in shop.metals.items()
        if wanted and key.startswith(wanted) and abs(m.thickness_in - thick) < NEAR_THICKNESS_IN
    ]
    if not near:
        what = piece.record.what or piece.id
        raise InputError(
            f"piece {piece.id!r}", f"the metals table has no sheet for {what!r}",
            f"one of {', '.join(shop.metals)}", "Name it in a [[bent]] with `metal`.",
        )  # fmt: skip
    return min(near)[1]


def _known(key: str, shop: Shop, where: str) -> str:
    if key not in shop.metals:
        raise InputError(where, f"no sheet {key!r}", f"one of {', '.join(shop.metals)}")
    return key


def _coil_width(what: str | None) -> float:
    known = entry(what) if what else None
    widths = [w for w, _ in known.stock_in if w] if known else []
    return max([*widths, COIL_WIDTH_IN]) if known and known.unit in BENT_FROM else COIL_WIDTH_IN


def _from_corner(
    corner: Corner, piece: Piece, told: BentRecord | None, shop: Shop,
    splices: Mapping[str, Runs], is_new: bool,
) -> BentPiece:  # fmt: skip
    """A piece of the corner as it is bent."""
    told = told or BentRecord(piece=piece.id)
    key = _sheet_of(piece, told, shop)
    metal = shop.metals[key]
    course = course_of(corner, piece.index)
    inward = told.painted == "in"
    course = mirrored(course) if inward else course
    bare = profile_along(
        piece.id, course.points, finish_on_left=not inward,
        measure=Measure.FINISH if inward else Measure.BACK, names=course.names,
    )  # fmt: skip
    bare = hung_over(bare, clearance_in=told.room) if told.room else bare
    profile, before = with_edges(bare, told.edges, faces=course.faces)
    near, far = end_cuts(profile, told.ends, metal=metal, names=course.ends)
    notes: list[str] = []

    def pattern_of(one: Profile) -> FlatPattern:
        cut = cut_out(one, course, before=before, metal=metal, near=near, far=far)
        notes[:] = cut.notes
        return cut.pattern

    how = making(
        profile, pattern_of=pattern_of, metal=metal, brake=shop.brake,
        coil_width_in=_coil_width(piece.record.what), length_in=course.length_in,
        by_hand=frozenset(told.by_hand), runs=splices.get(piece.id, ()),
    )  # fmt: skip
    return BentPiece(
        id=piece.id, title=piece.title, pieces=(piece.id,), what=piece.record.what or "",
        count=1, metal_key=key, metal=metal, painted=PAINTED[told.painted],
        length_in=course.length_in, ends=course.ends, making=how,
        notes=(*course.hidden, *_apart(course, told), *notes), is_new=is_new,
    )  # fmt: skip


def _apart(course: Course, told: BentRecord) -> Iterator[str]:
    """Panels that hang on no other, unless tabs are told that stand for them."""
    if any(end.tabs for end in told.ends):
        return
    for name in course.apart:
        yield (
            f"the panel on {name} touches none of the others and is left out: give it a tab in "
            "the [[bent]] of the piece, or a piece of its own"
        )


def _from_record(record: ProfileRecord, shop: Shop, splices: Mapping[str, Runs]) -> BentPiece:
    """A profile that is written directly."""
    key = _known(record.metal, shop, f"profile {record.id!r}, metal")
    metal = shop.metals[key]
    bare = written(record)
    bare = hung_over(bare, clearance_in=record.room) if record.room else bare
    profile, before = with_edges(bare, record.edges)
    ends = ("left", "right")
    near, far = end_cuts(profile, record.ends, metal=metal, names=ends)

    def pattern_of(one: Profile) -> FlatPattern:
        return flat_pattern(
            one, metal=metal, length_in=record.length, near=near, far=far,
            far_profile=far_of(one, record, before=before), hold=record.hold + before,
        )  # fmt: skip

    how = making(
        profile, pattern_of=pattern_of, metal=metal, brake=shop.brake,
        coil_width_in=COIL_WIDTH_IN, length_in=record.length,
        by_hand=frozenset(record.by_hand), runs=splices.get(record.id, ()),
    )  # fmt: skip
    return BentPiece(
        id=record.id, title=record.title or record.id, pieces=(), what="", count=record.count,
        metal_key=key, metal=metal, painted=PAINTED["out" if record.painted else "both"],
        length_in=record.length, ends=ends, making=how, drawn=record.piece,
    )  # fmt: skip


def _together(made: Sequence[BentPiece]) -> Iterator[BentPiece]:
    """Pieces that are alike to a hundredth of an inch as one kind, with their count."""
    kinds: dict[object, BentPiece] = {}
    for one in made:
        key = _likeness(one) if one.pieces else one.id
        like = kinds.get(key)
        kinds[key] = one if like is None else replace(
            like, count=like.count + one.count, pieces=like.pieces + one.pieces
        )  # fmt: skip
    yield from kinds.values()


def _likeness(one: BentPiece) -> object:
    rings = tuple(
        tuple((round(x, 2), round(y, 2)) for x, y in pattern.outline)
        for cut in one.making.cuts
        for pattern in cut.patterns
    )
    bends = tuple((b.angle_deg, b.toward) for b in one.making.wanted.bends)
    return rings, bends, one.metal_key, one.painted, one.notes, one.is_new
