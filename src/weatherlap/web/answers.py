"""Errors as answers: one shape, whatever went wrong."""

from __future__ import annotations

from typing import Any

from fastapi import FastAPI, Request
from fastapi.exceptions import RequestValidationError
from fastapi.responses import JSONResponse
from starlette.exceptions import HTTPException

from weatherlap.errors import InputError, JobError, NoSolution, Problem, WeatherlapError
from weatherlap.store.database import CannotKeep
from weatherlap.store.merging import Clash
from weatherlap.store.shelf import NoSuchJob

MOST_PROBLEMS = 50


def install(app: FastAPI) -> None:
    """Turn every error into an answer with ``problems``, or ``conflicts`` for two writers."""
    app.add_exception_handler(WeatherlapError, _said)
    app.add_exception_handler(RequestValidationError, _unread)
    app.add_exception_handler(HTTPException, _http)
    app.add_exception_handler(Exception, _fault)


def status_of(error: WeatherlapError) -> int:
    """The status that an error is answered with."""
    if isinstance(error, NoSuchJob):
        return 404
    if isinstance(error, CannotKeep):
        return 507
    if isinstance(error, Clash):
        return 409
    if isinstance(error, JobError):
        return 400
    return 422 if isinstance(error, InputError | NoSolution) else 500


def problem_table(problem: Problem) -> dict[str, Any]:
    """One problem with its place in the file."""
    return {
        "line": problem.line,
        "where": problem.where,
        "found": problem.found,
        "want": problem.want,
        "do": problem.do,
    }


def _plain(where: str, found: str, want: str = "") -> list[dict[str, Any]]:
    return [problem_table(Problem(where, found, want))]


async def _said(_request: Request, error: Exception) -> JSONResponse:
    assert isinstance(error, WeatherlapError)
    if isinstance(error, Clash):
        rows = [
            {"key": c.key, "where": c.where, "found": c.before, "theirs": c.theirs, "mine": c.mine}
            for c in error.conflicts
        ]
        problems = _plain("job", str(error))
        return JSONResponse({"ok": False, "problems": problems, "conflicts": rows}, 409)
    if isinstance(error, InputError):
        problems = [problem_table(p) for p in error.problems[:MOST_PROBLEMS]]
    else:
        problems = _plain("", str(error))
    return JSONResponse({"ok": False, "problems": problems}, status_of(error))


async def _unread(_request: Request, error: Exception) -> JSONResponse:
    assert isinstance(error, RequestValidationError)
    rows = [
        problem_table(Problem(" ".join(str(step) for step in e["loc"][1:]), e["msg"], ""))
        for e in error.errors()[:MOST_PROBLEMS]
    ]
    return JSONResponse({"ok": False, "problems": rows}, 422)


async def _http(_request: Request, error: Exception) -> JSONResponse:
    assert isinstance(error, HTTPException)
    body = {"ok": False, "problems": _plain("page", str(error.detail))}
    return JSONResponse(body, error.status_code, headers=dict(error.headers or {}))


async def _fault(_request: Request, error: Exception) -> JSONResponse:
    words = f"a fault of the program: {type(error).__name__}"
    return JSONResponse({"ok": False, "problems": _plain("", words)}, 500)
