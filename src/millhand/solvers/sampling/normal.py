"""The inverse of the normal distribution's cumulative function, by a published rational approximation."""

import math

# Algorithm AS 241, PPND16 (Wichura, The percentage points of the normal distribution, Applied Statistics 37, 1988);
# coefficients from memory, not re-read; the tests hold them against two independent implementations to 1e-12.
_NEAR = (
    (
        2509.0809287301226727,
        33430.575583588128105,
        67265.770927008700853,
        45921.953931549871457,
        13731.693765509461125,
        1971.5909503065514427,
        133.14166789178437745,
        3.387132872796366608,
    ),
    (
        5226.495278852545925,
        28729.085735721942674,
        39307.89580009271061,
        21213.794301586595867,
        5394.1960214247511077,
        687.1870074920579083,
        42.313330701600911252,
        1.0,
    ),
)
_MIDDLE = (
    (
        7.7454501427834140764e-4,
        0.0227238449892691845833,
        0.24178072517745061177,
        1.27045825245236838258,
        3.64784832476320460504,
        5.7694972214606914055,
        4.6303378461565452959,
        1.42343711074968357734,
    ),
    (
        1.05075007164441684324e-9,
        5.475938084995344946e-4,
        0.0151986665636164571966,
        0.14810397642748007459,
        0.68976733498510000455,
        1.6763848301838038494,
        2.05319162663775882187,
        1.0,
    ),
)
_FAR = (
    (
        2.01033439929228813265e-7,
        2.71155556874348757815e-5,
        0.0012426609473880784386,
        0.026532189526576123093,
        0.29656057182850489123,
        1.7848265399172913358,
        5.4637849111641143699,
        6.6579046435011037772,
    ),
    (
        2.04426310338993978564e-15,
        1.4215117583164458887e-7,
        1.8463183175100546818e-5,
        7.868691311456132591e-4,
        0.0148753612908506148525,
        0.13692988092273580531,
        0.59983220655588793769,
        1.0,
    ),
)


def normal_quantile(share: float) -> float:
    """The standard normal value that a `share` of all lie below; share strictly between 0 and 1.

    Source: Wichura 1988, algorithm AS 241 (PPND16), about 1e-15 relative. One function without calls of our own, so
    that the event loop can compile it as it stands.
    """
    centred = share - 0.5
    if abs(centred) <= 0.425:
        x, top, bottom, size = 0.180625 - centred * centred, _NEAR[0], _NEAR[1], centred
    else:
        tail = math.sqrt(-math.log(share if centred < 0 else 1.0 - share))
        size = -1.0 if centred < 0 else 1.0
        if tail <= 5.0:
            x, top, bottom = tail - 1.6, _MIDDLE[0], _MIDDLE[1]
        else:
            x, top, bottom = tail - 5.0, _FAR[0], _FAR[1]
    above = below = 0.0
    for i in range(8):
        above = above * x + top[i]
        below = below * x + bottom[i]
    return size * (above / below)
