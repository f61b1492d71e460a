"""The types of numbers that physics works with."""

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
FloatOrArray = float | Array
