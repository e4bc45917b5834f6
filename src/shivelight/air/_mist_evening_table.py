"""Coefficients of the evening model, written by scripts/fit_mist_evening.py.

Fitted on hourly observations of 13 stations, 2011 to 2020: Royal Netherlands Meteorological
Institute (KNMI). Terms in the order of mist_evening.change_terms; do not edit by hand.
"""

LEAD_H = (0.0, 1.0, 2.0, 3.0, 4.0, 6.0, 8.0, 10.0, 12.0, 14.0, 16.0)
TEMPERATURE = (
    0.0074,
    -0.1448,
    0.1961,
    0.1599,
    -0.697,
    -0.1673,
    0.0085,
    0.2595,
    -0.7942,
    -0.0987,
    0.2385,
    -0.5091,
    4.3611,
    5.8014,
    -3.5319,
    0.1198,
    0.0285,
)
SD_TEMPERATURE_K = (
    np.float64(0.2),
    np.float64(0.73),
    np.float64(1.0),
    np.float64(1.21),
    np.float64(1.37),
    np.float64(1.62),
    np.float64(1.91),
    np.float64(2.07),
    np.float64(2.15),
    np.float64(2.15),
    np.float64(2.15),
)
DEW_POINT = (
    -0.1808,
    0.0355,
    -0.0305,
    0.0008,
    0.4496,
    -0.2661,
    0.0519,
    0.2665,
    -0.678,
    0.02,
    0.2186,
    -0.4552,
    3.4468,
    2.3886,
    -2.9425,
    -0.2861,
    -0.2974,
)
SD_DEW_POINT_K = (
    np.float64(0.2),
    np.float64(0.61),
    np.float64(0.89),
    np.float64(1.1),
    np.float64(1.28),
    np.float64(1.58),
    np.float64(1.82),
    np.float64(2.03),
    np.float64(2.18),
    np.float64(2.21),
    np.float64(2.23),
)
