"""What is promised around the price: payments by events, allowances, certificates, warranty."""

from __future__ import annotations

import datetime
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from weatherlap.errors import InputError
from weatherlap.money.amounts import in_cents, shared_out, usd_text

Date = datetime.date


@dataclass(frozen=True, slots=True)
class Payment:
    """A part of the price that falls due at an event; ``share`` is a part of the price. [-]"""

    event: str
    share: float
    is_deposit: bool = False


@dataclass(frozen=True, slots=True)
class Due:
    """A payment in cents."""

    event: str
    cents: int
    is_deposit: bool


@dataclass(frozen=True, slots=True)
class DepositLimit:
    """The most that may be asked before work begins: a part of the price, a sum, the lesser. [USD]

    Local law governs; both are the user's own figures.
    """

    share: float | None = None
    usd: float | None = None

    def cents(self, price_cents: int) -> int | None:
        """The limit on a price, or None where none is set."""
        rows = []
        if self.share is not None:
            rows.append(int(price_cents * self.share + 1e-9))
        if self.usd is not None:
            rows.append(in_cents(self.usd))
        return min(rows) if rows else None


def payments_due(
    payments: Sequence[Payment], price_cents: int, *, limit: DepositLimit
) -> tuple[Due, ...]:
    """The payments of a price; they add up to it to the cent.

    Raises
    ------
    InputError
        If the shares do not make up the whole, a deposit is over the limit, a deposit does not
        come first, or nothing is left to be paid at the end.
    """
    if not payments:
        return ()
    whole = sum(p.share for p in payments)
    if abs(whole - 1.0) > 1e-6:
        raise InputError(
            "payments", f"they come to {100 * whole:g} % of the price", "100 % together"
        )
    if any(p.is_deposit for p in payments[1:]):
        raise InputError("payments", "a deposit after the first payment", "a deposit only first")
    if payments[-1].is_deposit:
        found = "all of it is asked before work begins"
        raise InputError("payments", found, "a last payment at the end of the work")
    cents = shared_out(price_cents, [p.share for p in payments])
    rows = tuple(Due(p.event, c, p.is_deposit) for p, c in zip(payments, cents, strict=True))
    most = limit.cents(price_cents)
    if most is not None and rows[0].is_deposit and rows[0].cents > most:
        raise InputError(
            "payments: the deposit",
            f"{usd_text(rows[0].cents)} is asked before work begins",
            f"{usd_text(most)} at most, by the limit in [terms]",
            "Ask for less of it, or mend the limit. Local law governs.",
        )
    return rows


@dataclass(frozen=True, slots=True)
class Allowance:
    """What may come up, with the quantity in the price and the price of one more. [-, USD]

    ``actual`` is what it came to, once that is known.
    """

    id: str
    text: str
    unit: str
    included: float
    unit_price_usd: float
    actual: float | None = None
    reason: str = ""

    @property
    def in_price_usd(self) -> float:
        """What the price holds for it. [USD]"""
        return self.included * self.unit_price_usd

    @property
    def settled_usd(self) -> float | None:
        """What is added to the price, or given back (below 0), once it is known. [USD]"""
        if self.actual is None:
            return None
        return (self.actual - self.included) * self.unit_price_usd


@dataclass(frozen=True, slots=True)
class Certificate:
    """An insurance certificate: what it covers, whose, and until when."""

    kind: str
    insurer: str
    number: str
    limit: str
    begins: Date | None
    expires: Date
    wanted: bool = True


def certificate_warnings(
    rows: Sequence[Certificate], *, start: Date | None, finish: Date | None, today: Date
) -> tuple[str, ...]:
    """What is wrong with the certificates for the days of the work.

    Parameters
    ----------
    start, finish : date or None
        First and last day of the work; None where it is not known.
    """
    return tuple(w for row in rows for w in _warnings(row, start, finish, today))


def _warnings(
    row: Certificate, start: Date | None, finish: Date | None, today: Date
) -> Iterator[str]:
    name = f"{row.kind} ({row.number or 'no policy number'})"
    first, last = start or today, finish or start or today
    if row.expires < today:
        yield f"{name} expired on {row.expires.isoformat()}."
    elif row.expires < first:
        yield f"{name} expires on {row.expires.isoformat()}, before the work begins on {first}."
    elif row.expires < last:
        yield f"{name} expires on {row.expires.isoformat()}, before the work ends on {last}."
    if row.begins is not None and row.begins > first:
        yield f"{name} begins on {row.begins.isoformat()}, after the work does on {first}."
    if not row.number:
        yield f"{row.kind}: the policy number is not filled in."


def years_on(day: Date, years: float) -> Date:
    """The day so many years after a day; 29 February goes to 1 March; months for parts of years."""
    months = round(12 * years)
    year, month = divmod(day.year * 12 + day.month - 1 + months, 12)
    for last in (day.day, 28):
        try:
            found = Date(year, month + 1, last)
        except ValueError:
            continue
        return found if last == day.day else found + datetime.timedelta(days=1)
    raise InputError("years", f"found {years:g}", "a day before the year 10000")
