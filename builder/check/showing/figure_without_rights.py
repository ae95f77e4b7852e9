"""figure-without-rights: see figure_without_rights.md"""

from collections.abc import Iterator

from builder.check.case import Case
from builder.problem import ERROR, WARNING, Problem
from builder.weigh.licence import LicenceFault, read_licence

NAME, SEVERITY, WAIVABLE = "figure-without-rights", ERROR, False


def check(case: Case) -> Iterator[Problem]:
    """Figures that do not say who made them, or on what terms they may be shown."""
    for key, figure in case.record.figures.items():
        path = ("figures", key)
        missing = [name for name in ("credit", "licence") if getattr(figure, name) is None]
        if missing:
            what = " and no ".join(f"`{name}`" for name in missing)
            mend = "add " + " and ".join(
                {"credit": "`credit: …`, who made it", "licence": "`licence: …`, such as CC-BY-4.0"}[n] for n in missing
            )
            yield Problem(NAME, f"the figure `{key}` has no {what}", mend, path=path, at_key=True)
        licence = read_licence(figure.licence) if figure.licence else None
        if isinstance(licence, LicenceFault):
            message = f"`licence: {figure.licence}` {licence.message}"
            yield Problem(NAME, message, licence.mend, path=(*path, "licence"), severity=WARNING)
