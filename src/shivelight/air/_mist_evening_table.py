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
SD_TEMPERATURE_K = (0.2, 0.73, 1.0, 1.21, 1.37, 1.62, 1.91, 2.07, 2.15, 2.15, 2.15)
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
SD_DEW_POINT_K = (0.2, 0.61, 0.89, 1.1, 1.28, 1.58, 1.82, 2.03, 2.18, 2.21, 2.23)
