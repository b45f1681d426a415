"""Valid ranges that many formulas share, and standard gravity."""

import math

POSITIVE = (math.ulp(0.0), math.inf)  # zero itself would divide by zero
NOT_NEGATIVE = (0.0, math.inf)
FROM_ONE = (1.0, math.inf)
SHARE = (0.0, 1.0)
PART_OF_ONE = (0.0, math.nextafter(1.0, 0.0))  # a share that must stay below the whole

GRAVITY_M_S2 = 9.80665  # standard gravity, fixed by definition
