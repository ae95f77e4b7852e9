"""The pages of the review: the list, a piece, its decision. Plain forms and links, no script.

In: requests that the guard let through. Out: HTML made by templates that escape every value, pictures by digest, the
style sheet, and, for one signed form, one file.
"""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any
from urllib.parse import parse_qsl, quote

from starlette.applications import Starlette
from starlette.concurrency import run_in_threadpool
from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import HTMLResponse, RedirectResponse, Response
from starlette.routing import Route

from builder.load.workspace import NotAWorkspace
from builder.model.value import ID
from builder.review.deciding import Filled, NotDecided, Pen
from builder.review.desk import Desk, PieceOnDesk
from builder.review.guard import PICTURE_POLICY, Application, Guard, client_of, place_of
from builder.review.page import mark, page, style_sheet
from builder.review.patience import Patience
from builder.review.session import Seal
from builder.review.sheet import changes_view, row_view, sheet_view

FIELDS = 4000
"""Fields of one form at most."""
KEPT = ("person", "decision", "day", "comment", "fingerprint")


def make_application(
    desk: Desk,
    keys: Path,
    *,
    names: tuple[str, ...] = (),
    https: bool = False,
    log: Callable[[str], None] = lambda line: None,
    patience: Patience | None = None,
    seal: Seal | None = None,
) -> Application:
    """The application behind its guard. `keys` is the folder of the locked keys, `log` takes one line at a time."""
    pages = Pages(desk, Pen(desk, keys, patience or Patience()), seal or Seal(), https=https, log=log)
    inner = Starlette(
        routes=[
            Route("/", pages.list, methods=["GET"]),
            Route("/piece/{record}/{piece}", pages.piece, methods=["GET", "POST"]),
            Route("/piece/{record}/{piece}/decision/{digest}", pages.decision, methods=["GET"]),
            Route("/picture/{digest}", pages.picture, methods=["GET"]),
            Route("/style.css", pages.style, methods=["GET"]),
            Route("/mark.svg", pages.mark, methods=["GET"]),
        ],
        exception_handlers={HTTPException: _told, NotAWorkspace: _no_workspace, Exception: _fault},
    )
    inner.router.redirect_slashes = False
    return Guard(inner, names=names, https=https, refuse=_refusal, log=log)


class Pages:
    """The answers to the routes."""

    def __init__(self, desk: Desk, pen: Pen, seal: Seal, *, https: bool, log: Callable[[str], None]) -> None:
        self._desk, self._pen, self._seal, self._https, self._log = desk, pen, seal, https, log
        self._cookie = "__Host-review" if https else "review"

    def list(self, request: Request) -> Response:
        """Every piece that waits, oldest first, and those that are approved."""
        look = self._desk.look()
        rows = [row_view(row) for row in look.waiting]
        signed = [row_view(row) for row in look.signed]
        museum = look.road.shared.museum
        return HTMLResponse(page("list", museum=museum.name, waiting=rows, signed=signed, broken=look.broken))

    async def piece(self, request: Request) -> Response:
        """A piece with all it rests on, or a decision on it."""
        if request.method != "POST":
            return await run_in_threadpool(self._show, request)
        body = await request.body()
        return await run_in_threadpool(self._decide, request, body)

    def _show(self, request: Request, **told: Any) -> Response:
        piece = self._find(request)
        session = self._session(request)
        cookie = ""
        if session is None:
            cookie = self._seal.new_session()
            session = self._seal.session_of(cookie)
        assert session
        self._desk.remember(piece)
        look = self._desk.look()
        filled = told.pop("filled", Filled(day=look.road.today.isoformat()))
        status = told.pop("status", 200)
        values = {"refused": "", "changed": None, **told}
        sheet = sheet_view(look, piece)
        text = page(
            "piece", museum=look.road.shared.museum.name, sheet=sheet, token=self._seal.token(session), filled=filled,
            picture=lambda figure: f"/picture/{figure['digest']}", **values,
        )  # fmt: skip
        response = HTMLResponse(text, status)
        if cookie:
            response.set_cookie(self._cookie, cookie, path="/", secure=self._https, httponly=True, samesite="strict")
        return response

    def _decide(self, request: Request, body: bytes) -> Response:
        session = self._session(request)
        try:
            pairs = parse_qsl(body.decode("utf-8"), keep_blank_values=True, max_num_fields=FIELDS)
        except ValueError:
            raise HTTPException(400, "This form cannot be read") from None
        form = dict(pairs)
        if session is None or len(form) != len(pairs) or not self._seal.is_token(session, form.get("token", "")):
            raise HTTPException(403, "This form is not, or no longer, one of yours")
        piece = self._find(request)
        remarks = {key.removeprefix("remark "): _text(text) for key, text in form.items() if key.startswith("remark ")}
        filled = Filled(**{name: _text(form.get(name, "")) for name in KEPT}, remarks=remarks)
        client = client_of(request.scope, https=self._https)
        try:
            written = self._pen.decide(piece.name, filled, form.get("passphrase", ""), client)
        except NotDecided as refused:
            person = filled.person if ID.fullmatch(filled.person) else "nobody known"
            self._log(f"not signed: {piece.name} by {person} from {client}: {refused.status}")
            if refused.status == 404:
                raise HTTPException(404, refused.reason) from None
            changed = None if refused.changes is None else changes_view(refused.changes)
            return self._show(
                request, refused=refused.reason, changed=changed, filled=filled, status=refused.status
            )  # fmt: skip
        self._log(f"signed: {piece.name} by {filled.person}: {written.name}")
        digest = written.stem.rpartition("--")[2]
        return RedirectResponse(f"/piece/{quote(piece.name)}/decision/{digest}", 303)

    def decision(self, request: Request) -> Response:
        """A decision that is on record."""
        piece = self._find(request)
        name = f"{piece.document['piece']}--{request.path_params['digest']}.yml"
        signed = next((one for one in piece.standing.seen if one.name == name), None)
        if signed is None or signed.approval is None:
            raise HTTPException(404, "There is no such decision")
        look = self._desk.look()
        people = look.road.shared.museum.people
        who = people[signed.approval.person].name if signed.approval.person in people else signed.approval.person
        told = [f"{problem.message}; {problem.mend}" for problem in piece.standing.problems]
        return HTMLResponse(
            page(
                "decided", museum=look.road.shared.museum.name, row=row_view(piece.row), approval=signed.approval,
                file=f"{look.road.workspace.records}/{piece.document['record']}/approvals/{name}", told=told, who=who,
                waiting=len(look.waiting),
            )
        )  # fmt: skip

    def picture(self, request: Request) -> Response:
        """A picture of some piece, by its digest and in no other way."""
        found = self._desk.look().picture(request.path_params["digest"])
        if found is None:
            raise HTTPException(404, "There is no such picture")
        return Response(found[0], media_type=found[1], headers={"content-security-policy": PICTURE_POLICY})

    def style(self, request: Request) -> Response:
        """The style sheet."""
        return Response(style_sheet(), media_type="text/css")

    def mark(self, request: Request) -> Response:
        """The mark in the browser's tab."""
        return Response(mark(), media_type="image/svg+xml")

    def _find(self, request: Request) -> PieceOnDesk:
        name = f"{request.path_params['record']}/{request.path_params['piece']}"
        piece = self._desk.look().piece(name)
        if piece is None:
            raise HTTPException(404, "There is no such piece")
        return piece

    def _session(self, request: Request) -> str | None:
        return self._seal.session_of(request.cookies.get(self._cookie, ""))


def _text(value: str) -> str:
    """What was typed, with plain line ends: browsers send CR LF."""
    return value.replace("\r\n", "\n").replace("\r", "\n").strip()


_PLAIN = {
    400: "It cannot be read. Go back, and send it again.",
    403: "Pages grow old when the server is started again. Go back, copy what you typed, and open the piece anew.",
    404: "It may have been renamed or taken away, or can no longer be read. The list shows all there is.",
    405: "That address cannot be used in this way. The list shows all there is.",
}


def _refusal(status: int, head: str, what: str) -> bytes:
    return page("plain", museum="", head=head, what=what, status=status).encode()


async def _told(request: Request, fault: Exception) -> Response:
    assert isinstance(fault, HTTPException)
    status = fault.status_code
    head = {404: "There is nothing at this address", 405: "Nothing here can be done that way"}.get(status, "Not done")
    said = fault.detail if fault.detail and fault.detail not in ("Not Found", "Method Not Allowed") else head
    return HTMLResponse(_refusal(status, said, _PLAIN.get(status, "Go back to the list of pieces.")), status)


async def _no_workspace(request: Request, fault: Exception) -> Response:
    what = "The folder of the records cannot be read at the moment. Nothing was signed."
    return HTMLResponse(_refusal(503, "The records cannot be read", what), 503)


async def _fault(request: Request, fault: Exception) -> Response:
    head = "Something went wrong in the program"
    return HTMLResponse(_refusal(500, head, f"Nothing was signed. Tell who keeps it: {place_of(fault)}."), 500)
