"""Rewrite the generated parts of the guide: `python -m tests.freshen`."""

from __future__ import annotations

import ast
import re
from pathlib import Path

ROOT = Path(__file__).parent.parent
GUIDE = ROOT / "DEVELOPERS.md"
BLOCK = re.compile(r"(<!-- generated: tree -->\n).*?(<!-- end -->)", re.DOTALL)
FOLDERS = ("model", "load", "resolve", "weigh", "check", "compose", "render", "publish", "skeleton")


def first_line(path: Path) -> str:
    """The first sentence of a module's docstring."""
    text = ast.get_docstring(ast.parse(path.read_text("utf-8"))) or ""
    return text.split("\n\n")[0].replace("\n", " ").split("\n")[0]


def tree() -> str:
    """The modules of `builder/` in the order of the road, each with what it does."""
    top = ROOT / "builder"
    rows = ["```text"]
    for path in sorted(top.glob("*.py")):
        if path.stem not in ("__init__", "__main__"):
            rows.append(f"{path.name:<22}{first_line(path)}")
    for folder in FOLDERS:
        rows.append(f"{folder}/")
        for path in sorted((top / folder).glob("*.py")):
            if path.stem != "__init__":
                rows.append(f"  {path.name:<20}{first_line(path)}")
        for inner in sorted(p for p in (top / folder).iterdir() if p.is_dir() and (p / "__init__.py").is_file()):
            count = len(list(inner.glob("*.md")))
            rows.append(f"  {inner.name + '/':<20}{first_line(inner / '__init__.py')} ({count} pages)")
    return "\n".join((*rows, "```")) + "\n"


def fresh(text: str) -> str:
    """The guide with its generated parts made anew."""
    made = tree()
    return BLOCK.sub(lambda found: found[1] + made + found[2], text)


if __name__ == "__main__":
    GUIDE.write_text(fresh(GUIDE.read_text("utf-8")), "utf-8")
