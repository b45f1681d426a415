"""`python -m millhand`: the same as the command `millhand`."""

from millhand.cli.main import main

if __name__ == "__main__":
    main()
