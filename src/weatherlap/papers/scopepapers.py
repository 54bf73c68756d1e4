"""The papers that the client gets: scope of work, contract sheet, allowances, change orders."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping

from weatherlap.job.model import Job
from weatherlap.job.moneyrecords import Shown
from weatherlap.money.amounts import usd_text
from weatherlap.money.price import by_section
from weatherlap.papers.binder import Bound
from weatherlap.papers.cautions import OPENING_UP, Caution
from weatherlap.papers.changeorderpapers import change_order_leaves
from weatherlap.papers.firmhead import firm_of
from weatherlap.papers.leaf import Column, Firm, Grid, Items, Leaf, Part, Words
from weatherlap.papers.notice import long_day, notices
from weatherlap.papers.promised import scope_for
from weatherlap.run.places import capital
from weatherlap.run.scope import Scope
from weatherlap.run.scopetables import scope_table

NO_FIRM = "the firm"
SIGN_HERE = "________________________"


def bind(job: Job, *, own: Mapping[str, str], on_the_way: Callable[[str], None]) -> Bound:
    """The papers that the client gets.

    Raises
    ------
    InputError, JobError, NoSolution
        If the job cannot be priced.
    """
    on_the_way("Pricing")
    scope = scope_for(job, own)
    firm = firm_of(own)
    on_the_way("Writing the scope of work")
    leaves = [scope_leaf(scope, firm), contract_leaf(scope, firm)]
    if scope.pricing.allowances:
        leaves.append(allowance_leaf(scope, firm))
    leaves += change_order_leaves(scope, firm)
    return Bound(tuple(leaves), scope_table(scope))


def filled(scope: Scope, firm: Firm | None) -> dict[str, str]:
    """What the braces in the firm's words stand for."""
    about, warranty = scope.job.job, scope.job.warranty
    years = 1.0 if warranty is None else warranty.years
    return {
        "firm": firm.name if firm else NO_FIRM,
        "client": about.client or "the client",
        "place": about.place or "the place named above",
        "price": usd_text(scope.pricing.built.price_cents),
        "days": str(scope.pricing.days),
        "cancel_by": long_day(scope.cancel_by) if scope.cancel_by else "____________",
        "cancel_days": str(scope.terms.cancel_days),
        "warranty_years": f"{years:g} year{'s' if years != 1 else ''}",
        "offer_days": str(scope.terms.offer_days),
    }


def scope_leaf(scope: Scope, firm: Firm | None) -> Leaf:
    """The scope of work: what is done, in order, and what is agreed besides."""
    said = _Said(scope, firm)
    steps = tuple(f"{s.text[:-1]}{f' ({s.note})' if s.note else ''}." for s in scope.steps)
    found = tuple(
        f"{f.letter}. {f.text} {f.answer or 'Not part of this work.'}" for f in scope.findings
    )
    parts = [
        Part("What was found, and what answers it", (Items(found or ("Nothing lets water in.",)),)),
        Part("What is done, in this order", (Items(steps, numbered=True),)),
        *_left_in(scope),
        *_agreed(scope),
        Part("What may turn up", (Words(said("hidden")), *_allowance_words(scope, said))),
        Part("Old paint", (Words(scope.pricing.tasks.lead.text),)),
        Part("Changes and days", (Words(said("change_order")), Words(said("delay")))),
    ]
    return Leaf(
        name="scope-of-work",
        kind="Scope of work",
        job_title=scope.job.job.title,
        about=scope.job.job,
        lead=(said("scope_lead"),),
        parts=tuple(parts),
        cautions=tuple(_cautions(scope)),
        sources=("E-013", "E-014"),
        firm=firm,
    )


class _Said:
    """The firm's words with the names filled in."""

    def __init__(self, scope: Scope, firm: Firm | None) -> None:
        self._words, self._filled = scope.words, filled(scope, firm)

    def __call__(self, name: str) -> str:
        return capital(self._words.said(name, self._filled))


def _left_in(scope: Scope) -> Iterator[Part]:
    """What was found bad and stays: the client reads it before signing."""
    if scope.pricing.tasks.ordered.left_in:
        yield Part(
            "What goes back, or stays, as it was", (Items(scope.pricing.tasks.ordered.left_in),)
        )


def _agreed(scope: Scope) -> Iterator[Part]:
    terms = scope.terms
    rows = (
        ("Included besides", terms.included),
        ("Not included", terms.not_included),
        ("What the price assumes", terms.assumes),
        ("How house and garden are kept", terms.protection),
    )
    for head, texts in rows:
        if texts:
            yield Part(head, (Items(texts),))
    visits = [f"Permit: {p.text}" for p in scope.job.permit]
    visits += [f"Inspection: {v.text}" for v in scope.job.inspection]
    if terms.permits_by:
        visits.insert(0, f"Permits are pulled by {terms.permits_by}.")
    if visits:
        yield Part("Permits and inspections", (Items(tuple(visits)),))


def _allowance_words(scope: Scope, said: _Said) -> tuple[Words | Grid, ...]:
    if not scope.pricing.allowances:
        return ()
    return (Words(said("allowance")), _allowance_grid(scope))


def _cautions(scope: Scope) -> Iterator[Caution]:
    keys = {key for t in scope.pricing.tasks.tasks for key in t.cautions}
    if scope.pricing.tasks.lead.applies or scope.pricing.tasks.lead.unknown:
        keys.add("P-003")
    return (c for c in OPENING_UP if c.source in keys)


def contract_leaf(scope: Scope, firm: Firm | None) -> Leaf:
    """The contract sheet: parties, price, payments, insurance, days, cancelling, signatures."""
    said, about, terms = _Said(scope, firm), scope.job.job, scope.terms
    price = usd_text(scope.pricing.built.price_cents)
    count = scope.pricing.days
    days = f"{count} working day{'s' if count != 1 else ''}"
    start, finish = terms.start or "to be agreed", terms.finish or "to be agreed"
    parties = (
        ("The firm", firm.name if firm else SIGN_HERE),
        ("The client", about.client or SIGN_HERE),
        ("The place", about.place or SIGN_HERE),
        ("About when it begins", start),
        ("About when it ends", f"{finish} ({days})"),
    )
    parts = [
        Part("Who and where", (Grid((Column(""), Column("", share=3.0)), parties),)),
        Part("Price", tuple(_price(scope, price))),
        Part("Payments", (Words(said("payment")), *_payments(scope))),
        Part(
            "Insurance", tuple(_insurance(scope)), note="A certificate gives no rights by itself."
        ),
        Part("Warranty", tuple(_warranty(scope, said))),
        Part("Changes", (Words(said("change_order")), Words(said("lien")))),
        Part(
            "Right to cancel, and signatures",
            (Words(said("cancel"), strong=True), Words(_counted(scope)), _signatures()),
            note=said("law"),
        ),
        *notices(scope, firm),
    ]
    lead = (
        f"{price} for the scope of work of this job. The offer stands for "
        f"{terms.offer_days} days{f' from {terms.offered}' if terms.offered else ''}.",
    )
    return Leaf(
        name="contract-sheet",
        kind="Contract sheet",
        job_title=about.title,
        about=about,
        lead=lead,
        parts=tuple(parts),
        sources=("E-009", "E-010", "E-011", "E-012"),
        firm=firm,
    )


def _price(scope: Scope, price: str) -> Iterator[Words | Grid]:
    if scope.terms.price_shown is Shown.SECTIONS:
        rows = tuple((name, usd_text(cents)) for name, cents in by_section(scope.pricing.built))
        columns = (Column("For", share=3.0), Column("Price", numeric=True))
        yield Grid(columns, (*rows, ("The whole", price)))
    else:
        yield Words(f"The whole: {price}", strong=True)


def _payments(scope: Scope) -> Iterator[Words | Grid]:
    if not scope.dues:
        yield Words("The whole price falls due when the work is done.")
        return
    rows = tuple((due.event, usd_text(due.cents)) for due in scope.dues)
    yield Grid((Column("When", share=3.0), Column("Due", numeric=True)), rows)


def _insurance(scope: Scope) -> Iterator[Words | Grid]:
    rows = tuple(
        (c.kind, c.insurer or "–", c.number or "–", c.limit or "–", c.expires)
        for c in scope.job.certificate
    )
    if not rows:
        yield Words("Certificates are handed over before the work begins.")
        return
    heads = ("Cover", "Insurer", "Policy", "Limit", "Until")
    yield Grid(tuple(Column(h) for h in heads), rows)


def _warranty(scope: Scope, said: _Said) -> Iterator[Words]:
    yield Words(said("warranty"))
    if scope.job.warranty is not None and scope.job.warranty.text:
        yield Words(scope.job.warranty.text)


def _counted(scope: Scope) -> str:
    how = "Sundays and federal holidays do not count; Saturdays do. Local law governs."
    if scope.signed is None:
        return f"The last day is filled in on the day of signing. {how}"
    return f"Counted from {scope.signed.isoformat()}. {how}"


def _signatures() -> Grid:
    rows = (("For the firm", SIGN_HERE, "____________"), ("The client", SIGN_HERE, "____________"))
    return Grid((Column(""), Column("Name", share=2.0), Column("Day")), rows)


def allowance_leaf(scope: Scope, firm: Firm | None) -> Leaf:
    """The schedule of allowances."""
    said = _Said(scope, firm)
    known = [a for a in scope.pricing.allowances if a.actual is not None]
    parts = [Part("Allowances", (_allowance_grid(scope),), note=said("allowance"))]
    if known:
        rows = tuple(
            (
                a.text,
                f"{a.included:g}",
                f"{a.actual:g}",
                usd_text(round((a.settled_usd or 0) * 100)),
            )
            for a in known
        )
        heads = (
            Column("What", share=3.0), Column("In the price", numeric=True),
            Column("Came to", numeric=True), Column("Settled", numeric=True),
        )  # fmt: skip
        total = usd_text(round(sum(a.settled_usd or 0.0 for a in known) * 100))
        parts.append(Part("What it came to", (Grid(heads, rows, f"Together {total}."),)))
    return Leaf(
        name="allowances",
        kind="Allowance schedule",
        job_title=scope.job.job.title,
        about=scope.job.job,
        lead=(said("hidden"),),
        parts=tuple(parts),
        sources=("E-014",),
        firm=firm,
    )


def _allowance_grid(scope: Scope) -> Grid:
    rows = tuple(
        (a.text, f"{a.included:g}", a.unit, usd_text(round(a.unit_price_usd * 100)))
        for a in scope.pricing.allowances
    )
    columns = (
        Column("What", share=3.0), Column("In the price", numeric=True), Column("Unit"),
        Column("Unit price", numeric=True),
    )  # fmt: skip
    return Grid(columns, rows)
