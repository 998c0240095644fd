"""`python -m quotegen` is the same as `quotegen`."""

from quotegen.cli.commands import main

if __name__ == "__main__":
    main()
