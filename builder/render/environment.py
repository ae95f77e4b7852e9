"""The templates: layout only, with the filters that make text safe."""

from __future__ import annotations

from functools import cache

from jinja2 import Environment, PackageLoader, StrictUndefined

from builder.render.escape import to_html, to_markdown, to_yaml
from builder.render.markdown import end_stop
from builder.render.unbroken import keep_together


@cache
def environment() -> Environment:
    """The templates, with the filters that make text safe. Autoescape is off: every text is escaped by its filter."""
    made = Environment(
        loader=PackageLoader("builder.render", "templates"),
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        keep_trailing_newline=True,
        autoescape=False,
    )
    made.filters.update(md=to_markdown, html=to_html, yaml=to_yaml, together=keep_together, stop=end_stop)
    return made
