"""Hindcasts in words."""


def hindcasts(told: dict[str, object], width: int) -> str:
    """Say how many cases were done and where the predictions are."""
    del width
    return f"{told['cases']} cases predicted. Written: {told['file']}"
