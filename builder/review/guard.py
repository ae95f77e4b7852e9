"""The guard around the application: who is spoken to, how much is listened to, and what every answer carries.

In: requests as they come from the network. Out: answers with the headers of security on every one, errors included.
Refused before anything else sees them: a foreign host or origin, a method other than GET, HEAD and POST, a body that is
too large, too slow or no form. A fault of the program becomes a plain page, and a line in the log that names its place.
"""

from __future__ import annotations

import asyncio
import re
import traceback
from collections.abc import Awaitable, Callable, Iterable, MutableMapping
from pathlib import Path
from typing import Any
from urllib.parse import urlsplit

Scope = MutableMapping[str, Any]
Message = MutableMapping[str, Any]
Receive = Callable[[], Awaitable[Message]]
Send = Callable[[Message], Awaitable[None]]
Application = Callable[[Scope, Receive, Send], Awaitable[None]]
Refuse = Callable[[int, str, str], bytes]
"""Makes the page of a refusal: status, heading, what to do."""

LOOPBACK = frozenset({"localhost", "127.0.0.1", "[::1]"})
BODY_LIMIT = 512 * 1024
BODY_SECONDS = 20
FORM = "application/x-www-form-urlencoded"
POLICY = (
    "default-src 'none'; style-src 'self'; img-src 'self'; form-action 'self'; frame-ancestors 'none'; base-uri 'none'"
)
PICTURE_POLICY = "default-src 'none'; style-src 'unsafe-inline'; frame-ancestors 'none'; base-uri 'none'; sandbox"
"""For a drawing opened by itself: its own colours, and nothing else."""
HEADERS = {
    "content-security-policy": POLICY,
    "cache-control": "no-store",
    "x-content-type-options": "nosniff",
    # `no-referrer` would make browsers send `Origin: null` with our own forms (Fetch standard, "append a request
    # `Origin` header"), and the check of the origin could not tell them from anybody's
    "referrer-policy": "same-origin",
    "x-frame-options": "DENY",
    "cross-origin-opener-policy": "same-origin",
    "cross-origin-resource-policy": "same-origin",
    "permissions-policy": "camera=(), geolocation=(), microphone=()",
    "x-robots-tag": "noindex, nofollow",
}
_HOST = re.compile(r"(\[[0-9a-f:.]{2,45}\]|[a-z0-9](?:[a-z0-9.-]{0,251}[a-z0-9])?)(?::([0-9]{1,5}))?")


class Guard:
    """The application behind its guard. `names` are the hosts it answers to besides the loopback names."""

    def __init__(
        self,
        inner: Application,
        *,
        names: Iterable[str] = (),
        https: bool = False,
        refuse: Refuse,
        log: Callable[[str], None],
    ) -> None:
        self._inner, self._refuse, self._log = inner, refuse, log
        self._given = frozenset(name.lower() for name in names)
        self._scheme = "https" if https else "http"

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """One request."""
        if scope["type"] != "http":
            if scope["type"] == "lifespan":
                await self._inner(scope, receive, send)
            return
        begun = False

        async def send_guarded(message: Message) -> None:
            nonlocal begun
            if message["type"] == "http.response.start":
                begun = True
                own = {name for name, _ in message.get("headers", ())}
                extra = [(k.encode(), v.encode()) for k, v in HEADERS.items() if k.encode() not in own]
                message = {**message, "headers": [*message.get("headers", ()), *extra]}
            await send(message)

        async def refuse(status: int, head: str, what: str) -> None:
            body = self._refuse(status, head, what)
            kind = (b"content-type", b"text/html; charset=utf-8")
            length = (b"content-length", str(len(body)).encode())
            await send_guarded({"type": "http.response.start", "status": status, "headers": [kind, length]})
            await send_guarded({"type": "http.response.body", "body": b"" if scope["method"] == "HEAD" else body})

        said = self._fault_of(scope)
        if said:
            return await refuse(*said)
        try:
            if scope["method"] == "POST":
                taken = await _take(receive)
                if isinstance(taken, tuple):
                    return await refuse(*taken)
                receive = _replay(taken, receive)
            await self._inner(scope, receive, send_guarded)
        except Exception as fault:
            self._log(f"a fault of the program: {place_of(fault)}")
            if not begun:
                await refuse(500, "Something went wrong in the program", "Nothing was signed. Tell who keeps it.")

    def _fault_of(self, scope: Scope) -> tuple[int, str, str] | None:
        """What speaks against a request before its body is read."""
        headers = _headers(scope)
        hosts = headers.get("host", [])
        found = _HOST.fullmatch(hosts[0].lower()) if len(hosts) == 1 else None
        if not found or found[1] not in LOOPBACK | self._given:
            return 400, "This server does not answer to that name", "Open it at the address that it named at its start."
        if scope["method"] not in ("GET", "HEAD", "POST"):
            return 405, "Nothing here can be done that way", "Go back to the list of pieces."
        if scope["method"] != "POST":
            return None
        origins = headers.get("origin", [])
        site = headers.get("sec-fetch-site", ["same-origin"])
        if len(origins) != 1 or site not in (["same-origin"], ["none"]) or not self._is_own(origins[0], found):
            what = "Open the piece here, and decide in its own form."
            return 403, "This form was not sent from these pages", what
        kinds = headers.get("content-type", [])
        if len(kinds) != 1 or kinds[0].split(";")[0].strip().lower() != FORM:
            return 415, "This is not a form of these pages", "Open the piece here, and decide in its own form."
        length = headers.get("content-length", ["0"])[0]
        if not length.isascii() or not length.isdigit() or int(length[:12]) > BODY_LIMIT:
            return _TOO_LARGE
        return None

    def _is_own(self, origin: str, host: re.Match[str]) -> bool:
        """Whether an `Origin` is that of our pages: the same host and port, or, where a proxy put a loopback name in
        the place of the host, one of the names given, at the scheme's own port."""
        scheme, _, rest = origin.lower().partition("://")
        if scheme != self._scheme:
            return False
        found = _HOST.fullmatch(rest)
        if not found:
            return False
        port = {"http": "80", "https": "443"}[scheme]
        if found[1] == host[1] and (found[2] or port) == (host[2] or port):
            return True
        return host[1] in LOOPBACK and found[1] in self._given and (found[2] or port) == port


_TOO_LARGE = (413, "That is too much for one decision", "Shorten the comments, and send it again.")


def _headers(scope: Scope) -> dict[str, list[str]]:
    made: dict[str, list[str]] = {}
    for name, value in scope["headers"]:
        made.setdefault(name.decode("latin-1").lower(), []).append(value.decode("latin-1"))
    return made


async def _take(receive: Receive) -> bytes | tuple[int, str, str]:
    """The whole body, or why it is refused."""
    parts: list[bytes] = []
    size = 0
    try:
        async with asyncio.timeout(BODY_SECONDS):
            while True:
                message = await receive()
                if message["type"] == "http.disconnect":
                    return 400, "The form did not come whole", "Send it again."
                parts.append(message.get("body", b""))
                size += len(parts[-1])
                if size > BODY_LIMIT:
                    return _TOO_LARGE
                if not message.get("more_body"):
                    return b"".join(parts)
    except TimeoutError:
        return 408, "The form took too long to come", "Send it again."


def _replay(body: bytes, receive: Receive) -> Receive:
    given = False

    async def again() -> Message:
        nonlocal given
        if given:
            return await receive()
        given = True
        return {"type": "http.request", "body": body, "more_body": False}

    return again


def place_of(fault: BaseException) -> str:
    """The kind and place of a fault, and never its words: those might hold what somebody typed."""
    where = traceback.extract_tb(fault.__traceback__)
    place = f"{Path(where[-1].filename).name}:{where[-1].lineno}" if where else "?"
    return f"{type(fault).__name__} at {place}"


def client_of(scope: Scope, *, https: bool) -> str:
    """Where a request comes from. Behind a proxy (`https`, and the peer is this machine) it is the last address that
    the proxy put down; whatever stands before that anybody may have written."""
    peer = str((scope.get("client") or ("?",))[0])
    if https and (peer.startswith("127.") or peer == "::1"):
        told = [value for name, value in scope["headers"] if name.lower() == b"x-forwarded-for"]
        if told:
            return told[-1].decode("latin-1").rpartition(",")[2].strip()[:64] or peer
    return peer


def name_of_host(text: str) -> str:
    """A host's name as given on the command line, plain: no scheme, port or path. Raises ValueError."""
    name = text.strip().lower()
    if "//" in name:
        name = urlsplit(name).netloc
    found = _HOST.fullmatch(name)
    if not found:
        raise ValueError("wants the name of a host, such as `review.museum.example`")
    return found[1]
