"""The start of framer: `python3 framer` in a checkout, `python -m framer` once installed.

As a folder it runs on any Python with nothing installed, so it starts on the standard library.
"""

import sys
from pathlib import Path


def start_checkout() -> None:
    """Run the command line from the checkout's own environment, made on the first start."""
    root = Path(__file__).resolve().parent.parent
    # Python put framer/ itself there, whose modules would stand in for others of the same name
    sys.path[0] = str(root)
    from framer.app import bootstrap, machine

    with machine.plain_ends():
        python = bootstrap.ready(root)
        # -P: the folder the user is in is no place to import from
        bootstrap.hand_over(python, ["-P", "-m", "framer", *sys.argv[1:]])


def start_installed() -> None:
    """Run the command line here."""
    try:
        from framer.app.cli import main
    except ModuleNotFoundError as error:
        if error.name and error.name.startswith("framer"):
            raise
        sys.stderr.write(
            f"framer: the package {error.name} is missing in this Python; in a checkout, "
            "start with: python3 framer (delete the folder .venv first if that says this)\n"
        )
        sys.exit(2)
    sys.exit(main())


if __name__ == "__main__":
    if __package__:
        start_installed()
    else:
        start_checkout()
