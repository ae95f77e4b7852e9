"""bad-signature: see bad_signature.md"""

from builder.problem import ERROR

NAME, SEVERITY, WAIVABLE, REPORTED_BY = "bad-signature", ERROR, False, "approve"
