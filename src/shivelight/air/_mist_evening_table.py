"""Coefficients of the evening model, written by scripts/fit_mist_evening.py.

Fitted on hourly observations of 13 stations, 2011 to 2020: Royal Netherlands Meteorological
Institute (KNMI). Terms in the order of mist_evening.change_terms; do not edit by hand.
"""

LEAD_H = (0.0, 1.0, 2.0, 3.0, 4.0, 6.0, 8.0, 10.0, 12.0, 14.0, 16.0)
TEMPERATURE = (
    0.004,
    -0.1894,
    0.1898,
    0.1669,
    -0.6848,
    -0.1738,
    0.0108,
    0.2642,
    -0.7273,
    -0.0899,
    0.2233,
    -0.512,
    4.3358,
    5.7276,
    -3.2135,
    0.0794,
    -0.1154,
)
SD_TEMPERATURE_K = (0.2, 0.73, 1.0, 1.21, 1.37, 1.62, 1.91, 2.07, 2.14, 2.14, 2.14)
DEW_POINT = (
    -0.1833,
    0.0179,
    -0.0327,
    0.0034,
    0.4579,
    -0.2689,
    0.0559,
    0.2735,
    -0.6515,
    0.0229,
    0.2048,
    -0.4646,
    3.4181,
    2.3717,
    -2.9007,
    -0.2614,
    -0.2874,
)
SD_DEW_POINT_K = (0.2, 0.62, 0.89, 1.1, 1.28, 1.58, 1.82, 2.04, 2.18, 2.21, 2.23)
