"""``python -m pathkit`` is the command line."""

from pathkit.cli.main import main

if __name__ == "__main__":
    main()
