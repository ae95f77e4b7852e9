"""Read a finished site: every link and anchor leads somewhere, and no page asks anything of another host.

In: the folder of a site. Out: problems, placed in the files of the site. Uses selectolax.
"""

from __future__ import annotations

import os
import re
from collections.abc import Iterator
from pathlib import Path
from urllib.parse import unquote, urlsplit

from builder.problem import ERROR, Place, Problem

LOADS = {("script", "src"), ("img", "src"), ("iframe", "src"), ("source", "src"), ("video", "src"), ("audio", "src"),
         ("track", "src"), ("object", "data"), ("embed", "src"), ("video", "poster"), ("img", "srcset")}  # fmt: skip
LINK_LOADS = frozenset({"stylesheet", "icon", "preload", "preconnect", "dns-prefetch", "modulepreload", "manifest"})
CSS_LOADS = re.compile(r"(?:url\(\s*[\"']?|@import\s+[\"'])(?:https?:)?//", re.IGNORECASE)


def judge_links(site: Path) -> list[Problem]:
    """Dead links, missing anchors and requests to other hosts, sorted by file."""
    from selectolax.lexbor import LexborHTMLParser

    ids: dict[str, set[str]] = {}
    links: list[tuple[str, str]] = []
    problems: list[Problem] = []
    names = set()
    for where, folders, files in os.walk(site):
        folders.sort()
        for file in sorted(files):
            path = Path(where, file)
            name = path.relative_to(site).as_posix()
            names.add(name)
            if file.endswith(".css") and CSS_LOADS.search(path.read_text("utf-8", "replace")):
                problems.append(_problem(name, "the style sheet asks another host for a file"))
            if not file.endswith(".html"):
                continue
            tree = LexborHTMLParser(path.read_text("utf-8", "replace"))
            ids[name] = {node.attributes["id"] or "" for node in tree.css("[id]")}
            ids[name] |= {node.attributes.get("name") or "" for node in tree.css("a[name]")}
            for tag, attribute, value, rel in _references(tree):
                outside = urlsplit(value)
                loads = (tag, attribute) in LOADS or (tag == "link" and bool(LINK_LOADS & set(rel.split())))
                if outside.scheme in ("http", "https") or outside.netloc:
                    if loads:
                        problems.append(_problem(name, f"`<{tag}>` asks another host for `{value[:80]}`"))
                elif outside.scheme in ("data", "mailto", "tel"):
                    continue
                elif outside.scheme:
                    problems.append(_problem(name, f"a link leads to `{value[:80]}`"))
                elif file != "404.html":
                    links.append((name, value))
    for name, value in links:
        fault = _dead(name, value, names, ids)
        if fault:
            problems.append(_problem(name, fault))
    return problems


def _references(tree: object) -> Iterator[tuple[str, str, str, str]]:
    for node in tree.css("[href], [src], [srcset], [data], [poster], [action]"):  # type: ignore[attr-defined]
        for attribute in ("href", "src", "srcset", "data", "poster", "action"):
            value = node.attributes.get(attribute)
            if value and not (attribute == "data" and node.tag != "object"):
                yield node.tag, attribute, value.strip(), (node.attributes.get("rel") or "").lower()


def _dead(name: str, value: str, names: set[str], ids: dict[str, set[str]]) -> str:
    parts = urlsplit(value)
    target = name
    if parts.path:
        target = os.path.normpath(os.path.join(os.path.dirname(name), unquote(parts.path))).replace(os.sep, "/")
        if target == "." or parts.path.endswith("/"):
            target = f"{target}/index.html".removeprefix("./")
    if target not in names:
        return f"a link leads to `{value[:80]}`, where nothing is"
    anchor = unquote(parts.fragment)
    if anchor and target.endswith(".html") and anchor not in ids.get(target, set()):
        return f"a link leads to `{value[:80]}`, but that page has no `{anchor}`"
    return ""


def _problem(file: str, message: str) -> Problem:
    mend = "correct the link in the prose page or piece it comes from"
    return Problem("unknown-reference", message, mend, severity=ERROR, place=Place(file))
