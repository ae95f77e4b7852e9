"""Formulas of diet study, one function each: importance, breadth, overlap, and how complete a list of prey is.

In: figures by kind of prey, plain sequences or numpy arrays whose last axis is the kinds; leading axes are carried.
Out: floats, or arrays without the last axis where a function sums over it.
Shares are 0 to 1 throughout. A total of 0 gives nan; figures below 0 are refused (ValueError).
"""

import math
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from builder.weigh.proportion import Interval

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import ArrayLike, NDArray

    Floats = NDArray[np.float64]

LOG_BASE = "e"
CURVE_POINTS = 100


@dataclass(frozen=True)
class Richness:
    """Kinds of prey seen, and the Chao2 estimate of how many there are, with its interval."""

    observed: int
    seen_once: int
    seen_twice: int
    samples: int
    estimate: float
    interval: Interval

    @property
    def complete(self) -> bool:
        """False where at least one more kind is to be expected, and where a single sample can show nothing."""
        return self.samples > 1 and self.estimate - self.observed < 0.5


def shares_of(figures: "ArrayLike") -> "Floats":
    """Each figure over the sum of all."""
    import numpy as np

    values = np.asarray(figures, dtype=np.float64)
    if (values < 0).any():
        raise ValueError("figures of a diet are 0 or more")
    with np.errstate(invalid="ignore", divide="ignore"):
        shares: Floats = values / values.sum(axis=-1, keepdims=True)
    return shares


def relative_importance(occurrence: Any, number: Any, bulk: Any) -> Any:
    """IRI = F % × (N % + V %), here from shares: 0 to 20,000 (Pinkas, Oliphant & Iverson 1971, Fish Bulletin 152).

    `bulk` is the share of volume, or of mass, a later and accepted substitution: say which. Not additive: lumping
    two kinds changes the index of every other. Its share of the sum: Cortés 1997, Can. J. Fish. Aquat. Sci. 54:726.
    """
    return 1e4 * occurrence * (number + bulk)


def prey_specific_importance(occurrence: Any, number: Any, bulk: Any) -> Any:
    """PSIRI = F × (PN + PW)/2, where `number` and `bulk` are mean shares over the samples that hold the prey.

    As F × PN is the mean share over all samples, it is additive and sums to 1 (Brown, Bizzarro, Cailliet & Ebert
    2012, Environ. Biol. Fishes 95:3).
    """
    return occurrence * (number + bulk) / 2


def preponderance(occurrence: "ArrayLike", bulk: "ArrayLike") -> "Floats":
    """V F / Σ V F (Natarajan & Jhingran 1961, Indian J. Fish. 8:54)."""
    import numpy as np

    return shares_of(np.asarray(occurrence) * np.asarray(bulk))


def levins_breadth(figures: "ArrayLike") -> Any:
    """B = 1/Σp² (Levins 1968): 1 where one kind is all, the number of kinds where all are used alike."""
    return 1 / (shares_of(figures) ** 2).sum(axis=-1)


def standard_breadth(breadth: Any, kinds: int) -> Any:
    """B_A = (B − 1)/(n − 1), 0 to 1 (Hurlbert 1978). `kinds` counts all on offer, eaten or not; of one kind: 0."""
    return (breadth - 1) / (kinds - 1) if kinds > 1 else 0 * breadth


def shannon_diversity(figures: "ArrayLike") -> Any:
    """H′ = −Σ p ln p, in natural units; over ln 2 for bits (Shannon 1948)."""
    import numpy as np

    shares = shares_of(figures)
    return 0.0 - (shares * np.log(np.where(shares > 0, shares, 1.0))).sum(axis=-1)


def schoener_overlap(figures: "ArrayLike", others: "ArrayLike") -> Any:
    """1 − Σ|p − q|/2 on shares, 0 to 1 (Schoener 1970, Ecology 51:408)."""
    return 1 - abs(shares_of(figures) - shares_of(others)).sum(axis=-1) / 2


def pianka_overlap(figures: "ArrayLike", others: "ArrayLike") -> Any:
    """Σpq / √(Σp² Σq²), 0 to 1 and the same both ways (Pianka 1973, Annu. Rev. Ecol. Syst. 4:53)."""
    p, q = shares_of(figures), shares_of(others)
    return (p * q).sum(axis=-1) / ((p**2).sum(axis=-1) * (q**2).sum(axis=-1)) ** 0.5


def estimate_richness(holding: Sequence[int], samples: int, *, bias_corrected: bool = True) -> Richness:
    """Chao2 from the number of samples that hold each kind (Chao 1987, Biometrics 43:783).

    With m samples, Q1 kinds in one sample and Q2 in two: S + (m−1)/m × Q1(Q1−1)/(2(Q2+1)), or, not corrected and
    with Q2 above 0, S + (m−1)/m × Q1²/(2 Q2). The 95 % interval takes the unseen kinds as log-normal (p. 787).
    """
    if samples < 1 or any(not 0 <= count <= samples for count in holding):
        raise ValueError(f"each kind is held by 0 to {samples} samples, and one sample is the least")
    seen, once, twice = sum(k > 0 for k in holding), sum(k == 1 for k in holding), sum(k == 2 for k in holding)
    a = (samples - 1) / samples
    if bias_corrected or not twice:
        unseen, r = a * once * (once - 1) / (2 * (twice + 1)), 1 / (2 * (twice + 1))
        variance = a * once * (once - 1) * r + (a * once * (2 * once - 1) ** 2) * a * r**2
        variance += a**2 * once**2 * twice * (once - 1) ** 2 * 4 * r**4
    else:
        unseen, r = a * once**2 / (2 * twice), once / twice
        variance = twice * (a * r**2 / 2 + a**2 * r**3 + a**2 * r**4 / 4)
    if unseen <= 0:
        return Richness(seen, once, twice, samples, float(seen), Interval(float(seen), float(seen)))
    spread = math.exp(1.959963984540054 * math.sqrt(math.log1p(variance / unseen**2)))
    interval = Interval(seen + unseen / spread, seen + unseen * spread)
    return Richness(seen, once, twice, samples, seen + unseen, interval)


def accumulate_kinds(holding: Sequence[int], samples: int) -> tuple[tuple[int, float], ...]:
    """The cumulative prey curve: kinds to be expected in m of the samples, averaged over every order of them.

    Exact, not shuffled: Σ over kinds of 1 − C(n−Q, m)/C(n, m), Q being the samples that hold the kind (Colwell, Mao &
    Chang 2004, Ecology 85:2717). At most `CURVE_POINTS` points (m, kinds), the first and the last among them.
    """
    import numpy as np

    counts, times = np.array(sorted(Counter(holding).items()), dtype=np.float64).reshape(-1, 2, 1).swapaxes(0, 1)
    taken = np.arange(samples, dtype=np.float64)
    left = np.maximum((samples - counts - taken) / (samples - taken), 0)
    expected = (times * (1 - np.cumprod(left, axis=1))).sum(axis=0)
    picked = sorted({round(1 + step * (samples - 1) / (CURVE_POINTS - 1)) for step in range(CURVE_POINTS)})
    reached = expected.tolist()
    return tuple((m, reached[m - 1]) for m in picked)
