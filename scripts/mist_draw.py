"""Reliability diagrams of the mist model as plain SVG, readable without colour."""

from pathlib import Path

SIDE, LEFT, TOP = 260, 64, 44


def draw_all(drawn: dict[str, list], folder: Path) -> None:
    """Write one file for each reliability table that is kept in the docs."""
    folder.mkdir(parents=True, exist_ok=True)
    names = {"emulated errors": "emulated", "a far station as the forecast": "far"}
    for title, rows in drawn.items():
        label, kind, what = title.split("; ")
        if label != "stations and years left out":
            continue
        path = folder / f"mist-reliability-{what}-{names[kind]}.svg"
        path.write_text(diagram(f"{what.capitalize()}, {kind}", rows), encoding="utf-8")
        print(f"figure: {path.name}")


def diagram(title: str, rows: list) -> str:
    """Draw said against found; the area of a dot grows with its count."""
    most = max(count for _, _, count in rows)
    parts = [_frame(title)]
    points = " ".join(f"{_x(said):.1f},{_y(found):.1f}" for said, found, _ in rows)
    parts.append(f'<polyline points="{points}" fill="none" stroke="#333" stroke-width="1.5"/>')
    for said, found, count in rows:
        radius = 2.5 + 7.5 * (count / most) ** 0.5
        parts.append(
            f'<circle cx="{_x(said):.1f}" cy="{_y(found):.1f}" r="{radius:.1f}" fill="#fff" '
            f'stroke="#333" stroke-width="1.5"><title>said {said:.2f}, found {found:.2f}, '
            f"{count} mornings</title></circle>"
        )
        parts.append(
            f'<text x="{_x(said) + 12:.1f}" y="{_y(found) + 14:.1f}" font-size="9">{count}</text>'
        )
    return "\n".join([*parts, "</svg>\n"])


def _x(said: float) -> float:
    return LEFT + SIDE * said


def _y(found: float) -> float:
    return TOP + SIDE * (1.0 - found)


def _frame(title: str) -> str:
    width, height = LEFT + SIDE + 30, TOP + SIDE + 52
    lines = [
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {width} {height}" role="img" '
        'font-family="sans-serif" font-size="12" fill="#111">',
        f"<title>{title}: chance said against share found</title>",
        f'<rect width="{width}" height="{height}" fill="#fff"/>',
        f'<text x="{LEFT}" y="24" font-size="14">{title}</text>',
        f'<rect x="{LEFT}" y="{TOP}" width="{SIDE}" height="{SIDE}" fill="none" stroke="#888"/>',
        f'<line x1="{_x(0)}" y1="{_y(0)}" x2="{_x(1)}" y2="{_y(1)}" stroke="#888" '
        'stroke-dasharray="4 4"/>',
    ]
    for tenth in range(0, 11, 2):
        share = tenth / 10
        lines.append(
            f'<text x="{_x(share):.1f}" y="{TOP + SIDE + 18}" text-anchor="middle">{tenth}</text>'
        )
        lines.append(
            f'<text x="{LEFT - 8}" y="{_y(share) + 4:.1f}" text-anchor="end">{tenth}</text>'
        )
    lines.append(
        f'<text x="{LEFT + SIDE / 2}" y="{TOP + SIDE + 40}" text-anchor="middle">'
        "said, in 10 mornings</text>"
    )
    middle = TOP + SIDE / 2
    lines.append(
        f'<text x="22" y="{middle}" text-anchor="middle" transform="rotate(-90 22 {middle})">'
        "found, in 10 mornings</text>"
    )
    return "\n".join(lines)
