"""Letting devices of the network in: the code, its picture, and pairing."""

from __future__ import annotations

import time
from typing import Annotated

import segno
from fastapi import APIRouter, Form, Query, Request, Response
from fastapi.responses import HTMLResponse, RedirectResponse

from weatherlap.store.shelf import NoSuchJob
from weatherlap.web.guard import COOKIE, SESSION_S, is_loopback
from weatherlap.web.sheets import download, page
from weatherlap.web.site import Site


def share_ways(ways: APIRouter, site: Site) -> None:
    """Pairing as the serving machine sees it."""

    @ways.get("/share")
    def share(request: Request) -> Response:
        if not _is_own(request):
            return page("note.html", 403, head="Only on the machine that serves",
                        words="A new device is paired there.")  # fmt: skip
        code = site.pairing.code() if site.links else ""
        made = site.certificate
        print_of = made.fingerprint if made is not None else ""
        return page(
            "share.html", links=site.links, code=code, trust=site.trust_link, print=print_of
        )

    @ways.get("/share/authority.crt")
    def authority() -> Response:
        if site.certificate is None:
            raise NoSuchJob("certificate", "this app is not served by https", "serve --https")
        return download(site.certificate.authority_der, "weatherlap-authority.crt")

    @ways.get("/share/trust.svg")
    def trust_picture(request: Request) -> Response:
        if not _is_own(request) or not site.trust_link:
            return Response(status_code=403)
        return _picture_of(site.trust_link)

    @ways.get("/share/code.svg")
    def code_picture(request: Request) -> Response:
        if not _is_own(request) or not site.links:
            return Response(status_code=403)
        link = f"{site.links[0]}/pair?code={site.pairing.code()}"
        return _picture_of(link)

    @ways.post("/share/forget")
    def forget(request: Request) -> Response:
        if not _is_own(request):
            return Response(status_code=403)
        site.sessions.forget_all()
        return RedirectResponse("/share", 303)


def _picture_of(link: str) -> Response:
    """A link as a picture for a camera."""
    made = segno.make_qr(link, error="m").svg_inline(scale=6, dark="#111", light="#fff")
    svg = made.replace("<svg ", '<svg xmlns="http://www.w3.org/2000/svg" ', 1)
    return Response(svg, media_type="image/svg+xml")


def pair_ways(ways: APIRouter, site: Site) -> None:
    """Pairing as a new device sees it."""

    @ways.get("/pair")
    def pair_page(code: Annotated[str, Query(max_length=40)] = "") -> HTMLResponse:
        return page("pair.html", code=code, wrong="")

    @ways.post("/pair")
    def pair(request: Request, code: Annotated[str, Form(max_length=40)]) -> Response:
        address = request.client.host if request.client else ""
        if not site.pairing.may_try(address):
            words = "Too many tries. Wait a minute, then type the code again."
            return page("pair.html", 429, code="", wrong=words)
        if not site.pairing.takes(code):
            words = "This is not the code that is shown, or it is used up."
            return page("pair.html", 403, code="", wrong=words)
        answer = RedirectResponse("/", 303)
        answer.set_cookie(
            COOKIE,
            site.sessions.new(time.time()),
            max_age=int(SESSION_S),
            httponly=True,
            samesite="strict",
            secure=request.url.scheme == "https",
        )
        return answer


def _is_own(request: Request) -> bool:
    return request.client is not None and is_loopback(request.client.host)
