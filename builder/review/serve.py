"""Serve the review: one process on one address of this machine, until it is stopped."""

from __future__ import annotations

from collections.abc import Callable
from contextlib import suppress
from pathlib import Path

from builder.review.application import make_application
from builder.review.desk import Desk


def serve(
    root: Path, keys: Path, *, port: int, names: tuple[str, ...], https: bool, log: Callable[[str], None]
) -> None:
    """Serve on the loopback address; a proxy that others reach must stand on the same machine. Raises OSError."""
    import uvicorn

    application = make_application(Desk(root), keys, names=names, https=https, log=log)
    settings = uvicorn.Config(
        application,
        host="127.0.0.1",
        port=port,
        access_log=False,  # it would note addresses whole, with whatever somebody put into them
        log_level="error",
        server_header=False,
        proxy_headers=False,  # `guard.client_of` believes no more of them than it must
        timeout_keep_alive=15,
        limit_concurrency=64,
        lifespan="off",
    )
    with suppress(KeyboardInterrupt):  # Ctrl-C is how it is meant to end; uvicorn raises it again once it has closed
        uvicorn.Server(settings).run()
