"""The notice of cancellation, two copies, in the words that the federal rule gives for it.

The rule (16 CFR 429.1(b)) wants a completed form in duplicate in bold type of ten points at least;
its words are law and are kept. Local law may give others: it governs.
"""

from __future__ import annotations

import datetime

from weatherlap.papers.leaf import Firm, Part, Words
from weatherlap.run.scope import Scope

BLANK = "________________________"
RETURNED = (
    "If you cancel, any property traded in, any payments made by you under the contract or sale, "
    "and any negotiable instrument executed by you will be returned within TEN BUSINESS DAYS "
    "following receipt by the seller of your cancellation notice, and any security interest "
    "arising out of the transaction will be cancelled."
)
GOODS = (
    "If you cancel, you must make available to the seller at your residence, in substantially as "
    "good condition as when received, any goods delivered to you under this contract or sale, or "
    "you may, if you wish, comply with the instructions of the seller regarding the return "
    "shipment of the goods at the seller's expense and risk."
)
KEPT = (
    "If you do make the goods available to the seller and the seller does not pick them up within "
    "20 days of the date of your Notice of Cancellation, you may retain or dispose of the goods "
    "without any further obligation. If you fail to make the goods available to the seller, or if "
    "you agree to return the goods to the seller and fail to do so, then you remain liable for "
    "performance of all obligations under the contract."
)
ORDINALS = {1: "ONE BUSINESS DAY", 2: "TWO BUSINESS DAYS", 3: "THREE BUSINESS DAYS"}
COPIES = ("to keep", "to send back")


def long_day(day: datetime.date) -> str:
    """A day as a letter writes it."""
    return f"{day:%A}, {day:%B} {day.day}, {day.year}"


def notices(scope: Scope, firm: Firm | None) -> tuple[Part, ...]:
    """Both copies, each on a page of its own so that one can be torn off.

    Sources
    -------
    E-009 : section 429.1(b).
    """
    texts = tuple(Words(text, strong=True) for text in _texts(scope, firm))
    return tuple(
        Part(f"Notice of Cancellation ({which})", texts, new_page=True) for which in COPIES
    )


def _texts(scope: Scope, firm: Firm | None) -> tuple[str, ...]:
    signed = long_day(scope.signed) if scope.signed else BLANK
    by = long_day(scope.cancel_by) if scope.cancel_by else BLANK
    name = firm.name if firm else BLANK
    where = ", ".join(firm.address) if firm and firm.address else BLANK
    count = scope.terms.cancel_days
    days = ORDINALS.get(count, f"{count} BUSINESS DAYS")
    return (
        f"Date of transaction: {signed}",
        f"You may CANCEL this transaction, without any Penalty or Obligation, within {days} from "
        "the above date.",
        RETURNED,
        GOODS,
        KEPT,
        "To cancel this transaction, mail or deliver a signed and dated copy of this Cancellation "
        f"Notice or any other written notice, or send a telegram, to {name}, at {where}, NOT LATER "
        f"THAN MIDNIGHT OF {by}.",
        "I HEREBY CANCEL THIS TRANSACTION.",
        f"Date: ____________     Buyer's signature: {BLANK}",
    )
