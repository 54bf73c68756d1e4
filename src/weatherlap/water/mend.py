"""Mending: the cheapest set of changes after which the rain runs off and the lap rules hold."""

from __future__ import annotations

import heapq
import itertools
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field

from weatherlap.building.changes import changed
from weatherlap.building.corner import Corner, build_corner
from weatherlap.errors import JobError
from weatherlap.job.model import Change, Job
from weatherlap.water.findings import Finding
from weatherlap.water.hops import Cause, Crossing, IntoTrough
from weatherlap.water.mendcosts import MendCosts, Pricer
from weatherlap.water.mendreach import Placed, covers, laid
from weatherlap.water.newpieces import Remedy
from weatherlap.water.rain import SiteRain
from weatherlap.water.remedies import remedies
from weatherlap.water.rulefixes import MUST_KEEP, Broken, broken_rules, rule_remedies
from weatherlap.water.trace import Trace, trace

Choices = tuple[tuple[Remedy, ...], ...]
"""For each wrong the changes that could cure it: one of them is in every answer."""


@dataclass(frozen=True, slots=True)
class Need:
    """Why a change is in the answer: what happens if it is taken out."""

    text: str
    without: str


@dataclass(frozen=True, slots=True)
class Mended:
    """A set of changes that mends the corner. [USD]"""

    remedies: tuple[Remedy, ...]
    cost_usd: float

    @property
    def changes(self) -> tuple[Change, ...]:
        """The changes, in the order to be written."""
        return tuple(c for r in self.remedies for c in r.changes)


@dataclass(frozen=True)
class MendAnswer:
    """The answer of the search.

    ``best`` is None where no set was found; ``bound_usd`` is a cost below which there is none;
    ``proven`` says that the best is the cheapest of all sets of the changes that were weighed.
    ``left_open`` are findings that no change here can cure, ``rules_left`` rules that are not
    kept after the best, with what they ask, ``stuck`` what stays wrong after the changes that came
    nearest, where none was found. ``tried`` counts traces.
    """

    best: Mended | None
    runners_up: tuple[Mended, ...]
    needs: tuple[Need, ...]
    bound_usd: float
    proven: bool
    left_open: tuple[str, ...]
    rules_left: tuple[str, ...]
    stuck: tuple[str, ...]
    tried: int


@dataclass(frozen=True)
class _State:
    """A corner with some remedies made: what is still wrong, and what could cure each wrong."""

    corner: Corner
    result: Trace
    choices: Choices
    broken: tuple[Broken, ...]


@dataclass(order=True)
class _Entry:
    bound: float
    number: int
    cost: float = field(compare=False)
    made: tuple[Remedy, ...] = field(compare=False)
    barred: frozenset[str] = field(compare=False)
    ahead: Choices = field(compare=False)


def mend(
    job: Job,
    rain: SiteRain,
    costs: MendCosts,
    *,
    most_traces: int = 2000,
    runners_up: int = 2,
    go_on: Callable[[int, float], bool] | None = None,
) -> MendAnswer:
    """Search for the cheapest set of single changes that mends a corner.

    Best first: each step takes one wrong way of the water, and makes each change that could
    cure a crossing on that way; one of them must be in every answer. The trace judges.

    Parameters
    ----------
    most_traces : int
        The search stops after this many traces. [-]
    runners_up : int
        How many dearer answers are wanted besides the best. [-]
    go_on : callable or None
        Told (traces so far, bound in USD); the search stops when it answers False.

    Raises
    ------
    JobError
        If the job as found cannot be built.
    """
    limits = _Limits(most_traces, 1 + runners_up, go_on)
    search = _Search(job, rain, costs, rules=MUST_KEEP)
    search.run(limits)
    if search.found and search.breaks_more():
        strict = _Search(job, rain, costs, rules=None, tried=search.tried)
        strict.run(limits)
        search = strict if strict.found else search.after(strict)
    best = search.found[0] if search.found else None
    bound = best.cost_usd if best and search.proven else search.bound
    return MendAnswer(
        best=best,
        runners_up=tuple(search.found[1:]),
        needs=tuple(search.needs(best)) if best else (),
        bound_usd=bound,
        proven=best is not None and search.proven,
        left_open=search.left_open,
        rules_left=search.rules_left(best),
        stuck=() if best else tuple(dict.fromkeys(search.stuck)),
        tried=search.tried,
    )


@dataclass(frozen=True, slots=True)
class _Limits:
    """When a search stops: after so many traces, with so many answers, or when it is told to."""

    most_traces: int
    wanted: int
    go_on: Callable[[int, float], bool] | None


class _Search:
    """``rules`` are those that an answer must keep where a change can; None for all of them."""

    def __init__(
        self,
        job: Job,
        rain: SiteRain,
        costs: MendCosts,
        *,
        rules: frozenset[str] | None,
        tried: int = 0,
    ) -> None:
        self.job, self.rain, self.rules = job, rain, rules
        self.tried = tried
        self.found: list[Mended] = []
        self.stuck: list[str] = []
        self.bound = 0.0
        self.proven = False
        self._number = itertools.count()
        corner = build_corner(job)
        self._pricer = Pricer(corner, costs)
        self._price: dict[str, float] = {}
        self._excused: frozenset[str] = frozenset()
        self._rules_open = frozenset(b.key for b in broken_rules(corner, rain))
        first = self._look(())
        assert first is not None
        self._last = self._end = first
        hopeless = [f for f in first.result.findings if not self._curable(first, f.trail)]
        self.left_open = tuple(f"({f.letter}) {_open_words(f)}" for f in hopeless)
        self._excused = frozenset(_name(first.corner, c) for c in self._dead_ends(first))

    def _curable(self, state: _State, trail: int) -> bool:
        return any(
            remedies(state.corner, x, at) for x, at in _crossings_around(state.result, trail)
        )

    def _dead_ends(self, state: _State) -> Iterator[Crossing]:
        """Crossings on ways that no remedy can cure; they do not count against an answer."""
        for way in _wrong_ways(state.result):
            if not any(remedies(state.corner, x, at) for x, at in way):
                yield from (x for x, _ in way)

    def _look(self, made: tuple[Remedy, ...]) -> _State | None:
        """Make the remedies and trace; None if they cannot be made together."""
        try:
            job = changed(self.job, [c for r in made for c in r.changes])
            corner = build_corner(job)
            result = trace(corner, self.rain)
        except JobError:
            return None
        self.tried += 1
        ways = [
            way
            for way in _wrong_ways(result)
            if not any(_name(corner, x) in self._excused for x, _ in way)
        ]
        broken = broken_rules(corner, self.rain)
        kept = [tuple(rule_remedies(corner, b, broken)) for b in broken]
        dry = [tuple(_unique(r for x, at in w for r in remedies(corner, x, at))) for w in ways]
        wide = [(r, laid(corner, r)) for r in _unique(itertools.chain(*dry, *kept))]
        choices = [
            tuple(_unique(iter((*own, *(r for r, where in wide if covers(where, way))))))
            for own, way in zip(dry, ways, strict=True)
        ]
        choices += [cures for b, cures in zip(broken, kept, strict=True)
                    if cures and (self.rules is None or b.result.rule in self.rules)]  # fmt: skip
        return _State(corner, result, tuple(choices), broken)

    def _cost(self, remedy: Remedy) -> float:
        key = remedy.key
        if key not in self._price:
            try:
                self._price[key] = self._pricer.cost(remedy)
            except KeyError:
                self._price[key] = Pricer(self._last.corner, self._pricer._costs).cost(remedy)
        return self._price[key]

    def breaks_more(self) -> bool:
        """Whether the best answer leaves a rule that some change could mend."""
        state = self._end
        return any(
            next(rule_remedies(state.corner, b, state.broken), None) is not None
            for b in state.broken
        )

    def after(self, other: _Search) -> _Search:
        """This search, with the traces of another that found nothing counted too."""
        self.tried = other.tried
        return self

    def run(self, limits: _Limits) -> None:
        """Search until an answer is proven, or the limits are met."""
        heap = [_Entry(0.0, next(self._number), 0.0, (), frozenset(), ())]
        seen: set[frozenset[str]] = set()
        go_on = limits.go_on
        while heap and len(self.found) < limits.wanted:
            entry = heapq.heappop(heap)
            self.bound = entry.bound
            if not self.found and self.tried >= limits.most_traces:
                return
            if self.tried >= limits.most_traces or (go_on and not go_on(self.tried, self.bound)):
                break
            name = frozenset(r.key for r in entry.made)
            if name in seen:
                continue
            seen.add(name)
            self._open(entry, heap)
        self.proven = bool(self.found)

    def _open(self, entry: _Entry, heap: list[_Entry]) -> None:
        state = self._look(entry.made)
        if state is None:
            self._go_round(entry, heap)
            return
        self._last = state
        if not state.choices:
            if not any(b.key in self._newly(state) for b in state.broken):
                self._take(entry, state)
            return
        rest = self._least_rest(state, entry.barred)
        if rest is None:
            self.stuck += [_open_words(f) for f in state.result.findings[:1]]
            return
        self._branch(entry, heap, state.choices, entry.cost + rest)

    def _go_round(self, entry: _Entry, heap: list[_Entry]) -> None:
        """Changes that cannot be made by themselves, made with what else must be done."""
        made = {r.key for r in entry.made}
        left = tuple(c for c in entry.ahead if not any(r.key in made for r in c))
        if left:
            self._branch(entry, heap, left, entry.cost)

    def _branch(self, entry: _Entry, heap: list[_Entry], choices: Choices, bound: float) -> None:
        choice = min(choices, key=lambda c: sum(r.key not in entry.barred for r in c))
        barred = set(entry.barred)
        for remedy in sorted(choice, key=self._cost):
            if remedy.key in barred:
                continue
            cost = entry.cost + self._cost(remedy)
            made = (*entry.made, remedy)
            heapq.heappush(
                heap,
                _Entry(
                    max(bound, cost), next(self._number), cost, made, frozenset(barred), choices
                ),
            )
            barred.add(remedy.key)

    def _newly(self, state: _State) -> frozenset[str]:
        """Rules that the changes broke."""
        return frozenset(b.key for b in state.broken) - self._rules_open

    def _take(self, entry: _Entry, state: _State) -> None:
        keys = {r.key for r in entry.made}
        if any({r.key for r in f.remedies} <= keys for f in self.found):
            return
        if not self.found:
            self._end = state
        self.found.append(Mended(entry.made, entry.cost))

    def _least_rest(self, state: _State, barred: frozenset[str]) -> float | None:
        """A cost that any way on from here has at least; None if there is no way on."""
        total, used = 0.0, set[str]()
        ways = [[r for r in choice if r.key not in barred] for choice in state.choices]
        if any(not way for way in ways):
            return None
        for way in sorted(ways, key=len):
            keys = {r.key for r in way}
            if not keys & used:
                used |= keys
                total += min(self._cost(r) for r in way)
        return total

    def rules_left(self, best: Mended | None) -> tuple[str, ...]:
        """What the rules that the answer does not keep ask for."""
        return tuple(dict.fromkeys(b.text for b in self._end.broken)) if best else ()

    def needs(self, best: Mended) -> Iterator[Need]:
        """For each remedy of an answer, what happens without it."""
        for remedy in best.remedies:
            others = tuple(r for r in best.remedies if r is not remedy)
            state = self._look(others)
            yield Need(remedy.text, _what_happens(state))


def _open_words(finding: Finding) -> str:
    """A finding that no change cures, with what is done about it where that is known."""
    if finding.cause is not Cause.LEVEL:
        return finding.text
    return (
        f"{finding.text} Give what lies there a fall, away from the wall: pack it up on tapered "
        "strips, bend it anew or lay it anew; then draw its face with that tilt."
    )


def _what_happens(state: _State | None) -> str:
    if state is None:
        return "The other changes cannot be made without it."
    if state.result.findings:
        return state.result.findings[0].text
    if state.broken:
        return state.broken[0].text
    return "Nothing gets wet, but the work is easier with it."


def _unique(rows: Iterator[Remedy]) -> Iterator[Remedy]:
    seen: set[str] = set()
    for remedy in rows:
        if remedy.key not in seen:
            seen.add(remedy.key)
            yield remedy


def _name(corner: Corner, crossing: Crossing) -> str:
    """A name of a crossing that stays the same when pieces are added."""
    upper = "" if crossing.upper is None else corner.pieces[crossing.upper].id
    lower = "" if crossing.lower is None else corner.pieces[crossing.lower].id
    return f"{crossing.cause.value}|{corner.faces[crossing.face].id}|{upper}|{lower}"


def _wrong_ways(result: Trace) -> list[tuple[Placed, ...]]:
    """The crossings on each different way of the rain that ends in trouble."""
    starts = {s.trail for s in result.starts if result.flows.trouble[s.trail] > 0}
    found = {tuple(_crossings_around(result, t)): None for t in sorted(starts)}
    return [way for way in found if way]


def _crossings_around(result: Trace, trail: int) -> Iterator[Placed]:
    """The crossings from a trail's start on that lead to trouble."""
    trails, trouble = result.ways.trails, result.flows.trouble
    stack, seen = [trail], set[int]()
    while stack:
        t = stack.pop()
        if t < 0 or t in seen or trouble[t] <= 0:
            continue
        seen.add(t)
        step, place = trails.steps[t], trails.places[t]
        if isinstance(step.what, Crossing):
            yield step.what, (place[1], place[2])
        stack.append(step.after)
        if isinstance(step.what, IntoTrough):
            stack += [o for _, o in result.ways.outlet_trails[step.what.trough]]
