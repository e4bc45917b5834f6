"""Coefficients of the illuminance polynomials, log10 E = Σ aᵢ (h/90)ⁱ, by lower end [°].

Sun: Explanatory Supplement 1992, from memory; its twilight ends agree with the AMS Glossary.
Full Moon: Urban and Seidelmann 2013, p. 518, as quoted at adnite2.foehnwall.at/background.html.
"""

SUN_PIECES: tuple[tuple[float, tuple[float, ...]], ...] = (
    (20.0, (3.74, 3.97, -4.07, 1.47)),
    (5.0, (3.05, 13.28, -45.98, 64.33)),
    (-0.8, (2.88, 22.26, -207.64, 1034.30)),
    (-5.0, (2.88, 21.81, -258.11, -858.36)),
    (-12.0, (2.70, 12.17, -431.69, -1899.83)),
    (-18.0, (13.84, 262.72, 1447.42, 2797.93)),
)

MOON_PIECES: tuple[tuple[float, tuple[float, ...]], ...] = (
    (20.0, (-1.95, 4.06, -4.24, 1.56)),
    (5.0, (-2.58, 12.58, -42.58, 59.06)),
    (-0.8, (-2.79, 24.27, -252.95, 1321.29)),
)
