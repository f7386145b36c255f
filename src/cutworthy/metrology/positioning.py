"""How an axis gets to its places, by ISO 230-2:2014."""

from dataclasses import dataclass

import numpy as np

from cutworthy.model.columns import Floats

__all__ = ["Positioning", "positioning"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Positioning:
    """The results that the standard names, in the unit of the deviations.

    ``reversal``: B, the greatest difference of the two sides' means, with ``mean_reversal``. ``repeat_plus``,
    ``repeat_minus``, ``repeat``: R, unidirectional and bidirectional. ``systematic``: E likewise; ``mean_deviation``:
    M. ``accuracy``: A likewise. R and A are None with fewer than two runs.
    """

    reversal: float
    mean_reversal: float
    systematic_plus: float
    systematic_minus: float
    systematic: float
    mean_deviation: float
    repeat_plus: float | None
    repeat_minus: float | None
    repeat: float | None
    accuracy_plus: float | None
    accuracy_minus: float | None
    accuracy: float | None


def positioning(plus: Floats, minus: Floats) -> Positioning:
    """Return the results of ISO 230-2:2014 (from memory; formulas in the reference).

    Parameters
    ----------
    plus, minus
        Deviations at each target, (targets, runs), approached from smaller values (the way rises) and from larger.
    """
    up, down = plus.mean(axis=1), minus.mean(axis=1)
    reversal, both = up - down, np.concatenate([up, down])
    common = {
        "reversal": float(np.abs(reversal).max()),
        "mean_reversal": float(reversal.mean()),
        "systematic_plus": float(np.ptp(up)),
        "systematic_minus": float(np.ptp(down)),
        "systematic": float(np.ptp(both)),
        "mean_deviation": float(np.ptp((up + down) / 2)),
    }
    if plus.shape[1] < 2:  # noqa: PLR2004 - scatter needs two
        return Positioning(
            **common, repeat_plus=None, repeat_minus=None, repeat=None,
            accuracy_plus=None, accuracy_minus=None, accuracy=None,
        )  # fmt: skip
    s_up, s_down = plus.std(axis=1, ddof=1), minus.std(axis=1, ddof=1)
    each = np.maximum.reduce([2 * s_up + 2 * s_down + np.abs(reversal), 4 * s_up, 4 * s_down])
    high, low = np.concatenate([up + 2 * s_up, down + 2 * s_down]), np.concatenate([up - 2 * s_up, down - 2 * s_down])
    return Positioning(
        **common,
        repeat_plus=float(4 * s_up.max()),
        repeat_minus=float(4 * s_down.max()),
        repeat=float(each.max()),
        accuracy_plus=float((up + 2 * s_up).max() - (up - 2 * s_up).min()),
        accuracy_minus=float((down + 2 * s_down).max() - (down - 2 * s_down).min()),
        accuracy=float(high.max() - low.min()),
    )
