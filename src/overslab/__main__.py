"""``python -m overslab`` is the command line."""

from overslab.faces.cli.main import run

if __name__ == "__main__":
    run()
