"""The settings in words."""

from itertools import groupby

from shivelight.cli.say.words import blocks, lines, para
from shivelight.drawing.tables import table
from shivelight.workbench.changing import SettingShown

FROM = {
    "default": "the default",
    "file": "shivelight.toml",
    "environment": "the environment",
    "typed": "what was typed",
}


def settings(shown: tuple[SettingShown, ...], width: int) -> str:
    """List settings by group; one alone with its help."""
    if len(shown) == 1:
        return _one(shown[0], width)
    groups = groupby(shown, key=lambda one: one.group)
    return blocks(*(_group(name, tuple(ones), width) for name, ones in groups))


def _group(name: str, shown: tuple[SettingShown, ...], width: int) -> str:
    rows = [(one.name, _value(one), FROM[one.source], one.help) for one in shown]
    return lines(name, table(rows, ("setting", "value", "from", "what it is"), width=width))


def _one(one: SettingShown, width: int) -> str:
    held = one.source in {"environment", "typed"} and one.name != "book"
    return lines(
        f"{one.name}: {_value(one)}, from {FROM[one.source]}.",
        para(one.help, width, indent=2),
        f"  Default: {one.default or 'nothing'}.",
        f"  It stays so, whatever the file says: it is held by {FROM[one.source]}."
        if held
        else "",
    )


def _value(one: SettingShown) -> str:
    if not one.value:
        return "nothing"
    return f"{one.value} {one.unit}".strip()
