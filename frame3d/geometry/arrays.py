"""Names for numpy's arrays by what they hold."""

from __future__ import annotations

from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

Array: TypeAlias = NDArray[np.float64]
Complex: TypeAlias = NDArray[np.complex128]
Ints: TypeAlias = NDArray[np.int64]
Mask: TypeAlias = NDArray[np.bool_]
