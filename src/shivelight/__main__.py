"""``python -m shivelight`` is the same as ``shivelight``."""

from shivelight.cli.main import run

if __name__ == "__main__":
    run()
