"""A live draft site: the tree is written anew at every change, and the generator's own server shows it.

In: a workspace, and the records to show (all where none is named). Out: whether it ran until it was stopped. A record
that cannot be read shows its problems in its page; the server goes on.
"""

from __future__ import annotations

import subprocess
import sys
import time
from collections.abc import Callable, Iterable
from datetime import date
from pathlib import Path

from builder.build import write_drafts
from builder.load import load_shared, read_workspace
from builder.load.workspace import NotAWorkspace, saved_state
from builder.publish.site import quiet_environment, write_config
from builder.render.colophon import colophon_of

PAUSE_S = 0.4


def follow(
    root: Path,
    only: Iterable[str] | None,
    *,
    port: int,
    say: Callable[[str], None],
    until: Callable[[], bool] = lambda: False,
) -> bool:
    """Write the tree, start the server, and follow changes until `until()` says so or Ctrl-C is pressed.

    False where the server stopped of its own accord. Raises `NotAWorkspace` and OSError before the server stands.
    """
    names = None if only is None else tuple(only)
    work = root / "build" / "preview"
    tree = work / "docs"
    seen = saved_state(root)  # before the first reading: what is saved while it lasts is a change
    say(write_drafts(root, tree, names, today=date.today()))
    config = _write_config(root, tree)
    command = [sys.executable, "-m", "mkdocs", "serve", "--livereload", "-f", str(config), "-a", f"127.0.0.1:{port}"]
    command += ["-w", str(root / "mkdocs.yml")]  # the settings that it is handed only point there
    server = subprocess.Popen(
        command, cwd=root, env=quiet_environment(), stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL
    )
    try:
        while not until():
            time.sleep(PAUSE_S)
            if server.poll() is not None:
                say(f"The server stopped. Is the port {port} in use? Try another with --port.")
                return False
            now = saved_state(root)
            if now != seen:
                seen = now
                try:
                    say(write_drafts(root, tree, names, today=date.today()))
                    _write_config(root, tree)
                except (NotAWorkspace, OSError) as fault:
                    say(f"not yet: {fault}")
    except KeyboardInterrupt:
        say("Stopped.")
    finally:
        server.terminate()
        server.wait()
    return True


def _write_config(root: Path, tree: Path) -> Path:
    """The server's settings, with the foot of the page as museum.yml now has it."""
    return write_config(root, tree, colophon_of(load_shared(read_workspace(root)).museum), draft=True)
