"""Numbers one at a time or many at once: checked at the door alike, given back as they came."""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray

from flooring_kit.checks import require_between

Array = NDArray[np.float64]


def checked(given: object, low: ArrayLike, high: ArrayLike, name: str, *, unit: str = "", hint: str = "") -> Array:
    """Numbers as an array, all within both limits but for float dust.

    Parameters
    ----------
    given
        A number, or an array or nested list of them.
    low, high
        The limits, both allowed; numbers, or arrays of the same shape.
    name, unit, hint
        As for :func:`flooring_kit.checks.require_between`.

    Raises
    ------
    ValueError
        For the first that is not a finite number within its limits.

    Examples
    --------
    >>> checked([1, 2], 0, 5, "depth", unit="mm").tolist()
    [1.0, 2.0]
    """
    array = np.asarray(given)
    if array.dtype.kind not in "iuf":
        whole = (float(np.min(low)), float(np.max(high)))
        plainly = [require_between(each, *whole, name, unit=unit, hint=hint) for each in array.astype(object).flat]
        array = np.array(plainly, dtype=float).reshape(array.shape)
    array, lows, highs = np.broadcast_arrays(array.astype(float), low, high)
    wrong = ~((array >= lows - 1e-9 * abs(lows)) & (array <= highs + 1e-9 * abs(highs)))
    if wrong.any():
        value, least, most = (float(each[wrong].flat[0]) for each in (array, lows, highs))
        require_between(value, least, most, name, unit=unit, hint=hint)
    return np.asarray(np.clip(array, lows, highs))


def plain(result: Any) -> Any:
    """A float for a single number, else the array.

    >>> plain(np.float64(2.5)), plain(np.array([1.0, 2.0])).tolist()
    (2.5, [1.0, 2.0])
    """
    return float(result) if np.ndim(result) == 0 else result
