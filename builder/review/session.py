"""Sessions and form tokens without a store: a session is a random name with this server's seal on it.

In: cookies and form fields as they came. Out: whether this very server gave them, for this session. A session holds
nothing and opens nothing: it only ties a form to the browser that it was shown in, so that no other site can send one.
"""

from __future__ import annotations

import hashlib
import hmac
import re
import secrets

_COOKIE = re.compile(r"([A-Za-z0-9_-]{43})\.([0-9a-f]{64})")


class Seal:
    """The secret of one run of the server; it ends with it, and every form that it gave out."""

    def __init__(self, secret: bytes | None = None) -> None:
        self._secret = secret or secrets.token_bytes(32)

    def new_session(self) -> str:
        """The cookie of a new session: 256 random bits and the seal."""
        name = secrets.token_urlsafe(32)
        return f"{name}.{self._mark('session', name)}"

    def session_of(self, cookie: str) -> str | None:
        """The session that a cookie names; None where this server did not give it."""
        found = _COOKIE.fullmatch(cookie)
        if found and hmac.compare_digest(found[2], self._mark("session", found[1])):
            return found[1]
        return None

    def token(self, session: str) -> str:
        """The token that every form shown in that session carries."""
        return self._mark("form", session)

    def is_token(self, session: str, token: str) -> bool:
        """Whether a form's token is that of the session. Takes as long for a wrong one as for a right one."""
        return hmac.compare_digest(token.encode("utf-8", "replace"), self.token(session).encode())

    def _mark(self, use: str, name: str) -> str:
        return hmac.new(self._secret, f"{use} {name}".encode(), hashlib.sha256).hexdigest()
