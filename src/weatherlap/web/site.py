"""What every page of the web app needs: the shelf, the desk, the photos, the pairing."""

from __future__ import annotations

from dataclasses import dataclass, field

from weatherlap.store.owntables import OwnTables
from weatherlap.store.photos import Photos
from weatherlap.store.shelf import Shelf
from weatherlap.web.certificate import Certificate
from weatherlap.web.clerk import Clerk
from weatherlap.web.desk import Desk
from weatherlap.web.foresight import Foresight
from weatherlap.web.guard import Pairing, Sessions


@dataclass(frozen=True, slots=True)
class Site:
    """The parts of one running app; ``links`` lead to it from other devices, if it is shared.

    ``trust_link`` leads to the plain page that gives the authority, where it is shared by https.
    """

    shelf: Shelf
    desk: Desk
    photos: Photos
    sessions: Sessions
    pairing: Pairing
    own: OwnTables
    links: tuple[str, ...] = ()
    trust_link: str = ""
    certificate: Certificate | None = None
    clerk: Clerk = field(default_factory=Clerk)
    foresight: Foresight = field(init=False)

    def __post_init__(self) -> None:
        """Foresee on the same desk that answers."""
        object.__setattr__(self, "foresight", Foresight(self.desk))

    def close(self) -> None:
        """Let go of everything."""
        self.foresight.close()
        self.clerk.close()
        self.shelf.close()
