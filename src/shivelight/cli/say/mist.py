"""Hindcasts and warming up in words."""


def hindcasts(told: dict[str, object], width: int) -> str:
    """Say how many cases were done and where the predictions are."""
    del width
    return f"{told['cases']} cases predicted. Written: {told['file']}"


def warmed(told: dict[str, bool], width: int) -> str:
    """Say that the machine is ready."""
    del told, width
    return "Ready: what is compiled once is compiled."
