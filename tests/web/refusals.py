"""What a page says beside its boxes, read off it."""

import html
import re

_BOX = re.compile(
    r'<div class="box wrong">(.*?)</div>|<fieldset class="box wrong">(.*?)</fieldset>', re.DOTALL
)
_NAME = re.compile(r'name="([^"]+)"')
_SAID = re.compile(r'<p class="refused"[^>]*>(.*?)</p>', re.DOTALL)


def refusals(page: str) -> dict[str, str]:
    """Sentences beside the boxes of a page, by the names of the boxes."""
    found: dict[str, str] = {}
    for parts in _BOX.findall(page):
        part = "".join(parts)
        name, said = _NAME.search(part), _SAID.search(part)
        assert name is not None
        assert said is not None
        found[name[1]] = html.unescape(said[1])
    return found
