"""`review`: the curators' pages in a browser, or a packet on paper."""

from __future__ import annotations

from pathlib import Path

import click

from builder.cli.command import key_folder, main
from builder.load.workspace import find_root


@main.command(short_help="Open the curators' review in a browser.")
@click.argument("pieces", nargs=-1, metavar="[PIECE]…")
@click.option("--port", default=8322, type=click.IntRange(1, 65535), help="The port on this machine.")
@click.option(
    "--host",
    "hosts",
    multiple=True,
    metavar="NAME",
    help="A name that it answers to besides this machine's own, for a proxy in front of it; may be given again.",
)
@click.option("--https", is_flag=True, help="A proxy in front of it speaks HTTPS: cookies go by that way only.")
@click.option("--keys", type=click.Path(file_okay=False), metavar="DIR", help="The folder of the signing keys.")
@click.option("--packet", is_flag=True, help="Write PIECE, or all that waits, as one HTML file to mail and print.")
@click.option("-o", "--output", type=click.Path(dir_okay=False), metavar="FILE", help="Where the packet goes.")
@click.pass_context
def review(
    context: click.Context,
    pieces: tuple[str, ...],
    port: int,
    hosts: tuple[str, ...],
    https: bool,
    keys: str | None,
    packet: bool,
    output: str | None,
) -> None:
    """Open the curators' review: what waits, with all it rests on, to be signed in a browser.

    \b
    Example:
      vouchered review
      vouchered review --host review.museum.example --https
      vouchered review --packet european-nightjar/page -o packet.html
    """
    from builder.review.guard import name_of_host

    root = find_root(context.obj)
    if packet:
        _write_packet(root, pieces, Path(output) if output else root / "build/staff/review-packet.html")
        return
    if pieces or output:
        raise click.UsageError("PIECE and `-o` go with `--packet`; the pages show all pieces")
    try:
        names = tuple(name_of_host(host) for host in hosts)
    except ValueError as fault:
        raise click.BadParameter(str(fault), param_hint="--host") from None
    import socket

    from builder.review.serve import serve

    with socket.socket() as tried:  # said plainly, before a server says it in its own words
        tried.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            tried.bind(("127.0.0.1", port))
        except OSError:
            raise click.BadParameter(f"{port} is in use; choose another", param_hint="--port") from None
    folder = Path(keys) if keys else key_folder()
    click.echo(f"Open http://127.0.0.1:{port}/ in a browser; Ctrl-C stops it.")
    for name in names:
        click.echo(f"It answers to {name} too, from a proxy on this machine that asks who comes.")
    serve(root, folder, port=port, names=names, https=https, log=lambda line: click.echo(line, err=True))


def _write_packet(root: Path, names: tuple[str, ...], path: Path) -> None:
    from builder.load.shape import suggest
    from builder.publish.write import write_bytes
    from builder.review.desk import Desk
    from builder.review.packet import make_packet

    look = Desk(root).look()
    wanted = names or tuple(row.name for row in look.waiting)
    found = {name: look.piece(name) for name in wanted}
    for name, piece in found.items():
        if piece is None:
            hint = suggest(name, look.pieces)
            raise click.BadParameter(f"there is no piece `{name}` that can be read{hint}", param_hint="PIECE")
    chosen = [piece for piece in found.values() if piece]
    if not chosen:
        click.echo("nothing waits; no packet was written")
        return
    write_bytes(path, make_packet(look, chosen).encode())
    click.echo(f"wrote {path} ({len(chosen)} {'piece' if len(chosen) == 1 else 'pieces'})")
