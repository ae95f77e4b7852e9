"""Templates and style of the review; every value is escaped by the template engine, but for our own style sheet."""

from __future__ import annotations

from functools import cache
from importlib.resources import files
from typing import Any

from jinja2 import Environment, PackageLoader, StrictUndefined
from markupsafe import Markup


@cache
def _templates() -> Environment:
    made = Environment(
        loader=PackageLoader("builder.review", "templates"),
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        autoescape=True,
    )
    made.globals["css"] = lambda: Markup(style_sheet())  # ours, for the packet, where escapes would be read as CSS
    return made


def page(name: str, **values: Any) -> str:
    """One page from its template."""
    return _templates().get_template(f"{name}.html.jinja").render(values)


@cache
def style_sheet() -> str:
    """The look of the site, and what the review adds to it."""
    site = files("builder.publish").joinpath("assets/vouchered.css").read_text("utf-8")
    own = files("builder.review").joinpath("assets/review.css").read_text("utf-8")
    return f"{site}\n{own}"


def mark() -> bytes:
    """The mark of the site."""
    return files("builder.publish").joinpath("assets/mark.svg").read_bytes()
