"""impossible-share: see impossible_share.md"""

import re
from collections.abc import Iterator
from decimal import Decimal

from builder.check.case import Case
from builder.model.record import SourceEvidence
from builder.problem import ERROR, Problem
from builder.weigh.proportion import impossible_share

NAME, SEVERITY, WAIVABLE = "impossible-share", ERROR, False
PERCENT = re.compile(r"(\d{1,3}(?:\.\d{1,6})?)\s*(?:%|per ?cent)?")


def check(case: Case) -> Iterator[Problem]:
    """A percentage that no count out of the reported number can give."""
    for key, claim in case.record.claims.items():
        for index, evidence in enumerate(claim.evidence):
            if not isinstance(evidence, SourceEvidence) or evidence.reports is None:
                continue
            path = ("claims", key, "evidence", index, "reports", "share")
            share, of = evidence.reports.share, evidence.reports.of
            found = PERCENT.fullmatch(share.strip())
            if not found or Decimal(found[1]) > 100:
                mend = "write a percentage as the source prints it, such as `61.4 %`"
                yield Problem(NAME, f"`{share}` is no share", mend, path=path)
            elif impossible_share(Decimal(found[1]), of):
                message = f"no count out of {of} makes {share}"
                near = " and ".join(_near(Decimal(found[1]), of))
                mend = f"read the source again: of {of}, the nearest are {near}; or the share is of another number"
                yield Problem(NAME, message, mend, path=path)


def _near(percent: Decimal, of: int) -> list[str]:
    low = int(percent * of / 100)
    decimals = max(-int(percent.as_tuple().exponent), 1)
    return [f"{count} ({100 * count / of:.{decimals}f} %)" for count in (low, low + 1) if 0 <= count <= of]
