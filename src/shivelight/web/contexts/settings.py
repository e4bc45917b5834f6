"""The settings as their page says them: every one with its help, and the state of the book."""

from collections.abc import Mapping
from dataclasses import dataclass

from shivelight.drawing.words import counted
from shivelight.web.boxes import Box
from shivelight.web.forms import Form
from shivelight.workbench.changing import SettingShown
from shivelight.workbench.results import BookReport
from shivelight.workbench.settings import PREFIX

THIS_MACHINE = "This machine"
ELSEWHERE = "kept on the machine that shivelight runs on"


@dataclass(frozen=True, slots=True, kw_only=True)
class SettingLine:
    """One setting.

    Attributes
    ----------
    key : str
        Its name in the file.
    box : Box or None
        Where it is typed; None where it is not changed on this page.
    label, help, value : str
        What it is, and what it is now, with its unit.
    source : str
        Where its value comes from.
    why_not : str
        Why it is not changed here.
    can_reset : bool
        Whether the file holds it, so that its default can be put back.
    back_to : str
        That default.
    """

    key: str
    box: Box | None
    label: str
    help: str
    value: str
    source: str
    why_not: str
    can_reset: bool
    back_to: str


@dataclass(frozen=True, slots=True, kw_only=True)
class SettingGroup:
    """Settings that belong together; one button keeps them."""

    name: str
    form: Form
    lines: tuple[SettingLine, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class SettingsPage:
    """All settings, and what the book holds.

    Attributes
    ----------
    groups : tuple of SettingGroup
        In the order of the command line.
    in_demo : bool
        Whether the demo valley is being visited; the settings are one's own all the same.
    is_here : bool
        Whether it is shown on the machine that shivelight runs on.
    book : tuple of (str, str)
        What one's own book holds, and where it lies.
    copy_href : str
        Where a copy of it is saved; empty on other devices.
    """

    groups: tuple[SettingGroup, ...]
    in_demo: bool
    is_here: bool
    book: tuple[tuple[str, str], ...]
    copy_href: str


def settings_page(
    shown: tuple[SettingShown, ...],
    report: BookReport,
    *,
    in_demo: bool,
    is_here: bool,
    typed: Mapping[str, str] | None = None,
    wrong: Mapping[str, str] | None = None,
) -> SettingsPage:
    """Write the settings out.

    Parameters
    ----------
    shown : tuple of SettingShown
        Every setting, group by group.
    report : BookReport
        State of one's own book.
    in_demo, is_here : bool
        Whether the demo is visited, and whether this machine asks.
    typed, wrong : mapping, optional
        What was sent last, and why it was refused.
    """
    names = tuple(dict.fromkeys(one.group for one in shown))
    return SettingsPage(
        groups=tuple(
            _group(
                name, [one for one in shown if one.group == name], typed, wrong, is_here=is_here
            )
            for name in names
        ),
        in_demo=in_demo,
        is_here=is_here,
        book=_book(report, is_here=is_here),
        copy_href="/book/copy" if is_here else "",
    )


def can_change(one: SettingShown, *, is_here: bool) -> bool:
    """Whether the page may change a setting, asked for from here or from another device."""
    return one.can_change and (is_here or one.group != THIS_MACHINE)


def with_unit(one: SettingShown, value: str) -> str:
    """Write a value with its unit; what is empty is said."""
    if not value:
        return "nothing"
    gap = "" if one.unit == "°" else " "
    return f"{value}{gap}{one.unit}" if one.unit else value


def _group(
    name: str,
    settings: list[SettingShown],
    typed: Mapping[str, str] | None,
    wrong: Mapping[str, str] | None,
    *,
    is_here: bool,
) -> SettingGroup:
    lines = tuple(_line(one, typed, wrong, is_here=is_here) for one in settings)
    boxes = tuple(line.box for line in lines if line.box is not None)
    own = any(one.name in (typed or {}) for one in settings)
    form = Form(
        action="/settings", button=f"Keep: {name[:1].lower()}{name[1:]}", boxes=boxes,
        wrong=(wrong or {}).get("", "") if own else "",
    )  # fmt: skip
    return SettingGroup(name=name, form=form, lines=lines)


def _line(
    one: SettingShown,
    typed: Mapping[str, str] | None,
    wrong: Mapping[str, str] | None,
    *,
    is_here: bool,
) -> SettingLine:
    label = f"{one.label[:1].upper()}{one.label[1:]}"
    is_hidden = one.name == "book" and not is_here
    text = (typed or {}).get(one.name, one.value)
    box = Box(
        key=one.name, label=label, unit=one.unit, hint=one.help, text=text, words=one.choices,
        asked=bool(one.choices), wrong=(wrong or {}).get(one.name, ""),
    ) if can_change(one, is_here=is_here) else None  # fmt: skip
    return SettingLine(
        key=one.name,
        box=box,
        label=label,
        help=one.help,
        value=ELSEWHERE if is_hidden else with_unit(one, one.value),
        source=_source(one),
        why_not="" if box is not None else _why_not(one),
        can_reset=box is not None and one.source == "file",
        back_to=with_unit(one, one.default),
    )


def _source(one: SettingShown) -> str:
    return {
        "default": "the default",
        "file": f"from shivelight.toml; the default is {with_unit(one, one.default)}",
        "environment": f"from the environment, {PREFIX}{one.name.upper()}",
        "typed": "as typed when shivelight was started",
    }[one.source]


def _why_not(one: SettingShown) -> str:
    if one.name == "book":
        return "Chosen where shivelight is started: --book FILE, or SHIVELIGHT_BOOK."
    if one.source == "environment":
        return f"{PREFIX}{one.name.upper()} holds it, whatever the file says; change it there."
    if one.source == "typed":
        return "It was typed when shivelight was started; start it without, to change it here."
    return "It is changed on the machine that shivelight runs on."


def _book(report: BookReport, *, is_here: bool) -> tuple[tuple[str, str], ...]:
    where = (("lies at", str(report.path)),) if is_here else ()
    return (
        ("holds", f"{counted(report.woods, 'wood')}, {counted(report.spots, 'spot')}"),
        (
            "has heard",
            f"{counted(report.forecasts, 'forecast')}, {counted(report.judgements, 'judgement')}",
        ),
        (
            "has seen",
            f"{counted(report.outings, 'outing')}, "
            f"{counted(report.mornings_logged, 'morning')} logged",
        ),
        ("takes up", f"{report.size_kb} kB; form {report.version} of the book, whole when opened"),
        *where,
    )
